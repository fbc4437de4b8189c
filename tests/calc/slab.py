"""Invented pieces that dry as slabs do: the exact diffusion series, not the single rate the forecast fits.

Each piece has its own diffusion, its meter its own fault, each place its own distance from the equilibrium reckoned for
it, and drying goes at another pace after a move. None of this is told to the forecast.
"""

from dataclasses import dataclass

import numpy as np

from workshop.calc.dryingfit import usual
from workshop.calc.dryinglaw import How, Place, Reading, Stay, monthly

MODES = 2 * np.arange(25) + 1
SHARES = 8 / (np.pi * MODES) ** 2
SHARES[-1] += 1 - SHARES.sum()  # the modes left out answer at once, as the last one nearly does

SHED = monthly([17.5, 17.0, 16.0, 15.0, 14.3, 14.0, 14.0, 14.5, 15.3, 16.3, 17.2, 17.6])
HOUSE = monthly([8.0, 8.0, 8.3, 8.8, 9.3, 9.8, 10.0, 9.9, 9.5, 9.0, 8.5, 8.1])


def slab_share_left(fourier: float) -> float:
    """Share of the way to equilibrium a slab has still to go: (8/pi²) sum exp(-n² pi² Fo/4)/n², n odd."""
    return float(np.sum(SHARES * np.exp(-((MODES * np.pi) ** 2) * fourier / 4)))


@dataclass(frozen=True)
class Piece:
    """What the maker knows, and the day the piece truly comes into the band (infinite if never)."""

    readings: list[Reading]
    stays: list[Stay]
    today: float
    arrival: float
    thickness_m: float | None = None


def piece(rng: np.random.Generator, *, edge_pct: float, how: How, horizon_days: float = 1095) -> Piece:
    """A piece read some times in the shed, then to be moved to the house (some lie in the house already)."""
    split = _some_day(rng)
    every = float(rng.choice([14, 21, 30]))
    today = split + every * rng.integers(6, 15)
    move = split + 20 if rng.random() < 0.3 else today + float(rng.integers(0, 60))
    faults = rng.normal(0, 1.0, 2)
    half_time = np.exp(rng.uniform(np.log(25), np.log(120)))
    days, moisture = _dried(rng, split, move, today + horizon_days, half_time, faults)
    readings = _read(rng, days, moisture, np.arange(split, today + 1, every), how)
    return _known(readings, split, move, today, days, moisture, edge_pct)


# How seldom a piece may have been read, and the days since the split it was read on.
SPARSE = {
    "once": lambda rng: [rng.integers(90, 500)],
    "twice, three weeks apart": lambda rng: rng.integers(60, 400) + np.array([0, 21]),
    "four times over three years, and a slice": lambda rng: np.sort(rng.integers(30, 1095, 4)),
}


def seldom_read(rng: np.random.Generator, *, edge_pct: float, seldom: str) -> Piece:
    """A piece of some thickness, read by meter in the shed as seldom as that, and now to be moved to the house.

    Its half-time is the usual one for its thickness, out by a factor of 1.8 either way (one standard deviation).
    """
    split = _some_day(rng)
    thickness = rng.uniform(0.020, 0.070)
    half_time = usual(thickness).half_time_days * np.exp(rng.normal(0, 0.6))
    on = split + np.asarray(SPARSE[seldom](rng), float)
    today = on[-1] + float(rng.integers(0, 15))
    move = today + float(rng.integers(0, 60))
    days, moisture = _dried(rng, split, move, today + 2920, half_time, rng.normal(0, 1.0, 2))
    readings = _read(rng, days, moisture, on, How.METER)
    if "slice" in seldom:
        day = float(rng.choice(on))
        readings.append(
            Reading(day, float(np.interp(day, days, moisture)) + rng.normal(0, 0.5), How.OVEN_DRY)
        )
    return _known(readings, split, move, today, days, moisture, edge_pct, thickness)


def _some_day(rng) -> float:
    return float(rng.integers(0, 365)) + 365 * 2000


def _dried(rng, split, move, until, half_time, faults) -> tuple[np.ndarray, np.ndarray]:
    """Day by day what the piece truly holds, from green; `faults` of the equilibria of house and shed."""
    days = np.arange(split, until)
    at_home = days >= move
    equilibrium = np.where(at_home, HOUSE(days) + faults[0], SHED(days) + faults[1])
    # a year's drying is neither quite the slab's nor the same from place to place
    pace = np.where(at_home, np.exp(rng.normal(0, 0.3)), 1.0)
    decay = np.exp(-np.log(2) / half_time * pace[:, None] * MODES**2)
    moisture, states = np.empty(days.size), np.full(MODES.size, rng.uniform(35, 60))
    for i in range(days.size):
        moisture[i] = SHARES @ states
        states = equilibrium[i] + (states - equilibrium[i]) * decay[i]
    return days, moisture


def _known(readings, split, move, today, days, moisture, edge_pct, thickness_m=None) -> Piece:
    there = np.flatnonzero((days >= today) & (moisture <= edge_pct))
    stays = [Stay(split, Place("shed", SHED)), Stay(move, Place("house", HOUSE))]
    return Piece(readings, stays, today, float(days[there[0]]) if there.size else np.inf, thickness_m)


def _read(rng, days, moisture, on, how) -> list[Reading]:
    true = np.interp(on, days, moisture)
    if how == How.METER:
        said = true + rng.normal(0, 1.5) + rng.normal(0, 1.0, on.size)
    else:  # weighed, and an oven-dried slice: the dry mass is out by a little, which grows with the water in it
        said = (100 + true) * (1 + rng.normal(0, 0.006)) - 100 + rng.normal(0, 0.15, on.size)
    return [Reading(float(d), float(max(m, 1)), how) for d, m in zip(on, said, strict=True)]
