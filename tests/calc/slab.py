"""Invented pieces that dry as slabs do: the exact diffusion series, not the single rate the forecast fits.

Each piece has its own diffusion, its meter its own fault, each place its own distance from the equilibrium reckoned for
it, and drying goes at another pace after a move. None of this is told to the forecast.
"""

from dataclasses import dataclass

import numpy as np

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


def piece(rng: np.random.Generator, *, edge_pct: float, how: How, horizon_days: float = 1095) -> Piece:
    """A piece read some times in the shed, then to be moved to the house (some lie in the house already)."""
    split = float(rng.integers(0, 365)) + 365 * 2000
    every = float(rng.choice([14, 21, 30]))
    today = split + every * rng.integers(6, 15)
    move = split + 20 if rng.random() < 0.3 else today + float(rng.integers(0, 60))
    days = np.arange(split, today + horizon_days)
    at_home = days >= move
    faults = rng.normal(0, 1.0, 2)
    equilibrium = np.where(at_home, HOUSE(days) + faults[0], SHED(days) + faults[1])
    half_time = np.exp(rng.uniform(np.log(25), np.log(120)))
    # a year's drying is neither quite the slab's nor the same from place to place
    pace = np.where(at_home, np.exp(rng.normal(0, 0.3)), 1.0)
    decay = np.exp(-np.log(2) / half_time * pace[:, None] * MODES**2)
    moisture, states = np.empty(days.size), np.full(MODES.size, rng.uniform(35, 60))
    for i in range(days.size):
        moisture[i] = SHARES @ states
        states = equilibrium[i] + (states - equilibrium[i]) * decay[i]
    readings = _read(rng, days, moisture, np.arange(split, today + 1, every), how)
    ahead = days >= today
    there = np.flatnonzero(ahead & (moisture <= edge_pct))
    shed, house = Place("shed", SHED), Place("house", HOUSE)
    arrival = float(days[there[0]]) if there.size else np.inf
    return Piece(readings, [Stay(split, shed), Stay(move, house)], today, arrival)


def _read(rng, days, moisture, on, how) -> list[Reading]:
    true = np.interp(on, days, moisture)
    if how == How.METER:
        said = true + rng.normal(0, 1.5) + rng.normal(0, 1.0, on.size)
    else:  # weighed, and an oven-dried slice: the dry mass is out by a little, which grows with the water in it
        said = (100 + true) * (1 + rng.normal(0, 0.006)) - 100 + rng.normal(0, 0.15, on.size)
    return [Reading(float(d), float(max(m, 1)), how) for d, m in zip(on, said, strict=True)]
