"""Limbs laid out for the solver: Gauss points between the stations, and the moment as a short polynomial.

Along a limb the lean and the bending moment are smooth even where the section is not, so two grids are used.
Integrals run over Gauss points in panels that end at the stations; the moment is a combination c of
a few polynomials, orthonormal over those points and zero at the nock. The lean of the limb is then
theta = theta0 + G c, with G = (integral) (1 / EI) (polynomials), and equilibrium reads
c = Q (fx cos theta - fy sin theta), Q = (projection) (integral from a point to the nock).

Everything here is without unit: lengths over the bow's length unit, stiffness over its stiffness unit.
"""

from dataclasses import dataclass, fields
from functools import lru_cache

import numpy as np

from workshop.calc.statics.bow import Limb

QUICK_TERMS = 16
POINTS = 5
LEAST_PANELS = 8
FINE_TERMS = POINTS * LEAST_PANELS  # where weak spots leave the quick answer's residual too large
PANEL_DOUBT = 1e-8  # of the limb's turning, what one panel may leave uncertain
MOST_HALVINGS = 40
GUESSES = 73
GUESS_TURN_RAD = 3.6


@dataclass(frozen=True)
class Grid:
    """One limb's matrices, or, stacked, many limbs' with the bow and the side as first two axes."""

    weight: np.ndarray  # (n,) Gauss weights
    lean: np.ndarray  # (n,) unstrung lean theta0
    turn_of: np.ndarray  # (n, m) G
    moment_of: np.ndarray  # (m, n) Q
    jacobian_of: np.ndarray  # (n, m m) products of Q's columns and G's rows
    project: np.ndarray  # (m, n) from values at the points to c
    flexibility: np.ndarray  # (n,) 1 / EI
    guess_nock: np.ndarray  # (g, 2) where the nock stands under a growing load on it
    guess_moment: np.ndarray  # (g,) that load's moment at the root
    guess_c: np.ndarray  # (m,) c of a unit root moment, falling straight to the nock
    root: np.ndarray  # (2,) where the limb leaves the grip, from the hand
    at: np.ndarray  # (p,) distances from the root at which results are given
    into_at: np.ndarray  # (p, n) integral from the root to them
    inside: np.ndarray  # (p,) True; False where a stack fills up a shorter limb
    at_lean: np.ndarray  # (p,) unstrung lean there
    lean_at_nock: np.ndarray  # ()
    at_flexibility: np.ndarray  # (p,)
    at_back: np.ndarray  # (p,)
    at_belly: np.ndarray  # (p,)

    @property
    def sides(self) -> int:
        """Of a stack: 2, or 1 for mirrored bows."""
        return self.root.shape[1]

    @property
    def mirrored(self) -> bool:
        return self.sides == 1


def lay_out(limb: Limb, root_m: float, length_unit: float, stiffness_unit: float, terms: int) -> Grid:
    """The limb on its Gauss points, with everything the solver needs of it."""
    edges = _panel_edges(limb)
    reference, weights, inner = _gauss(POINTS)
    step = np.diff(edges)
    count = len(step)
    # Points of results: the panel ends and the Gauss points between them, in order.
    marks = np.concatenate([reference, [1.0]])
    s_at = np.concatenate([edges[:1], (edges[:-1, None] + step[:, None] * marks).ravel()])
    into = np.tril(np.ones((count, count)), -1)[:, None, :, None] * (step[:, None] * weights)[None, None]
    into = np.broadcast_to(into, (count, POINTS + 1, count, POINTS)).copy()
    own = np.arange(count)
    into[own, :, own, :] = step[:, None, None] * inner
    into = into.reshape(count * (POINTS + 1), count * POINTS) / length_unit
    into_at = np.concatenate([np.zeros((1, count * POINTS)), into])
    is_point = np.concatenate([[False], np.tile(np.arange(POINTS + 1) < POINTS, count)])

    section = limb.bending(s_at)
    lean = limb.natural_angle(s_at)
    flexibility = stiffness_unit / section.stiffness_nm2
    weight = (step[:, None] * weights).ravel() / length_unit
    to_nock = 1 - (s_at[is_point] - edges[0]) / limb.length_m

    basis = to_nock[:, None] * np.polynomial.legendre.legvander(2 * to_nock - 1, terms - 1)
    orthonormal = np.linalg.qr(basis * np.sqrt(weight)[:, None])[0]
    project = (orthonormal * np.sqrt(weight)[:, None]).T
    polynomials = orthonormal / np.sqrt(weight)[:, None]
    to_points = into_at[is_point]
    turn_of = to_points @ (flexibility[is_point, None] * polynomials)
    moment_of = project @ (weight - to_points)

    tip_load = to_points @ (flexibility[is_point] * to_nock)
    most = GUESS_TURN_RAD / (weight @ (flexibility[is_point] * to_nock))
    moments = np.linspace(0, most, GUESSES)
    guess_lean = lean[is_point] + moments[:, None] * tip_load
    root = np.array([limb.root_offset_m, root_m]) / length_unit
    return Grid(
        weight=weight,
        lean=lean[is_point],
        turn_of=turn_of,
        moment_of=moment_of,
        jacobian_of=np.einsum("in,nj->nij", moment_of, turn_of).reshape(len(weight), -1),
        project=project,
        flexibility=flexibility[is_point],
        guess_nock=root + np.stack([np.sin(guess_lean) @ weight, np.cos(guess_lean) @ weight], axis=-1),
        guess_moment=moments,
        guess_c=project @ to_nock,
        root=root,
        at=(s_at - edges[0]) / length_unit,
        into_at=into_at,
        inside=np.ones(len(s_at), bool),
        at_lean=lean,
        lean_at_nock=lean[-1],
        at_flexibility=flexibility,
        at_back=np.asarray(section.to_back_m) / length_unit,
        at_belly=np.asarray(section.to_belly_m) / length_unit,
    )


def stack(grids: list[list[Grid]]) -> Grid:
    """Many bows' limbs as one Grid, shorter ones filled up with points of no weight."""
    flat = [grid for sides in grids for grid in sides]
    shape = (len(grids), len(grids[0]))

    def joined(name: str) -> np.ndarray:
        arrays = [getattr(grid, name) for grid in flat]
        if len({array.shape for array in arrays}) > 1:
            size = np.max([array.shape for array in arrays], axis=0)
            filled = np.zeros((len(arrays), *size), arrays[0].dtype)
            for row, array in zip(filled, arrays, strict=True):
                row[tuple(slice(n) for n in array.shape)] = array
            arrays = filled
        return np.reshape(arrays, (*shape, *np.shape(arrays)[1:]))

    return Grid(**{field.name: joined(field.name) for field in fields(Grid)})


def some(grid: Grid, bows: np.ndarray) -> Grid:
    """The stack's rows for these bows only."""
    return Grid(**{field.name: getattr(grid, field.name)[bows] for field in fields(Grid)})


def _panel_edges(limb: Limb) -> np.ndarray:
    """Stations, with more edges where they lie far apart or the section changes faster than a panel carries.

    A panel is halved until one more Gauss point no longer changes what it adds to the limb's turning under a
    load at the nock. Towards a fine tip, where the curvature M / EI runs like 1 / x, panels grow ever shorter.
    """
    stations = limb.stations_m
    parts = np.ceil(np.diff(stations) / limb.length_m * LEAST_PANELS - 1e-9).astype(int)
    starts = np.concatenate(
        [a + (b - a) * np.arange(n) / n for a, b, n in zip(stations[:-1], stations[1:], parts, strict=True)]
    )
    ends = np.append(starts[1:], stations[-1])
    whole, done = 0.0, []
    for _ in range(MOST_HALVINGS):
        turn, doubt = _turning(limb, starts, ends)
        whole = whole or turn.sum()
        rough = doubt > PANEL_DOUBT * whole
        done.append(starts[~rough])
        if not rough.any():
            break
        middle = (starts[rough] + ends[rough]) / 2
        starts, ends = np.concatenate([starts[rough], middle]), np.concatenate([middle, ends[rough]])
    else:
        done.append(starts)
    return np.append(np.sort(np.concatenate(done)), stations[-1])


def _turning(limb: Limb, starts: np.ndarray, ends: np.ndarray) -> tuple[np.ndarray, np.ndarray]:
    """What each panel adds to the limb's turning under a load at the nock, and how far two rules differ."""
    rules = [_gauss(POINTS)[:2], _gauss(POINTS + 1)[:2]]
    at = np.concatenate([points for points, _ in rules])
    s = starts[:, None] + (ends - starts)[:, None] * at
    bend = (limb.stations_m[-1] - s) / limb.bending(s.ravel()).stiffness_nm2.reshape(s.shape)
    by_rule = [bend[:, :POINTS] @ rules[0][1], bend[:, POINTS:] @ rules[1][1]]
    return by_rule[1] * (ends - starts), np.abs(by_rule[1] - by_rule[0]) * (ends - starts)


@lru_cache
def _gauss(points: int) -> tuple[np.ndarray, np.ndarray, np.ndarray]:
    """Gauss points and weights on 0..1; integrals of their polynomials from 0 to each, and to 1."""
    at, weight = np.polynomial.legendre.leggauss(points)
    to_coefficients = np.linalg.inv(np.polynomial.legendre.legvander(at, points - 1))
    ends = np.append(at, 1.0)
    integrals = np.stack(
        [
            np.polynomial.legendre.legval(ends, np.polynomial.legendre.legint(unit, lbnd=-1))
            for unit in np.eye(points)
        ],
        axis=1,
    )
    return (at + 1) / 2, weight / 2, integrals @ to_coefficients / 2
