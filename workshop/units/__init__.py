"""Text <-> SI: what a maker writes on wood becomes a float, and a float becomes what he would write.

    read('28 1/2"', "draw", "cm").value     0.7239, whatever unit the field shows
    show(0.7239, "draw", "in")              28 1/2 in
    to_si(45, "lb", "force")                200.17 N; lb is force here and mass in "mass"

Each kind of quantity (`KINDS`) knows its units, their spellings and what is believable. Nothing here knows
Django or sentences for people: a refusal is a `UnitsError` with a code, and the page makes the sentence.
"""

from .errors import UnitsError
from .factors import factor, from_si, to_si
from .kinds import KINDS, SYSTEMS, Kind, kind_of
from .reading import Reading, read
from .showing import show
from .spellings import Unit

__all__ = [
    "KINDS",
    "SYSTEMS",
    "Kind",
    "Reading",
    "Unit",
    "UnitsError",
    "factor",
    "from_si",
    "kind_of",
    "read",
    "show",
    "to_si",
]
