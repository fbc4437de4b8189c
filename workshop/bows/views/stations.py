"""Widths and depths as they were taken: one table to a sitting, outward, both limbs side by side."""

from collections.abc import Iterable, Sequence
from dataclasses import dataclass
from itertools import groupby

from workshop.bows.models import Dimension
from workshop.bows.sizes import out_of_line
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
    doubted: Sequence[str]  # lines that do not lie between their neighbours
    folded: Sequence[tuple[Dimension, str]] = ()  # struck ones that stand in neither


def sittings(
    dimensions: Iterable[Dimension], units: UnitsInUse, *, fold_struck: bool = False
) -> list[Sitting]:
    """The newest day first; what was written on one day by different hands stands in one table.

    `fold_struck` keeps what is struck out of the tables: a plan brought to its weight has each size twice.
    """
    by_day = sorted(dimensions, key=lambda each: (each.happened_on, each.happened_to), reverse=True)
    days = (list(day) for _key, day in groupby(by_day, key=lambda each: (each.happened_on, each.happened_to)))
    return [_sitting(sorted(day, key=_outward), units, fold_struck) for day in days]


def _outward(each: Dimension) -> tuple:
    """From the middle outward, to the millimetre as a station is told from the next; then by entry."""
    return round(each.station_m, 3), each.limb, each.pk


def _sitting(written: list[Dimension], units: UnitsInUse, fold_struck: bool) -> Sitting:
    day = [each for each in written if not (fold_struck and each.is_struck)]
    stations = [list(station) for _at, station in groupby(day, key=lambda each: round(each.station_m, 3))]
    return Sitting(
        first=min(written, key=lambda each: each.pk),
        stations=[_station(each, units) for each in stations],
        lines=[(each, entry_words(each, units)) for each in day],
        doubted=[entry_words(each, units) for limb in LIMBS for each in _doubted(day, limb)],
        folded=[(each, entry_words(each, units)) for each in written if each not in day],
    )


def _doubted(day: list[Dimension], limb: str) -> list[Dimension]:
    """What is far wider or narrower, deeper or shallower than both its neighbours."""
    standing = [each for each in day if each.limb == limb and not each.is_struck]
    doubted = out_of_line([each.width_m for each in standing]) | out_of_line(
        [each.depth_m for each in standing]
    )
    return [standing[number] for number in sorted(doubted)]


def _station(entries: list[Dimension], units: UnitsInUse) -> Station:
    limbs = [[(each, _size(each, units)) for each in entries if each.limb == limb] for limb in LIMBS]
    return Station(_bare(entries[0].station_m, "place", units), limbs)


def _bare(value: float, kind: str, units: UnitsInUse) -> str:
    return show(value, kind, units.unit(kind), with_unit=False)


def _size(each: Dimension, units: UnitsInUse) -> str:
    """Width by depth, without the unit: it stands once in the heading."""
    width, depth = (_bare(value, "depth", units) for value in (each.width_m, each.depth_m))
    return f"{width} × {depth}"
