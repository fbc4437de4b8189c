"""What the measurements of one piece say of its wood: its size once dry, its specific gravity, its stiffness.

No queries here: the entries are handed in, the timber with its own values prefetched.
"""

import datetime as dt
from collections.abc import Sequence
from dataclasses import dataclass
from statistics import median

import numpy as np

from workshop.calc.errors import CalcError
from workshop.calc.moisture import Band
from workshop.calc.timber import (
    FIBRE_SATURATION_PCT,
    Direction,
    Known,
    MeasuredGravity,
    gravity_by_weighing,
    shrunk,
    specific_gravity,
)
from workshop.staves.models import BendTest, OvenDryTest, Stave, StaveSize, StaveWork
from workshop.staves.models.staves import CameBy, PieceWork, StaveForm
from workshop.staves.moisture import How, Point, Track
from workshop.staves.wood import figures_of, known, offcuts, stiffness

# Our own allowances, no source.
GREEN_DAYS = 30  # a split log has hardly begun to shrink that soon after felling
NEAR_DAYS = 14  # a moisture read that near in time still holds
BETWEEN_DAYS = 90  # two readings no further apart may be joined by a line
BOX_DOUBT_PCT = 3.0  # a squared piece is not quite a box
RULE_DOUBT_M = 0.0005  # of a width or a depth
BOXES = (StaveForm.BOARD, StaveForm.LAMINATION, StaveForm.STRIP)


@dataclass(frozen=True)
class Wet:
    """How wet the piece was on a day; `how` is "read", "green" (felled just before) or "unknown"."""

    pct: float | None
    how: str


@dataclass(frozen=True)
class DriedSize:
    """One station as measured, and as it will be; None where the timber's shrinkage is not known."""

    size: StaveSize
    width_m: float | None
    depth_m: float | None


@dataclass(frozen=True)
class Dried:
    """The last sizes carried to the bench's moisture. `why`: "", "not_measured", "moisture_unknown", "as_dry"
    (measured as dry as that), "no_published_shrinkage"."""

    rows: tuple[DriedSize, ...]
    wet: Wet
    to_pct: float
    why: str = ""


@dataclass(frozen=True)
class Weighed:
    """Specific gravity by weighing. With `at_least` the sizes are a box round a piece that is none: no more than a
    bound. `why`: "", "not_weighed", "not_measured", "few_stations", "no_length", "bark_on", "moisture_unknown",
    "no_wood" (what comes out is no wood)."""

    gravity: MeasuredGravity | None = None
    at_12: Known | None = None
    at_least: bool = False
    why: str = ""
    mass_kg: float = 0.0
    volume_m3: float = 0.0
    pct: float = 0.0  # of the water in that mass

    @property
    def measured(self) -> MeasuredGravity | None:
        """The gravity where it may be reckoned with."""
        return None if self.at_least else self.gravity


@dataclass(frozen=True)
class PieceWood:
    dried: Dried
    weighed: Weighed
    at_12: Known  # specific gravity at 12 %: by weighing, the maker's own figure, or published
    stiffness: Known  # at the bench's moisture
    stiffness_now: Known | None
    now_pct: float | None
    bench_pct: float
    thickness_m: float | None  # across the thinner way, in the middle of its stations; it dries through that


def piece_wood(
    stave: Stave,
    track: Track,
    *,
    sizes: Sequence[StaveSize],
    tests: Sequence[OvenDryTest],
    works: Sequence[StaveWork],
    bends: Sequence[BendTest],
    band: Band,
) -> PieceWood:
    bench_pct = (band.low_pct + band.high_pct) / 2
    last_sizes = _last_sizes(sizes, _wood_off(works))
    weighed = weighed_of(stave, track, sizes=sizes, tests=tests, works=works)
    latest = track.latest
    now_pct = latest.pct if latest and _tells(latest) else None
    trusted = offcuts(bends, bench_pct if now_pct is None else now_pct)
    timber, gravity = stave.timber, weighed.measured

    def stiff(pct: float) -> Known:
        return known(lambda: stiffness(timber, pct, trusted, gravity))

    return PieceWood(
        dried=_dried(stave, track, last_sizes, bench_pct),
        weighed=weighed,
        at_12=known(lambda: specific_gravity(figures_of(timber), 12.0, gravity)),
        stiffness=stiff(bench_pct),
        stiffness_now=None if now_pct is None else stiff(now_pct),
        now_pct=now_pct,
        bench_pct=bench_pct,
        thickness_m=median(min(size.width_m, size.depth_m) for size in last_sizes) if last_sizes else None,
    )


def weighed_of(
    stave: Stave,
    track: Track,
    *,
    sizes: Sequence[StaveSize],
    tests: Sequence[OvenDryTest],
    works: Sequence[StaveWork],
) -> Weighed:
    """The piece's own specific gravity, by its weight and its sizes since wood last came off."""
    last = _wood_off(works)
    return _weighed(stave, track, _last_sizes(sizes, last), tests, works, last)


def _wood_off(works: Sequence[StaveWork]) -> tuple | None:
    """When wood last came off the piece."""
    return max((_when(work) for work in works if work.starts_a_series and not work.is_struck), default=None)


def wet_on(stave: Stave, track: Track, day: dt.date) -> Wet:
    """How wet the piece was on a day: read that day or between two readings near it; green just after the felling."""
    points = [point for point in track.points if _tells(point)]
    before = [point for point in points if point.on <= day]
    after = [point for point in points if point.on >= day]
    if before and after and (after[0].on - before[-1].on).days <= BETWEEN_DAYS:
        days = [before[-1].on.toordinal(), after[0].on.toordinal()]
        pcts = [before[-1].pct, after[0].pct]
        return Wet(float(np.interp(day.toordinal(), days, pcts)) if days[0] < days[1] else pcts[0], "read")
    nearest = min(points, key=lambda point: abs((point.on - day).days), default=None)
    if nearest and abs((nearest.on - day).days) <= NEAR_DAYS:
        return Wet(nearest.pct, "read")
    felling = stave.felling
    felled = felling.came_by in (CameBy.TREE, CameBy.LOG) and felling.happened_to == "d"
    if felled and 0 <= (day - felling.happened_on).days <= GREEN_DAYS:
        return Wet(FIBRE_SATURATION_PCT, "green")
    return Wet(None, "unknown")


def _tells(point: Point) -> bool:
    """A meter over 25 % only hints how wet; past fibre saturation a hint will do, for nothing shrinks there."""
    return point.ok or (point.why == "above_fibre_saturation" and point.pct >= FIBRE_SATURATION_PCT)


def _when(entry) -> tuple:
    return entry.happened_on, entry.entered_at


def _last_sizes(sizes: Sequence[StaveSize], last: tuple | None) -> list[StaveSize]:
    """What was measured on the last day anything was, since wood last came off; of a station the last word."""
    standing = [s for s in sizes if not s.is_struck and (last is None or _when(s) > last)]
    day = max((size.happened_on for size in standing), default=None)
    by_station = {
        size.station_m: size for size in sorted(standing, key=lambda s: s.pk) if size.happened_on == day
    }
    return [by_station[station] for station in sorted(by_station)]


def _dried(stave: Stave, track: Track, sizes: list[StaveSize], to_pct: float) -> Dried:
    if not sizes:
        return Dried((), Wet(None, "unknown"), to_pct, "not_measured")
    wet = wet_on(stave, track, sizes[0].happened_on)
    if wet.pct is None:
        return Dried((), wet, to_pct, "moisture_unknown")
    if abs(wet.pct - to_pct) < 0.5:
        return Dried((), wet, to_pct, "as_dry")
    known = figures_of(stave.timber)

    def carried(direction: Direction, size_m: float) -> float | None:
        try:
            return shrunk(known, direction, size_m, wet.pct, to_pct).size_m
        except CalcError:
            return None

    rows = tuple(
        DriedSize(size, carried(Direction.TANGENTIAL, size.width_m), carried(Direction.RADIAL, size.depth_m))
        for size in sizes
    )
    nothing = all(row.width_m is None and row.depth_m is None for row in rows)
    return Dried(rows, wet, to_pct, "no_published_shrinkage" if nothing else "")


def _weighed(stave, track: Track, sizes: list[StaveSize], tests, works, last) -> Weighed:
    """Oven-dry mass by a weighing whose moisture is known, over the volume of the box that was measured."""
    masses = _masses(track, tests, last)
    why = (
        "not_weighed" if not masses
        else "not_measured" if not sizes
        else "bark_on" if stave.bark_on and stave.form not in BOXES
        else "no_length" if not stave.length_m
        else "few_stations" if sizes[-1].station_m - sizes[0].station_m < stave.length_m / 2
        else ""
    )  # fmt: skip
    if why:
        return Weighed(why=why)
    wet = wet_on(stave, track, sizes[0].happened_on)
    if wet.pct is None:
        return Weighed(why="moisture_unknown")
    mass_kg, pct, doubt_pct = min(masses, key=lambda each: each[2])
    volume_m3 = _volume(sizes, stave.length_m)
    try:
        gravity = gravity_by_weighing(mass_kg, volume_m3, pct)
        doubt = np.linalg.norm(
            [BOX_DOUBT_PCT, 100 * doubt_pct / (100 + pct), *(100 * RULE_DOUBT_M / m for m in _means(sizes))]
        )
        measured = MeasuredGravity(gravity, wet.pct, float(doubt))
        at_12 = specific_gravity(figures_of(stave.timber), 12.0, measured)
    except CalcError:
        return Weighed(why="no_wood", mass_kg=mass_kg, volume_m3=volume_m3, pct=pct)
    return Weighed(measured, at_12, not _is_box(stave, works, last), "", mass_kg, volume_m3, pct)


def _masses(track: Track, tests, last) -> list[tuple[float, float, float]]:
    """(mass, moisture, its doubt) of every weighing since wood came off whose moisture is known, the newest first."""
    weighed = [p for p in track.points if p.ok and p.how == How.WEIGHING]
    weighed += [p for p in track.points if p.how == How.OVEN and p.entry.piece_kg]
    since = [p for p in weighed if last is None or _when(p.entry) > last]
    since.sort(key=lambda p: (p.on, p.entry.pk), reverse=True)
    return [(p.entry.piece_kg if p.how == How.OVEN else p.entry.mass_kg, p.pct, p.doubt_pct) for p in since]


def _is_box(stave: Stave, works, last) -> bool:
    """Sawn pieces, and what was roughed out since; a split stave is less than the box round it."""
    roughed = any(
        work.work == PieceWork.ROUGHED and not work.is_struck and _when(work) == last for work in works
    )
    return stave.form in BOXES or roughed


def _means(sizes: list[StaveSize]) -> tuple[float, float]:
    return (float(np.mean([s.width_m for s in sizes])), float(np.mean([s.depth_m for s in sizes])))


def _volume(sizes: list[StaveSize], length_m: float) -> float:
    """Width times depth along the piece [m³], both straight from station to station and level beyond the last."""
    at = np.linspace(0, length_m, 401)
    stations = [size.station_m for size in sizes]
    width, depth = (
        np.interp(at, stations, [getattr(s, name) for s in sizes]) for name in ("width_m", "depth_m")
    )
    return float(np.trapezoid(width * depth, at))
