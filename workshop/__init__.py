"""The bowyer's workshop ledger: from the felled tree to the tag on the bow."""

import os

__version__ = "0.1.0"

# The solver's systems are many and tiny: more threads for each only wait for one another. Before numpy is loaded.
os.environ.setdefault("OPENBLAS_NUM_THREADS", "1")
