"""From values to places on the sheet, and where the figures along an axis stand."""

import math
from collections.abc import Callable, Iterable, Sequence
from dataclasses import dataclass
from datetime import date, timedelta

from .paper import plain


@dataclass(frozen=True)
class Axis:
    """What stands along one side: its `label`, the finest `step` between figures, how a figure is written.

    `step` is the one a maker counts in (2 for inches of draw, 5 for pounds); where it would crowd the axis
    it is doubled, taken five-fold and so on. Without it the step is chosen by the values alone.
    """

    label: str
    step: float | None = None
    show: Callable[[float], str] = plain
    from_zero: bool = False


@dataclass(frozen=True)
class Ticks:
    """The ends of an axis and the figures along it, each with its label."""

    low: float
    high: float
    marks: tuple[tuple[float, str], ...]


BARE = Ticks(0.0, 1.0, ())


@dataclass(frozen=True)
class Scale:
    """Values from `low` to `high` onto places from `start` to `end`.

    >>> Scale(10, 28, 40, 340)(19)
    190.0
    """

    low: float
    high: float
    start: float
    end: float

    def __call__(self, value: float) -> float:
        share = (value - self.low) / (self.high - self.low)
        return self.start + share * (self.end - self.start)

    def nearest(self, value: float) -> float:
        """The value itself, or the end of the scale it lies beyond."""
        return min(max(value, self.low), self.high)


def step_for(span: float, finest: float | None, at_most: int) -> float:
    """The smallest step of 1, 2, 5, 10, 20, 50... times `finest` that leaves at most `at_most` spaces.

    >>> step_for(18, 2, 10), step_for(52, 5, 6), step_for(0.9, None, 5)
    (2, 10, 0.2)
    """
    if finest is None:
        finest = 10.0 ** max(-6, math.floor(math.log10(span / at_most))) if span > 0 else 1.0
    power = 0
    while True:
        for times in (1, 2, 5):
            step = finest * times * 10**power
            if step * at_most >= span * (1 - 1e-9):
                return step
        power += 1


def number_ticks(values: Iterable[float], axis: Axis, at_most: int) -> Ticks:
    """Ends and figures for the values; a single value gets air around it, none at all gives a bare axis.

    >>> number_ticks([10, 28], Axis("draw", 2), 10).marks[:2]
    ((10, '10'), (12, '12'))
    """
    known = [float(value) for value in values if math.isfinite(value)]
    if not known:
        return BARE
    if axis.from_zero:
        known.append(0.0)
    low, high = min(known), max(known)
    # Values that differ by less than a figure can show are drawn as equal.
    span = max(high - low, 1e-9 * max(abs(low), abs(high)))
    step = step_for(span, axis.step, at_most)
    first, last = math.floor(low / step + 1e-9), math.ceil(high / step - 1e-9)
    if first == last:
        first, last = (first - 1 if first > 0 or low < 0 else first), last + 1
    places = [round(step * i, 10) for i in range(first, last + 1)]
    return Ticks(places[0], places[-1], tuple((place, axis.show(place)) for place in places))


def date_ticks(
    days: Sequence[date],
    show: Callable[[date], str],
    at_most: int = 4,
    show_day: Callable[[date], str] | None = None,
) -> Ticks:
    """Ends and dates along the bottom: first days of months or years, or single days where all lies close; those
    are written by `show_day`."""
    if not days:
        return BARE
    first, last = min(days), max(days)
    if (last - first).days < 8:  # one reading, or one week's: air on both sides
        first, last = first - timedelta(days=4), last + timedelta(days=4)
    span = (last - first).days
    if span > 31 * at_most // 2:
        places = _month_starts(first, last, at_most)
    else:
        step = math.ceil(span / at_most)
        places = [first + timedelta(days=step // 2 + step * i) for i in range(at_most)]
        show = show_day or show
    marks = tuple((float(day.toordinal()), show(day)) for day in places if first <= day <= last)
    return Ticks(float(first.toordinal()), float(last.toordinal()), marks)


# From one month to two and a half thousand years, so that a year typed wrong still finds its step.
_MONTHS = (1, 2, 3, 6, 12, 24, 60, 120, 240, 600, 1200, 2400, 6000, 12_000, 30_000)


def _month_starts(first: date, last: date, at_most: int) -> list[date]:
    months = (last.year - first.year) * 12 + last.month - first.month
    step = next(n for n in _MONTHS if n * at_most >= months)
    begin = (first.year * 12 + first.month - 1) // step * step
    starts = [begin + step * i for i in range(1 + (months + step) // step)]
    return [date(n // 12, n % 12 + 1, 1) for n in starts if 12 <= n < 9999 * 12]
