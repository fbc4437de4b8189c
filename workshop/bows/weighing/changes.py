"""Weight that came or went while no wood came off: one rule for the words of a weigh-in, the stop before the next
pull, and the tag.

Weight lost beyond the scale's doubt, at the same brace on the same string, is dying wood, unless arrows were shot
between and no more is gone than shooting in and finishing usually take.
"""

from dataclasses import dataclass

import numpy as np

from workshop.bows.models import Bow, WeighIn, WeighPoint
from workshop.bows.weighing.forecasts import limit_n
from workshop.bows.weighing.passes import Pass, Weighings, is_earlier, may_follow, surely_follows
from workshop.calc.drawcurve import weight_at
from workshop.calc.errors import CalcError
from workshop.calc.imperial import POUND_N
from workshop.calc.weighin import Lighter, lighter_than_before

# 3 % of moisture is worth a couple of pounds in a bow of middling weight. Common practice, no source.
SEASON_N_PER_PCT = 2 * POUND_N / 3
SAME_BRACE_M = 0.003


@dataclass(frozen=True)
class Change:
    """Two passes that can be compared, no work on the limbs between them."""

    lighter: Lighter
    before: Pass
    after: Pass
    shots: int  # arrows shot between the two, or that may have been

    def is_shot_in(self, takes_n: float | None) -> bool:
        """Whether arrows explain the loss: `takes_n` is what shooting in and finishing usually take."""
        return bool(self.shots) and takes_n is not None and self.lighter.loss_n <= takes_n

    def is_dying(self, takes_n: float | None) -> bool:
        return self.lighter.dying and not self.is_shot_in(takes_n)

    @property
    def is_beyond_doubt(self) -> bool:
        """Whether the bow weighs otherwise, up or down."""
        return self.lighter.dying or self.lighter.gained


def shooting_takes_n(bow: Bow, shop) -> float | None:
    """What shooting in and finishing usually still take of this bow; None where no weight was asked for."""
    limit = limit_n(bow, shop)
    return None if limit is None else limit - bow.wanted_n


def change_at(known: Weighings, one: Pass) -> Change | None:
    """This pass against the last one it can be compared with: same string and brace, no work between."""
    if not one.counts or one.is_long:
        return None
    for earlier in reversed(known.in_time):
        if not _is_before(earlier, one) or not earlier.counts:
            continue
        if known.work_between(earlier.weigh_in, one.weigh_in):
            return None
        if found := _change(known, earlier, one):
            return found
    return None


def change_since(known: Weighings, one: Pass) -> Change | None:
    """The last pass after this one that weighs otherwise beyond doubt, with no work between."""
    for later in reversed(known.in_time):
        if not _is_before(one, later):
            continue
        if not later.counts or later.is_long or known.work_between(one.weigh_in, later.weigh_in):
            continue
        found = _change(known, one, later)
        if found and found.is_beyond_doubt:
            return found
    return None


def loss_unanswered(known: Weighings, takes_n: float | None) -> Change | None:
    """The last dying wood found that nobody has answered: by passing it over, or by a later pass that drew as far and
    found the weight there again. Wood taken off since is no answer: it heals no crushed belly."""
    for one in reversed(known.in_time):
        if not one.counts or one.is_long:
            continue
        found = change_at(known, one)
        if not found or not found.is_dying(takes_n):
            continue
        about = min(one.points, key=lambda point: abs(point.draw_m - found.lighter.draw_m))
        if not known.is_passed_over("dying", one, about) and not _found_again(known, found):
            return found
    return None


def fall_unanswered(known: Weighings) -> tuple[WeighPoint, WeighPoint] | None:
    """The last point that holds less than one short of it in the same pass, and that one, which nobody has answered:
    by striking it, passing it over, or a later pass, no work between, that holds there at least what the shorter one
    did."""
    later: list[Pass] = []
    for one in reversed(known.in_time):
        if not one.counts or one.is_long:
            continue
        curve = one.curve()
        fallen = [] if curve is None else curve.fallen
        for short, point in ((one.points[n - 1], one.points[n]) for n in fallen):
            answered = known.is_passed_over("below_before", one, point) or any(
                _holds(each, point.draw_m, one.weigh_in.draw_from, short.force_n)
                for each in later
                if not known.work_between(one.weigh_in, each.weigh_in)
            )
            if not answered:
                return short, point
        if not len(fallen):
            later.append(one)
    return None


def _found_again(known: Weighings, loss: Change) -> bool:
    """Whether a later pass, with no work on the limbs since the loss, holds again what was there before it. A wetter
    season excuses a loss; it finds nothing again."""
    return any(
        _holds(later, loss.lighter.draw_m, loss.after.weigh_in.draw_from, loss.lighter.before_n)
        for later in known.passes
        if later.counts and not later.is_long and _is_before(loss.after, later)
        if not known.work_between(loss.after.weigh_in, later.weigh_in)
    )


def _holds(one: Pass, draw_m: float, place: str, force_n: float) -> bool:
    """Whether the pass holds that weight at that draw, measured from `place`, as its scale tells it."""
    curve = one.curve(place)
    try:
        found = curve and weight_at(curve, draw_m)
    except CalcError:  # it was not drawn so far
        return False
    return bool(found) and found.force_n >= force_n - 2 * float(np.hypot(found.doubt_n, one.doubt_n))


def _is_before(one: Pass, other: Pass) -> bool:
    """Whether one was weighed before the other, as far as their days tell; else whether it was written before."""
    if surely_follows(other.weigh_in, one.weigh_in):
        return True
    return not surely_follows(one.weigh_in, other.weigh_in) and is_earlier(one.weigh_in, other.weigh_in)


def _change(known: Weighings, earlier: Pass, later: Pass) -> Change | None:
    """The two compared; None where they cannot be."""
    before, after = earlier.curve(later.weigh_in.draw_from), later.curve()
    braces = earlier.weigh_in.brace_m, later.weigh_in.brace_m
    if before is None or after is None or None in braces:
        return None
    found = lighter_than_before(
        before,
        after,
        work_done_since=False,
        same_string=earlier.weigh_in.strung == later.weigh_in.strung,
        same_brace=abs(braces[0] - braces[1]) <= SAME_BRACE_M,
        by_season_n=_by_season_n(earlier.weigh_in, later.weigh_in),
    )
    return Change(found, earlier, later, _shots_between(known, earlier, later)) if found.ok else None


def _shots_between(known: Weighings, earlier: Pass, later: Pass) -> int:
    return sum(
        each.shots
        for each in known.shots
        if may_follow(each, earlier.weigh_in) and not surely_follows(each, later.weigh_in)
    )


def _by_season_n(earlier: WeighIn, later: WeighIn) -> float:
    """What the season alone makes it weigh more: below zero where it was wetted; nothing where no moisture was read."""
    if earlier.moisture_pct is None or later.moisture_pct is None:
        return 0.0
    return SEASON_N_PER_PCT * (earlier.moisture_pct - later.moisture_pct)
