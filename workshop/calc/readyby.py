"""When an order will be ready: the bench played through many times with this workshop's own stage times.

Each stage a bow has still to go takes bench hours and then, often, a rest (glue, steam, sinew) during which
the bench is free for another. Both are drawn from what that stage took before, hours and rest of one past bow
together. The bench works on one bow at a time: whichever may be worked on first, and of those the one nearest
the front of the queue.

How wide the days fall. A stage varies from bow to bow, and over five stages and a queue that averages out: alone
it would make the days of a shop nobody knows anything of as sharp as a timetable. What does not average out is how
quick this workshop is: whoever takes twice the usual for roughing takes twice for tillering too, and on every bow.
So each play of the bench has one pace, shared by all its stages and bows. Its logarithm is normal: against the
usual times, one standard deviation of `PACE_DOUBT`; each finished bow tells the pace to within `BOW_SPREAD`; so
after n of them the doubt is the root of 1 / (1 / PACE_DOUBT² + n / BOW_SPREAD²), and the usual times are moved toward
the workshop's own by the share n / (n + (BOW_SPREAD / PACE_DOUBT)²). A stage is drawn from the n past bows with the
chance n / (n + 1), else from the usual times so moved, log-normal with `STAGE_SPREAD`: what is usual counts as one bow
among them. The spreads are common practice, no source.
"""

import math
from collections.abc import Hashable, Iterable, Mapping, Sequence
from dataclasses import dataclass
from datetime import date, timedelta

import numpy as np

from workshop.calc.errors import OutOfRange, TooFew, require

# Played so many times; the 90 % day is then known to about one part in a hundred of the chance.
TIMES = 2000
# The same question has the same answer until something is entered.
SEED = 1

# Where nothing is usual for a stage, fewer past bows than this say too little.
LEAST_PAST = 3
# Standard deviations of natural logarithms: 0.7 is a factor of two either way, 0.5 one of five thirds.
PACE_DOUBT = 0.7
BOW_SPREAD = 0.5
STAGE_SPREAD = 0.5
# What is usual counts as so many past bows.
USUAL_COUNTS = 1.0


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
    usual: Mapping[Hashable, Took] | None = None,
    resting_days: Sequence[float] | None = None,
    doubt: float = PACE_DOUBT,
    times: int = TIMES,
    seed: int = SEED,
) -> list[Ready]:
    """When each bow of the queue will be ready.

    queue the stages each bow has still to go, by whatever `past` calls them, the bow worked on first in front;
    past what each stage took on earlier bows; hours_a_week bench hours this workshop gets done in a calendar
    week, holidays and all; usual what a stage takes elsewhere, which counts as one bow and is needed with fewer than
    three past ones; resting_days [days] each bow still has to rest before its next stage; doubt how little is known of
    the pace before the first bow is finished, one standard deviation of its logarithm (zero: a pace known exactly).
    Errors: `TooFew` code `stage_times`, naming the stage, when there are too few past bows and nothing is usual;
    `OutOfRange`.

    >>> took = {"tillering": [Took(7)] * 3, "finishing": [Took(7, rest_days=2)] * 3}
    >>> queue = [["tillering", "finishing"], ["finishing"]]
    >>> [each.day(90) for each in ready(queue, took, hours_a_week=49, doubt=0)]
    [4.0, 5.0]
    >>> [round(each.day(90), 1) for each in ready(queue, took, hours_a_week=49)]
    [5.6, 7.0]
    """
    require(hours_a_week > 0, OutOfRange, "hours_a_week", allowed="above zero", hours_a_week=hours_a_week)
    require(times >= 1, OutOfRange, "times", allowed="at least one", times=times)
    bows = len(queue)
    resting = np.zeros(bows) if resting_days is None else np.asarray(resting_days, float)
    require(resting.size == bows, OutOfRange, "resting_days", allowed="one to each bow", resting=resting.size)
    require(
        bool(np.all(resting >= 0)), OutOfRange, "resting_days", allowed="zero or more", days=resting.tolist()
    )
    require(0 <= doubt < math.inf, OutOfRange, "doubt", allowed="zero or more", doubt=doubt)
    random = np.random.default_rng(seed)
    stages = {stage: _known(stage, past, usual or {}) for bow in queue for stage in bow}
    moved = _moved(stages.values(), days_an_hour=7 / hours_a_week, doubt=doubt)
    told = min((len(stage.own) for stage in stages.values()), default=0)
    pace = np.exp(pace_doubt(told, before=doubt) * random.standard_normal(times))
    drawn = [[pace[:, None] * _drawn(stages[stage], moved, times, random) for stage in bow] for bow in queue]
    free_at = _played_through(drawn, resting, days_an_hour=7 / hours_a_week, times=times)
    return [Ready(days) for days in free_at]


def pace_doubt(bows: int, *, before: float = PACE_DOUBT) -> float:
    """How little is known of a workshop's pace after so many finished bows: one standard deviation of its logarithm.

    >>> [round(pace_doubt(n), 2) for n in (0, 1, 3, 10, 40)]
    [0.7, 0.41, 0.27, 0.15, 0.08]
    """
    return before / math.sqrt(1 + bows * (before / BOW_SPREAD) ** 2)


def all_ready(bows: Sequence[Ready]) -> Ready:
    """When the last of several bows is ready, of one playing-through of the bench: in each play its latest bow.

    Errors: `TooFew` code `bows`, when there is none.

    >>> one, other = Ready(np.array([1.0, 9.0])), Ready(np.array([8.0, 2.0]))
    >>> all_ready([one, other]).days.tolist()
    [8.0, 9.0]
    """
    require(len(bows) > 0, TooFew, "bows", allowed="at least one", bows=len(bows))
    return Ready(np.max([each.days for each in bows], axis=0))


@dataclass(frozen=True)
class _Known:
    """What is known of one stage: hours and rest of each past bow, one row each, and of the usual."""

    own: np.ndarray
    usual: np.ndarray | None


def _known(
    stage: Hashable, past: Mapping[Hashable, Sequence[Took]], usual: Mapping[Hashable, Took]
) -> _Known:
    took = past.get(stage, ())
    require(
        len(took) >= LEAST_PAST or stage in usual,
        TooFew,
        "stage_times",
        allowed=f"at least {LEAST_PAST} past bows, or what is usual",
        stage=stage,
        past=len(took),
    )
    rows = [*took, *([usual[stage]] if stage in usual else [])]
    table = np.array([(each.hours, each.rest_days) for each in rows], float)
    sound = bool(np.all(np.isfinite(table)) and np.all(table >= 0))
    require(sound, OutOfRange, "stage_times", allowed="zero or more", stage=stage)
    return _Known(table[: len(took)], table[-1] if stage in usual else None)


def _moved(stages: Iterable[_Known], *, days_an_hour: float, doubt: float) -> float:
    """The factor that moves the usual times toward this workshop's own."""
    both = [stage for stage in stages if len(stage.own) and stage.usual is not None]
    days = np.array([days_an_hour, 1.0])
    own, usual = (
        sum(stage.own.mean(axis=0) @ days for stage in both),
        sum(stage.usual @ days for stage in both),
    )
    if not (own and usual and doubt):
        return 1.0
    told = min(len(stage.own) for stage in both)
    return float((own / usual) ** (told / (told + (BOW_SPREAD / doubt) ** 2)))


def _drawn(stage: _Known, moved: float, times: int, random: np.random.Generator) -> np.ndarray:
    """Hours and rest of the stage in each play, before the pace: [times, 2]."""
    many = len(stage.own)
    if stage.usual is None:
        return stage.own[random.integers(many, size=times)]
    thought = stage.usual * moved * np.exp(STAGE_SPREAD * random.standard_normal((times, 1)))
    if not many:
        return thought
    own = random.random((times, 1)) < many / (many + USUAL_COUNTS)
    return np.where(own, stage.own[random.integers(many, size=times)], thought)


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
