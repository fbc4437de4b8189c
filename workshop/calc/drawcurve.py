"""The draw curve: the weights read at a weigh-in, as a curve from brace to the furthest draw.

Draws are all measured from one place (back, belly, axis or trade standard); which one is the caller's to know
and to keep. `braced_draw_m` is where, measured so, the string lies when the bow is braced: there the weight
is zero.
"""

from dataclasses import dataclass

import numpy as np

from workshop.calc.cubic import Cubic, monotone
from workshop.calc.errors import Mismatch, OutOfRange, TooFew, require, require_numbers

# Two marks closer than this are the same draw: half the thickness of a pencil line.
SAME_DRAW_M = 0.0005

# "The last inches" over which the end slope is taken: four inches hold three points of a series weighed by
# twos.
LAST_INCHES_M = 0.1016

STRAIGHT_BOW_Q = 0.407  # see `energy_of_weight`


@dataclass(frozen=True)
class DrawCurve:
    """Points of one weigh-in in order of draw; made by `draw_curve`."""

    draws_m: np.ndarray
    forces_n: np.ndarray
    braced_draw_m: float | None
    scale_doubt_n: float

    @property
    def curve(self) -> Cubic:
        """The curve drawn: through brace (where known) and every point."""
        if self.braced_draw_m is None:
            return monotone(self.draws_m, self.forces_n)
        return monotone(np.r_[self.braced_draw_m, self.draws_m], np.r_[0.0, self.forces_n])

    @property
    def peak_n(self) -> float:
        """Greatest weight read [N]."""
        return float(self.forces_n.max())

    @property
    def fallen(self) -> np.ndarray:
        """Which points lie below the one before by more than the scale's doubt, in order of draw."""
        return fallen(self.forces_n, self.scale_doubt_n)

    @property
    def falls(self) -> bool:
        return bool(self.fallen.size)


def fallen(forces_n: np.ndarray | list[float], doubt_n: float) -> np.ndarray:
    """The places in a row of weights [N] that hold less than the one before, by more than `doubt_n` [N].

    >>> fallen([80.0, 95.0, 11.0, 125.0], 1.0).tolist()
    [2]
    """
    return 1 + np.flatnonzero(np.diff(forces_n) < -doubt_n)


@dataclass(frozen=True)
class WeightAt:
    """Weight at one draw: `doubt_n` is one standard deviation; `measured` when a point stands there."""

    draw_m: float
    force_n: float
    doubt_n: float
    measured: bool
    between_m: tuple[float, float]


@dataclass(frozen=True)
class Energy:
    """Energy stored between `from_m` and `to_m`.

    `curve_j` integrates the curve, `trapezoid_j` straight lines; `doubt_j` is one standard deviation. Without
    the brace the first part of the curve is missing: `ok` is false and `why` says `no_brace`.
    """

    curve_j: float
    trapezoid_j: float
    doubt_j: float
    from_m: float
    to_m: float
    peak_n: float
    ok: bool
    why: str

    @property
    def per_peak_m(self) -> float:
        """Energy per peak weight [J/N = m]; divide by 0.3048 for foot-pounds a pound."""
        return self.curve_j / self.peak_n

    @property
    def ratio(self) -> float:
        """Energy over peak weight times stroke: 0.5 for a straight line, more for a full curve."""
        return self.curve_j / (self.peak_n * (self.to_m - self.from_m))


@dataclass(frozen=True)
class Slope:
    """How fast the weight rises, with one standard deviation, and the draws it was taken over."""

    newton_per_m: float
    doubt: float
    from_m: float
    to_m: float


def draw_curve(
    draws_m: list[float] | np.ndarray,
    forces_n: list[float] | np.ndarray,
    *,
    braced_draw_m: float | None = None,
    scale_doubt_n: float = 0.0,
) -> DrawCurve:
    """The points of one weigh-in, put in order of draw.

    draws_m [m] above zero, forces_n [N] not negative, as many as draws, in any order; braced_draw_m [m] below
    the first draw; scale_doubt_n [N] one standard deviation of a reading.
    Errors: `TooFew` no point; `Mismatch` unequal numbers, two weights at one draw, a draw at or below brace;
    `OutOfRange` a draw or weight that cannot be.

    >>> curve = draw_curve([0.6, 0.4], [150.0, 80.0], braced_draw_m=0.2)
    >>> curve.draws_m.tolist(), curve.forces_n.tolist(), curve.peak_n
    ([0.4, 0.6], [80.0, 150.0], 150.0)
    """
    draws, forces = np.array(draws_m, float).ravel(), np.array(forces_n, float).ravel()
    require(
        draws.size == forces.size,
        Mismatch,
        "points",
        allowed="one weight to a draw",
        draws=draws.size,
        weights=forces.size,
    )
    require(draws.size >= 1, TooFew, "points", allowed="at least one", points=0)
    _require_each(draws, draws > 0, "draw", "above zero")
    _require_each(forces, forces >= 0, "weight", "zero or more")
    require(
        scale_doubt_n >= 0, OutOfRange, "scale_doubt", allowed="zero or more", scale_doubt_n=scale_doubt_n
    )
    order = np.argsort(draws, kind="stable")
    draws, forces = draws[order], forces[order]
    close = np.flatnonzero(np.diff(draws) < SAME_DRAW_M)
    require(
        close.size == 0,
        Mismatch,
        "equal_draws",
        allowed="one weight at one draw; strike the other",
        draw_m=draws[close[0]] if close.size else None,
        forces_n=forces[close[0] : close[0] + 2].tolist() if close.size else None,
    )
    if braced_draw_m is not None:
        require(braced_draw_m > 0, OutOfRange, "brace", allowed="above zero", braced_draw_m=braced_draw_m)
        require(
            braced_draw_m < draws[0] - SAME_DRAW_M,
            Mismatch,
            "draw_below_brace",
            allowed=f"draws beyond the braced string at {braced_draw_m} m",
            draw_m=draws[0],
        )
    return DrawCurve(draws, forces, braced_draw_m, scale_doubt_n)


def weight_at(curve: DrawCurve, draw_m: float) -> WeightAt:
    """Weight at a draw between the measured points; never beyond them.

    A point standing there is given as it was read. Between two points the curve is taken; half of what curve
    and straight chord differ by is added to the doubt, because nothing was measured there.
    Errors: `OutOfRange` when the points do not reach round the draw.

    >>> curve = draw_curve([0.60, 0.65, 0.70], [140.0, 155.0, 172.0], scale_doubt_n=1.0)
    >>> round(weight_at(curve, 0.68).force_n, 2), weight_at(curve, 0.70).measured
    (164.95, True)
    """
    draws, forces = curve.draws_m, curve.forces_n
    nearest = int(np.argmin(np.abs(draws - draw_m)))
    if abs(draws[nearest] - draw_m) < SAME_DRAW_M:
        here = float(draws[nearest])
        return WeightAt(draw_m, float(forces[nearest]), curve.scale_doubt_n, True, (here, here))
    require(
        draws[0] < draw_m < draws[-1],
        OutOfRange,
        "draw_beyond_points",
        allowed=f"{draws[0]:.4g} to {draws[-1]:.4g} m, as weighed",
        draw_m=draw_m,
    )
    i = int(np.searchsorted(draws, draw_m)) - 1
    force, chord = float(curve.curve(draw_m)), float(np.interp(draw_m, draws, forces))
    doubt = float(np.hypot(curve.scale_doubt_n, (force - chord) / 2))
    return WeightAt(draw_m, force, doubt, False, (float(draws[i]), float(draws[i + 1])))


def stored_energy(curve: DrawCurve) -> Energy:
    """Energy stored from brace to the furthest draw: E = integral of F db.

    The scale's doubt is taken as shared by all points, the worst case (a scale that reads high reads high all
    the way): doubt x measured stroke. What curve and trapezoid differ by is added in quadrature.
    Errors: `TooFew` when there is only one point and no brace.
    Source: ASTM F1832 for the force-draw curve; definition.

    >>> energy = stored_energy(draw_curve([0.3, 0.5, 0.7], [50.0, 100.0, 150.0], braced_draw_m=0.1))
    >>> round(energy.curve_j, 9), round(energy.trapezoid_j, 9), round(energy.ratio, 9), energy.ok
    (45.0, 45.0, 0.5, True)
    """
    line = curve.curve
    shape = line.area()
    straight = float(np.sum(np.diff(line.x) * (line.y[:-1] + line.y[1:]) / 2))
    shared = curve.scale_doubt_n * float(curve.draws_m[-1] - line.x[0])
    braced = curve.braced_draw_m is not None
    return Energy(
        curve_j=shape,
        trapezoid_j=straight,
        doubt_j=float(np.hypot(shared, shape - straight)),
        from_m=float(line.x[0]),
        to_m=float(line.x[-1]),
        peak_n=curve.peak_n,
        ok=braced,
        why="" if braced else "no_brace",
    )


def energy_of_weight(force_n: float, draw_m: float) -> float:
    """Energy stored [J] where only the weight at one draw is known: q F d, with the q of a straight bow, 0.407.

    q is nearly the same whatever the taper (0.407 to 0.417 computed), and more for a reflexed bow.
    force_n [N] at draw_m [m] from the limb's axis. Errors: `OutOfRange`. Source: the straight-end bow of Kooi's
    thesis (from memory; reproduced here by the statics to its three digits).

    >>> round(energy_of_weight(200.0, 0.70), 2)
    56.98
    """
    require(force_n > 0 and draw_m > 0, OutOfRange, "weight", allowed="above zero", given=[force_n, draw_m])
    return STRAIGHT_BOW_Q * force_n * draw_m


def end_slope(curve: DrawCurve, over_m: float = LAST_INCHES_M) -> Slope:
    """How fast the weight rises at the end: least squares through the points of the last inches.

    At least the last two points are used, however far apart. Brace counts as a point when only one was read.
    Errors: `TooFew` when there is one point and no brace.

    >>> round(end_slope(draw_curve([0.5, 0.55, 0.6], [100.0, 118.0, 136.0])).newton_per_m, 6)
    360.0
    """
    require_numbers(over_m=over_m)
    line = curve.curve
    take = max(2, int(np.sum(curve.draws_m >= curve.draws_m[-1] - over_m - SAME_DRAW_M)))
    x, y = line.x[-take:], line.y[-take:]
    spread = x - x.mean()
    square = float(spread @ spread)
    return Slope(
        newton_per_m=float(spread @ y) / square,
        doubt=curve.scale_doubt_n / square**0.5,
        from_m=float(x[0]),
        to_m=float(x[-1]),
    )


def _require_each(values: np.ndarray, good: np.ndarray, code: str, allowed: str) -> None:
    bad = values[~(good & np.isfinite(values))]
    require(bad.size == 0, OutOfRange, code, allowed=allowed, **{code: bad.tolist()})
