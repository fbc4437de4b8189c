"""First guesses: each limb bent as by a load on its nock, as far as the string asks.

The shape family theta0 + q psi(s), psi the lean under a unit load at the nock, is tabulated for each limb
(`grid`); for every draw the first q that meets the string is read off. Newton does the rest.
"""

import numpy as np

from workshop.calc.statics.grid import Grid
from workshop.calc.statics.newton import ANGLE, DRAW, LEAN, SHARED, SIGN, STRING, TENSION


def braced(grid: Grid, height: np.ndarray, string: np.ndarray) -> tuple[np.ndarray, np.ndarray, np.ndarray]:
    """c and shared for braced bows, one "draw" each, and whether (bow,) the limbs can be bent so far at all.

    Where `height` is NaN the string's length decides. A reflexed limb first lengthens the distance its string
    spans; the braced bow lies on the way back.
    """
    nock = grid.guess_nock
    reach = nock[..., 1].sum(1) * (2 / grid.sides)
    longest = np.argmax(reach, axis=-1)
    index = np.arange(reach.shape[-1])
    met = (reach <= string[:, None]) & (index >= longest[:, None]) & (nock[..., 0].min(1) > 0)
    by_string = np.where(met.any(-1), _first(met, reach - string[:, None]), np.nan)
    place = np.empty(grid.root.shape[:2])
    found = np.empty(grid.root.shape[:2], bool)
    for side in range(place.shape[1]):
        above = nock[:, side, :, 0] - np.where(np.isnan(height), 0, height)[:, None]
        by_height = np.where((above >= 0).any(-1), _first(above >= 0, above), np.nan)
        place[:, side] = np.where(np.isnan(height), by_string, by_height)
        found[:, side] = np.isfinite(place[:, side])
    place = np.nan_to_num(place)[..., None]
    tip, moment, c = _at(grid, nock, place)
    lever = np.maximum(tip[..., 0] - grid.root[:, :, None, 0], 1e-6)
    shared = np.zeros((len(place), 1, SHARED))
    shared[..., TENSION] = (moment / lever).mean(1)[..., None]
    shared[..., STRING] = np.moveaxis(tip[..., 1], 1, -1)
    shared[..., DRAW] = np.where(np.isnan(height), tip[..., 0].mean((1, 2)), height)[:, None]
    return c, shared, found.all(1)


def drawn(
    grid: Grid, string: np.ndarray, lean: np.ndarray, draw: np.ndarray
) -> tuple[np.ndarray, np.ndarray, np.ndarray]:
    """c and shared for draws (bow, draw), and where (bow, draw) the limbs' family meets the string at all."""
    sides = grid.sides
    nock = grid.guess_nock
    leans = SIGN[:sides] * lean[:, None]
    line = np.stack([np.cos(leans), np.sin(leans)], axis=-1)
    end = draw[:, None, :, None] * line[:, :, None]
    length = string[:, :sides, None]
    spare = np.hypot(*np.moveaxis(end[:, :, :, None] - nock[:, :, None], -1, 0)) - length[..., None]
    met = (spare <= 0) & (np.arange(spare.shape[-1]) > 0)
    found = met.any(-1)
    place = np.where(found, _first(met, spare), spare.argmin(-1))
    tip, moment, c = _at(grid, nock, place)
    across = (end - tip) / length[..., None]
    angle = np.arctan2(across[..., 0], -across[..., 1])
    arm = tip - grid.root[:, :, None]
    lever = np.sin(angle) * arm[..., 1] + np.cos(angle) * arm[..., 0]
    shared = np.zeros((*draw.shape, SHARED))
    shared[..., TENSION] = np.moveaxis(moment / np.maximum(lever, 1e-6), 1, -1)
    shared[..., ANGLE] = np.moveaxis(angle, 1, -1)
    shared[..., STRING] = string[:, None]
    shared[..., LEAN] = lean[:, None]
    shared[..., DRAW] = draw
    return c, shared, found.all(1)


def _first(met: np.ndarray, gap: np.ndarray) -> np.ndarray:
    """Fractional index at which `gap` first reaches zero, along the last axis."""
    at = np.maximum(np.argmax(met, axis=-1), 1)
    before, after = (np.take_along_axis(gap, i[..., None], -1)[..., 0] for i in (at - 1, at))
    change = np.where(after == before, 1.0, after - before)
    return at - 1 + np.clip(-before / change, 0, 1)


def _at(grid: Grid, nock: np.ndarray, place: np.ndarray) -> tuple[np.ndarray, np.ndarray, np.ndarray]:
    """Nock, root moment and c at fractional places (bow, side, draw) of the guess family."""
    low = np.clip(place.astype(int), 0, nock.shape[2] - 2)
    part = (place - low)[..., None]
    near, far = (np.take_along_axis(nock, i[..., None], 2) for i in (low, low + 1))
    moment = grid.guess_moment[:, :, 1, None] * place
    return (1 - part) * near + part * far, moment, moment[..., None] * grid.guess_c[:, :, None]
