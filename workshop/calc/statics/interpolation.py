"""Cubics through measured stations: monotone for stiffness and sizes, parabolic for a limb's side profile."""

from dataclasses import dataclass

import numpy as np


@dataclass(frozen=True)
class Cubic:
    """A piecewise cubic through `values` at `knots` with the given `slopes`."""

    knots: np.ndarray
    values: np.ndarray
    slopes: np.ndarray

    def __call__(self, at: np.ndarray) -> np.ndarray:
        k, step, t = self._place(at)
        c = self._coefficients(k, step)
        return c[0] + t * (c[1] + t * (c[2] + t * c[3]))

    def slope(self, at: np.ndarray) -> np.ndarray:
        k, step, t = self._place(at)
        c = self._coefficients(k, step)
        return (c[1] + t * (2 * c[2] + t * 3 * c[3])) / step

    def area(self, at: np.ndarray) -> np.ndarray:
        """Integral from the first knot."""
        steps = np.diff(self.knots)
        c = self._coefficients(np.arange(len(steps)), steps)
        whole = np.concatenate([[0.0], np.cumsum(steps * (c[0] + c[1] / 2 + c[2] / 3 + c[3] / 4))])
        k, step, t = self._place(at)
        c = c[:, k]
        return whole[k] + step * t * (c[0] + t * (c[1] / 2 + t * (c[2] / 3 + t * c[3] / 4)))

    def _place(self, at: np.ndarray) -> tuple[np.ndarray, np.ndarray, np.ndarray]:
        k = np.clip(np.searchsorted(self.knots, at, side="right") - 1, 0, len(self.knots) - 2)
        step = self.knots[k + 1] - self.knots[k]
        return k, step, (at - self.knots[k]) / step

    def _coefficients(self, k: np.ndarray, step: np.ndarray) -> np.ndarray:
        start, rise = self.values[k], self.values[k + 1] - self.values[k]
        first, last = step * self.slopes[k], step * self.slopes[k + 1]
        return np.array([start, first, 3 * rise - 2 * first - last, first + last - 2 * rise])


def monotone(knots: np.ndarray, values: np.ndarray) -> Cubic:
    """The cubic that never overshoots its stations (Fritsch & Butland 1984, as in scipy's PCHIP).

    >>> float(monotone(np.array([0.0, 1.0, 2.0]), np.array([1.0, 1.0, 3.0]))(0.5))
    1.0
    """
    step, secant = np.diff(knots), np.diff(values) / np.diff(knots)
    if len(step) == 1:
        return Cubic(knots, values, np.repeat(secant, 2))
    before, after = secant[:-1], secant[1:]
    w1, w2 = 2 * step[1:] + step[:-1], step[1:] + 2 * step[:-1]
    agree = before * after > 0
    before, after = np.where(agree, before, 1.0), np.where(agree, after, 1.0)
    inner = np.where(agree, (w1 + w2) / (w1 / before + w2 / after), 0.0)
    first = _monotone_end(step[0], step[1], secant[0], secant[1])
    last = _monotone_end(step[-1], step[-2], secant[-1], secant[-2])
    return Cubic(knots, values, np.concatenate([[first], inner, [last]]))


def parabolic(knots: np.ndarray, values: np.ndarray) -> Cubic:
    """The cubic whose slope at a station is that of the parabola through it and its neighbours (Bessel).

    A parabola comes back exactly, so an even reflex keeps its curvature.

    >>> x = np.array([0.0, 1.0, 2.5, 4.0])
    >>> float(parabolic(x, x**2)(3.0))
    9.0
    """
    step, secant = np.diff(knots), np.diff(values) / np.diff(knots)
    if len(step) == 1:
        return Cubic(knots, values, np.repeat(secant, 2))
    inner = (step[1:] * secant[:-1] + step[:-1] * secant[1:]) / (step[:-1] + step[1:])
    return Cubic(
        knots, values, np.concatenate([[2 * secant[0] - inner[0]], inner, [2 * secant[-1] - inner[-1]]])
    )


def _monotone_end(step: float, next_step: float, secant: float, next_secant: float) -> float:
    slope = ((2 * step + next_step) * secant - step * next_secant) / (step + next_step)
    if slope * secant <= 0:
        return 0.0
    if secant * next_secant <= 0 and abs(slope) > 3 * abs(secant):
        return 3 * secant
    return slope
