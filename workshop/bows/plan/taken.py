"""The set a bow has taken and the draw it took it at: a set says nothing of a draw that came after it was read."""

from dataclasses import dataclass

from workshop.bows.models import Bow, WeighPoint
from workshop.bows.sets import SetNow, SetPoint, set_now, set_points, zero_is_due
from workshop.bows.weighing.passes import Pass, Weighings


@dataclass(frozen=True)
class Taken:
    """Set [m] of the tips, and how far the bow had been drawn by then: None where it was not weighed before."""

    set_m: float
    one: Pass | None = None
    draw_m: float | None = None  # as `one` measures


def taken_by(bow: Bow, known: Weighings) -> Taken | None:
    """The set of a bow that was loaded, as last read after a rest, where it ever was: at once it shows more than it
    keeps. None without a zero."""
    now = set_now(_readable(bow, known))
    if now is None or now.greatest_m is None:
        return None
    furthest = _furthest_before(known, now)
    if furthest is None:
        return Taken(now.greatest_m)
    one, point = furthest
    return Taken(now.greatest_m, one, point.draw_m)


def _readable(bow: Bow, known: Weighings) -> list[SetPoint]:
    """Readings since the last zero; the rested ones among them, where there are any."""
    if zero_is_due(bow.sets_standing, known.works):
        return []
    points = set_points(bow.sets_standing, known.works, ())
    began = max((n for n, point in enumerate(points) if point.begins), default=0)
    read = [each for each in points[began:] if not each.reading.is_zero and each.set_m is not None]
    return [each for each in read if each.reading.rested] or read


def _furthest_before(known: Weighings, now: SetNow) -> tuple[Pass, WeighPoint] | None:
    """Where the bow had been drawn furthest when that set was read; the long string is another draw."""
    read = now.reading.happened_on, now.reading.entered_at
    drawn = [
        (one, point)
        for one in known.passes
        if one.counts and not one.is_long and one.shift_to(one.bow.draw_from).ok
        for point in one.points
        if (one.weigh_in.happened_on, point.entered_at) <= read
    ]
    return max(drawn, key=_from_one_place, default=None)


def _from_one_place(drawn: tuple[Pass, WeighPoint]) -> float:
    one, point = drawn
    return point.draw_m + one.shift_to(one.bow.draw_from).metres
