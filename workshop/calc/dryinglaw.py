"""The law of drying, the places a piece lies in and the readings taken of it: the words `drying` is asked in.

A piece approaches the equilibrium of its place, fast at first and ever more slowly: dM/dt = -k (M - Me(t)).
That is the late form of diffusion in a slab (Siau 1984; Kollmann and Côté 1968; from memory, certain). Days
are numbers that count up by one a day, as `date.toordinal()` gives.
"""

from collections.abc import Callable, Sequence
from dataclasses import dataclass
from enum import StrEnum

import numpy as np

from workshop.calc.errors import NoSolution, OutOfOrder, OutOfRange, TooFew, require, require_numbers

YEAR_DAYS = 365.2425


# --- the bare law --------------------------------------------------------------------------------------------


def approach_pct(start_pct: float, equilibrium_pct: float, rate_per_day: float, days: float) -> float:
    """Moisture [%] after some days in a steady place: Me + (M0 - Me) exp(-k t).

    >>> round(approach_pct(45, 13, 0.02, 30), 2)
    30.56
    """
    require_numbers(start_pct=start_pct, equilibrium_pct=equilibrium_pct)
    require(
        rate_per_day > 0 and days >= 0,
        OutOfRange,
        "approach",
        allowed="a rate above zero, days not below",
        rate_per_day=rate_per_day,
        days=days,
    )
    return equilibrium_pct + (start_pct - equilibrium_pct) * float(np.exp(-rate_per_day * days))


def rate_per_day(first_pct: float, then_pct: float, equilibrium_pct: float, days: float) -> float:
    """Rate k [1/day] between two moistures [%] some days apart: ln[(M1 - Me)/(M2 - Me)]/t.

    `NoSolution` where the second is not nearer the equilibrium than the first, and on the same side of it.

    >>> round(rate_per_day(45, 30.56, 13, 30), 4)
    0.02
    """
    require(days > 0, OutOfRange, "days", allowed="above zero", days=days)
    ahead, left = first_pct - equilibrium_pct, then_pct - equilibrium_pct
    require(
        left * ahead > 0 and abs(left) < abs(ahead),
        NoSolution,
        "not_approaching",
        allowed="a second moisture between the first and the equilibrium",
        first_pct=first_pct,
        then_pct=then_pct,
        equilibrium_pct=equilibrium_pct,
    )
    return float(np.log(ahead / left)) / days


def days_to(start_pct: float, target_pct: float, equilibrium_pct: float, rate_per_day: float) -> float:
    """Days to a target [%] in a steady place: ln[(M0 - Me)/(Mt - Me)]/k. `NoSolution` where the place never gets there.

    >>> round(days_to(45, 20, 13, 0.02), 2)
    75.99
    """
    require_numbers(equilibrium_pct=equilibrium_pct)
    require(rate_per_day > 0, OutOfRange, "rate", allowed="above zero", rate_per_day=rate_per_day)
    ahead, left = start_pct - equilibrium_pct, target_pct - equilibrium_pct
    require(
        left * ahead > 0 and abs(left) <= abs(ahead),
        NoSolution,
        "target_beyond_equilibrium",
        allowed=f"a target between the start and the equilibrium, {equilibrium_pct:g} %",
        start_pct=start_pct,
        target_pct=target_pct,
    )
    return float(np.log(ahead / left)) / rate_per_day


def days_at_thickness(days: float, thickness_m: float, other_m: float) -> tuple[float, float]:
    """Drying days [lower, upper] of a piece of another thickness [m]: days (t2/t1)^n, n = 1.5 and 2.

    Two is pure diffusion, one and a half what practice shows (Simpson; Rosen; from memory, fairly certain).

    >>> [round(d, 1) for d in days_at_thickness(100, 0.025, 0.050)]
    [282.8, 400.0]
    """
    require_numbers(days=days)
    require(
        days >= 0 and thickness_m > 0 and other_m > 0,
        OutOfRange,
        "thickness",
        allowed="above zero",
        thickness_m=thickness_m,
        other_m=other_m,
    )
    both = days * (other_m / thickness_m) ** 1.5, days * (other_m / thickness_m) ** 2
    return min(both), max(both)


# --- places --------------------------------------------------------------------------------------------------

Climate = Callable[[np.ndarray], np.ndarray]  # days -> equilibrium moisture [%]


def steady(equilibrium_pct: float) -> Climate:
    """A place that keeps one equilibrium [%] all year."""
    require_numbers(equilibrium_pct=equilibrium_pct)
    return lambda days: np.full(np.shape(days), float(equilibrium_pct))


def monthly(equilibria_pct: Sequence[float]) -> Climate:
    """A place by its equilibrium [%] in the middle of each month, January first, alike every year.

    Days are ordinals (`date.toordinal()`); the place of a day in its year is right to about a day.
    """
    require(len(equilibria_pct) == 12, TooFew, "months", allowed="twelve values", months=len(equilibria_pct))
    require_numbers(equilibria_pct=list(equilibria_pct))
    middles = (np.arange(12) + 0.5) * YEAR_DAYS / 12
    return lambda days: np.interp(
        (np.asarray(days) - 1) % YEAR_DAYS, middles, np.asarray(equilibria_pct, float), period=YEAR_DAYS
    )


def logged(days: Sequence[float], equilibria_pct: Sequence[float]) -> Climate:
    """A place by its climate log: each entry holds until the next, the first also before, the last for good."""
    require(
        len(days) == len(equilibria_pct) > 0,
        TooFew,
        "climate_log",
        allowed="one entry or more, as many days",
        days=len(days),
        equilibria=len(equilibria_pct),
    )
    require(
        bool(np.all(np.diff(days) > 0)), OutOfOrder, "climate_log", allowed="days that rise", days=tuple(days)
    )
    require_numbers(equilibria_pct=list(equilibria_pct))
    values = np.asarray(equilibria_pct, float)
    return lambda asked: values[np.clip(np.searchsorted(days, asked, side="right") - 1, 0, None)]


@dataclass(frozen=True, slots=True)
class Place:
    """Where a piece lies. `doubt_pct` is one standard deviation of its equilibrium; `pace` how much quicker than
    elsewhere wood dries there (a drying box with a fan: the maker's guess)."""

    name: str
    climate: Climate
    doubt_pct: float = 1.0
    pace: float = 1.0


@dataclass(frozen=True, slots=True)
class Stay:
    """A piece lies in a place from a day on, until the next stay begins. Days to come are planned moves."""

    from_day: float
    place: Place


# --- readings ------------------------------------------------------------------------------------------------


class How(StrEnum):
    """How a moisture was found. Readings found the same way share part of their error."""

    METER = "meter"
    WEIGHING = "weighing"
    OVEN_DRY = "oven-dry"


# One standard deviation of each reading by itself, and of what all of its kind share. Together a meter's make up
# the 2 % that Swedish Wood (TräGuiden) gives for a single piece; how it divides is our own allowance, no source.
DOUBTS_PCT = {How.METER: (1.0, 1.5), How.WEIGHING: (0.2, 0.7), How.OVEN_DRY: (0.5, 0.0)}


@dataclass(frozen=True, slots=True)
class Reading:
    """The moisture [%] of a piece on a day, already corrected."""

    day: float
    moisture_pct: float
    how: How = How.METER
