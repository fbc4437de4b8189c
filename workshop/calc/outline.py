"""Pieces of an outline: widths linear or elliptic in depth, with their moments between any two depths."""

import itertools
from dataclasses import dataclass

import numpy as np

Moments = tuple[np.ndarray, np.ndarray, np.ndarray]  # area, first and second moment about the back
_POINTS, _WEIGHTS = np.polynomial.legendre.leggauss(12)


@dataclass(frozen=True)
class Linear:
    """A piece whose width runs straight from `top_width` at depth `top` to `end_width` at `end`."""

    top: np.ndarray
    end: np.ndarray
    top_width: np.ndarray
    end_width: np.ndarray

    def moments(self, above: np.ndarray, below: np.ndarray) -> Moments:
        low, high = np.clip(above, self.top, self.end), np.clip(below, self.top, self.end)
        slope = (self.end_width - self.top_width) / (self.end - self.top)
        start = self.top_width - slope * self.top
        first, second, third, fourth = ((high**n - low**n) / n for n in (1, 2, 3, 4))
        return start * first + slope * second, start * second + slope * third, start * third + slope * fourth


@dataclass(frozen=True)
class Elliptic:
    """A piece of an ellipse of full width `width` and half depth `radius`, its top at depth `crest`."""

    top: np.ndarray
    end: np.ndarray
    crest: np.ndarray
    radius: np.ndarray
    width: np.ndarray

    def moments(self, above: np.ndarray, below: np.ndarray) -> Moments:
        """Summed over the angle from the crest, which keeps the figures of a very flat arc.

        The integrands are sines and cosines of at most four times the angle; twelve Gauss points over half a
        turn leave only rounding.
        """
        start, stop = self._angle(above)[..., None], self._angle(below)[..., None]
        angle = start + (stop - start) * (1 + _POINTS) / 2
        depth = self.crest[..., None] + 2 * self.radius[..., None] * np.sin(angle / 2) ** 2
        slices = (stop - start) / 2 * _WEIGHTS * np.sin(angle) ** 2
        scale = self.width * self.radius
        area, first, second = (scale * np.sum(slices * depth**n, axis=-1) for n in (0, 1, 2))
        return area, first, second

    def _angle(self, depth: np.ndarray) -> np.ndarray:
        below_crest = np.clip(depth, self.top, self.end) - self.crest
        return 2 * np.arcsin(np.sqrt(np.clip(below_crest / (2 * self.radius), 0, 1)))


def strips(across: np.ndarray, depth: np.ndarray) -> tuple[Linear, ...]:
    """A closed outline cut at the depth of every corner: between two cuts its width is linear.

    >>> square = strips(np.array([0, 2, 2, 0]), np.array([0, 0, 1, 1]))
    >>> [(float(s.top_width), float(s.end_width)) for s in square]
    [(2.0, 2.0)]
    """
    pieces = []
    for top, end in itertools.pairwise(np.unique(depth)):
        # No corner lies between two neighbouring cuts, so two readings inside give the whole strip.
        at_quarter, at_three = (_width_at(across, depth, top + part * (end - top)) for part in (0.25, 0.75))
        slope = (at_three - at_quarter) / 2
        pieces.append(Linear(*map(np.asarray, (top, end, at_quarter - slope, at_three + slope))))
    return tuple(pieces)


def _width_at(across: np.ndarray, depth: np.ndarray, level: float) -> float:
    """Material met along one level of a closed outline: out minus in, crossing after crossing."""
    x0, y0, x1, y1 = across, depth, np.roll(across, -1), np.roll(depth, -1)
    met = (y0 < level) != (y1 < level)
    where = np.sort(x0[met] + (level - y0[met]) / (y1[met] - y0[met]) * (x1[met] - x0[met]))
    return float(np.sum(where[1::2] - where[0::2]))


def crosses_itself(points: np.ndarray) -> bool:
    """Whether two sides of the closed outline properly cross."""
    ends = np.roll(points, -1, axis=0)

    def side(a: np.ndarray, b: np.ndarray, c: np.ndarray) -> np.ndarray:
        return np.sign(
            (b[..., 0] - a[..., 0]) * (c[..., 1] - a[..., 1])
            - (b[..., 1] - a[..., 1]) * (c[..., 0] - a[..., 0])
        )

    a, b, c, d = points[:, None], ends[:, None], points[None], ends[None]
    return bool(np.any((side(a, b, c) * side(a, b, d) < 0) & (side(c, d, a) * side(c, d, b) < 0)))
