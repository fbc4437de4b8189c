"""A piecewise cubic through points: monotone through sizes and weights, parabolic along a limb's side profile.

scipy has the same curves; these need only numpy, so a page that draws a curve does not wait for scipy's import.
`tests/calc/test_cubic.py` holds the two together.
"""

from dataclasses import dataclass

import numpy as np
from numpy.typing import ArrayLike

from workshop.calc.errors import OutOfOrder, OutOfRange, TooFew, require

ROUNDING = 1e-9  # of the knots' span: a place this little outside lies on the end knot


@dataclass(frozen=True)
class Cubic:
    """The curve: knots `x` (rising), values `y`, slopes `d`. Made by `monotone` or `parabolic`."""

    x: np.ndarray
    y: np.ndarray
    d: np.ndarray

    def __call__(self, at: ArrayLike) -> np.ndarray:
        """Value at `at`, inside the knots only."""
        k, step, t = self._place(at)
        c = self._coefficients(k, step)
        return c[0] + t * (c[1] + t * (c[2] + t * c[3]))

    def slope(self, at: ArrayLike) -> np.ndarray:
        """First derivative at `at`, inside the knots only."""
        k, step, t = self._place(at)
        c = self._coefficients(k, step)
        return (c[1] + t * (2 * c[2] + t * 3 * c[3])) / step

    def area(self, at: ArrayLike | None = None) -> float | np.ndarray:
        """Integral from the first knot to `at`, or to the last knot (exact for this curve)."""
        steps = np.diff(self.x)
        c = self._coefficients(np.arange(len(steps)), steps)
        whole = np.concatenate([[0.0], np.cumsum(steps * (c[0] + c[1] / 2 + c[2] / 3 + c[3] / 4))])
        if at is None:
            return float(whole[-1])
        k, step, t = self._place(at)
        c = c[:, k]
        return whole[k] + step * t * (c[0] + t * (c[1] / 2 + t * (c[2] / 3 + t * c[3] / 4)))

    def _place(self, at: ArrayLike) -> tuple[np.ndarray, np.ndarray, np.ndarray]:
        """The interval each place lies in, its length, and how far along it, 0 to 1."""
        at, first, last = np.asarray(at, float), self.x[0], self.x[-1]
        slack = ROUNDING * (last - first)
        if not np.all((at >= first - slack) & (at <= last + slack)):
            allowed = f"{first:.6g} to {last:.6g}"
            raise OutOfRange("beyond_points", given={"asked": at.tolist()}, allowed=allowed)
        k = np.clip(np.searchsorted(self.x, at, side="right") - 1, 0, len(self.x) - 2)
        step = self.x[k + 1] - self.x[k]
        return k, step, (at - self.x[k]) / step

    def _coefficients(self, k: np.ndarray, step: np.ndarray) -> np.ndarray:
        start, rise = self.y[k], self.y[k + 1] - self.y[k]
        first, last = step * self.d[k], step * self.d[k + 1]
        return np.array([start, first, 3 * rise - 2 * first - last, first + last - 2 * rise])


def monotone(x: ArrayLike, y: ArrayLike) -> Cubic:
    """The curve through the points that never swings past them.

    Inside, the slope at a knot is the weighted harmonic mean of the chords on either side, and zero where the
    chords differ in sign; at the ends a three-point formula held back so that the curve keeps the chord's
    sign.

    x [any], strictly rising, at least two; y [any].
    Errors: `TooFew` points, `OutOfOrder` knots, `OutOfRange` not finite or of unequal number.
    Source: F.N. Fritsch & J. Butland, SIAM J. Sci. Stat. Comput. 5 (1984) 300-304 (from memory); agrees with
    scipy's PchipInterpolator to rounding.

    >>> round(float(monotone([0, 1, 3], [0, 1, 2])(2.0)), 5)
    1.63141
    """
    x, y, step, chord = _chords(x, y)
    if len(step) == 1:
        return Cubic(x, y, np.repeat(chord, 2))
    before, after = chord[:-1], chord[1:]
    w1, w2 = 2 * step[1:] + step[:-1], step[1:] + 2 * step[:-1]
    same = before * after > 0
    before, after = np.where(same, before, 1.0), np.where(same, after, 1.0)
    inner = np.where(same, (w1 + w2) / (w1 / before + w2 / after), 0.0)
    first = _held_back(step[0], step[1], chord[0], chord[1])
    last = _held_back(step[-1], step[-2], chord[-1], chord[-2])
    return Cubic(x, y, np.concatenate([[first], inner, [last]]))


def parabolic(x: ArrayLike, y: ArrayLike) -> Cubic:
    """The curve whose slope at a knot is that of the parabola through it and its neighbours (Bessel).

    A parabola comes back exactly, so an even reflex keeps its curvature. Points and errors as of `monotone`.

    >>> float(parabolic([0.0, 1.0, 2.5, 4.0], [0.0, 1.0, 6.25, 16.0])(3.0))
    9.0
    """
    x, y, step, chord = _chords(x, y)
    if len(step) == 1:
        return Cubic(x, y, np.repeat(chord, 2))
    inner = (step[1:] * chord[:-1] + step[:-1] * chord[1:]) / (step[:-1] + step[1:])
    return Cubic(x, y, np.concatenate([[2 * chord[0] - inner[0]], inner, [2 * chord[-1] - inner[-1]]]))


def _chords(x: ArrayLike, y: ArrayLike) -> tuple[np.ndarray, np.ndarray, np.ndarray, np.ndarray]:
    """The points checked, with the steps between them and the chords' slopes."""
    x, y = np.array(x, float), np.array(y, float)
    require(x.size >= 2, TooFew, "points", allowed="at least two", points=x.size)
    require(x.shape == y.shape, OutOfRange, "points", allowed="as many values as knots", x=x.size, y=y.size)
    finite = bool(np.isfinite(x).all() and np.isfinite(y).all())
    require(finite, OutOfRange, "points", allowed="finite", y=y.tolist())
    step = np.diff(x)
    require(bool(np.all(step > 0)), OutOfOrder, "points", allowed="strictly rising", x=x.tolist())
    return x, y, step, np.diff(y) / step


def _held_back(step: float, next_step: float, chord: float, next_chord: float) -> float:
    """The slope at an end: of the parabola through three points, no further than keeps the curve monotone."""
    slope = ((2 * step + next_step) * chord - step * next_chord) / (step + next_step)
    if slope * chord <= 0:
        return 0.0
    if chord * next_chord <= 0 and abs(slope) > 3 * abs(chord):
        return 3 * chord
    return slope
