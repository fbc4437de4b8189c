"""The limbs of a bow that was weighed, as its forecast takes them: as measured, else as most limbs are."""

from collections.abc import Sequence
from dataclasses import dataclass

import numpy as np

from workshop.bows.grip import stiff_half_m
from workshop.bows.models.bow import BowKind
from workshop.bows.plan.facts import Facts
from workshop.bows.plan.record import plan_at
from workshop.bows.plan.solving import Strained, most_strained
from workshop.bows.weighing.forecasts import full_draw_m
from workshop.bows.weighing.passes import Pass
from workshop.calc.foresee import Known
from workshop.calc.setloss import usual_depth, usual_strain
from workshop.calc.statics import Bow, draw


@dataclass(frozen=True)
class Limbs:
    """`strains` (fractions) and `strained` are at the draw reached, at each one ahead, and at that at which its set
    was read, in this order.

    axis_shorter_m how much shorter a draw of the weigh-in reads from the limb's axis; own the bow itself, where it
    was measured.
    """

    reached_m: float
    stiff_m: float
    bends_m: float
    depth_m: float
    axis_shorter_m: float
    strains: tuple[float, ...]
    strained: tuple[Strained | None, ...]
    own: Bow | None = None

    def known(self, facts: Facts) -> Known:
        follow = sum(facts.follow.values()) / 2
        return Known(facts.bow.length_m, self.stiff_m, follow, self.own, self.axis_shorter_m)


def measured_limbs(facts: Facts, start: Pass, draws: Sequence[float]) -> Limbs:
    """As measured, solved at each of the draws. Errors: `CalcError`."""
    plan = plan_at(facts, start, draws[-1])
    shorter = plan.axis_shorter_m
    at = np.maximum(np.array(draws) - shorter, plan.brace_on_axis_m)
    drawn = draw(plan.bow, at, brace_height_m=plan.brace_on_axis_m)
    drawn.refuse(shorter)
    strained = tuple(most_strained(plan, drawn, n) for n in range(len(draws)))
    return Limbs(
        reached_m=draws[0],
        stiff_m=sum(plan.start_m(limb) for limb in plan.limbs),
        bends_m=plan.bends_m,
        depth_m=plan.depth_m,
        axis_shorter_m=shorter,
        strains=tuple(each.pct / 100 for each in strained),
        strained=strained,
        own=plan.bow,
    )


def usual_limbs(facts: Facts, start: Pass, draws: Sequence[float]) -> Limbs:
    """Not measured: as deep and as strained as is usual for their length, the back flush with the grip's."""
    bow, compass = facts.bow, facts.bow.kind == BowKind.COMPASS
    stiff = 2 * stiff_half_m(bow)
    bends = (bow.length_m - stiff) / 2
    depth, brace, full = usual_depth(bends), start.braced_draw_m, max(full_draw_m(start), *draws)
    before_belly = brace - start.weigh_in.brace_m  # what this place adds to a draw from the belly of the grip
    grip_depth = start.grip_depth_m or depth
    axis = grip_depth - (grip_depth if compass else depth) / 2
    at = [min(max(each, brace), full) for each in draws]
    return Limbs(
        reached_m=draws[0],
        stiff_m=stiff,
        bends_m=bends,
        depth_m=depth,
        axis_shorter_m=before_belly - axis,
        strains=tuple(usual_strain(each, brace_m=brace, full_draw_m=full) for each in at),
        strained=(None,) * len(draws),
    )
