"""A weigh-in as a thing to reckon with: its standing points in order, its curve, measured from any place.

A bow's passes together know what came before what, and whether work was done in between.
"""

import datetime as dt
from collections.abc import Iterable, Sequence
from dataclasses import dataclass, replace
from functools import cached_property

from workshop.bows.models import Bow, ShotsFired, WeighIn, WeighPoint, WordNoted, WorkDone
from workshop.bows.models.bow import BowKind
from workshop.bows.models.readings import BowEntry
from workshop.bows.models.weighing import Strung
from workshop.calc.drawcurve import SAME_DRAW_M, DrawCurve, Energy, draw_curve, stored_energy
from workshop.calc.draws import GripDepth
from workshop.calc.errors import CalcError, TooFew
from workshop.calc.imperial import POUND_N
from workshop.ledger.dates import last_day
from workshop.ledger.models.shop import DrawFrom

# One standard deviation of a reading where nothing is written of the scale: a quarter pound. Common practice.
USUAL_DOUBT_N = 0.25 * POUND_N
_ANY_DRAW_M = 1.0  # what a place adds is the same at every draw


@dataclass(frozen=True)
class Shift:
    """What to add to a draw to have it measured from another place, or why that cannot be said."""

    metres: float = 0.0
    why: str = ""

    @property
    def ok(self) -> bool:
        return not self.why


def shift_of(bow: Bow, was: str, wanted: str, grip_depth_m: float | None = None) -> Shift:
    """From `was` to `wanted` on this bow; where the grip's depth matters, with its own or not at all.

    The axis lies half the grip deep only where the grip itself bends.
    """
    grip = GripDepth(grip_depth_m or bow.grip_depth_m or None)
    try:
        metres = grip.convert(_ANY_DRAW_M, given=was, wanted=wanted) - _ANY_DRAW_M
    except TooFew:
        return Shift(why="no_grip_depth")
    if was != wanted and DrawFrom.AXIS in (was, wanted) and bow.kind != BowKind.COMPASS:
        return Shift(why="no_axis_depth")
    return Shift(metres)


def from_back_m(
    bow: Bow, draw_m: float | None, place: str, grip_depth_m: float | None = None
) -> float | None:
    """A draw measured from `place`, from the back of the bow: an arrow is as long. None where it cannot be told so."""
    shift = shift_of(bow, place, DrawFrom.BACK, grip_depth_m)
    return draw_m + shift.metres if draw_m and shift.ok else None


@dataclass(frozen=True)
class Pass:
    """One weigh-in with its points, struck ones among them, by entry."""

    bow: Bow
    weigh_in: WeighIn
    entered: tuple[WeighPoint, ...]

    @cached_property
    def points(self) -> tuple[WeighPoint, ...]:
        """Those that count, in order of draw; of two at one draw the later entered."""
        kept: list[WeighPoint] = []
        for point in (each for each in self.entered if not each.is_struck):
            kept = [each for each in kept if abs(each.draw_m - point.draw_m) >= SAME_DRAW_M]
            kept.append(point)
        return tuple(sorted(kept, key=lambda point: point.draw_m))

    @property
    def struck(self) -> tuple[WeighPoint, ...]:
        return tuple(point for point in self.entered if point.is_struck)

    @property
    def doubled(self) -> tuple[tuple[WeighPoint, WeighPoint], ...]:
        """Points that no longer count because the same draw was weighed again, each with the later one."""
        left_out = [each for each in self.entered if not each.is_struck and each not in self.points]
        return tuple(
            (each, later)
            for each in left_out
            for later in self.points
            if abs(later.draw_m - each.draw_m) < SAME_DRAW_M
        )

    @property
    def furthest(self) -> WeighPoint | None:
        return self.points[-1] if self.points else None

    @property
    def is_long(self) -> bool:
        return self.weigh_in.strung == Strung.LONG

    @property
    def counts(self) -> bool:
        """Whether it stands and holds a weight."""
        return not self.weigh_in.is_struck and bool(self.points)

    @property
    def grip_depth_m(self) -> float | None:
        return self.weigh_in.grip_depth_m or self.bow.grip_depth_m

    @property
    def doubt_n(self) -> float:
        scale = self.weigh_in.scale
        return scale.doubt_n if scale and scale.doubt_n is not None else USUAL_DOUBT_N

    def shift_to(self, place: str) -> Shift:
        return shift_of(self.bow, self.weigh_in.draw_from, place, self.grip_depth_m)

    def shift_from(self, place: str) -> Shift:
        return shift_of(self.bow, place, self.weigh_in.draw_from, self.grip_depth_m)

    @property
    def wanted_draw_m(self) -> float | None:
        """The ordered draw as it reads from where this weigh-in measures; None where that cannot be said."""
        wanted, shift = self.bow.wanted_draw_m, self.shift_from(self.bow.draw_from)
        return wanted + shift.metres if wanted is not None and shift.ok else None

    @property
    def wanted_then_m(self) -> float | None:
        """The draw that was ordered when this was weighed, None where none was: a bow planned anew, or planned only
        later, was not drawn too far before."""
        return self.weigh_in.wanted_draw_m

    @cached_property
    def braced_draw_m(self) -> float | None:
        """Where the braced string lies, measured as this weigh-in's draws are."""
        brace, shift = self.weigh_in.brace_m, self.shift_from("belly")
        return None if self.is_long or not brace or not shift.ok else brace + shift.metres

    @property
    def short_of_brace(self) -> WeighPoint | None:
        """The first point, where it lies no further than the braced string: one of the two is wrong."""
        if self.points and self.braced_draw_m is not None:
            first = self.points[0]
            return first if first.draw_m <= self.braced_draw_m + SAME_DRAW_M else None
        return None

    def curve(self, place: str | None = None) -> DrawCurve | None:
        """The draw curve measured from `place` (by itself as it was measured); None where it cannot be had."""
        shift = self.shift_to(place) if place else Shift()
        if not self.points or not shift.ok:
            return None
        brace = None if self.short_of_brace else self.braced_draw_m
        try:
            return draw_curve(
                [point.draw_m + shift.metres for point in self.points],
                [point.force_n for point in self.points],
                braced_draw_m=None if brace is None else brace + shift.metres,
                scale_doubt_n=self.doubt_n,
            )
        except CalcError:  # a draw so short that it lies behind the place it is to be measured from
            return None

    @cached_property
    def energy(self) -> Energy | None:
        """Stored so far; not on the long string, and not from one point alone: a curve needs two."""
        curve = None if self.is_long or len(self.points) < 2 else self.curve()
        try:
            return stored_energy(curve) if curve else None
        except CalcError:
            return None


@dataclass(frozen=True)
class Weighings:
    """Every pass of one bow by entry, struck ones among them; the work done on it and the arrows shot, that stand."""

    bow: Bow
    passes: tuple[Pass, ...]
    works: tuple[WorkDone, ...]
    shots: tuple[ShotsFired, ...] = ()
    # words passed over: of which weigh-in, which word, about which of its points
    noted: frozenset[tuple[int, str, int | None]] = frozenset()

    def of(self, weigh_in: WeighIn) -> Pass:
        return next(each for each in self.passes if each.weigh_in.pk == weigh_in.pk)

    def is_passed_over(self, code: str, one: Pass, point: WeighPoint) -> bool:
        return (one.weigh_in.pk, code, point.pk) in self.noted

    def with_point(self, point: WeighPoint) -> "Weighings":
        """The same with one more point, just written."""
        passes = (
            replace(each, entered=(*each.entered, point)) if each.weigh_in.pk == point.weigh_in_id else each
            for each in self.passes
        )
        return replace(self, passes=tuple(passes))

    @cached_property
    def in_time(self) -> list[Pass]:
        """By their days, where days do not tell by entry: one may be typed in late."""
        return sorted(self.passes, key=lambda each: (each.weigh_in.happened_on, each.weigh_in.pk))

    @property
    def last(self) -> Pass | None:
        """The last one that holds a weight."""
        return next((each for each in reversed(self.passes) if each.counts), None)

    @cached_property
    def standing_points(self) -> set[int]:
        """The keys of every point that counts, of weigh-ins that stand."""
        return {point.pk for each in self.passes if each.counts for point in each.points}

    @property
    def last_head(self) -> WeighIn | None:
        """The last one that stands, weights or not: how the bow was strung and measured."""
        standing = (each.weigh_in for each in reversed(self.passes) if not each.weigh_in.is_struck)
        return next(standing, None)

    def before(self, one: Pass) -> Pass | None:
        """The pass before this one on the same kind of string."""
        earlier = (
            each
            for each in reversed(self.passes)
            if is_earlier(each.weigh_in, one.weigh_in)
            and each.counts
            and each.weigh_in.strung == one.weigh_in.strung
        )
        return next(earlier, None)

    def is_latest(self, one: Pass) -> bool:
        """Whether the bow is still as this pass found it: no work since, and no later weights."""
        later = (each for each in self.passes if each.counts and is_earlier(one.weigh_in, each.weigh_in))
        return one.weigh_in.pk is None or not (self.work_since(one.weigh_in) or any(later))

    def work_since(self, weigh_in: WeighIn) -> list[WorkDone]:
        """Work on the limbs since that weigh-in, or that may have been since: its day may not be known."""
        return [work for work in self.works if work.spoils_ratings and may_follow(work, weigh_in)]

    def work_between(self, earlier: WeighIn, later: WeighIn) -> list[WorkDone]:
        """Work since `earlier` that was not done, surely, after `later`."""
        return [work for work in self.work_since(earlier) if not surely_follows(work, later)]

    def reached_before(self, one: Pass) -> float | None:
        """The furthest the braced bow was drawn before this pass, as this one measures."""
        if one.is_long:
            return None
        draws = [
            each.furthest.draw_m + shift.metres
            for each in self.passes
            if is_earlier(each.weigh_in, one.weigh_in) and each.counts and not each.is_long
            if (shift := each.shift_to(one.weigh_in.draw_from)).ok
        ]
        return max(draws, default=None)

    def resting_on(self, day: dt.date) -> list[WorkDone]:
        """Work whose rest was not over on that day."""
        return [work for work in self.works if work.rest_until and work.happened_on <= day < work.rest_until]


def is_earlier(one: WeighIn, other: WeighIn) -> bool:
    """By entry; one that is not kept yet comes after all."""
    return one.pk is not None and (other.pk is None or one.pk < other.pk)


def may_follow(work: BowEntry, weigh_in: WeighIn) -> bool:
    """Whether the work was, or may have been, done after the weigh-in. Where no day but the weigh-in's own is left
    for that, the order of entry tells: work "in June", written after a weigh-in of the 30th, may follow it."""
    latest = last_day(work.happened_on, work.happened_to)
    one_day = latest == weigh_in.happened_on
    if one_day or (work.happened_on, work.happened_to) == (weigh_in.happened_on, weigh_in.happened_to):
        return work.entered_at > weigh_in.entered_at
    return latest > weigh_in.happened_on


def surely_follows(later: BowEntry, weigh_in: WeighIn) -> bool:
    """Whether the work, or the other weigh-in, cannot have been before the weigh-in."""
    if (later.happened_on, later.happened_to) == (weigh_in.happened_on, weigh_in.happened_to):
        return later.entered_at > weigh_in.entered_at
    return later.happened_on > last_day(weigh_in.happened_on, weigh_in.happened_to)


def weighings(
    bow: Bow,
    weigh_ins: Sequence[WeighIn],
    works: Sequence[WorkDone],
    *,
    shots: Sequence[ShotsFired] = (),
    noted: Iterable[WordNoted] = (),
) -> Weighings:
    """Put together what was read: weigh-ins with their points prefetched."""
    passes = (Pass(bow, each, tuple(each.points.all())) for each in weigh_ins)
    passed_over = frozenset((each.weigh_in_id, each.code, each.point_id) for each in noted)
    return Weighings(bow, tuple(passes), tuple(works), tuple(shots), passed_over)
