"""Reads of the store; each takes a fixed number of queries, however many pieces there are."""

from .round import RoundRow, out_of_line, round_pieces, round_rows
from .sheet import StaveSheet, stave_sheet
from .store import StoreFilter, due_a_reading, store, store_rows, watched_flaws
from .tracks import climates, tracks

__all__ = [
    "RoundRow",
    "StaveSheet",
    "StoreFilter",
    "climates",
    "due_a_reading",
    "out_of_line",
    "round_pieces",
    "round_rows",
    "stave_sheet",
    "store",
    "store_rows",
    "tracks",
    "watched_flaws",
]
