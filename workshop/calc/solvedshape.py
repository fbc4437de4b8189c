"""Projection by the shape of a solved draw curve: one number, the scale, fitted to the points.

The curve's shape follows from length, brace, grip and natural bend; the taper hardly matters and stiffness
only scales it. So a bow weighed part of the way, and the curve `workshop.calc.statics` makes of it, give the
rest.
"""

from dataclasses import dataclass

import numpy as np

from workshop.calc.cubic import Cubic, monotone
from workshop.calc.drawcurve import DrawCurve
from workshop.calc.errors import Mismatch, NoSolution, OutOfRange, TooFew, require
from workshop.calc.projection import BAND_80, Projection

# How far a solved shape strays from the bow's own over a whole draw beyond the points, as a share of the
# weight (one standard deviation); over part of it, by the root of that part, as errors that add up at random
# do. Found on simulated bows with a stock taper: tests/calc/test_simulated_bows.py.
SHAPE_STRAY = 0.026
# The same where the bow's own dimensions were solved, measured to a few tenths of a millimetre.
OWN_STRAY = 0.011


@dataclass(frozen=True)
class ShapeFit:
    """A solved curve scaled to the points: `scale` with one standard deviation, as a share of it.

    `misfit` is the root mean square of the points off the curve, in their own doubts; above 3 the bow is not
    the one solved and `ok` is false (`why`: `shape_does_not_fit`). `farthest` is the point without which
    the others lie nearest to the curve, in their own doubts; None where there are fewer than three.
    """

    shape: Cubic
    scale: float
    doubt_share: float
    last_draw_m: float
    misfit: float
    ok: bool
    why: str
    farthest: "OffCurve | None" = None


@dataclass(frozen=True)
class OffCurve:
    """A point off the curve that the others make: its draw and weight, and the weight the curve has there."""

    draw_m: float
    force_n: float
    curve_n: float


def fit_shape(
    curve: DrawCurve,
    draws_m: np.ndarray,
    relative: np.ndarray,
    *,
    draw_doubt_m: float = 0.0017,
    stray: float = SHAPE_STRAY,
) -> ShapeFit:
    """Scale a solved curve to the points of a weigh-in by weighted least squares.

    scale = sum(w F S) / sum(w S^2), where each point's doubt is made of the scale's, the draw mark's (slope x
    mark) and of how far the shape may stray between that point and the last: near points weigh most.

    draws_m [m] rising, relative [any unit] the solved forces there, zero at brace; both must reach over every
    point. draw_doubt_m [m] one standard deviation of a draw mark.
    Errors: `Mismatch` code `solved_draws` when the points are not inside the solved draws; `TooFew`,
    `OutOfOrder` as for any curve; `OutOfRange` forces that do not rise; `NoSolution` for a falling weigh-in.

    >>> from workshop.calc.drawcurve import draw_curve
    >>> fit = fit_shape(draw_curve([0.4, 0.5], [80, 120]), [0.2, 0.3, 0.4, 0.5, 0.6], [0, 1, 2, 3, 4])
    >>> round(fit.scale, 6), fit.ok
    (40.0, True)
    """
    shape = monotone(draws_m, relative)
    require(shape.x.size >= 3, TooFew, "solved_draws", allowed="at least three", draws=shape.x.size)
    rising = bool(np.all(np.diff(shape.y) > 0) and shape.y[0] >= 0)
    require(rising, OutOfRange, "solved_forces", allowed="rising from zero", forces=shape.y.tolist())
    require(
        not curve.falls, NoSolution, "curve_falls", allowed="a rising curve", forces_n=curve.forces_n.tolist()
    )
    x, y = curve.draws_m, curve.forces_n
    inside = bool(x[0] >= shape.x[0] and x[-1] <= shape.x[-1])
    require(
        inside,
        Mismatch,
        "solved_draws",
        allowed=f"points within {shape.x[0]:.4g} to {shape.x[-1]:.4g} m",
        draws_m=x.tolist(),
    )
    relative_at, slope_at = shape(x), shape.slope(x)
    rough = float(y[-1] / relative_at[-1])
    read = np.hypot(max(curve.scale_doubt_n, 1e-3 * curve.peak_n), rough * slope_at * draw_doubt_m)
    strayed = stray * np.sqrt((x[-1] - x) / x[-1]) * rough * relative_at
    weight = 1 / (read**2 + strayed**2)
    square = float(weight @ relative_at**2)
    scale = float(weight @ (y * relative_at)) / square
    misfit = float(np.sqrt(np.mean(weight * (y - scale * relative_at) ** 2)))
    fits = misfit <= 3
    return ShapeFit(
        shape,
        scale,
        square**-0.5 / scale,
        float(x[-1]),
        misfit,
        fits,
        "" if fits else "shape_does_not_fit",
        _farthest(x, y, relative_at, weight),
    )


def _farthest(x: np.ndarray, y: np.ndarray, relative_at: np.ndarray, weight: np.ndarray) -> OffCurve | None:
    """The point without which the others lie nearest to one curve: a slip draws a curve through all to itself."""
    if x.size < 3:
        return None  # of two that disagree either may be the slip
    pulls, squares = weight * y * relative_at, weight * relative_at**2
    scales = (pulls.sum() - pulls) / (squares.sum() - squares)  # without the first, the second, ...
    off = weight * (y - scales[:, None] * relative_at) ** 2
    worst = int(np.argmin(off.sum(axis=1) - off.diagonal()))
    return OffCurve(float(x[worst]), float(y[worst]), float(scales[worst] * relative_at[worst]))


def by_solved_shape(
    fit: ShapeFit, draw_m: float, *, method: str = "solved_shape", stray: float = SHAPE_STRAY
) -> Projection:
    """Weight at a draw beyond the points by a fitted shape, with its 80 % band.

    The band holds the doubt of the scale, and of the shape: `stray` x the root of the share of the draw still
    to go. method: solved_shape where a stock taper was solved, solved_bow where the bow's own dimensions were
    (then `fit.scale` is what the wood's stiffness has to be corrected by).
    Errors: `OutOfRange` codes `draw_reached`, `beyond_points` (further than was solved).

    >>> from workshop.calc.drawcurve import draw_curve
    >>> fit = fit_shape(draw_curve([0.4, 0.5], [80, 120]), [0.2, 0.3, 0.4, 0.5, 0.6], [0, 1, 2, 3, 4])
    >>> round(by_solved_shape(fit, 0.6).force_n, 6)
    160.0
    """
    require(
        draw_m > fit.last_draw_m,
        OutOfRange,
        "draw_reached",
        allowed=f"a draw beyond the last point at {fit.last_draw_m:.4g} m",
        draw_m=draw_m,
    )
    force = fit.scale * float(fit.shape(draw_m))
    share = float(np.hypot(fit.doubt_share, stray * (1 - fit.last_draw_m / draw_m) ** 0.5))
    half = BAND_80 * share * force
    return Projection(method, draw_m, force, force - half, force + half, fit.ok, fit.why)
