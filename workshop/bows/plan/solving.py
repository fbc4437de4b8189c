"""Plans solved: braced and drawn in one batch, and where the wood is strained most."""

from collections.abc import Sequence
from dataclasses import dataclass
from functools import cached_property

import numpy as np

from workshop.bows.plan.design import Plan
from workshop.calc.errors import CalcError, OutOfRange, require
from workshop.calc.statics import Drawn, draw_batch

DRAWS = 15  # from brace to the wanted draw: between them the curve is nothing but smooth


@dataclass(frozen=True)
class Strained:
    """The greatest strain [percent, without its sign] and its place."""

    pct: float
    limb: str
    from_middle_m: float
    from_grip_m: float
    surface: str


@dataclass(frozen=True)
class Answer:
    """A plan solved: at its full draw unless said otherwise."""

    plan: Plan
    drawn: Drawn

    @property
    def force_n(self) -> float:
        return float(self.drawn.force_n[-1])

    @property
    def energy_j(self) -> float:
        return float(self.drawn.energy_j[-1])

    def strain_pct_at(self, draw_on_axis_m: float) -> float:
        """The greatest strain at a draw on the way there."""
        back_and_belly = [
            np.abs(strain).max(axis=1)
            for pose in (self.drawn.upper, self.drawn.lower)
            for strain in (pose.back_strain_pct, pose.belly_strain_pct)
        ]
        return float(np.interp(draw_on_axis_m, self.drawn.draws_m, np.max(back_and_belly, axis=0)))

    @cached_property
    def strained(self) -> Strained:
        return most_strained(self.plan, self.drawn, -1)


def solve(plans: Sequence[Plan]) -> list[Answer]:
    """Every plan braced and drawn, all in one batch.

    Raises `CalcError` for a plan that cannot be one; NoSolution with the statics' own code (`unbraced`, `unlike`,
    `beyond`, `touch`, `coarse`) for one that cannot be drawn so far, or `touch_braced` for one whose braced string
    lies on its limb.
    """
    draws = []
    for plan in plans:
        brace, full = plan.brace_on_axis_m, plan.draw_on_axis_m
        require(full > brace, OutOfRange, "draw_below_brace", allowed=f"above {brace:.4g} m", draw_m=full)
        draws.append(np.linspace(brace, full, DRAWS))
    heights = [plan.brace_on_axis_m for plan in plans]
    drawn = draw_batch([plan.bow for plan in plans], np.array(draws), brace_height_m=heights)
    for plan, each in zip(plans, drawn, strict=True):
        each.refuse(plan.axis_shorter_m)
    return [Answer(plan, each) for plan, each in zip(plans, drawn, strict=True)]


def solve_each(plans: Sequence[Plan]) -> list[Answer | CalcError]:
    """As `solve`, but a plan that cannot be solved stands in the list as its error and spoils no other."""
    try:
        return list(solve(plans))
    except CalcError as error:
        if len(plans) == 1:
            return [error]
    return [solve_each([plan])[0] for plan in plans]


def most_strained(plan: Plan, drawn: Drawn, number: int) -> Strained:
    """Where the wood is strained most at one of the draws."""
    found = []
    for limb, pose in zip(plan.limbs, (drawn.upper, drawn.lower), strict=True):
        for surface, strain in (
            ("back", pose.back_strain_pct[number]),
            ("belly", pose.belly_strain_pct[number]),
        ):
            at = int(np.argmax(np.abs(strain)))
            place = float(pose.from_middle_m[at])
            beyond = place - max(plan.grip_end_m(limb), 0.0)
            found.append(Strained(float(abs(strain[at])), limb.name, place, beyond, surface))
    return max(found, key=lambda one: one.pct)


_REMEMBERED = 400
_strains: dict[
    Plan, float | None
] = {}  # filled by many threads at once: read once, and never taken for granted


def full_strains(plans: Sequence[Plan]) -> list[float | None]:
    """The greatest strain [percent] of each plan at its full draw; None where it cannot be solved.

    A finished bow no longer changes, so what was solved once is remembered: a plan is its own key.
    """
    kept = dict(_strains)
    found = {plan: kept[plan] for plan in plans if plan in kept}
    asked = [plan for plan in dict.fromkeys(plans) if plan not in found]
    solved = dict(zip(asked, _solved_strains(asked), strict=True))
    if len(kept) + len(solved) > _REMEMBERED:
        _strains.clear()
    _strains.update(solved)
    return [(found | solved)[plan] for plan in plans]


def _solved_strains(plans: Sequence[Plan]) -> list[float | None]:
    found: dict[Plan, float | None] = dict.fromkeys(plans)
    try:
        good = [plan for plan in plans if plan.draw_on_axis_m > plan.brace_on_axis_m]
        if good:
            draws = np.array([[plan.draw_on_axis_m] for plan in good])
            heights = [plan.brace_on_axis_m for plan in good]
            drawn = draw_batch([plan.bow for plan in good], draws, brace_height_m=heights)
            for plan, each in zip(good, drawn, strict=True):
                found[plan] = most_strained(plan, each, -1).pct if each.ok.all() else None
    except CalcError:  # one of them spoils the batch: each by itself
        if len(plans) > 1:
            return [_solved_strains([plan])[0] for plan in plans]
    return list(found.values())
