"""Bows whose draw curve is known, for the tests of the curve.

T1: straight, symmetric, 72 in nock to nock, rigid middle 8 in, limb 0.60 in thick, width 1.75 in at the root
falling linearly to 0.4375 in, E = 1.5e6 psi, brace 6 in, draws from the limb axis. Solved by two unrelated
methods (shooting and a chain of links, agreeing to 1e-6): a cross-check of our own, not a publication.
"""

from workshop.calc.drawcurve import DrawCurve, draw_curve
from workshop.calc.imperial import INCH_M, POUND_N

T1_BRACE_IN = 6
T1_POUNDS = {
    7: 4.0776, 8: 7.2468, 9: 9.8692, 10: 12.1566, 11: 14.2362, 12: 16.1870, 13: 18.0597, 14: 19.8884,
    15: 21.6964, 16: 23.5009, 17: 25.3149, 18: 27.1486, 19: 29.0106, 20: 30.9087, 21: 32.8498, 22: 34.8406,
    23: 36.8877, 24: 38.9980, 25: 41.1785, 26: 43.4366, 27: 45.7804, 28: 48.2186,
}  # fmt: skip
T1_FOOT_POUNDS = 46.4639


def inches_and_pounds(
    points: dict[float, float], *, brace_in: float | None = None, doubt_lb: float = 0.0
) -> DrawCurve:
    """A weigh-in written as a maker writes it: {draw in inches: weight in pounds}."""
    return draw_curve(
        [draw * INCH_M for draw in points],
        [weight * POUND_N for weight in points.values()],
        braced_draw_m=None if brace_in is None else brace_in * INCH_M,
        scale_doubt_n=doubt_lb * POUND_N,
    )


def t1(*, step_in: int = 1, last_in: int = 28, doubt_lb: float = 0.0) -> DrawCurve:
    """Bow T1 weighed every `step_in` inches from brace to `last_in`."""
    points = {
        draw: weight for draw, weight in T1_POUNDS.items() if (draw - 6) % step_in == 0 and draw <= last_in
    }
    return inches_and_pounds(points, brace_in=T1_BRACE_IN, doubt_lb=doubt_lb)
