"""The solver: Newton with the exact Jacobian on all bows, limbs and draws at once.

A limb under a force (fx, fy) at its nock is in equilibrium when c = Q (fx cos theta - fy sin theta) with
theta = theta0 + G c (see `grid`). One linear solve per limb and draw gives the Newton step of c at constant
force and how the nock moves with the force. What the limbs share - string tensions, angles and lengths, the
line of force - then comes from five equations: each nock's two gaps to its end of the string, and a fifth
by the question asked. Eliminating c this way is still the full Newton step.

Axes: bow, side (upper, lower), draw, then points or terms. A mirrored bow has one side, used twice. Each
side has its own frame: y outward from the hand along the grip, x towards the archer.
"""

from collections.abc import Callable
from dataclasses import dataclass

import numpy as np

from workshop.calc.statics.grid import Grid, some

MOST_STEPS = 16
LARGEST_TURN_RAD = 0.35  # a Newton step turns no part of a limb and no string further than this
CONVERGED = 1e-10  # largest change in the last step; the error left is about its square

# What the limbs share: tensions, angles of the string from the grip's line, lengths of its two parts, the
# lean of the line of force in the bow's frame, and the draw along it. Each pair is upper, lower.
TENSION, ANGLE, STRING, LEAN, DRAW = slice(0, 2), slice(2, 4), slice(4, 6), 6, 7
SHARED = 8
SIGN = np.array([1.0, -1.0])  # a lean of the line of force, seen from the upper and the lower side

FifthRow = Callable[[np.ndarray, np.ndarray], tuple[np.ndarray, np.ndarray]]


@dataclass(frozen=True)
class Question:
    """Which shared unknowns may move, and together how (8, k), and which k of the five equations hold them.

    A mirrored bow is asked for its upper half only: left free to lean, a deep reflex would fall to one side
    on rounding alone.
    """

    freedom: np.ndarray
    equations: list[int]


def _free(*together: dict[int, float]) -> np.ndarray:
    freedom = np.zeros((SHARED, len(together)))
    for column, moves in enumerate(together):
        for index, share in moves.items():
            freedom[index, column] = share
    return freedom


# Drawn: tensions, angles, and the line of force's lean. Braced, the string is straight: one tension, one
# lean of string and line together, both lengths, and the height.
DRAWN = Question(_free({0: 1}, {1: 1}, {2: 1}, {3: 1}, {LEAN: 1}), [0, 1, 2, 3, 4])
DRAWN_MIRRORED = Question(_free({0: 1, 1: 1}, {2: 1, 3: 1}), [0, 1])
BRACED = Question(_free({0: 1, 1: 1}, {2: 1, 3: -1, LEAN: 1}, {4: 1}, {5: 1}, {DRAW: 1}), [0, 1, 2, 3, 4])
BRACED_MIRRORED = Question(_free({0: 1, 1: 1}, {4: 1, 5: 1}, {DRAW: 1}), [0, 1, 4])
NOTHING_SHARED = Question(_free(), [])


@dataclass(frozen=True)
class State:
    """Unknowns c (bow, side, draw, term) and shared (bow, draw, 8); steps taken, size of the last."""

    c: np.ndarray
    shared: np.ndarray
    steps: np.ndarray
    change: np.ndarray

    @property
    def good(self) -> np.ndarray:
        """Converged, and to a string that pulls: (bow, draw)."""
        pulls = (self.shared[..., TENSION] > -1e-9).all(-1)
        return (self.change <= CONVERGED) & pulls & np.isfinite(self.c).all((1, 3))

    def put(self, bow: int, draw: int, other: "State") -> None:
        """Take over another state's only draw as this bow's."""
        self.c[bow, :, draw], self.shared[bow, draw] = other.c[0, :, 0], other.shared[0, 0]
        self.change[bow, draw] = other.change[0, 0]
        self.steps[bow, draw] += other.steps[0, 0]


@dataclass(frozen=True)
class _Response:
    """A limb linearised: c's step at constant force and its change with fx, fy; the nock's likewise."""

    c: np.ndarray  # (..., m, 3)
    nock: np.ndarray  # (..., 2)
    flexibility: np.ndarray  # (..., 2, 2)


def solve_drawn(grid: Grid, c: np.ndarray, shared: np.ndarray) -> State:
    """The draws in `shared`, with the string lengths in it, from the guess (c, shared)."""
    return solve(grid, c, shared, DRAWN_MIRRORED if grid.mirrored else DRAWN, balance)


def solve_braced(
    grid: Grid, c: np.ndarray, shared: np.ndarray, height: np.ndarray, string: np.ndarray
) -> State:
    """The brace of every bow, by its height or, where that is NaN, by its string's whole length."""
    by_height = np.isfinite(height)
    kept = np.zeros((len(height), SHARED))
    kept[by_height, DRAW] = 1.0
    kept[~by_height, STRING] = 1.0
    fifth = keep(kept, np.where(by_height, height, string))
    return solve(grid, c, shared, BRACED_MIRRORED if grid.mirrored else BRACED, fifth)


def solve(grid: Grid, c: np.ndarray, shared: np.ndarray, question: Question, fifth: FifthRow) -> State:
    """Newton from the guess (c, shared). Bows that have converged at all draws are not touched again."""
    c, shared = c.copy(), shared.copy()
    steps, change = np.zeros(shared.shape[:2], int), np.full(shared.shape[:2], np.inf)
    going = np.arange(len(c))
    part = grid
    with np.errstate(all="ignore"):  # a draw that runs away is reported by its change, not by a warning
        for _ in range(MOST_STEPS):
            try:
                dc, dz = _step(part, c[going], shared[going], question, fifth, going)
            except np.linalg.LinAlgError:
                break
            turned = np.abs(dc @ part.turn_of.swapaxes(-1, -2)).max((1, 3))
            angled = np.abs(dz[..., [2, 3, LEAN]]).max(-1)
            size = np.maximum(turned, angled)
            short = np.minimum(1.0, LARGEST_TURN_RAD / np.maximum(size, 1e-300))
            c[going] += dc * short[:, None, :, None]
            shared[going] += dz * short[..., None]
            steps[going] += change[going] > CONVERGED
            relative = np.abs(dz) / np.maximum(np.abs(shared[going]), 1.0)
            change[going] = np.maximum(size, relative.max(-1))
            ended = (change[going] <= CONVERGED) | ~np.isfinite(change[going])
            left = ~ended.all(1)
            if not left.any():
                break
            if not left.all():
                going = going[left]
                part = some(grid, going)
    return State(c, shared, steps, np.where(np.isfinite(change), change, np.inf))


def balance(z: np.ndarray, _rows: np.ndarray) -> tuple[np.ndarray, np.ndarray]:
    """Drawn, the string's two pulls add up along the line from nock to hand: the bow turns until so."""
    leans = z[..., ANGLE] - SIGN * z[..., LEAN, None]
    along, across = np.cos(leans), np.sin(leans) * z[..., TENSION]
    row = np.zeros_like(z)
    row[..., TENSION] = SIGN * along
    row[..., ANGLE] = -SIGN * across
    row[..., LEAN] = across.sum(-1)
    return row, (SIGN * along * z[..., TENSION]).sum(-1)


def keep(coefficients: np.ndarray, wanted: np.ndarray) -> FifthRow:
    """Braced, a given brace height or string length: coefficients (bow, 8) . shared = wanted (bow,)."""
    return lambda z, rows: (
        np.broadcast_to(coefficients[rows][:, None], z.shape),
        (z * coefficients[rows][:, None]).sum(-1) - wanted[rows][:, None],
    )


def string_pull(angle: np.ndarray) -> np.ndarray:
    """Unit vector from the nock along the string."""
    return np.stack([np.sin(angle), -np.cos(angle)], axis=-1)


def _step(grid, c, z, question, fifth, rows) -> tuple[np.ndarray, np.ndarray]:
    """One Newton step of c and of the shared unknowns."""
    tension, angle, length = (np.moveaxis(z[..., pair], -1, 1) for pair in (TENSION, ANGLE, STRING))
    lean = SIGN[:, None] * z[:, None, :, LEAN]
    draw = z[:, None, :, DRAW]
    pull = string_pull(angle)
    swing = np.stack([np.cos(angle), np.sin(angle)], axis=-1)
    line = np.stack([np.cos(lean), np.sin(lean)], axis=-1)
    line_swing = SIGN[:, None, None] * np.stack([-np.sin(lean), np.cos(lean)], axis=-1)

    sides = grid.sides
    limb = _respond(grid, c, tension[:, :sides, :, None] * pull[:, :sides])
    gap = limb.nock + length[..., None] * pull - draw[..., None] * line
    by_tension = _times(limb.flexibility, pull[:, :sides])
    by_angle = _times(limb.flexibility, tension[:, :sides, :, None] * swing[:, :sides])
    by_angle = by_angle + length[..., None] * swing
    rate = np.zeros((*z.shape[:2], 5, SHARED))
    value = np.zeros((*z.shape[:2], 5))
    for side in (0, 1):
        solved = min(side, sides - 1)
        two = slice(2 * side, 2 * side + 2)
        rate[..., two, side] = by_tension[:, solved]
        rate[..., two, 2 + side] = by_angle[:, side]
        rate[..., two, 4 + side] = pull[:, side]
        rate[..., two, LEAN] = -draw[:, 0, :, None] * line_swing[:, side]
        rate[..., two, DRAW] = -line[:, side]
        value[..., two] = gap[:, side]
    rate[..., 4, :], value[..., 4] = fifth(z, rows)
    matrix, right = (
        (rate @ question.freedom)[..., question.equations, :],
        -value[..., question.equations, None],
    )
    dz = np.linalg.solve(matrix, right)[..., 0] @ question.freedom.T
    d_tension, d_angle = (np.moveaxis(dz[..., pair], -1, 1) for pair in (TENSION, ANGLE))
    d_force = d_tension[..., None] * pull + (d_angle * tension)[..., None] * swing
    dc = limb.c[..., 0] + _times(limb.c[..., 1:], d_force[:, :sides])
    return dc, dz


def _respond(grid: Grid, c: np.ndarray, force: np.ndarray) -> _Response:
    """Linearise every limb of the stack about c under `force` at its nock."""
    lean = grid.lean[:, :, None] + c @ grid.turn_of.swapaxes(-1, -2)
    sine, cosine = np.sin(lean), np.cos(lean)
    fx, fy = force[..., :1], force[..., 1:]
    to_terms = grid.moment_of.swapaxes(-1, -2)
    from_fx, from_fy = cosine @ to_terms, -(sine @ to_terms)
    terms = c.shape[-1]
    jacobian = ((fx * sine + fy * cosine) @ grid.jacobian_of).reshape(*c.shape, terms) + np.eye(terms)
    right = np.stack([fx * from_fx + fy * from_fy - c, from_fx, from_fy], axis=-1)
    c_by = np.linalg.solve(jacobian, right)
    wx, wy = grid.weight[:, :, None] * sine, grid.weight[:, :, None] * cosine
    nock = grid.root[:, :, None] + np.stack([wx.sum(-1), wy.sum(-1)], axis=-1)
    moved = np.stack([wy @ grid.turn_of, -wx @ grid.turn_of], axis=-2) @ c_by
    return _Response(c_by, nock + moved[..., 0], moved[..., 1:])


def _times(matrix: np.ndarray, vector: np.ndarray) -> np.ndarray:
    return (matrix @ vector[..., None])[..., 0]
