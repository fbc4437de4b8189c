"""What a bow will weigh at a draw it was not yet pulled to: several ways side by side, one figure of them.

Every way gives a weight with a band meant to hold eight outcomes in ten. Beyond the points nothing is
measured: a projection helps to decide, and is never printed as a rating.
"""

import math
from dataclasses import dataclass, replace
from statistics import NormalDist

import numpy as np

from workshop.calc.drawcurve import DrawCurve, end_slope
from workshop.calc.errors import CalcError, NoSolution, OutOfRange, TooFew, require
from workshop.calc.imperial import INCH_M, POUND_N

# Half width of a band that holds 80 % of a normal distribution, in standard deviations.
BAND_80 = NormalDist().inv_cdf(0.9)

POUNDS_AN_INCH = POUND_N / INCH_M
SOLVED = ("solved_shape", "solved_bow")
COMBINED = "combined"
MIDDLING_N = (25 * POUND_N, 65 * POUND_N)


@dataclass(frozen=True)
class Projection:
    """Weight expected at `draw_m` by one method, with the band [low_n, high_n] meant to hold 80 %.

    `method` is one of pounds_an_inch, share_an_inch, last_slope, solved_shape, solved_bow, combined. When
    `ok` is false the method is stretched beyond what it is for; `why` says how.
    """

    method: str
    draw_m: float
    force_n: float
    low_n: float
    high_n: float
    ok: bool = True
    why: str = ""

    @property
    def sd_n(self) -> float:
        """One standard deviation, as the band implies."""
        return (self.high_n - self.low_n) / (2 * BAND_80)


def by_pounds_an_inch(
    curve: DrawCurve,
    draw_m: float,
    *,
    rise: float = 2 * POUNDS_AN_INCH,
    rises: tuple[float, float] = (1.5 * POUNDS_AN_INCH, 3 * POUNDS_AN_INCH),
) -> Projection:
    """The rule of thumb: 2 lb an inch from the last point on; range 1.5 to 3 lb an inch.

    It is said of bows of middling weight: `ok` is false when it makes less than 25 or more than 65 lb, where
    a child's bow gains less and a war bow more.
    rise, rises [N/m]. Common practice, no source.

    >>> from workshop.calc.drawcurve import draw_curve
    >>> at_20_in = draw_curve([20 * INCH_M], [24 * POUND_N])
    >>> round(by_pounds_an_inch(at_20_in, 28 * INCH_M).force_n / POUND_N, 9)
    40.0
    """
    last, rest = _start(curve, draw_m)
    low, high = (last + each * rest for each in rises)
    expected = last + rise * rest
    middling = MIDDLING_N[0] <= expected <= MIDDLING_N[1]
    why = "" if middling else "not_of_middling_weight"
    return Projection("pounds_an_inch", draw_m, expected, low, high, middling, why)


def by_share_an_inch(
    curve: DrawCurve,
    draw_m: float,
    *,
    share_pct: float = 4.5,
    shares_pct: tuple[float, float] = (4.0, 6.0),
) -> Projection:
    """The rule of thumb by share: each inch of the last third is 4 to 5 % of the full weight.

    F = F_last / (1 - share x inches left), at the middle of the rule. The band reaches from 4 to 6 %:
    simulated bows gain more than the rule says in the very last inches (tests/calc/test_simulated_bows.py).
    `ok` is false before the last third of the draw, where the rule was not made for.
    Errors: `NoSolution` when the inches left would make up more than four fifths of the weight.
    Common practice, no source.

    >>> from workshop.calc.drawcurve import draw_curve
    >>> at_24_in = draw_curve([24 * INCH_M], [41 * POUND_N])
    >>> round(by_share_an_inch(at_24_in, 28 * INCH_M).force_n / POUND_N, 9)
    50.0
    """
    last, rest = _start(curve, draw_m)
    inches = rest / INCH_M
    left = [1 - share / 100 * inches for share in (shares_pct[0], share_pct, shares_pct[1])]
    require(
        left[2] >= 0.2, NoSolution, "too_far", allowed="at most four fifths of the weight", inches_left=inches
    )
    low, middle, high = (last / share for share in left)
    third = float(curve.draws_m[-1]) >= draw_m * 2 / 3 - 1e-9
    return Projection("share_an_inch", draw_m, middle, low, high, third, "" if third else "before_last_third")


def by_last_slope(
    curve: DrawCurve, draw_m: float, *, of_the_rise: tuple[float, float] = (1.05, 1.25)
) -> Projection:
    """The last slope carried on, and what curves of wooden bows steepen beyond it.

    A straight line reads low: the rise is taken 1.05 to 1.25 times, its middle for the weight expected, and the
    band widened by the doubt of the slope itself (simulated bows: tests/calc/test_simulated_bows.py). `ok` is
    false before half the draw, where the curve is still bending the other way.
    Errors: `TooFew` when there is one point and no brace; `NoSolution` when the slope is not rising.

    >>> from workshop.calc.drawcurve import draw_curve
    >>> round(by_last_slope(draw_curve([0.5, 0.6], [100.0, 140.0]), 0.7).force_n, 6)
    186.0
    """
    last, rest = _start(curve, draw_m)
    slope = end_slope(curve)
    require(
        slope.newton_per_m > 0, NoSolution, "curve_falls", allowed="a rising curve", slope=slope.newton_per_m
    )
    rise = slope.newton_per_m * rest
    doubt = BAND_80 * float(np.hypot(curve.scale_doubt_n, slope.doubt * rest))
    middle = last + sum(of_the_rise) / 2 * rise
    half = float(np.hypot((of_the_rise[1] - of_the_rise[0]) / 2 * rise, doubt))
    half_way = float(curve.draws_m[-1]) >= draw_m / 2
    why = "" if half_way else "before_half_way"
    return Projection("last_slope", draw_m, middle, middle - half, middle + half, half_way, why)


def combine(projections: list[Projection]) -> Projection:
    """One expected weight from several projections of the same pull.

    Solved curves outrank rules: where one may be trusted, only solved ones count; else all that may be
    trusted; else all, marked `ok` false. The mean of the middles of their bands, weighted by 1/sd^2. They
    start from the same points, so agreement does not narrow the band: it is that of the surest method, and
    wider where they differ by more than their bands allow, by Birge's ratio
    sqrt(sum((middle - mean)^2 / sd^2) / (number - 1)).
    Errors: `TooFew` none given; `OutOfRange` projections to different draws.

    >>> a, b = Projection("x", 0.7, 200.0, 190.0, 210.0), Projection("y", 0.7, 210.0, 200.0, 220.0)
    >>> both = combine([a, b])
    >>> round(both.force_n, 6), round(both.high_n - both.low_n, 6)
    (205.0, 20.0)
    """
    require(len(projections) > 0, TooFew, "projections", allowed="at least one", projections=0)
    draws = {each.draw_m for each in projections}
    require(len(draws) == 1, OutOfRange, "draws", allowed="one draw", draws_m=sorted(draws))
    trusted = [each for each in projections if each.ok]
    used = [each for each in trusted if each.method in SOLVED] or trusted or projections
    middles = np.array([(each.low_n + each.high_n) / 2 for each in used])
    # A projection without a band would outweigh all others; it is given a hair's breadth.
    spreads = np.array([max(each.sd_n, 1e-6 * abs(each.force_n)) for each in used])
    mean = float(np.average(middles, weights=spreads**-2.0))
    birge = math.sqrt(float(np.sum(((middles - mean) / spreads) ** 2)) / max(1, len(used) - 1))
    half = BAND_80 * float(spreads.min()) * max(1.0, birge)
    why = "" if trusted else used[0].why
    return Projection(COMBINED, draws.pop(), mean, mean - half, mean + half, bool(trusted), why)


def no_surer_than(projection: Projection, scale_doubt_n: float) -> Projection:
    """The projection with a band that leaves room for the scale it will be read on: +- 1.28 standard deviations.

    scale_doubt_n [N] one standard deviation of a reading, zero or more. Errors: `OutOfRange`.

    >>> sure = Projection("solved_shape", 0.7, 200.0, 199.5, 200.5)
    >>> wide = no_surer_than(sure, 2.0)
    >>> round(wide.low_n, 2), round(wide.high_n, 2)
    (197.44, 202.56)
    """
    require(
        scale_doubt_n >= 0, OutOfRange, "scale_doubt", allowed="zero or more", scale_doubt_n=scale_doubt_n
    )
    half, middle = BAND_80 * scale_doubt_n, projection.force_n
    return replace(
        projection, low_n=min(projection.low_n, middle - half), high_n=max(projection.high_n, middle + half)
    )


def rules_of_thumb(curve: DrawCurve, draw_m: float) -> list[Projection]:
    """Every projection that needs the weigh-in alone: both rules of thumb and the last slope.

    A method the points do not carry (one point has no slope) is left out.
    Errors: `OutOfRange` when the bow has been drawn that far already; `NoSolution` when the curve falls.
    """
    _start(curve, draw_m)
    made = []
    for method in (by_pounds_an_inch, by_share_an_inch, by_last_slope):
        try:
            made.append(method(curve, draw_m))
        except CalcError:
            continue
    return made


def _start(curve: DrawCurve, draw_m: float) -> tuple[float, float]:
    """Weight at the furthest point and the way still to go."""
    last_draw = float(curve.draws_m[-1])
    require(
        draw_m > last_draw,
        OutOfRange,
        "draw_reached",
        allowed=f"a draw beyond the last point at {last_draw:.4g} m",
        draw_m=draw_m,
    )
    require(
        not curve.falls, NoSolution, "curve_falls", allowed="a rising curve", forces_n=curve.forces_n.tolist()
    )
    return float(curve.forces_n[-1]), draw_m - last_draw
