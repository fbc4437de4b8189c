"""How long each stage takes in this workshop: by the days its finished bows stood in it and the hours written down.

No queries here: what is needed is handed in. A bow stands in a stage while it is worked on, while it rests, and while
the bench is at other bows. The last is what `workshop.calc.readyby` plays through anew, so it is taken out here.
"""

import datetime as dt
from collections.abc import Iterable, Mapping, Sequence
from dataclasses import dataclass

import numpy as np

from workshop.bows.models import StageMove
from workshop.bows.models.bow import FINISHED, ON_BENCH, Stage
from workshop.calc.readyby import Took

# common practice, no source: what a stage takes elsewhere; it counts as one bow beside the workshop's own
USUAL: dict[str, Took] = {
    Stage.LAID_OUT: Took(2, rest_days=4),
    Stage.ROUGHING: Took(8, rest_days=6),
    Stage.TILLERING: Took(10, rest_days=7),
    Stage.SHOOTING_IN: Took(4, rest_days=6),
    Stage.FINISHING: Took(5, rest_days=7),
}
# common practice, no source: hours at the bench in a week, with the mail, the wood and the holidays taken off
USUAL_HOURS_A_WEEK = 15.0
# bench time tells how much a week holds once it is written down in so many different weeks of the last half-year
WEEKS_LOOKED_AT, WEEKS_WANTED = 26, 8


@dataclass(frozen=True)
class Stay:
    """A bow in one stage: from which day to which, and the hours at the bench it took."""

    stage: str
    begin: dt.date
    end: dt.date
    hours: float

    @property
    def days(self) -> int:
        return max(0, (self.end - self.begin).days)


def hours_a_week(written: Iterable[tuple[dt.date, int]], today: dt.date) -> float | None:
    """What a week holds, from (day, minutes) of bench time; None where too little is written down.

    >>> a_week = [(dt.date(2026, 3, 2) + dt.timedelta(weeks=n), 600) for n in range(10)]
    >>> hours_a_week(a_week, dt.date(2026, 5, 11))
    10.0
    """
    minutes: dict[int, int] = {}
    for day, spent in written:
        weeks_ago = (today - day).days // 7
        if 0 <= weeks_ago <= WEEKS_LOOKED_AT:
            minutes[weeks_ago] = minutes.get(weeks_ago, 0) + spent
    if len(minutes) < WEEKS_WANTED or not any(minutes.values()):
        return None
    return sum(minutes.values()) / 60 / max(len(minutes), max(minutes))


def stays_of(
    moves: Sequence[StageMove], minutes: Mapping[str, int], *, week_h: float, until: dt.date | None = None
) -> list[Stay]:
    """The stages a bow went through until it was first finished, from its standing moves in order of entry.

    `minutes` are its bench times by stage; where none is written the stage took the usual hours, and no more than
    the days held. `until` is today, for a bow still on the bench. A bow whose days are not known, or were all
    written down at once, tells nothing.
    """
    if any(move.happened_to != "d" for move in moves):
        return []
    ends = [move.happened_on for move in moves[1:]] + ([until] if until else [])
    days: dict[str, list[dt.date]] = {}
    for move, end in zip(moves, ends, strict=False):
        if move.stage in FINISHED:
            break
        if move.stage in ON_BENCH:
            begin, last = days.get(move.stage, (move.happened_on, move.happened_on))
            # one who goes back to a stage has been in it as many days more
            days[move.stage] = [begin, last + max(dt.timedelta(0), end - move.happened_on)]
    stays = [_stay(stage, *between, minutes.get(stage), week_h) for stage, between in days.items()]
    return stays if any(stay.days for stay in stays) else []


def _stay(stage: str, begin: dt.date, end: dt.date, minutes: int | None, week_h: float) -> Stay:
    hours = min(USUAL[stage].hours, (end - begin).days * week_h / 7) if minutes is None else minutes / 60
    return Stay(stage, begin, end, hours)


def took_by_stage(
    finished: Sequence[Sequence[Stay]], on_bench: Sequence[Sequence[Stay]], *, week_h: float
) -> dict[str, tuple[Took, ...]]:
    """What each stage took on each finished bow: hours, and the days it waited for more than the bench.

    The bench's days at other bows in the meantime, each bow's hours spread evenly over its days, are no waiting of
    this one. A stage a finished bow was never in took nothing.
    """
    stays = [stay for bow in (*finished, *on_bench) for stay in bow]
    waits = dict(zip(map(id, stays), _waits(stays, week_h), strict=True))
    found: dict[str, list[Took]] = {stage: [] for stage in ON_BENCH}
    for bow in finished:
        was_in = {stay.stage: stay for stay in bow}
        for stage in ON_BENCH:
            stay = was_in.get(stage)
            found[stage].append(Took(stay.hours, float(waits[id(stay)])) if stay else Took(0.0))
    return {stage: tuple(each) for stage, each in found.items()}


def _waits(stays: Sequence[Stay], week_h: float) -> np.ndarray:
    """Days of each stay in which neither it nor another bow had the bench."""
    if not stays:
        return np.zeros(0)
    begin = np.array([stay.begin.toordinal() for stay in stays], float)
    days = np.array([stay.days for stay in stays], float)
    worked = np.array([stay.hours for stay in stays]) * 7 / week_h
    ends = begin + days
    both = np.minimum(ends[:, None], ends) - np.maximum(begin[:, None], begin)
    share = np.clip(both, 0, None) / np.maximum(days, 1)
    np.fill_diagonal(share, 0)
    return np.clip(days - worked - share @ worked, 0, None)
