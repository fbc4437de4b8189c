"""Where a draw begins: the bow strung and braced, or hung with a long slack string."""

from collections.abc import Sequence
from dataclasses import dataclass, replace

import numpy as np

from workshop.calc.errors import Mismatch, OutOfRange, require
from workshop.calc.statics import guess
from workshop.calc.statics.bow import Bow, Limb
from workshop.calc.statics.follow import follow
from workshop.calc.statics.grid import QUICK_TERMS, Grid, lay_out, some, stack
from workshop.calc.statics.newton import ANGLE, DRAW, LEAN, SHARED, SIGN, STRING, State, solve_braced

FIRST_CHANGE, SMALLEST_CHANGE = 0.25, 1e-3  # of the way from equal limbs to the limbs asked


@dataclass(frozen=True)
class Batch:
    """Bows of one kind (mirrored or not) ready to be solved, without units, and their units."""

    bows: tuple[Bow, ...]
    grid: Grid
    length_m: np.ndarray
    stiffness_nm2: np.ndarray

    @property
    def nocking_above(self) -> np.ndarray:
        return np.array([bow.nocking_above_hand_m for bow in self.bows]) / self.length_m


@dataclass(frozen=True)
class Rest:
    """The state a draw begins from, one "draw" a bow; `found` says for which bows there is one.

    `state` is the bow at rest. `start` is the same with the arrow's nock on the string: its two parts'
    lengths, the line of force from nock to hand, and the draw along it.
    """

    state: State
    start: State
    found: np.ndarray
    slack: bool
    unlike: np.ndarray  # not found, though with limbs more alike there is one


def prepare(bows: Sequence[Bow], terms: int = QUICK_TERMS) -> Batch:
    """Lay the limbs out and stack them, lengths in units of the upper half, stiffness of its root."""
    grids, lengths, stiffnesses = [], [], []
    for bow in bows:
        limb, root = bow.sides[0]
        length = root + limb.length_m
        stiffness = _typical_stiffness(limb)
        grids.append([lay_out(limb, root, length, stiffness, terms) for limb, root in bow.sides])
        lengths.append(length)
        stiffnesses.append(stiffness)
    return Batch(tuple(bows), stack(grids), np.array(lengths), np.array(stiffnesses))


def _typical_stiffness(limb: Limb) -> float:
    """Of an even limb that a load at the nock would turn about as far: it makes the moments of order one."""
    part = np.linspace(0, 1, 32, endpoint=False)
    s = limb.stations_m[0] + part * limb.length_m
    return float(0.5 / np.mean((1 - part) / limb.bending(s).stiffness_nm2))


def strung(batch: Batch, height_m: np.ndarray, string_m: np.ndarray) -> Rest:
    """Every bow braced to a height, or, where that is NaN, with a string of a length."""
    grid, height, string = batch.grid, height_m / batch.length_m, string_m / batch.length_m
    _check_heights(batch, height_m)
    c, shared, bendable = guess.braced(grid, height, string)
    state = solve_braced(grid, c, shared, height, string)
    found, unlike = bendable & state.good[:, 0], np.zeros(len(height), bool)
    for bow in np.flatnonzero(np.isfinite(height) & ~found):
        found[bow] = bendable[bow] and _brace_from_above(grid, state, bow, height[bow])
        if not found[bow] and not grid.mirrored:
            found[bow], unlike[bow] = _brace_from_equal_limbs(batch, state, bow, height_m[bow])
    above = batch.nocking_above
    ready = state.shared.copy()
    ready[:, 0, STRING] -= SIGN * above[:, None]
    ready[:, 0, LEAN] += np.arctan2(above, ready[:, 0, DRAW])
    ready[:, 0, DRAW] = np.hypot(above, ready[:, 0, DRAW])
    start = State(state.c, ready, state.steps, state.change)
    return Rest(state, start, found, slack=False, unlike=unlike)


def hung(batch: Batch, long_string_m: np.ndarray) -> Rest:
    """Every bow unstrung, its string pulled until it is just taut, straight across from the hand."""
    grid, unit, above = batch.grid, batch.length_m, batch.nocking_above
    long_string = long_string_m / unit
    nock = np.broadcast_to(_natural_nocks(grid), (len(unit), 2, 2))
    x, y = nock[..., 0], nock[..., 1]
    chord = np.hypot(x[:, 0] - x[:, 1], y.sum(1))
    for length, least in zip(long_string_m, chord * unit, strict=True):
        longer = length > least
        allowed = (
            f"longer than the unstrung bow from nock to nock, {least:.4f} m (a shorter string braces it)"
        )
        require(longer, Mismatch, "long_string", long_string_m=float(length), allowed=allowed)
    across = SIGN * above[:, None] - y

    def spans(at: np.ndarray) -> np.ndarray:
        return np.hypot(at[:, None] - x, across)

    # From the line between the nocks outward the span only grows: halve until it is the string's length.
    near = x[:, 0] + (x[:, 1] - x[:, 0]) * (y[:, 0] - above) / y.sum(1)
    far = near + long_string
    for _ in range(60):
        middle = (near + far) / 2
        short = spans(middle).sum(1) < long_string
        near, far = np.where(short, middle, near), np.where(short, far, middle)
    shared = np.zeros((len(unit), 1, SHARED))
    shared[:, 0, ANGLE] = np.arctan2(near[:, None] - x, -across)
    shared[:, 0, STRING] = spans(near)
    shared[:, 0, LEAN] = np.arctan2(above, near)
    shared[:, 0, DRAW] = np.hypot(above, near)
    c = np.zeros((*grid.root.shape[:2], 1, grid.project.shape[2]))
    state = State(c, shared, np.zeros((len(unit), 1), int), np.zeros((len(unit), 1)))
    return Rest(state, state, np.ones(len(unit), bool), slack=True, unlike=np.zeros(len(unit), bool))


def _natural_nocks(grid: Grid) -> np.ndarray:
    """(bow, side, 2): the unstrung nocks."""
    along = np.stack([np.sin(grid.lean), np.cos(grid.lean)], axis=-1)
    return grid.root + (grid.weight[..., None] * along).sum(2)


def _check_heights(batch: Batch, height_m: np.ndarray) -> None:
    unstrung = _natural_nocks(batch.grid)[..., 0].max(1) * batch.length_m
    for bow, height, nock in zip(batch.bows, height_m, unstrung, strict=True):
        if np.isnan(height):
            continue
        least, most = max(0.0, float(nock)), min(limb.length_m for limb, _ in bow.sides)
        allowed = f"above {least:.4f} m (0, or where the unstrung nocks stand) and below {most:.4f} m"
        require(
            least < height < most, OutOfRange, "brace_height", brace_height_m=float(height), allowed=allowed
        )


def _brace_from_above(grid: Grid, state: State, bow: int, height: float) -> bool:
    """A reflexed limb braced low is close to where it would snap through: come from above. Whether it was reached."""
    one, unasked = some(grid, np.array([bow])), np.array([np.nan])

    def solve_at(near: State, wanted: float) -> State:
        shared = near.shared.copy()
        shared[..., DRAW] = wanted
        return solve_braced(one, near.c, shared, np.array([wanted]), unasked)

    for higher in np.linspace(height, 0.6, 7)[1:]:
        c, shared, _ = guess.braced(one, np.array([higher]), unasked)
        tried = solve_braced(one, c, shared, np.array([higher]), unasked)
        if tried.good[0, 0]:
            reached, have = follow(solve_at, tried, height)
            if have == height:
                state.put(bow, 0, reached)
            return have == height
    return False


def _brace_from_equal_limbs(batch: Batch, state: State, bow: int, height_m: float) -> tuple[bool, bool]:
    """Limbs so unlike that the bow turns far in the hand: come from two equal ones, the lower changing by and by.

    Whether it was reached; and, if not, whether limbs more alike can be braced: past them there is none.
    """
    asked, terms = batch.bows[bow], batch.grid.project.shape[2]
    done, step, near = 0.0, FIRST_CHANGE, None
    while near is None or done < 1:
        part = 0.0 if near is None else min(1.0, done + step)
        tried = _braced_between(asked, part, height_m, terms, near)
        if tried.good[0, 0]:
            done, step, near = part, 2 * step, tried
        elif near is None or step < SMALLEST_CHANGE:
            return False, near is not None
        else:
            step = (part - done) / 2
    one = some(batch.grid, np.array([bow]))
    wanted = np.array([height_m]) / batch.length_m[bow]
    reached = solve_braced(one, near.c, near.shared, wanted, np.array([np.nan]))
    if reached.good[0, 0]:
        state.put(bow, 0, reached)
    return bool(reached.good[0, 0]), False


def _braced_between(bow: Bow, part: float, height_m: float, terms: int, near: State | None) -> State:
    """The bow with its lower limb so far on the way from being like the upper, and the hand from the middle."""
    lower = bow.upper.towards(bow.lower or bow.upper, part)
    batch = prepare([replace(bow, lower=lower, hand_above_middle_m=part * bow.hand_above_middle_m)], terms)
    height, unasked = np.array([height_m]) / batch.length_m, np.array([np.nan])
    if near is None:
        c, shared, _ = guess.braced(batch.grid, height, unasked)
    else:
        c, shared = near.c, near.shared.copy()
    shared[..., DRAW] = height
    return solve_braced(batch.grid, c, shared, height, unasked)
