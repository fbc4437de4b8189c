"""A bow's weight at draws it was not yet pulled to, by every way its known figures allow, as one question.

The rules of thumb need the weigh-in alone; the solved shape needs the bow's length, brace, grip and follow;
the solved bow its measured dimensions. What is missing is left out, and said so.
"""

from collections.abc import Sequence
from dataclasses import dataclass

import numpy as np

from workshop.calc.drawcurve import DrawCurve
from workshop.calc.errors import CalcError, Mismatch, NoSolution, OutOfRange, require, require_numbers
from workshop.calc.projection import Projection, combine, rules_of_thumb
from workshop.calc.solvedshape import OWN_STRAY, SHAPE_STRAY, OffCurve, ShapeFit, by_solved_shape, fit_shape
from workshop.calc.statics import Bow, Limb, draw

# Draws solved from brace to the furthest asked for: closer than this the curve between them is nothing but
# smooth.
_SOLVED_DRAWS = 20


@dataclass(frozen=True)
class Known:
    """What is known of a bow beside its weigh-in.

    bow_m [m] nock to nock; stiff_m [m] all that does not bend in the middle, fades included, zero for a
    full-compass bow; follow_m [m] how far the tips stand behind the straight line unstrung, negative for
    reflex; own the bow itself, where its dimensions were measured; axis_shorter_m [m] how much shorter a draw
    of the weigh-in reads from the limb's axis (`draws.GripDepth` knows).
    """

    bow_m: float
    stiff_m: float = 0.0
    follow_m: float = 0.0
    own: Bow | None = None
    axis_shorter_m: float = 0.0


@dataclass(frozen=True)
class Foreseen:
    """One draw: every way side by side, what they make together, and which ways were refused and by what.

    `stiffness` is what the measured wood's stiffness has to be multiplied by to meet the points, or None.
    `farthest` is the point that lies farthest from the solved curve, where no solved way fits.
    """

    draw_m: float
    ways: tuple[Projection, ...]
    expected: Projection
    refused: tuple[tuple[str, CalcError], ...]
    stiffness: float | None
    farthest: OffCurve | None = None

    @property
    def left_out(self) -> tuple[tuple[str, str], ...]:
        """The ways that were left out, each with its code."""
        return tuple((name, error.code) for name, error in self.refused)


def foresee(curve: DrawCurve, draws_m: Sequence[float], known: Known | None = None) -> list[Foreseen]:
    """Expected weight at each of the draws, by every way side by side.

    draws_m [m] beyond the last point, measured as the weigh-in's draws are.
    Errors: `OutOfRange` code `draw_reached`; `NoSolution` code `curve_falls`, or `nothing_to_go_by` when no
    way says anything. A solved way that fails is left out with its code: `no_brace`, `not_known`, or the
    statics' own.

    >>> from workshop.calc.drawcurve import draw_curve
    >>> half_way = draw_curve([0.30, 0.36, 0.42], [79.0, 98.0, 117.0], braced_draw_m=0.1524)
    >>> (full,) = foresee(half_way, [0.7112], Known(bow_m=1.8288, stiff_m=0.2032))
    >>> full.expected.method, [way.method for way in full.ways]
    ('combined', ['pounds_an_inch', 'share_an_inch', 'last_slope', 'solved_shape'])
    >>> full.left_out
    (('solved_bow', 'not_known'),)
    """
    draws = [float(each) for each in draws_m]
    require(len(draws) > 0, OutOfRange, "draws", allowed="at least one", draws_m=draws)
    fits, refused = _solved_ways(curve, max(draws), known)
    made = []
    for draw_m in draws:
        ways = rules_of_thumb(curve, draw_m)
        ways += [by_solved_shape(fit, draw_m, method=name, stray=stray) for name, fit, stray in fits]
        require(
            len(ways) > 0, NoSolution, "nothing_to_go_by", allowed="more points, or the brace", draw_m=draw_m
        )
        stiffness = next((fit.scale for name, fit, _ in fits if name == "solved_bow" and fit.ok), None)
        farthest = (
            None if any(fit.ok for _, fit, _ in fits) else next((fit.farthest for _, fit, _ in fits), None)
        )
        made.append(Foreseen(draw_m, tuple(ways), combine(ways), tuple(refused), stiffness, farthest))
    return made


def stock_bow(bow_m: float, *, stiff_m: float = 0.0, follow_m: float = 0.0) -> Bow:
    """A bow of this length with a taper such as most have: stiffness falling evenly to a quarter at the nock.

    The taper hardly changes the curve's shape, and its scale is fitted. The follow is an even curvature.
    Errors: `OutOfRange` a length or grip that cannot be.

    >>> round(stock_bow(1.8288, stiff_m=0.2032).upper.length_m, 4)
    0.8128
    """
    require_numbers(bow_m=bow_m, follow_m=follow_m)
    require(0 <= stiff_m < bow_m, OutOfRange, "grip", allowed=f"zero to below {bow_m} m", stiff_m=stiff_m)
    stations = np.linspace(stiff_m / 2, bow_m / 2, 7)
    along = np.linspace(0, 1, 7)
    return Bow(Limb.measured(stations, 60 * (1 - 0.75 * along), natural_offset_m=follow_m * along**2))


def _solved_ways(
    curve: DrawCurve, furthest_m: float, known: Known | None
) -> tuple[list[tuple[str, ShapeFit, float]], list[tuple[str, CalcError]]]:
    fits, refused = [], []
    for name, stray in (("solved_shape", SHAPE_STRAY), ("solved_bow", OWN_STRAY)):
        try:
            fits.append((name, _fitted(_bow(name, known), curve, furthest_m, known, stray), stray))
        except CalcError as error:
            refused.append((name, error))
    return fits, refused


def _bow(name: str, known: Known | None) -> Bow:
    enough = known is not None and (name == "solved_shape" or known.own is not None)
    require(enough, Mismatch, "not_known", allowed="the bow's length, or its dimensions", known=known)
    if name == "solved_bow":
        return known.own
    return stock_bow(known.bow_m, stiff_m=known.stiff_m, follow_m=known.follow_m)


def _fitted(bow: Bow, curve: DrawCurve, furthest_m: float, known: Known, stray: float) -> ShapeFit:
    require(curve.braced_draw_m is not None, Mismatch, "no_brace", allowed="a brace height", brace=None)
    brace_m = curve.braced_draw_m - known.axis_shorter_m
    at = np.linspace(brace_m, furthest_m - known.axis_shorter_m, _SOLVED_DRAWS)
    drawn = draw(bow, at, brace_height_m=brace_m)
    drawn.refuse(known.axis_shorter_m)
    return fit_shape(curve, at + known.axis_shorter_m, drawn.force_n, stray=stray)
