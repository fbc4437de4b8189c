"""Set: what a bow keeps of its bend, and the weight that costs.

Elastic arithmetic reads high, because wood strained far enough stays a little bent. Kept as *permanent
strain*, the share of its own length the belly has lost, set of long and short, thin and deep limbs can be
laid side by side: for a limb of length l and depth t bent evenly by it, the tip stands set = permanent strain
x l^2 / t behind.

    permanent strain = (strain - onset) x (rate + wet x (moisture - 9 %)),   zero below the onset

The rate to begin with is a stated default; this shop's own bows replace it as they come.
"""

import math
from collections.abc import Sequence
from dataclasses import dataclass

import numpy as np

from workshop.calc.errors import OutOfRange, require, require_numbers
from workshop.calc.projection import BAND_80, Projection

# The stated default (no source). Bow T1, half an inch and a bit deep and strained to 0.88 % at 28 in, would
# take 1.5 in of set, in the middle of "1 to 2 in usual"; wetter wood takes more.
ONSET = 0.004
RATE, RATE_DOUBT = 0.18, 0.08
WET, WET_DOUBT = 0.02, 0.02
# How one bow differs from another of the same shop and timber, and how many bows' worth of belief is in that.
SCATTER, SCATTER_COUNTS = 0.06, 4
# How one timber differs from the shop's others.
TIMBERS_DIFFER = 0.05
BENCH_MOISTURE_PCT = 9.0
USUAL_FULL_STRAIN = 0.0085

# Share of the weight lost for each full draw of tip set. Solved bows of one taper with an even natural bend:
# tips 0.0977 draws back cost 19.2 % of the straight bow's weight, 0.194 draws 38.6 %
# (tests/calc/test_setloss.py).
FOLLOW_COSTS = 1.97
# How far that varies with taper, length and reflex (one standard deviation, as a share).
FOLLOW_COSTS_DOUBT = 0.2


@dataclass(frozen=True)
class BowSet:
    """One bow's record: greatest surface strain reached and permanent strain found, both fractions."""

    strain: float
    permanent: float
    timber: str = ""
    moisture_pct: float | None = None


@dataclass(frozen=True)
class SetRule:
    """What to expect of the next bow: mean of (rate, wet), covariance, one bow's scatter, bows behind it."""

    mean: np.ndarray
    covariance: np.ndarray
    scatter: float
    bows: int


@dataclass(frozen=True)
class Permanent:
    """Permanent strain expected, one standard deviation beside it."""

    strain: float
    doubt: float


def permanent_strain(set_m: float, limb_m: float, depth_m: float) -> float:
    """Permanent strain of a limb that has taken set at the tip: set x depth / limb^2.

    set_m [m] of the tip, negative where it stands before its zero; limb_m [m] the bending part; depth_m [m].

    >>> round(permanent_strain(0.0381, 0.8128, 0.01524), 6)
    0.000879
    """
    _require_limb(limb_m, depth_m)
    require_numbers(set_m=set_m)
    return set_m * depth_m / limb_m**2


def set_of(permanent: float, limb_m: float, depth_m: float) -> float:
    """Set at the tip of a limb with that permanent strain [m]: the inverse of `permanent_strain`.

    >>> round(set_of(0.000879, 0.8128, 0.01524), 4)
    0.0381
    """
    _require_limb(limb_m, depth_m)
    require_numbers(permanent=permanent)
    return permanent * limb_m**2 / depth_m


def default_rule() -> SetRule:
    """The stated default, before the shop has finished bows of its own.

    >>> round(expected_set(default_rule(), 0.0088, 9.0).strain, 6)
    0.000864
    """
    return SetRule(np.array([RATE, WET]), np.diag([RATE_DOUBT**2, WET_DOUBT**2]), SCATTER, 0)


def learn_set(bows: Sequence[BowSet], timber: str = "") -> SetRule:
    """What this shop's finished bows teach, for a bow of that timber.

    Each bow strained beyond the onset gives permanent / (strain - onset) = rate + wet x (moisture - 9), a
    straight line with one bow's scatter about it: Bayes' rule with the default as prior. Bows of other
    timbers are taken first; what they teach, widened by how timbers differ, is where the bows of the timber
    asked for start from. A bow without a moisture stands at 9 %.
    Errors: `OutOfRange` a strain outside 0 to 5 %, a moisture outside 0 to 30 %.

    >>> learned = learn_set([BowSet(0.009, 0.0004, "ash")] * 12, "ash")
    >>> round(float(learned.mean[0]), 3), learned.bows
    (0.081, 12)
    """
    for bow in bows:
        require(0 <= bow.strain <= 0.05, OutOfRange, "strain", allowed="0 to 0.05", strain=bow.strain)
        _moisture_off(bow.moisture_pct)
    strained = [bow for bow in bows if bow.strain > ONSET + 0.0005]
    own = [bow for bow in strained if bow.timber == timber]
    others = [bow for bow in strained if bow.timber != timber]
    rule = default_rule()
    if others:
        rule = _updated(rule, others)
        rule = SetRule(rule.mean, rule.covariance + np.diag([TIMBERS_DIFFER**2, 0]), rule.scatter, rule.bows)
    return _updated(rule, own) if own else rule


def expected_set(rule: SetRule, strain: float, moisture_pct: float | None = None) -> Permanent:
    """Permanent strain to expect of a bow strained so far, never below zero."""
    require_numbers(strain=strain)
    beyond = max(0.0, strain - ONSET)
    at = np.array([1.0, _moisture_off(moisture_pct)])
    rate = max(0.0, float(at @ rule.mean))
    return Permanent(rate * beyond, beyond * math.sqrt(float(at @ rule.covariance @ at) + rule.scatter**2))


def set_still_to_come(
    rule: SetRule,
    *,
    strain_now: float,
    strain_then: float,
    taken: float | None = None,
    taken_doubt: float = 0.0001,
    taken_at: float | None = None,
    moisture_pct: float | None = None,
) -> Permanent:
    """Permanent strain a bow will take between the draw it has been at and one further on.

    taken is the permanent strain found on this bow, taken_doubt how well it was read, taken_at the strain it
    had borne by then (strain_now by itself): the bow's own set says more of it than other bows do, and is
    weighed against them by both doubts.
    Errors: `OutOfRange` when strain_then is below strain_now.

    >>> rule = default_rule()
    >>> usual = set_still_to_come(rule, strain_now=0.006, strain_then=0.009)
    >>> stiff = set_still_to_come(rule, strain_now=0.006, strain_then=0.009, taken=0.0001)
    >>> stiff.strain < usual.strain, stiff.doubt < usual.doubt
    (True, True)
    """
    require(
        strain_then >= strain_now,
        OutOfRange,
        "strain",
        allowed=f"at least the strain reached, {strain_now}",
        strain_then=strain_then,
    )
    require_numbers(strain_now=strain_now, taken=taken, taken_doubt=taken_doubt, taken_at=taken_at)
    unit = expected_set(rule, ONSET + 1.0, moisture_pct)
    rate, variance = unit.strain, unit.doubt**2
    behind, ahead = max(0.0, strain_now - ONSET), max(0.0, strain_then - ONSET)
    borne = behind if taken_at is None else max(0.0, taken_at - ONSET)
    if taken is not None and borne > 0:
        read = (taken_doubt / borne) ** 2
        trust = variance / (variance + read)
        rate, variance = max(0.0, rate + trust * (taken / borne - rate)), variance * (1 - trust)
    return Permanent(rate * (ahead - behind), (ahead - behind) * math.sqrt(variance))


def usual_strain(draw_m: float, *, brace_m: float, full_draw_m: float) -> float:
    """Surface strain to reckon with at a draw when the bow's dimensions are not known: the stated default.

    0.85 % at full draw, in the middle of what makers strain, and on the way there the share that simulated
    bows bear: 0.41 + 0.30 u + 0.29 u^2, with u the share of the way from brace to full draw.
    Errors: `OutOfRange` a draw outside brace to full draw.

    >>> round(usual_strain(0.43, brace_m=0.15, full_draw_m=0.71), 5)
    0.00538
    """
    require_numbers(brace_m=brace_m, full_draw_m=full_draw_m)
    within = 0 < brace_m < full_draw_m and brace_m <= draw_m <= full_draw_m
    require(within, OutOfRange, "draw", allowed=f"{brace_m} to {full_draw_m} m", draw_m=draw_m)
    way = (draw_m - brace_m) / (full_draw_m - brace_m)
    return USUAL_FULL_STRAIN * (0.41 + 0.30 * way + 0.29 * way**2)


def usual_depth(limb_m: float) -> float:
    """Depth of limb that goes with the usual strain [m]: 2 x limb x strain.

    At full draw a long straight bow bends to a radius of about its limb's length (Klopsteg, article on the
    bowstave, part 4), and strain is half the depth over the radius.

    >>> round(usual_depth(0.80), 4)
    0.0136
    """
    require(limb_m > 0, OutOfRange, "limb", allowed="above zero", limb_m=limb_m)
    return 2 * limb_m * USUAL_FULL_STRAIN


def share_lost(set_m: float, draw_m: float) -> float:
    """Share of the weight at a draw that tip set costs: 1.97 x set / draw.

    Source: bows solved with an even natural bend (our own computation by two methods).

    >>> round(share_lost(0.0508, 0.6668), 3)
    0.15
    """
    require(draw_m > 0, OutOfRange, "draw", allowed="above zero", draw_m=draw_m)
    require_numbers(set_m=set_m)
    return FOLLOW_COSTS * set_m / draw_m


def temper(elastic: Projection, to_come: Permanent, *, limb_m: float, depth_m: float) -> Projection:
    """An elastic projection less what the set still to come will cost, with a band that holds that doubt too.

    elastic a projection by any method; to_come from `set_still_to_come`; limb_m, depth_m [m] of the limb.
    Errors: `OutOfRange`.

    >>> elastic = Projection("solved_bow", 0.70, 200.0, 194.0, 206.0)
    >>> tempered = temper(elastic, Permanent(0.0004, 0.0002), limb_m=0.80, depth_m=0.015)
    >>> round(tempered.force_n, 1), round(tempered.high_n - tempered.low_n, 1)
    (190.4, 17.5)
    """
    further = set_of(to_come.strain, limb_m, depth_m)
    lost = share_lost(further, elastic.draw_m)
    doubt = math.hypot(
        share_lost(set_of(to_come.doubt, limb_m, depth_m), elastic.draw_m), FOLLOW_COSTS_DOUBT * lost
    )
    force = elastic.force_n * (1 - lost)
    half = BAND_80 * math.hypot(elastic.sd_n * (1 - lost), doubt * elastic.force_n)
    return Projection(
        elastic.method, elastic.draw_m, force, force - half, force + half, elastic.ok, elastic.why
    )


def _updated(rule: SetRule, bows: list[BowSet]) -> SetRule:
    beyond = np.array([bow.strain - ONSET for bow in bows])
    rates = np.array([bow.permanent for bow in bows]) / beyond
    design = np.array([[1.0, _moisture_off(bow.moisture_pct)] for bow in bows])
    prior = np.linalg.inv(rule.covariance)
    scatter = rule.scatter
    # Scatter and mean lean on each other; three rounds settle both to less than they are known.
    for _ in range(3):
        covariance = np.linalg.inv(prior + design.T @ design / scatter**2)
        mean = covariance @ (prior @ rule.mean + design.T @ rates / scatter**2)
        squares = float(np.sum((rates - design @ mean) ** 2)) + SCATTER_COUNTS * SCATTER**2
        scatter = math.sqrt(squares / (len(bows) + SCATTER_COUNTS))
    return SetRule(mean, covariance, scatter, rule.bows + len(bows))


def _moisture_off(moisture_pct: float | None) -> float:
    if moisture_pct is None:
        return 0.0
    require(0 <= moisture_pct <= 30, OutOfRange, "moisture", allowed="0 to 30 %", moisture_pct=moisture_pct)
    return moisture_pct - BENCH_MOISTURE_PCT


def _require_limb(limb_m: float, depth_m: float) -> None:
    require(
        0 < depth_m < limb_m, OutOfRange, "limb", allowed="0 < depth < limb", limb_m=limb_m, depth_m=depth_m
    )
