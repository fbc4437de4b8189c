"""A plan changed: brought to a weight, made otherwise to compare, begun from nothing."""

import math
from collections.abc import Callable
from dataclasses import replace

import numpy as np

from workshop.bows.plan.design import LimbPlan, Plan, Sizes, Wood
from workshop.bows.plan.layouts import LEAST_DEPTH_M, LEAST_WIDTH_M, Wanted, laid_out
from workshop.bows.plan.solving import Answer, solve, solve_each
from workshop.calc.errors import NoSolution, OutOfRange, require
from workshop.calc.imperial import INCH_M

STEP_M = {"imperial": INCH_M / 64, "metric": 0.0001}  # what a maker can mark and plane to
ROUNDS = 5  # weight goes nearly with the cube of the depth, so each round leaves a tenth of what was out
CLOSE = 1e-4
MOVES = 3  # of single marks, after all were rounded
SIZES = {"depth": "depths_m", "width": "widths_m"}
AT_NOCK_M = {"depths_m": LEAST_DEPTH_M, "widths_m": LEAST_WIDTH_M}
MOST_CHANGE = 4.0  # a plan that has to grow or shrink more than so many times is another plan


def elastic(answer: Answer) -> float:
    return answer.force_n


def brought(
    plan: Plan, weight_n: float, how: str, step_m: float, weigh: Callable[[Answer], float] = elastic
) -> Plan:
    """The plan with all depths, or all widths, scaled so that it draws this weight, to what can be marked.

    No tip is made too small for its nock: it adds nothing to the weight.

    `weigh` says what a solved plan weighs: before any set, or once it has settled.
    Errors: `OutOfRange` a weight; `NoSolution` code `too_far_off`; those of `solve`.
    """
    require(weight_n > 0, OutOfRange, "weight", allowed="above zero", weight_n=weight_n)
    factor, power = 1.0, {"depth": 1 / 3, "width": 1.0}[how]
    for _ in range(ROUNDS):
        changed = _scaled(plan, how, factor)
        ratio = weight_n / weigh(solve([changed])[0])
        if abs(ratio - 1) < CLOSE:
            break
        factor *= ratio**power
        within = 1 / MOST_CHANGE < factor < MOST_CHANGE
        require(within, NoSolution, "too_far_off", allowed="sizes nearer to it", factor=factor)
    tips = {limb.name: getattr(limb.sizes, SIZES[how])[-1] for limb in plan.limbs}
    scaled = _scaled(plan, how, factor).with_limbs(lambda limb: _rounded(limb, how, step_m))
    rounded = scaled.with_limbs(lambda limb: _with_tip(limb, SIZES[how], tips[limb.name], step_m))
    return _nearest(rounded, weight_n, how, step_m, weigh)


def _nearest(plan: Plan, weight_n: float, how: str, step_m: float, weigh: Callable[[Answer], float]) -> Plan:
    """What rounding to marks has cost is put right by moving single marks, on both limbs, while that comes nearer."""
    name, off = SIZES[how], abs(weigh(solve([plan])[0]) - weight_n)
    for _ in range(MOVES):
        moved = [
            plan.with_limbs(lambda limb, n=n, step=step: _moved(limb, name, n, step))
            for n in range(len(getattr(plan.upper.sizes, name)))
            for step in (-step_m, step_m)
        ]
        tried = [
            each for each in solve_each([each for each in moved if each != plan]) if isinstance(each, Answer)
        ]
        out, best = min(((abs(weigh(each) - weight_n), n) for n, each in enumerate(tried)), default=(off, 0))
        if out >= off:
            break
        plan, off = tried[best].plan, out
    return plan


def _moved(limb: LimbPlan, name: str, number: int, step_m: float) -> LimbPlan:
    """One mark moved by a step, where the sizes go on running up and down as they did."""
    sizes = list(getattr(limb.sizes, name))
    if number >= len(sizes):
        return limb
    sizes[number] += step_m
    at_nock = number == len(sizes) - 1
    if at_nock and step_m < 0 and sizes[number] < AT_NOCK_M[name] + step_m / 2:
        return limb
    was, now = np.sign(np.diff(getattr(limb.sizes, name))), np.diff(sizes)
    keeps = np.all(was * now >= -1e-9) and np.all(now[was == 0] <= 1e-9) and sizes[number] > 0
    return replace(limb, sizes=replace(limb.sizes, **{name: tuple(sizes)})) if keeps else limb


def _with_tip(limb: LimbPlan, name: str, tip_m: float, step_m: float) -> LimbPlan:
    """With what a nock needs left at the tip, where it had so much (`tip_m`) and the limb has it just before."""
    *inner, last = getattr(limb.sizes, name)
    need = math.floor(min(tip_m, AT_NOCK_M[name], inner[-1]) / step_m + 1e-6) * step_m
    kept = max(last, need)
    return replace(limb, sizes=replace(limb.sizes, **{name: (*inner, kept)}))


def _scaled(plan: Plan, how: str, factor: float) -> Plan:
    return plan.with_limbs(lambda limb: replace(limb, sizes=limb.sizes.scaled(**{how: factor})))


def _rounded(limb: LimbPlan, how: str, step_m: float) -> LimbPlan:
    name = SIZES[how]
    return replace(limb, sizes=replace(limb.sizes, **{name: marked(getattr(limb.sizes, name), step_m)}))


def marked(sizes_m, step_m: float) -> tuple[float, ...]:
    """Sizes to whole steps, running up and down as they did.

    What one size loses is carried to the next, so that the limb as a whole stays as asked; then the marks are put in
    the order the sizes were in, nearer the grip first among equals.

    >>> [round(each * 1000, 1) for each in marked([0.01007, 0.01003, 0.01003, 0.01003], 0.0001)]
    [10.1, 10.1, 10.0, 10.0]
    """
    made, left = [], 0.0
    for size in sizes_m:
        steps = max(1, round((size + left) / step_m))
        made.append(steps * step_m)
        left += size - steps * step_m
    order = sorted(range(len(made)), key=lambda n: (-sizes_m[n], n))
    placed = dict(zip(order, sorted(made, reverse=True), strict=True))
    return tuple(placed[n] for n in range(len(made)))


# --- other plans, to compare ---


def wider(plan: Plan, share: float) -> Plan:
    return _scaled(plan, "width", 1 + share)


def shorter(plan: Plan, by_m: float) -> Plan:
    """A shorter bow of the same sizes: its stations drawn together between the middle and the nocks."""
    factor = (plan.length_m - by_m) / plan.length_m
    allowed = "more than half of what it was"
    require(factor > 0.5, OutOfRange, "bow_length", allowed=allowed, bow_m=plan.length_m - by_m)
    made = replace(plan, length_m=plan.length_m - by_m)
    return made.with_limbs(lambda limb: replace(limb, sizes=limb.sizes.scaled(along=factor)))


def piked(plan: Plan, off_each_m: float) -> Plan:
    """The same bow with so much cut off each tip: no station moves."""
    require(plan.length_m > 2 * off_each_m, OutOfRange, "bow_length", allowed="above zero", off_m=off_each_m)
    return replace(plan, length_m=plan.length_m - 2 * off_each_m)


def of_wood(plan: Plan, wood: Wood) -> Plan:
    """The same sizes in one other timber; of a laminate its belly, the layer that does most of the work."""
    return plan.with_limbs(
        lambda limb: replace(limb, woods=(*limb.woods[:-1], replace(wood, depth_m=limb.woods[-1].depth_m)))
    )


def reflexed(plan: Plan, by_m: float) -> Plan:
    """The tips so much further toward the back before it is strung."""
    return plan.with_limbs(lambda limb: replace(limb, follow_m=limb.follow_m - by_m))


MOST_NOCKING_M = 4 * INCH_M  # no archer nocks further from the hand: common practice, no source


def nocked(plan: Plan, above_m: float) -> Plan:
    """The same bow with the arrow nocked so far above the point straight across from the hand."""
    require(above_m <= MOST_NOCKING_M, OutOfRange, "nocking", allowed="4 in at the most", above_m=above_m)
    return replace(plan, nocking_above_m=above_m)


# --- a plan from nothing ---


# Laid out at a maker's marks, and of layers, it comes out more strained than was asked.
STRAIN_ROUNDS = 4
CLOSE_STRAIN = 1.03


def begun(
    plan: Plan,
    *,
    weight_n: float,
    strain: float,
    taper: str,
    stations: dict[str, list[float]],
    step_m: float,
    weigh: Callable[[Answer], float] = elastic,
) -> Answer:
    """Sizes for a bow of this weight, strained no more than this, laid out as `taper` says; the plan comes solved.

    plan gives lengths, grip, section and woods, its sizes are only stand-ins; stations [m] those to write down,
    by limb. Brought to the weight by widths afterwards, for it is laid out on two equal limbs.
    Errors: those of `laid_out` and `solve`.
    """
    asked = strain
    for _turn in range(STRAIN_ROUNDS):
        (answer,) = solve([_begun(plan, Wanted(weight_n, asked), taper, stations, step_m, weigh)])
        over = answer.strained.pct / (100 * strain)
        if over < CLOSE_STRAIN:
            break
        asked /= over
    return answer


def _begun(
    plan: Plan,
    wanted: Wanted,
    taper: str,
    stations: dict[str, list[float]],
    step_m: float,
    weigh: Callable[[Answer], float],
) -> Plan:
    laid = laid_out(plan, taper, wanted)

    def limb_at(limb: LimbPlan) -> LimbPlan:
        start, nock = plan.start_m(limb), plan.length_m / 2
        marks = sorted({start, *(at for at in stations[limb.name] if at > start + 0.003), nock})
        moved = np.interp(marks, [start, nock], [laid.stations_m[0], laid.stations_m[-1]])
        sizes = Sizes(
            tuple(marks),
            tuple(np.interp(moved, laid.stations_m, laid.widths_m)),
            marked(np.interp(moved, laid.stations_m, laid.depths_m), step_m),
        )
        return replace(limb, sizes=sizes)

    made = replace(plan, upper=limb_at(plan.upper), lower=limb_at(plan.lower))
    return brought(made, wanted.weight_n, "width", step_m, weigh)
