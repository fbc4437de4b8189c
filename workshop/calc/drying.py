"""When a piece will be dry enough for the bench: a date with a band, or the reason why none can be given.

The law is that of `dryinglaw`. It does not hold above fibre saturation, so wetter readings are set aside.
The doubt has several roots, and the band carries them all: the rate; each reading; what all readings of one
meter or one series share; the equilibrium of each place (the published equations differ by up to a percent,
species and hysteresis add to it); and that the rate will not stay quite the same, least of all after a
move.
"""

from collections.abc import Sequence
from dataclasses import dataclass, field
from itertools import pairwise

import numpy as np

from workshop.calc.dryingfit import Fit, Future, fit, forward, helpful_reading, usual
from workshop.calc.dryinglaw import YEAR_DAYS, How, Place, Reading, Stay, logged, monthly, steady
from workshop.calc.errors import OutOfOrder, OutOfRange, TooFew, require
from workshop.calc.moisture import WETTEST_PCT, Band
from workshop.calc.timber import FIBRE_SATURATION_PCT

__all__ = ["Forecast", "Help", "How", "Place", "Reading", "Stay", "forecast", "logged", "monthly", "steady"]

HORIZON_DAYS = 6 * 365
# While the readings leave more than this of the doubt of the usual rate, the date stands on the usual rate.
UNTOLD = 0.7
# More than this chance that it never arrives, and there is no date to rely on.
OFTEN_STUCK = 0.1
# As many of the draws have to go on past the far edge of the band before it is said: our own choice, no source.
MOSTLY_PAST = 0.75
# Readings this many standard deviations worse than chance allows fit no piece.
CONTRADICTION = 4.0


@dataclass(frozen=True, slots=True)
class Curve:
    """Moisture over the days: the middle, and the band that holds four of five."""

    days: tuple[float, ...]
    low_pct: tuple[float, ...]
    middle_pct: tuple[float, ...]
    high_pct: tuple[float, ...]


@dataclass(frozen=True, slots=True)
class Help:
    """The reading that would narrow the date most: how, on which day, and to what share of its width [%]."""

    how: How
    day: float
    leaves_pct: float | None


@dataclass(frozen=True, slots=True)
class Past:
    """The places do not stop at the band: the day, at even odds, it goes past the far edge [%], and what they bring it
    to in the end, the mean of a year [%]."""

    day: float
    edge_pct: float
    brought_pct: float
    falling: bool


@dataclass(frozen=True, slots=True)
class Forecast:
    """When a piece comes into the bench-ready band. Days are None where none can be given; the latest one also where
    more than one in ten of such slow pieces are not there within the horizon. `falling` says whether it has to dry, or
    to take moisture up; None where what it holds now is not known, or is right.

    `why`: "" - the date may be trusted; "usual_rate" - it may, but stands on the rate usual for such a piece (common
    practice), since the readings fit a quick piece about as well as a slow one: its band is wide; "already_there".
    Without a date: "no_place_dry_enough" or "no_place_damp_enough" (the planned places will hardly bring it there;
    `nearest_pct` is the nearest their equilibrium comes); "beyond_horizon" (they will, but more likely than not only
    after the horizon); "too_few_readings" (one below fibre saturation is the least); "readings_contradict" (they fit no
    piece in these places: wetted, mistyped, another piece); "may_not_arrive" (more than one chance in ten that it
    never does; `likely_day` still is at even odds, where it has one, and `never_pct` that chance). `past` where three
    in four of such pieces go on past the band.
    """

    ok: bool
    why: str
    set_aside: int
    falling: bool | None = None
    nearest_pct: float | None = None
    never_pct: float | None = None
    past: Past | None = None
    now_pct: float | None = None
    now_doubt_pct: float | None = None
    earliest_day: float | None = None
    likely_day: float | None = None
    latest_day: float | None = None
    half_time_days: float | None = None
    curve: Curve | None = field(default=None, repr=False)
    help: Help | None = None


def forecast(
    readings: Sequence[Reading],
    stays: Sequence[Stay],
    band: Band,
    *,
    today: float | None = None,
    thickness_m: float | None = None,
    fibre_saturation_pct: float = FIBRE_SATURATION_PCT,
    horizon_days: float = HORIZON_DAYS,
) -> Forecast:
    """When the piece comes into the band: the day, and the 80 % band around it (one in ten earlier, one later).

    `stays` hold past and planned places, in order, the first from before the first reading (else
    `OutOfOrder`). `today` is the day of the last reading unless given; `thickness_m` tells how quickly such a piece
    usually dries. The forecast is repeatable: its
    draws are seeded.

    >>> from workshop.calc.dryinglaw import approach_pct
    >>> shed, house = Place("shed", steady(15)), Place("house", steady(8))
    >>> weighed = [Reading(d, approach_pct(28, 15, 0.015, d), How.WEIGHING) for d in range(0, 100, 14)]
    >>> left_there = forecast(weighed, [Stay(0, shed)], Band(8, 10))
    >>> left_there.ok, left_there.why, left_there.nearest_pct
    (False, 'no_place_dry_enough', 15.0)
    >>> moved = forecast(weighed, [Stay(0, shed), Stay(110, house)], Band(8, 10))
    >>> moved.ok, 110 < moved.earliest_day < moved.likely_day < moved.latest_day
    (True, True)
    """
    _check(readings, stays, horizon_days, thickness_m)
    last = max(readings, key=lambda reading: reading.day)
    today = last.day if today is None else max(today, last.day)
    usable = [r for r in readings if r.moisture_pct <= fibre_saturation_pct]
    known = {"set_aside": len(readings) - len(usable)}
    if not usable:
        known["help"] = Help(How.METER, today if today > last.day else today + 14, None)
        return Forecast(False, "too_few_readings", **known)
    fitted = fit(usable, stays, usual(thickness_m))
    if fitted.misfit > CONTRADICTION:  # of such a piece not even what it holds now is known
        return Forecast(False, "readings_contradict", **known)
    future = forward(fitted, stays, today, horizon_days)
    known |= _state(fitted, future)
    if band.low_pct <= known["now_pct"] <= band.high_pct:
        known["past"] = _past(future, band, falling=False) or _past(future, band, falling=True)
        return Forecast(
            True, "already_there", **known, earliest_day=today, likely_day=today, latest_day=today
        )
    known["falling"] = falling = known["now_pct"] > band.high_pct
    known["nearest_pct"] = nearest = _nearest_pct(stays, today, horizon_days, falling)
    edge = band.high_pct if falling else band.low_pct
    unreachable = (nearest > edge) if falling else (nearest < edge)
    stuck = float(np.mean(future.stuck(edge, falling=falling)))
    if unreachable or stuck > 0.5:
        return Forecast(False, "no_place_dry_enough" if falling else "no_place_damp_enough", **known)
    arrivals = future.arrivals(edge, falling=falling)
    known |= _dates(arrivals) | {"never_pct": 100 * stuck, "past": _past(future, band, falling=falling)}
    if known["likely_day"] is None:
        return Forecast(False, "may_not_arrive" if stuck > OFTEN_STUCK else "beyond_horizon", **known)
    known["help"] = Help(*helpful_reading(fitted, future, arrivals))
    if stuck > OFTEN_STUCK:
        return Forecast(False, "may_not_arrive", **known)
    return Forecast(True, "usual_rate" if fitted.untold > UNTOLD else "", **known)


def _check(
    readings: Sequence[Reading], stays: Sequence[Stay], horizon_days: float, thickness_m: float | None
) -> None:
    require(len(readings) > 0, TooFew, "no_readings", allowed="at least one reading", readings=len(readings))
    require(len(stays) > 0, TooFew, "no_place", allowed="at least one place", stays=len(stays))
    require(
        0 < horizon_days <= 20 * 365,
        OutOfRange,
        "horizon",
        allowed="up to 20 years",
        horizon_days=horizon_days,
    )
    require(
        thickness_m is None or 0 < thickness_m < 1,
        OutOfRange,
        "thickness",
        allowed="above zero, below a metre",
        thickness_m=thickness_m,
    )
    for reading in readings:
        require(
            0 <= reading.moisture_pct <= WETTEST_PCT,
            OutOfRange,
            "moisture",
            allowed=f"0 to {WETTEST_PCT:g} %",
            moisture_pct=reading.moisture_pct,
        )
    begins, first = [stay.from_day for stay in stays], min(reading.day for reading in readings)
    require(
        all(a < b for a, b in pairwise(begins)),
        OutOfOrder,
        "moves",
        allowed="moves on days that rise",
        from_days=begins,
    )
    require(
        begins[0] <= first,
        OutOfOrder,
        "first_place",
        allowed="a first place from before the first reading",
        from_day=begins[0],
        first_reading_day=first,
    )


def _nearest_pct(stays: Sequence[Stay], today: float, horizon_days: float, falling: bool) -> float:
    """The driest (or dampest) equilibrium of the places from today on."""
    ends = [stay.from_day for stay in stays[1:]] + [np.inf]
    seen = [
        stay.place.climate(np.arange(max(stay.from_day, today), min(end, today + horizon_days) + 1))
        for stay, end in zip(stays, ends, strict=True)
        if end > today and stay.from_day <= today + horizon_days
    ]
    return float(np.min(np.concatenate(seen)) if falling else np.max(np.concatenate(seen)))


def _dates(arrivals: np.ndarray) -> dict[str, float | None]:
    days = np.quantile(arrivals, [0.1, 0.5, 0.9], method="nearest")
    names = ("earliest_day", "likely_day", "latest_day")
    return {name: float(day) if np.isfinite(day) else None for name, day in zip(names, days, strict=True)}


def _past(future: Future, band: Band, *, falling: bool) -> Past | None:
    """Where the piece goes on to, if it does not stop in the band."""
    edge = band.low_pct if falling else band.high_pct
    days = future.arrivals(edge, falling=falling)
    if np.mean(np.isfinite(days)) < MOSTLY_PAST:
        return None
    last_year = future.days[1:] > future.days[-1] - YEAR_DAYS
    day = float(np.quantile(days, 0.5, method="nearest"))
    return Past(day, edge, float(future.toward[last_year].mean()), falling)


def _state(fitted: Fit, future: Future) -> dict[str, object]:
    now = future.paths[future.now]
    low, middle, high = np.quantile(future.paths, [0.1, 0.5, 0.9], axis=1)
    return {
        "now_pct": float(np.mean(now)),
        "now_doubt_pct": float(np.std(now)),
        "half_time_days": float(np.log(2) / np.exp(np.mean(fitted.log_rates))),
        "curve": Curve(*(tuple(map(float, line)) for line in (future.days, low, middle, high))),
    }
