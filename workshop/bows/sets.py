"""Set: what the unstrung shape has lost since its zero. Pure reckoning on entries in their order.

String follow is the shape today; set is follow less the last zero. Steam, heat and the like give a new zero: until
it is read, there is follow but no set.
"""

import datetime as dt
from collections.abc import Iterable, Sequence
from dataclasses import dataclass

from workshop.bows.models import SetReading, WorkDone
from workshop.bows.models.readings import Limb

# Common practice, no source: under 25 mm is fine work, to 50 mm usual, more says that something was wrong.
FINE_SET_M = 0.0254
USUAL_SET_M = 0.0508

_SIDES = (Limb.A, Limb.B)


@dataclass(frozen=True)
class Drawn:
    """How far the bow was drawn, and when."""

    on: dt.date
    entered_at: dt.datetime
    draw_m: float


@dataclass(frozen=True)
class SetPoint:
    """One reading: its set (None without a zero) and the furthest draw the bow had seen by then."""

    reading: SetReading
    set_m: float | None
    furthest_m: float | None
    begins: bool  # the first after a new zero was due, or the zero itself


def in_order(entries: Iterable) -> list:
    """By the day they happened; within a day as they were entered."""
    return sorted(entries, key=lambda entry: (entry.happened_on, entry.entered_at, entry.pk))


def set_points(
    readings: Sequence[SetReading], works: Sequence[WorkDone], drawn: Sequence[Drawn]
) -> list[SetPoint]:
    """Every standing reading with its set, oldest first. Only standing entries are handed in."""
    zeros: dict[str, float] = {}
    points: list[SetPoint] = []
    begins = False
    for entry in _together(readings, works):
        if isinstance(entry, WorkDone):
            _forget(zeros, entry.limb)
            begins = True
            continue
        if entry.is_zero:
            _remember(zeros, entry)
        zero = _zero_for(zeros, entry.limb)
        points.append(
            SetPoint(
                reading=entry,
                set_m=None if zero is None else entry.follow_m - zero,
                furthest_m=_furthest_by(drawn, entry),
                begins=begins or entry.is_zero,
            )
        )
        begins = False
    return points


def zero_is_due(readings: Sequence[SetReading], works: Sequence[WorkDone]) -> bool:
    """Whether the next reading should be the zero: none was read yet, or not since a new one was made."""
    together = _together(readings, works)
    since = next(
        (n for n, each in enumerate(reversed(together)) if isinstance(each, WorkDone)), len(together)
    )
    latest = together[len(together) - since :]
    return not any(each.is_zero for each in latest)


def _together(readings, works) -> list:
    return in_order([*readings, *(work for work in works if work.new_zero)])


def _forget(zeros: dict[str, float], limb: str) -> None:
    for side in (limb,) if limb in _SIDES else _SIDES:
        zeros.pop(side, None)


def _remember(zeros: dict[str, float], reading: SetReading) -> None:
    for side in (reading.limb,) if reading.limb in _SIDES else _SIDES:
        zeros[side] = reading.follow_m


def _zero_for(zeros: dict[str, float], limb: str) -> float | None:
    if limb in _SIDES:
        return zeros.get(limb)
    known = [zeros[side] for side in _SIDES if side in zeros]
    return sum(known) / 2 if len(known) == 2 else None


def _furthest_by(drawn: Sequence[Drawn], entry) -> float | None:
    seen = [
        each.draw_m for each in drawn if (each.on, each.entered_at) <= (entry.happened_on, entry.entered_at)
    ]
    return max(seen, default=None)


@dataclass(frozen=True)
class SetNow:
    """The set as it was last read: of each limb, or of both as one."""

    points: tuple[SetPoint, ...]

    @property
    def greatest(self) -> SetPoint | None:
        """Of two limbs the one that took the more; None without a zero."""
        known = (point for point in self.points if point.set_m is not None)
        return max(known, key=lambda point: point.set_m, default=None)

    @property
    def greatest_m(self) -> float | None:
        return self.greatest.set_m if self.greatest else None

    @property
    def follow_m(self) -> float:
        return max(point.reading.follow_m for point in self.points)

    @property
    def reading(self) -> SetReading:
        return self.points[-1].reading

    @property
    def is_zero(self) -> bool:
        """Nothing was read since the zero: it has not been bent yet, and there is no set to speak of."""
        return all(point.reading.is_zero for point in self.points)


def set_now(points: Sequence[SetPoint]) -> SetNow | None:
    """The last reading, with its other limb where that was read on the same day in the same way."""
    if not points:
        return None
    last = points[-1].reading
    same = {
        point.reading.limb: point
        for point in points
        if (point.reading.happened_on, point.reading.rested) == (last.happened_on, last.rested)
    }
    if last.limb in _SIDES:
        same.pop(Limb.BOTH, None)
    else:
        same = {last.limb: points[-1]}
    return SetNow(tuple(same.values()))
