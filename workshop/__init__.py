"""The bowyer's workshop ledger: from the felled tree to the tag on the bow."""

__version__ = "0.1.0"
