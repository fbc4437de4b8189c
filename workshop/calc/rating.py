"""The weight that goes on the rating tag: measured at the rated draw, or between two measured draws."""

from dataclasses import dataclass

import numpy as np

from workshop.calc.drawcurve import DrawCurve, weight_at
from workshop.calc.errors import Mismatch, OutOfRange, TooFew, require


@dataclass(frozen=True)
class Rating:
    """Weight at the rated draw. `interpolated` says it stands between the two draws of `between_m`."""

    draw_m: float
    force_n: float
    doubt_n: float
    interpolated: bool
    between_m: tuple[float, float]


def rated_weight(curve: DrawCurve, rated_draw_m: float, *, least_points: int = 1) -> Rating:
    """Weight at the rated draw, from the points of the final weigh-in.

    A point at the draw is taken as read; otherwise the curve between the two points around it, never beyond.
    Whether the weigh-in is a final one, at full brace, with no work done since, is for the caller to know.

    rated_draw_m [m] measured from where the curve's draws are; least_points at least that many points.
    Errors: `TooFew` points; `OutOfRange` code `not_reached` when the points do not come to the draw, `only_beyond`
    when they begin past it; `Mismatch` code `falls` when of the two points around the draw the further is the lighter.

    >>> from workshop.calc.drawcurve import draw_curve
    >>> rated_weight(draw_curve([0.66, 0.7112], [180.0, 200.0]), 0.7112).force_n
    200.0
    >>> rated_weight(draw_curve([0.61, 0.66], [160.0, 180.0]), 0.7)
    Traceback (most recent call last):
    workshop.calc.errors.OutOfRange: not_reached: given rated_draw_m 0.7; allowed: 0.61 to 0.66 m, as weighed
    """
    points = len(curve.draws_m)
    require(points >= least_points, TooFew, "points", allowed=f"at least {least_points}", points=points)
    try:
        found = weight_at(curve, rated_draw_m)
    except OutOfRange as beyond:
        code = "only_beyond" if rated_draw_m < curve.draws_m[0] else "not_reached"
        raise OutOfRange(code, given={"rated_draw_m": rated_draw_m}, allowed=beyond.allowed) from beyond
    low, high = found.between_m
    first, second = (float(np.interp(draw, curve.draws_m, curve.forces_n)) for draw in (low, high))
    require(
        second >= first,
        Mismatch,
        "falls",
        allowed="a further draw weighs more",
        draws_m=[low, high],
        forces_n=[first, second],
    )
    return Rating(rated_draw_m, found.force_n, found.doubt_n, not found.measured, found.between_m)


def off_order(
    weight_n: float, ordered_n: float, *, tolerance_n: float = 0.0, tolerance_pct: float = 0.0
) -> float:
    """How far a weight is outside the order's tolerance [N]: 0 inside, above zero too heavy.

    weight_n, ordered_n [N] above zero; the wider of tolerance_n [N] and tolerance_pct [% of the order] holds.

    >>> off_order(210.0, 200.0, tolerance_n=9.0), off_order(205.0, 200.0, tolerance_pct=5)
    (1.0, 0.0)
    """
    require(
        weight_n > 0 and ordered_n > 0,
        OutOfRange,
        "weight",
        allowed="above zero",
        given_n=[weight_n, ordered_n],
    )
    require(
        tolerance_n >= 0 and tolerance_pct >= 0,
        OutOfRange,
        "tolerance",
        allowed="zero or more",
        tolerance_n=tolerance_n,
        tolerance_pct=tolerance_pct,
    )
    room = max(tolerance_n, ordered_n * tolerance_pct / 100)
    off = weight_n - ordered_n
    return float(np.sign(off) * max(0.0, abs(off) - room))
