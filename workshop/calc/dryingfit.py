"""What readings tell of a piece's rate of drying, and the many futures that agree with them.

For a given rate the moisture is linear in all else that is unknown - the moisture at the start, how far
each place lies off its reckoned equilibrium, what each kind of reading is out by - so the rest is ordinary
Gaussian regression, and only the rate needs a grid. The answer is a set of draws, each a piece with its own
future.
"""

from collections.abc import Sequence
from dataclasses import dataclass

import numpy as np

from workshop.calc.dryinglaw import DOUBTS_PCT, YEAR_DAYS, How, Place, Reading, Stay

DRAWS = 400
EVENLY = (np.arange(DRAWS) + 0.5) / DRAWS
# What is expected before the first reading: two-inch staves take a year or more, roughed-out blanks months (common
# practice, no source), so a half-time of about 75 days at 50 mm. Three readings or so outweigh it. With the thickness
# it goes as between practice and pure diffusion (`days_at_thickness`), from a thin strip in a drying box to a log in
# its bark. One standard deviation of its logarithm: a factor of two either way for a piece of known thickness, since
# timbers, bark and warmth differ; nearly three where the thickness is not known either.
USUAL_HALF_TIME_DAYS, USUAL_THICKNESS_M, THICKNESS_POWER = 75.0, 0.050, 1.75
USUAL_HALF_TIMES_DAYS = (3.0, 1100.0)
USUAL_SPREAD, USUAL_SPREAD_ANY_THICKNESS = 0.7, 1.0
# Half-times looked at: two and a half spreads beyond any that is usual, so that a log may be slower than usual too.
GRID = 100
HALF_TIMES_DAYS = (0.5, 6500.0)
START_DOUBT_PCT = 15.0  # wide: the first reading itself tells the start
# One standard deviation of the natural logarithm of the rate to come against the rate seen, in a place it has lain in
# and in a new one. Our own allowances, no source: a single rate is only the late form of the law, and warmth and
# air differ from place to place.
SAME_PLACE, NEW_PLACE = 0.15, 0.30
MOST_STEPS = 600
# After a change of place a slab's quick modes die out first; what is left of the change, once they have, is 8/pi². The
# rest of the wood may be thought of as a skin that answers at once.
CORE = 8 / np.pi**2


@dataclass(frozen=True, slots=True)
class Usual:
    """What is expected of a piece nothing was read of: its half-time, and the doubt of the rate (of ln k)."""

    half_time_days: float
    spread: float


def usual(thickness_m: float | None = None) -> Usual:
    """By common practice, for a piece of this thickness [m], or of any.

    >>> [round(usual(t).half_time_days) for t in (0.025, 0.05, 0.1)]
    [22, 75, 252]
    >>> usual().spread > usual(0.05).spread
    True
    """
    if thickness_m is None:
        return Usual(USUAL_HALF_TIME_DAYS, USUAL_SPREAD_ANY_THICKNESS)
    days = USUAL_HALF_TIME_DAYS * (thickness_m / USUAL_THICKNESS_M) ** THICKNESS_POWER
    return Usual(float(np.clip(days, *USUAL_HALF_TIMES_DAYS)), USUAL_SPREAD)


@dataclass(frozen=True, slots=True)
class Fit:
    """Draws of what is unknown: log of the rate, start, offset of each place, offset of each kind of reading.

    `misfit` is how many standard deviations the readings lie worse than chance at the best rate; `untold` the share
    of the doubt of the usual rate that they leave.
    """

    first_day: float
    last_day: float
    log_rates: np.ndarray  # (draws,)
    starts_pct: np.ndarray  # (draws,)
    place_offsets_pct: dict[str, np.ndarray]  # each (draws,)
    how_offsets_pct: dict[How, np.ndarray]  # each (draws,)
    misfit: float
    untold: float


@dataclass(frozen=True, slots=True)
class Future:
    """Moisture of every draw over the days; row `now` is today."""

    days: np.ndarray  # (steps + 1,)
    paths: np.ndarray  # (steps + 1, draws)
    toward: np.ndarray  # (steps, draws): what the place brings each draw to
    now: int

    def arrivals(self, edge_pct: float, *, falling: bool) -> np.ndarray:
        """The day each draw first stands at the edge, from today on; infinite where it never does."""
        away = (self.paths[self.now :] - edge_pct) * (1 if falling else -1)
        days = self.days[self.now :]
        there = away <= 0
        step = np.maximum(np.argmax(there, axis=0), 1)
        draws = np.arange(away.shape[1])
        before, after = away[step - 1, draws], away[step, draws]
        share = np.divide(before, before - after, out=np.zeros_like(before), where=before > after)
        day = days[step - 1] + share * (days[step] - days[step - 1])
        return np.where(there[0], days[0], np.where(there.any(axis=0), day, np.inf))

    def stuck(self, edge_pct: float, *, falling: bool) -> np.ndarray:
        """Whether the places, over the last year, bring the draw not as far as the edge, however long it lies there."""
        last_year = self.days[1:] > self.days[-1] - YEAR_DAYS
        brought = self.toward[last_year].mean(axis=0)
        beyond = brought > edge_pct if falling else brought < edge_pct
        return beyond & ~np.isfinite(self.arrivals(edge_pct, falling=falling))


def fit(readings: Sequence[Reading], stays: Sequence[Stay], expected: Usual) -> Fit:
    """Weigh every rate of the grid by what is usual and by the readings, and draw from what is left possible."""
    log_rates = np.log(np.log(2)) - np.log(np.geomspace(*HALF_TIMES_DAYS[::-1], GRID))
    first, last = min(r.day for r in readings), max(r.day for r in readings)
    places, hows = _places(stays), [how for how in How if any(r.how == how for r in readings)]
    base, columns = _responses(
        log_rates, _days(first, max(last, first + 1), 1.0), stays, np.array([r.day for r in readings])
    )
    shared = np.array([[float(r.how == how) for how in hows] for r in readings])
    design = np.concatenate([columns, np.broadcast_to(shared, (GRID, *shared.shape))], axis=2)
    doubts = [START_DOUBT_PCT, *(p.doubt_pct for p in places), *(DOUBTS_PCT[how][1] for how in hows)]
    prior = np.diag(np.square(doubts))
    measured = np.array([r.moisture_pct for r in readings])
    start = measured[np.argmin([r.day for r in readings])]
    off = measured - base - start * columns[:, :, 0]
    noise = np.diag([DOUBTS_PCT[r.how][0] ** 2 for r in readings])
    spread = design @ prior @ design.transpose(0, 2, 1) + noise
    gain = prior @ design.transpose(0, 2, 1) @ np.linalg.inv(spread)
    misfits = np.einsum("kn,kn->k", off, np.linalg.solve(spread, off[..., None])[..., 0])
    unusual = (log_rates - np.log(np.log(2) / expected.half_time_days)) / expected.spread
    against = misfits + _log_determinant(spread) + unusual**2
    cumulated = _cumulated(against)
    means = (gain @ off[..., None])[..., 0]
    covariances = prior - gain @ design @ prior
    rates, values = _draw(log_rates, cumulated, means, covariances)
    usual_rates = np.interp(EVENLY, _cumulated(unusual**2), log_rates)
    ends = 1 + len(places)
    return Fit(
        first,
        last,
        rates,
        start + values[:, 0],
        {place.name: values[:, 1 + i] for i, place in enumerate(places)},
        {how: values[:, ends + i] for i, how in enumerate(hows)},
        float((misfits.min() - len(readings)) / np.sqrt(2 * len(readings))),
        float(np.std(rates) / np.std(usual_rates)),
    )


def forward(fitted: Fit, stays: Sequence[Stay], today: float, horizon_days: float) -> Future:
    """Every draw followed from the first reading to the horizon, through all moves, past and planned."""
    days = np.append(_days(fitted.first_day, today, 1.0), _days(today, today + horizon_days, 1.0)[1:])
    now = int(np.searchsorted(days, today))
    middles, steps = (days[1:] + days[:-1]) / 2, np.diff(days)
    rng = np.random.default_rng(1)
    at = _stay_of(stays, middles)
    drive = np.empty((middles.size, DRAWS))
    rate = np.empty_like(drive)
    for number, stay in enumerate(stays):
        lain_in = any(s.place.name == stay.place.name and s.from_day < fitted.last_day for s in stays)
        drift = rng.normal(0, SAME_PLACE if lain_in else NEW_PLACE, DRAWS)
        here = np.flatnonzero(at == number)
        ahead = (middles[here] > fitted.last_day)[:, None]
        rate[here] = stay.place.pace * np.exp(fitted.log_rates + ahead * drift)
        drive[here] = stay.place.climate(middles[here])[:, None] + fitted.place_offsets_pct[stay.place.name]
    paths = follow(fitted.starts_pct, drive, np.exp(-rate * steps[:, None]))
    return Future(days, paths, drive, now)


def helpful_reading(fitted: Fit, future: Future, arrivals: np.ndarray) -> tuple[How, float, float]:
    """The reading, in the first half of the wait, that would narrow the arrival most: how, day, width left [%].

    Over the draws, what a reading would say is compared with when the piece arrives: a correlation r leaves
    sqrt(1 - r²) of the width. The meter is preferred to the oven, and the earlier day to the later, unless
    the gain is clear.
    """
    today, horizon = future.days[future.now], future.days[-1]
    wait = np.log1p(np.minimum(arrivals, horizon) - today)
    half = max(7.0, (min(np.median(arrivals), horizon) - today) / 2)
    rng = np.random.default_rng(2)
    found = []
    for how in (How.METER, How.OVEN_DRY):
        own, shared = DOUBTS_PCT[how]
        out_by = fitted.how_offsets_pct.get(how, rng.normal(0, shared, DRAWS)) + rng.normal(0, own, DRAWS)
        for day in today + np.linspace(0, half, 8).round():
            says = future.paths[np.searchsorted(future.days, day)] + out_by
            found.append((100 * np.sqrt(max(0.0, 1 - np.corrcoef(says, wait)[0, 1] ** 2)), how, float(day)))
    least = min(found, key=lambda entry: entry[0])[0]
    leaves, how, day = next(entry for entry in found if entry[0] <= least + 5)
    return how, day, float(leaves)


def _responses(
    log_rates: np.ndarray, days: np.ndarray, stays: Sequence[Stay], asked: np.ndarray
) -> tuple[np.ndarray, np.ndarray]:
    """At the days asked, per rate: the moisture driven by the places alone, and what one percent of start and of
    each place's offset adds to it. Shapes (rates, asked) and (rates, asked, 1 + places)."""
    places = _places(stays)
    middles = (days[1:] + days[:-1]) / 2
    at = _stay_of(stays, middles)
    drive = np.zeros((middles.size, 1, 2 + len(places)))
    pace = np.ones(middles.size)
    for number, stay in enumerate(stays):
        here = at == number
        drive[here, 0, 0] = stay.place.climate(middles[here])
        drive[here, 0, 2 + [p.name for p in places].index(stay.place.name)] = 1
        pace[here] = stay.place.pace
    start = np.zeros((log_rates.size, drive.shape[2]))
    start[:, 1] = 1
    decay = np.exp(-np.exp(log_rates) * (pace * np.diff(days))[:, None])[..., None]
    states = follow(start, drive, decay)
    step = np.clip(np.searchsorted(days, asked, side="right") - 1, 0, middles.size - 1)
    share = ((asked - days[step]) / (days[step + 1] - days[step]))[:, None, None]
    there = (states[step] * (1 - share) + states[step + 1] * share).transpose(1, 0, 2)
    return there[..., 0], there[..., 1:]


def follow(start: np.ndarray, drive: np.ndarray, decay: np.ndarray) -> np.ndarray:
    """Moisture of the whole piece step by step: the core approaches, the skin is there at once.

    Exact while the equilibrium holds still within a step.
    """
    states = np.empty((drive.shape[0] + 1, *np.shape(start)))
    states[0] = start
    core = drive[0] + (start - drive[0]) / CORE
    for number, (toward, left) in enumerate(zip(drive, decay, strict=True), start=1):
        core = toward + (core - toward) * left
        states[number] = toward + CORE * (core - toward)
    return states


def _cumulated(against: np.ndarray) -> np.ndarray:
    """The chance that the rate is one of the grid up to here, from minus twice the logarithm of each one's weight."""
    weights = np.exp(-0.5 * (against - against.min()))
    return np.cumsum(weights) / np.sum(weights)


def _draw(log_rates, cumulated, means, covariances) -> tuple[np.ndarray, np.ndarray]:
    """Rates spread evenly over their distribution, and the other unknowns for each, in an order that repeats."""
    rng = np.random.default_rng(0)
    rates = np.interp(EVENLY, cumulated, log_rates)
    nearest = np.clip(np.searchsorted(cumulated, EVENLY), 0, GRID - 1)
    values, vectors = np.linalg.eigh(covariances)
    roots = vectors * np.sqrt(np.clip(values, 0, None))[:, None, :]
    normal = rng.standard_normal((DRAWS, means.shape[1]))
    return rates, means[nearest] + np.einsum("dij,dj->di", roots[nearest], normal)


def _log_determinant(matrices: np.ndarray) -> np.ndarray:
    return np.linalg.slogdet(matrices)[1]


def _places(stays: Sequence[Stay]) -> list[Place]:
    return list({stay.place.name: stay.place for stay in stays}.values())


def _stay_of(stays: Sequence[Stay], days: np.ndarray) -> np.ndarray:
    return np.clip(np.searchsorted([s.from_day for s in stays], days, side="right") - 1, 0, None)


def _days(first: float, last: float, step: float) -> np.ndarray:
    steps = int(np.clip(np.ceil((last - first) / step), 1, MOST_STEPS))
    return np.linspace(first, last, steps + 1)
