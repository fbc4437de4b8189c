"""What a weigh-in says at once. Facts go in, words come out; each informs and none refuses.

Arithmetic on facts that makes codes with values in SI; `sentences` turns one into the reader's language and units.
What a maker passed over is known by code and point.
"""

import datetime as dt
from collections.abc import Iterator
from dataclasses import dataclass, field

from workshop.calc.drawcurve import SAME_DRAW_M, DrawCurve, weight_at
from workshop.calc.errors import CalcError
from workshop.calc.imperial import INCH_M
from workshop.calc.weighin import Lighter, odd_points, stacking

HALTING = ("dying", "below_before", "past_draw")  # words that stop a bow until they are answered in words
# A weight this much off the last pass at the same draw is more likely a slipped digit than a scraping.
UNLIKE_LAST = 0.30
# A bow that is tillered is drawn an inch or two further at a time. Common practice, no source.
MOST_AT_ONCE_M = 2 * INCH_M


@dataclass(frozen=True)
class At:
    """A point that counts: which, and its draw and weight."""

    pk: int
    draw_m: float
    force_n: float


@dataclass(frozen=True)
class Rest:
    work: str
    until: dt.date


@dataclass(frozen=True)
class Facts:
    """What is known of a weigh-in when its words are found. Draws are measured as this weigh-in measures."""

    points: tuple[At, ...] = ()  # in order of draw, one to a draw
    curve: DrawCurve | None = None
    long_string: bool = False
    final_short_of_full_brace: bool = False
    limit_n: float | None = None
    wanted_draw_m: float | None = None
    wanted_then_m: float | None = None  # when it was weighed; an order may be changed later
    measured_from: str = ""
    ordered_from: str = ""
    cannot_convert: str = ""  # why the ordered draw cannot be carried to where this one measures
    twice: tuple[tuple[At, At], ...] = ()  # the one left out, the later one
    short_of_brace: At | None = None
    braced_draw_m: float | None = None
    change: Lighter | None = None  # against the last weigh-in with no work between
    dying: bool = False  # lighter than there, and no arrows explain it
    compared_on: str = ""
    shots_between: int = 0
    last: DrawCurve | None = None
    rests: tuple[Rest, ...] = ()
    reached_m: float | None = None  # the furthest it was ever drawn before, while tillering


@dataclass(frozen=True)
class Word:
    """One thing to say: its code, the point it is about, and values: (SI, kind) for measures, else as they are."""

    code: str
    point: int | None = None
    values: dict = field(default_factory=dict)


def words_of(facts: Facts) -> list[Word]:
    """Everything to be said, the gravest first."""
    return [
        *_dying(facts),
        *_past_limit(facts),
        *_past_draw(facts),
        *_leap(facts),
        *_resting(facts),
        *_long_string(facts),
        *_slips(facts),
        *_heavier(facts),
        *_stacking(facts),
        *_place(facts),
    ]


def _dying(facts: Facts) -> Iterator[Word]:
    found = facts.change
    if found is None or not facts.dying:
        return
    about = _nearest(facts.points, found.draw_m)
    values = {
        "now": (found.after_n, "force"),
        "was": (found.before_n, "force"),
        "draw": (found.draw_m, "draw"),
        "loss": (found.loss_n, "force"),
        "on": facts.compared_on,
        "shots": facts.shots_between,
    }
    if found.shorter_m is not None:
        values["shorter"] = (found.shorter_m, "draw")
    yield Word("dying", about and about.pk, values)


def _past_limit(facts: Facts) -> Iterator[Word]:
    """Of the points past the limit of pull the first: from there on the bow was drawn too far."""
    past = (at for at in facts.points if facts.limit_n is not None and at.force_n > facts.limit_n)
    for at in list(past)[:1]:
        over = at.force_n - facts.limit_n
        yield Word(
            "past_limit", at.pk, {**_measures(at), "limit": (facts.limit_n, "force"), "over": (over, "force")}
        )


def _past_draw(facts: Facts) -> Iterator[Word]:
    if facts.wanted_then_m is None or not facts.points or facts.long_string:
        return
    at, beyond = facts.points[-1], facts.points[-1].draw_m - facts.wanted_then_m
    if beyond > SAME_DRAW_M:
        values = {"draw": (at.draw_m, "draw"), "wanted": (facts.wanted_then_m, "draw")}
        yield Word("past_draw", at.pk, {**values, "over": (beyond, "draw")})


def _leap(facts: Facts) -> Iterator[Word]:
    if facts.reached_m is None or not facts.points:
        return
    at, before = facts.points[-1], facts.points[-2].draw_m if len(facts.points) > 1 else 0.0
    further = at.draw_m - max(before, facts.reached_m)
    if further > MOST_AT_ONCE_M + SAME_DRAW_M:
        yield Word("leap", at.pk, {"draw": (at.draw_m, "draw"), "by": (further, "draw")})


def _resting(facts: Facts) -> Iterator[Word]:
    for rest in facts.rests:
        yield Word("resting", None, {"work": rest.work, "until": rest.until})


def _long_string(facts: Facts) -> Iterator[Word]:
    if facts.long_string:
        yield Word("long_string")
    if facts.final_short_of_full_brace:
        yield Word("final_not_full")


def _slips(facts: Facts) -> Iterator[Word]:
    """What may be a slipped digit or a wrong mark."""
    for out, later in facts.twice:
        yield Word("twice", later.pk, {**_measures(later), "first": (out.force_n, "force")})
    if at := facts.short_of_brace:
        values = {"draw": (at.draw_m, "draw"), "braced": (facts.braced_draw_m, "draw")}
        yield Word("short_of_brace", at.pk, values)
    if facts.curve is None:
        return
    odd = {each.index: each for each in odd_points(facts.curve)}
    for index, at in enumerate(facts.points):
        if index in facts.curve.fallen:
            before = facts.points[index - 1]
            values = {"before": (before.force_n, "force"), "before_draw": (before.draw_m, "draw")}
            yield Word("below_before", at.pk, {**_measures(at), **values})
        elif index in odd:
            yield Word("jump", at.pk, {**_measures(at), "expected": (odd[index].expected_n, "force")})
        elif (was := _far_from_last(facts, at)) is not None:
            yield Word("unlike_last", at.pk, {**_measures(at), "was": (was, "force")})


def _heavier(facts: Facts) -> Iterator[Word]:
    found = facts.change
    about = _nearest(facts.points, found.draw_m) if found and found.gained else None
    if about is None or any(word.point == about.pk for word in _slips(facts)):
        return
    values = {
        "now": (found.after_n, "force"),
        "was": (found.before_n, "force"),
        "draw": (found.draw_m, "draw"),
    }
    yield Word("heavier", about.pk, {**values, "on": facts.compared_on})


def _far_from_last(facts: Facts, at: At) -> float | None:
    """The weight at that draw in the last pass, where this one is far from it and no dying wood was named."""
    if facts.last is None or facts.dying:
        return None
    try:
        was = weight_at(facts.last, at.draw_m).force_n
    except CalcError:
        return None
    return was if was > 0 and abs(at.force_n / was - 1) > UNLIKE_LAST else None


def _stacking(facts: Facts) -> Iterator[Word]:
    if facts.curve is None or facts.long_string or not facts.points:
        return
    found = stacking(facts.curve)
    if found.stacks:
        values = {"from": (found.from_m, "draw"), "times": round(found.ratio, 1)}
        yield Word("stacking", facts.points[-1].pk, values)


def _place(facts: Facts) -> Iterator[Word]:
    if facts.measured_from == facts.ordered_from:
        return
    values = {"measured": facts.measured_from, "ordered": facts.ordered_from}
    if facts.cannot_convert:
        yield Word(f"not_converted_{facts.cannot_convert}", None, values)
    elif facts.wanted_draw_m is not None:
        yield Word("converted", None, {**values, "wanted": (facts.wanted_draw_m, "draw")})


def _measures(at: At) -> dict:
    return {"force": (at.force_n, "force"), "draw": (at.draw_m, "draw")}


def _nearest(points: tuple[At, ...], draw_m: float) -> At | None:
    return min(points, key=lambda at: abs(at.draw_m - draw_m), default=None)
