"""The two limbs as they were measured: from the back (plan) and from the side (profile)."""

from collections.abc import Callable, Sequence
from dataclasses import dataclass

from .chart import KeyEntry, letter_sample, upright_sample, write_key, write_letters
from .paper import DASHED, LINE, WIDTH, Drawing, Paper, Point, fitted, lettered
from .scales import Axis, Scale, number_ticks

_EDGE = 12
_STRETCHES = (1, 2, 3, 4, 5, 6, 8, 10, 12, 15, 20)
_TALLEST = 84  # what the wider of the two views may take, in units of the sheet


@dataclass(frozen=True)
class Station:
    """Half the width and the whole depth at a distance from the middle mark; None where not measured."""

    from_middle: float
    half_width: float | None = None
    depth: float | None = None


@dataclass(frozen=True)
class LimbStations:
    label: str
    stations: Sequence[Station] = ()


@dataclass(frozen=True)
class Place:
    """A mark along the bow, `at` from the middle mark: above nought toward limb A, below toward B."""

    at: float
    label: str


@dataclass(frozen=True)
class LimbOutline:
    title: str
    description: str
    columns: tuple[str, str, str, str]
    limb_a: LimbStations
    limb_b: LimbStations
    along: Axis
    plan_label: str
    profile_label: str
    middle_label: str
    stretch_label: Callable[[int], str]
    grip: tuple[float, float] | None = None  # both ends, counted as in `Place`
    grip_label: str = ""
    flaws: Sequence[Place] = ()
    show: Callable[[float], str] | None = None  # how widths and depths are written; as lengths when left out


def limb_outline(data: LimbOutline) -> Drawing:
    """Limb A left, limb B right; lengths to scale, widths and depths stretched by a whole number."""
    paper = Paper()
    reach = _reach(data)
    x = Scale(reach, -reach, _EDGE, WIDTH - _EDGE)
    per_unit = (WIDTH - 2 * _EDGE) / (2 * reach)
    stretch = _stretch(data, per_unit)
    paper.text((2, 14), fitted(data.limb_a.label, WIDTH / 2 - 6))
    paper.text((WIDTH - 2, 14), fitted(data.limb_b.label, WIDTH / 2 - 6), anchor="end")
    top = LINE
    plan = _view(data, "half_width", per_unit * stretch)
    profile = _view(data, "depth", per_unit * stretch)
    middle = top + LINE + max(plan.tallest, 8) + 6
    paper.text((2, top + LINE - 3), fitted(data.plan_label, WIDTH - 4), "faint")
    _outline(paper, plan, x, middle, both_sides=True)
    plan_end = _draw_flaws(paper, data, x, middle, middle + max(plan.tallest, 8) + 4) + 4
    back = plan_end + LINE + 4
    paper.text((2, plan_end + LINE - 5), fitted(data.profile_label, WIDTH - 4), "faint")
    _outline(paper, profile, x, back, both_sides=False)
    floor = back + max(profile.tallest, 12) + 8
    _draw_marks(paper, data, x, top + LINE, plan_end)
    _draw_marks(paper, data, x, plan_end + LINE, floor)
    bottom = _draw_rule(paper, data, x, reach, floor)
    paper.text((WIDTH / 2, bottom + 14), fitted(data.stretch_label(stretch), WIDTH), "faint", "middle")
    bottom = write_key(paper, bottom + LINE + 6, _key(data))
    return Drawing(paper.finished(data.title, data.description, bottom), data.columns, _rows(data))


@dataclass(frozen=True)
class _View:
    """One view's values, as (signed place, height on the sheet) from the tip of A to the tip of B."""

    places: tuple[Point, ...]

    @property
    def tallest(self) -> float:
        return max((height for _, height in self.places), default=0)


def _signed(data: LimbOutline, name: str) -> list[Point]:
    """(place, value) from the tip of A through the middle to the tip of B."""
    sides = ((1, data.limb_a), (-1, data.limb_b))
    known = {
        sign * station.from_middle: getattr(station, name)
        for sign, limb in sides
        for station in limb.stations
        if getattr(station, name) is not None
    }
    return sorted(known.items(), reverse=True)


def _view(data: LimbOutline, name: str, factor: float) -> _View:
    return _View(tuple((place, value * factor) for place, value in _signed(data, name)))


def _reach(data: LimbOutline) -> float:
    """The longer limb, so that both are drawn to one scale with the middle mark in the middle."""
    places = [abs(place.at) for place in data.flaws]
    places += [station.from_middle for limb in (data.limb_a, data.limb_b) for station in limb.stations]
    places += [abs(end) for end in data.grip or ()]
    return max(places, default=0) or 1.0


def _stretch(data: LimbOutline, per_unit: float) -> int:
    """The largest whole factor at which width and depth still leave room on the sheet."""
    widest = max((2 * value for _, value in _signed(data, "half_width")), default=0)
    deepest = max((value for _, value in _signed(data, "depth")), default=0)
    room = [factor for factor in _STRETCHES if max(widest, deepest) * per_unit * factor <= _TALLEST]
    return room[-1] if room else 1


def _outline(paper: Paper, view: _View, x: Scale, base: float, *, both_sides: bool) -> None:
    """Both edges about a centre line, or one edge below the line of the back."""
    paper.line((_EDGE, base), (WIDTH - _EDGE, base), "faint", DASHED, 0.8)
    if len(view.places) == 1:
        place, height = view.places[0]
        paper.line(
            (x(place), base - (height if both_sides else 0)), (x(place), base + height), "ink", weight=2
        )
        return
    below = [(x(place), base + height) for place, height in view.places]
    above = [(x(place), base - (height if both_sides else 0)) for place, height in view.places]
    paper.path([*above, *reversed(below)], "ink", closed=True, weight=1.8)
    for upper, lower in zip(above, below, strict=True):
        paper.line(upper, lower, "faint", weight=0.8)


def _draw_flaws(paper: Paper, data: LimbOutline, x: Scale, middle: float, below: float) -> float:
    """A mark at each flaw's place along the centre line, its letter under the plan."""
    places = [((x(flaw.at), middle), lettered(number), "accent") for number, flaw in enumerate(data.flaws)]
    bottom = write_letters(paper, places, below)
    for place, _, _ in places:
        paper.mark("diamond", place, "accent", 3)
    return bottom


def _draw_marks(paper: Paper, data: LimbOutline, x: Scale, top: float, floor: float) -> None:
    paper.line((x(0), top), (x(0), floor), "accent", weight=1)
    for end in data.grip or ():
        paper.line((x(end), top), (x(end), floor), "ink", DASHED, 1)


def _draw_rule(paper: Paper, data: LimbOutline, x: Scale, reach: float, floor: float) -> float:
    """A rule under both views, counted from the middle mark outward."""
    ticks = number_ticks([0, reach], data.along, 6)
    paper.line((_EDGE, floor), (WIDTH - _EDGE, floor), "ink", weight=1)
    for value, label in ticks.marks:
        for place in {x(value), x(-value)}:
            if _EDGE - 1 <= place <= WIDTH - _EDGE + 1:
                paper.line((place, floor), (place, floor + 4), "ink", weight=1)
                paper.text((place, floor + 19), label, "faint", "middle")
    paper.text((WIDTH / 2, floor + 19 + LINE), fitted(data.along.label, WIDTH), "faint", "middle")
    return floor + 24 + LINE


def _key(data: LimbOutline) -> list[KeyEntry]:
    entries = [KeyEntry(data.middle_label, upright_sample("accent", ""))]
    if data.grip:
        entries.append(KeyEntry(data.grip_label, upright_sample("ink", DASHED)))
    entries += [KeyEntry(f.label, letter_sample(lettered(n), "accent")) for n, f in enumerate(data.flaws)]
    return entries


def _rows(data: LimbOutline) -> tuple[tuple[str, ...], ...]:
    show = data.show or data.along.show

    def shown(value: float | None, times: int = 1) -> str:
        return "" if value is None else show(value * times)

    return tuple(
        (limb.label, data.along.show(station.from_middle), shown(station.half_width, 2), shown(station.depth))
        for limb in (data.limb_a, data.limb_b)
        for station in sorted(limb.stations, key=lambda station: station.from_middle)
    )
