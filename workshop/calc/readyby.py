"""When an order will be ready: the bench played through many times with this workshop's own stage times.

Each stage a bow has still to go takes bench hours and then, often, a rest (glue, steam, sinew) during which
the bench is free for another. Both are drawn from what that stage took before, hours and rest of one past bow
together. The bench works on one bow at a time: whichever may be worked on first, and of those the one nearest
the front of the queue.
"""

import math
from collections.abc import Hashable, Mapping, Sequence
from dataclasses import dataclass
from datetime import date, timedelta

import numpy as np

from workshop.calc.errors import OutOfRange, TooFew, require

# Played so many times; the 90 % day is then known to about one part in a hundred of the chance.
TIMES = 2000
# The same question has the same answer until something is entered.
SEED = 1

# With fewer past bows than this a stage's own times say too little.
LEAST_PAST = 3


@dataclass(frozen=True)
class Took:
    """What one stage took on one past bow: bench hours, and days of rest after it."""

    hours: float
    rest_days: float = 0.0


@dataclass(frozen=True)
class Ready:
    """When a bow is ready: days from now in each of the times the bench was played through, play by play."""

    days: np.ndarray

    def day(self, chance_pct: float) -> float:
        """Days from now by which it is ready with this chance [%]."""
        require(
            0 < chance_pct < 100, OutOfRange, "chance", allowed="above 0, below 100", chance_pct=chance_pct
        )
        return float(np.quantile(self.days, chance_pct / 100, method="inverted_cdf"))

    def on(self, today: date, chance_pct: float) -> date:
        """The date by which it is ready with this chance: a day begun is a day.

        >>> Ready(np.array([1.0, 2.5, 9.0])).on(date(2024, 2, 27), 50).isoformat()
        '2024-03-01'
        """
        return today + timedelta(days=math.ceil(self.day(chance_pct) - 1e-9))

    def chance_by(self, today: date, promised: date) -> float:
        """Chance [%] of being ready on or before the promised date.

        >>> Ready(np.array([1.0, 2.5, 9.0, 10.0])).chance_by(date(2024, 5, 1), date(2024, 5, 4))
        50.0
        """
        return 100 * float(np.mean(self.days <= (promised - today).days + 1e-9))


def ready(
    queue: Sequence[Sequence[Hashable]],
    past: Mapping[Hashable, Sequence[Took]],
    *,
    hours_a_week: float,
    first_guess: Mapping[Hashable, Took] | None = None,
    resting_days: Sequence[float] | None = None,
    times: int = TIMES,
    seed: int = SEED,
) -> list[Ready]:
    """When each bow of the queue will be ready.

    queue the stages each bow has still to go, by whatever `past` calls them, the bow worked on first in front;
    past what each stage took on earlier bows; hours_a_week bench hours this workshop gets done in a calendar
    week, holidays and all; first_guess for a stage with fewer than three past bows: it counts as three, at half,
    once and twice the guess; resting_days [days] each bow still has to rest before its next stage.
    Errors: `TooFew` code `stage_times`, naming the stage, when there are too few past bows and no guess;
    `OutOfRange`.

    >>> took = {"tillering": [Took(7)] * 3, "finishing": [Took(7, rest_days=2)] * 3}
    >>> both = ready([["tillering", "finishing"], ["finishing"]], took, hours_a_week=49)
    >>> [each.day(90) for each in both]
    [4.0, 5.0]
    """
    require(hours_a_week > 0, OutOfRange, "hours_a_week", allowed="above zero", hours_a_week=hours_a_week)
    require(times >= 1, OutOfRange, "times", allowed="at least one", times=times)
    bows = len(queue)
    resting = np.zeros(bows) if resting_days is None else np.asarray(resting_days, float)
    require(resting.size == bows, OutOfRange, "resting_days", allowed="one to each bow", resting=resting.size)
    require(
        bool(np.all(resting >= 0)), OutOfRange, "resting_days", allowed="zero or more", days=resting.tolist()
    )
    random = np.random.default_rng(seed)
    tables = {stage: _table(stage, past, first_guess or {}) for bow in queue for stage in bow}
    drawn = [
        [tables[stage][random.integers(len(tables[stage]), size=times)] for stage in bow] for bow in queue
    ]
    free_at = _played_through(drawn, resting, days_an_hour=7 / hours_a_week, times=times)
    return [Ready(days) for days in free_at]


def all_ready(bows: Sequence[Ready]) -> Ready:
    """When the last of several bows is ready, of one playing-through of the bench: in each play its latest bow.

    Errors: `TooFew` code `bows`, when there is none.

    >>> one, other = Ready(np.array([1.0, 9.0])), Ready(np.array([8.0, 2.0]))
    >>> all_ready([one, other]).days.tolist()
    [8.0, 9.0]
    """
    require(len(bows) > 0, TooFew, "bows", allowed="at least one", bows=len(bows))
    return Ready(np.max([each.days for each in bows], axis=0))


def _table(
    stage: Hashable, past: Mapping[Hashable, Sequence[Took]], first_guess: Mapping[Hashable, Took]
) -> np.ndarray:
    """Hours and rest of every past bow at this stage, one row each."""
    took = list(past.get(stage, ()))
    if len(took) < LEAST_PAST:
        require(
            stage in first_guess,
            TooFew,
            "stage_times",
            allowed=f"at least {LEAST_PAST} past bows, or a first guess",
            stage=stage,
            past=len(took),
        )
        guess = first_guess[stage]
        took += [Took(times * guess.hours, guess.rest_days) for times in (0.5, 1.0, 2.0)]
    table = np.array([(each.hours, each.rest_days) for each in took], float)
    sound = bool(np.all(np.isfinite(table)) and np.all(table >= 0))
    require(sound, OutOfRange, "stage_times", allowed="zero or more", stage=stage)
    return table


def _played_through(
    drawn: list[list[np.ndarray]], resting: np.ndarray, *, days_an_hour: float, times: int
) -> np.ndarray:
    """Day each bow is ready, rest included: [bows, times]. All plays go on side by side, one stage a step."""
    bows = len(drawn)
    longest = max((len(bow) for bow in drawn), default=0)
    # Stage number `longest` stands for "none left"; it may never begin.
    took = np.zeros((bows, longest + 1, times, 2))
    for i, bow in enumerate(drawn):
        for j, stage in enumerate(bow):
            took[i, j] = stage
    left = np.array([len(bow) for bow in drawn])
    next_stage = np.zeros((bows, times), int)
    may_begin = np.repeat(resting[:, None], times, axis=1)
    bench_free, play = np.zeros(times), np.arange(times)
    for _ in range(int(left.sum())):
        begins = np.where(next_stage < left[:, None], np.maximum(may_begin, bench_free), np.inf)
        bow = np.argmin(begins, axis=0)
        hours, rest_days = took[bow, next_stage[bow, play], play].T
        bench_free = begins[bow, play] + hours * days_an_hour
        may_begin[bow, play] = bench_free + rest_days
        next_stage[bow, play] += 1
    return may_begin
