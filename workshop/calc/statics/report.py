"""From solved states back to metres and newtons, and the checks that decide what may be trusted."""

from dataclasses import dataclass

import numpy as np

from workshop.calc.statics.grid import POINTS, Grid
from workshop.calc.statics.newton import ANGLE, DRAW, LEAN, SIGN, STRING, TENSION, State, string_pull
from workshop.calc.statics.rest import Batch, Rest
from workshop.calc.statics.results import Braced, Drawn, Pose

LARGEST_RESIDUAL = 2e-4  # of the largest moment; the force was seen to be out by at most a tenth of it
TOUCH = -1e-6  # of the largest moment: a moment less than this means that string and limb cross
SMALL = (
    1e-3  # a moment, without unit, so small that the string hardly pulls and only rounding would be judged
)


@dataclass(frozen=True)
class Shapes:
    """Every limb in every state, still without units: (bow, side, draw, point), or (bow, side, draw)."""

    x: np.ndarray
    y: np.ndarray
    lean: np.ndarray
    moment: np.ndarray
    bend: np.ndarray
    back: np.ndarray
    belly: np.ndarray
    tension: np.ndarray
    string_lean: np.ndarray
    nock_angle: np.ndarray
    energy: np.ndarray
    residual: np.ndarray
    touches: np.ndarray


def shapes(grid: Grid, state: State) -> Shapes:
    """The limbs' lines, moments and strains.

    The moment is taken twice: as the solver's polynomial, and by statics from the force and the resulting
    line. Their difference is the residual, an honest measure of what a short polynomial leaves out.
    """
    sides = grid.sides
    tension, angle = (np.moveaxis(state.shared[..., pair], -1, 1)[:, :sides] for pair in (TENSION, ANGLE))
    pull = tension[..., None] * string_pull(angle)
    weight, into = grid.weight[:, :, None], grid.into_at.swapaxes(-1, -2)
    filled = np.where(weight > 0, weight, np.inf)  # points that only fill up a shorter limb carry nothing
    polynomial = state.c @ (grid.project / filled)
    bend = polynomial * grid.flexibility[:, :, None]
    at_gauss = grid.lean[:, :, None] + state.c @ grid.turn_of.swapaxes(-1, -2)
    sine, cosine = np.sin(at_gauss), np.cos(at_gauss)
    x = grid.root[:, :, None, :1] + sine @ into
    y = grid.root[:, :, None, 1:] + cosine @ into
    nock_x = grid.root[:, :, None, 0] + (weight * sine).sum(-1)
    nock_y = grid.root[:, :, None, 1] + (weight * cosine).sum(-1)
    nock_lean = grid.lean_at_nock[:, :, None] + (weight * bend).sum(-1)
    moment = pull[..., :1] * (nock_y[..., None] - y) - pull[..., 1:] * (nock_x[..., None] - x)
    moment = np.where(grid.inside[:, :, None], moment, 0.0)
    gauss = np.arange(grid.at.shape[-1]) % (POINTS + 1) != 0
    largest = np.abs(moment).max(-1)
    off = np.where(weight > 0, np.abs(moment[..., gauss] - polynomial), 0.0).max(-1)
    bend_at = moment * grid.at_flexibility[:, :, None]
    return Shapes(
        x=x,
        y=y,
        lean=grid.at_lean[:, :, None] + bend @ into,
        moment=moment,
        bend=bend_at,
        back=bend_at * grid.at_back[:, :, None],
        belly=-bend_at * grid.at_belly[:, :, None],
        tension=tension,
        string_lean=angle,
        nock_angle=angle + nock_lean,
        energy=(weight * polynomial * bend).sum(-1).sum(1) / 2 * (2 / sides),
        residual=np.divide(off, largest, out=np.zeros_like(off), where=largest > SMALL).max(1),
        touches=(moment.min(-1) < TOUCH * np.maximum(largest, SMALL)).any(1),
    )


def _poses(
    batch: Batch, shape: Shapes, state: State, bow: int, draws: slice | int, known: np.ndarray | float
) -> tuple[Pose, Pose]:
    """Upper and lower pose at some draws (a slice: first axis kept) or at one (an int: no axis)."""
    sides = [_pose(batch, shape, state, bow, side, draws, known) for side in range(batch.grid.sides)]
    return sides[0], sides[-1]


def _pose(batch, shape, state, bow, side, draws, known) -> Pose:
    grid, length, stiffness = batch.grid, batch.length_m[bow], batch.stiffness_nm2[bow]
    limb = batch.bows[bow].sides[side][0]
    points = int(grid.inside[bow, side].sum())

    def line(values: np.ndarray, unit: float = 1.0) -> np.ndarray:
        return values[bow, side, draws, ..., :points] * np.asarray(unit * known)[..., None]

    def each(values: np.ndarray, unit: float = 1.0) -> np.ndarray:
        return values[bow, side, draws] * unit * known

    return Pose(
        from_middle_m=limb.stations_m[0] + grid.at[bow, side, :points] * length,
        x_m=line(shape.x, length),
        y_m=line(shape.y, length),
        lean_rad=line(shape.lean),
        bend_per_m=line(shape.bend, 1 / length),
        moment_nm=line(shape.moment, stiffness / length),
        back_strain_pct=line(shape.back, 100.0),
        belly_strain_pct=line(shape.belly, 100.0),
        tension_n=each(shape.tension, stiffness / length**2),
        string_lean_rad=each(shape.string_lean),
        nock_angle_rad=each(shape.nock_angle),
        string_m=float(state.shared[bow, 0, STRING][side] * length),
    )


def braced_results(batch: Batch, rest: Rest) -> list[Braced]:
    """A `Braced` for every bow of the batch."""
    shape = shapes(batch.grid, rest.state)
    results = []
    for bow, (length, stiffness) in enumerate(zip(batch.length_m, batch.stiffness_nm2, strict=True)):
        z = rest.state.shared[bow, 0]
        otherwise = "unlike" if rest.unlike[bow] else "unbraced"
        why = _why(rest.found[bow], otherwise, shape, bow, 0)
        known = 1.0 if not why else np.nan
        upper, lower = _poses(batch, shape, rest.state, bow, 0, known)
        results.append(
            Braced(
                brace_height_m=float(z[DRAW] * length * known),
                string_m=float(z[STRING].sum() * length * known),
                tension_n=float(z[0] * stiffness / length**2 * known),
                tilt_rad=float(z[LEAN] * known),
                energy_j=float(shape.energy[bow, 0] * stiffness / length * known),
                upper=upper,
                lower=lower,
                residual=float(shape.residual[bow, 0]) if rest.found[bow] else np.nan,
                iterations=int(rest.state.steps[bow, 0]),
                ok=not why,
                why=why,
            )
        )
    return results


def drawn_results(
    batch: Batch, draws_m: np.ndarray, state: State, rest: Rest, limit: np.ndarray
) -> list[Drawn]:
    """A `Drawn` for every bow of the batch."""
    shape = shapes(batch.grid, state)
    braces = [None] * len(batch.bows) if rest.slack else braced_results(batch, rest)
    leans = state.shared[..., ANGLE] - SIGN * state.shared[..., LEAN, None]
    force = (np.sin(leans) * state.shared[..., TENSION]).sum(-1)
    start = rest.start.shared[:, 0]
    reach, lean = state.shared[..., DRAW, None], state.shared[..., LEAN]
    arrow_nock = reach * np.stack([np.cos(lean), np.sin(lean)], axis=-1)
    good, results = state.good & rest.found[:, None], []
    for bow, (length, stiffness) in enumerate(zip(batch.length_m, batch.stiffness_nm2, strict=True)):
        idle = draws_m[bow] <= start[bow, DRAW] * length
        why = []
        for n in range(draws_m.shape[1]):
            if braces[bow] is not None and not braces[bow].ok:
                why.append(braces[bow].why)  # a string measured on a wrong brace draws a wrong bow
            elif idle[n]:
                why.append("slack" if rest.slack else "braced")
            else:
                why.append(_why(good[bow, n], "beyond", shape, bow, n))
        ok = np.array([said in ("", "slack", "braced") for said in why])
        known = np.where(ok, 1.0, np.nan)
        upper, lower = _poses(batch, shape, state, bow, slice(None), known)
        at_rest = 0.0 if rest.slack else braces[bow].energy_j
        results.append(
            Drawn(
                draws_m=draws_m[bow],
                force_n=np.where(idle, 0.0, force[bow]) * known * stiffness / length**2,
                energy_j=np.where(idle, 0.0, shape.energy[bow] * stiffness / length - at_rest) * known,
                turn_rad=(state.shared[bow, :, LEAN] - start[bow, LEAN]) * known,
                arrow_nock_m=arrow_nock[bow] * length * known[:, None],
                nock_travel_m=(arrow_nock[bow, :, 1] - np.sin(start[bow, LEAN]) * start[bow, DRAW])
                * length
                * known,
                upper=upper,
                lower=lower,
                start_m=float(start[bow, DRAW] * length) if rest.found[bow] else np.nan,
                limit_m=float(limit[bow] * length),
                residual=np.where(good[bow], shape.residual[bow], np.nan),
                iterations=state.steps[bow],
                ok=ok,
                why=tuple(why),
                brace=braces[bow],
            )
        )
    return results


def _why(found: bool, otherwise: str, shape: Shapes, bow: int, n: int) -> str:
    if not found:
        return otherwise
    if shape.touches[bow, n]:
        return "touch"
    return "coarse" if not shape.residual[bow, n] <= LARGEST_RESIDUAL else ""


def one_pose(batch: Batch, state: State) -> Pose:
    """The upper limb's pose in a stack of one bow and one state."""
    return _pose(batch, shapes(batch.grid, state), state, 0, 0, 0, 1.0)
