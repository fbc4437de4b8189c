"""What an order line asks of a bow: copied in when the bow is started, compared when the order changes later.

The line is handed in, by whoever may know of orders; this room knows only the names of what it asks.
"""

from dataclasses import dataclass

from workshop.bows.models import Bow

# what a line asks of a bow -> the bow's own name for it; frozen in `Bow.as_ordered` when it is started
COPIED = {
    "wanted_n": "wanted_n",
    "wanted_draw_m": "wanted_draw_m",
    "draw_from": "draw_from",
    "allowed_off_n": "tolerance_n",
    "hand": "hand",
    "bow_kind": "kind",
    "length_m": "length_m",
    "timbers": "timber_words",
    "nocks": "nocks",
    "bowstring": "bowstring",
    "class_rules": "class_rules",
}


def wish_of(line) -> dict:
    """What the line asks, as values for a bow; what it leaves open is left out."""
    values = {bow: getattr(line, name) for name, bow in COPIED.items()}
    return {name: value for name, value in values.items() if value not in (None, "", [])}


@dataclass(frozen=True)
class WishChange:
    """One thing the order asks otherwise now than when the bow was started; None where it asks nothing."""

    name: str
    then: object
    now: object


def wish_changes(bow: Bow, line) -> list[WishChange]:
    """How the line differs today from what was copied into the bow; from the bow itself, where nothing was."""
    asked = wish_of(line)
    copied = bow.as_ordered or {name: getattr(bow, name) for name in asked}
    names = dict.fromkeys((*copied, *asked))
    pairs = [WishChange(name, copied.get(name), asked.get(name)) for name in names]
    return [pair for pair in pairs if not _same(pair.then, pair.now)]


def _same(one, other) -> bool:
    if isinstance(one, float) and isinstance(other, float):
        return abs(one - other) < 1e-6
    return one == other
