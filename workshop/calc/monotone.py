"""A smooth curve through points that never swings past them: piecewise cubic, monotone (Fritsch & Butland).

scipy has the same curve; this one needs only numpy, so a page that draws a curve does not wait for scipy's
import. `tests/calc/test_monotone.py` holds the two together.
"""

from dataclasses import dataclass

import numpy as np

from workshop.calc.errors import OutOfOrder, OutOfRange, TooFew, require


@dataclass(frozen=True)
class Monotone:
    """The curve: knots `x` (rising), values `y`, slopes `d`. Made by `through`."""

    x: np.ndarray
    y: np.ndarray
    d: np.ndarray

    def __call__(self, at: float | np.ndarray) -> np.ndarray:
        """Value at `at`, inside the knots only."""
        return self._cubic(at, derivative=False)

    def slope(self, at: float | np.ndarray) -> np.ndarray:
        """First derivative at `at`, inside the knots only."""
        return self._cubic(at, derivative=True)

    def area(self) -> float:
        """Integral from the first knot to the last (exact for this curve)."""
        h = np.diff(self.x)
        return float(np.sum(h * (self.y[:-1] + self.y[1:]) / 2 + h**2 * (self.d[:-1] - self.d[1:]) / 12))

    def _cubic(self, at: float | np.ndarray, *, derivative: bool) -> np.ndarray:
        at = np.asarray(at, float)
        inside = bool(np.all((at >= self.x[0]) & (at <= self.x[-1])))
        require(
            inside,
            OutOfRange,
            "beyond_points",
            allowed=f"{self.x[0]:.6g} to {self.x[-1]:.6g}",
            asked=at.tolist(),
        )
        i = np.clip(np.searchsorted(self.x, at, side="right") - 1, 0, len(self.x) - 2)
        h = self.x[i + 1] - self.x[i]
        t = (at - self.x[i]) / h
        y0, y1, d0, d1 = self.y[i], self.y[i + 1], self.d[i] * h, self.d[i + 1] * h
        if derivative:
            return (
                (6 * t**2 - 6 * t) * (y0 - y1) + (3 * t**2 - 4 * t + 1) * d0 + (3 * t**2 - 2 * t) * d1
            ) / h
        return (
            (2 * t**3 - 3 * t**2 + 1) * y0
            + (t**3 - 2 * t**2 + t) * d0
            + (3 * t**2 - 2 * t**3) * y1
            + (t**3 - t**2) * d1
        )


def through(x: np.ndarray, y: np.ndarray) -> Monotone:
    """The monotone curve through the points.

    Inside, the slope at a knot is the weighted harmonic mean of the chords on either side, and zero where the
    chords differ in sign; at the ends a three-point formula held back so that the curve keeps the chord's
    sign.

    x [any], strictly rising, at least two; y [any].
    Errors: `TooFew` points, `OutOfOrder` knots, `OutOfRange` not finite or of unequal number.
    Source: F.N. Fritsch & J. Butland, SIAM J. Sci. Stat. Comput. 5 (1984) 300-304 (from memory); agrees with
    scipy's PchipInterpolator to rounding.

    >>> round(float(through([0, 1, 3], [0, 1, 2])(2.0)), 5)
    1.63141
    """
    x, y = np.array(x, float), np.array(y, float)
    require(x.size >= 2, TooFew, "points", allowed="at least two", points=x.size)
    require(x.shape == y.shape, OutOfRange, "points", allowed="as many values as knots", x=x.size, y=y.size)
    require(
        bool(np.isfinite(x).all() and np.isfinite(y).all()),
        OutOfRange,
        "points",
        allowed="finite",
        y=y.tolist(),
    )
    h = np.diff(x)
    require(bool(np.all(h > 0)), OutOfOrder, "points", allowed="strictly rising", x=x.tolist())
    chord = np.diff(y) / h
    if x.size == 2:
        return Monotone(x, y, np.repeat(chord, 2))
    d = np.zeros_like(y)
    w1, w2 = 2 * h[1:] + h[:-1], h[1:] + 2 * h[:-1]
    same = chord[:-1] * chord[1:] > 0
    left, right = np.where(same, chord[:-1], 1.0), np.where(same, chord[1:], 1.0)
    d[1:-1] = np.where(same, (w1 + w2) / (w1 / left + w2 / right), 0.0)
    d[0] = _end_slope(h[0], h[1], chord[0], chord[1])
    d[-1] = _end_slope(h[-1], h[-2], chord[-1], chord[-2])
    return Monotone(x, y, d)


def _end_slope(h0: float, h1: float, chord0: float, chord1: float) -> float:
    slope = ((2 * h0 + h1) * chord0 - h0 * chord1) / (h0 + h1)
    if slope * chord0 <= 0:
        return 0.0
    if chord0 * chord1 <= 0 and abs(slope) > 3 * abs(chord0):
        return 3 * chord0
    return slope
