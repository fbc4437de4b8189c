"""Widths and depths as they were taken: one table to a sitting, outward, both limbs side by side."""

from collections.abc import Iterable, Sequence
from dataclasses import dataclass
from itertools import groupby

from workshop.bows.models import Dimension
from workshop.bows.words import entry_words
from workshop.ledger.units import UnitsInUse
from workshop.units import show

LIMBS = ("A", "B")


@dataclass(frozen=True)
class Station:
    """One distance from the middle: what was written of each limb there, struck ones among it, by entry."""

    at: str
    limbs: Sequence[Sequence[tuple[Dimension, str]]]


@dataclass(frozen=True)
class Sitting:
    """What was written of one day: its stations for reading, its lines one by one for striking out."""

    first: Dimension
    stations: Sequence[Station]
    lines: Sequence[tuple[Dimension, str]]


def sittings(dimensions: Iterable[Dimension], units: UnitsInUse) -> list[Sitting]:
    """The newest day first; what was written on one day by different hands stands in one table."""
    by_day = sorted(dimensions, key=lambda each: (each.happened_on, each.happened_to), reverse=True)
    days = (list(day) for _key, day in groupby(by_day, key=lambda each: (each.happened_on, each.happened_to)))
    return [_sitting(sorted(day, key=_outward), units) for day in days]


def _outward(each: Dimension) -> tuple:
    """From the middle outward, to the millimetre as a station is told from the next; then by entry."""
    return round(each.station_m, 3), each.limb, each.pk


def _sitting(day: list[Dimension], units: UnitsInUse) -> Sitting:
    stations = [list(station) for _at, station in groupby(day, key=lambda each: round(each.station_m, 3))]
    return Sitting(
        first=min(day, key=lambda each: each.pk),
        stations=[_station(each, units) for each in stations],
        lines=[(each, entry_words(each, units)) for each in day],
    )


def _station(entries: list[Dimension], units: UnitsInUse) -> Station:
    limbs = [[(each, _size(each, units)) for each in entries if each.limb == limb] for limb in LIMBS]
    return Station(_bare(entries[0].station_m, "place", units), limbs)


def _bare(value: float, kind: str, units: UnitsInUse) -> str:
    return show(value, kind, units.unit(kind), with_unit=False)


def _size(each: Dimension, units: UnitsInUse) -> str:
    """Width by depth, without the unit: it stands once in the heading."""
    width, depth = (_bare(value, "depth", units) for value in (each.width_m, each.depth_m))
    return f"{width} × {depth}"
