"""Ready by when: the bench played through with this workshop's own stage times, for every open line that asks a bow.

A fixed number of queries, however many orders are open and however long the queue.
"""

import datetime as dt
from collections import defaultdict
from collections.abc import Sequence
from dataclasses import dataclass
from functools import lru_cache
from math import exp
from statistics import median
from typing import NamedTuple

from django.db.models import Prefetch

from workshop.bows.models import BenchTime, Bow, StageMove
from workshop.bows.models.bow import ENDED, FINISHED, ON_BENCH, Origin, Stage
from workshop.bows.selectors.bench import days_of_rest
from workshop.calc.readyby import LEAST_PAST, Ready, Took, pace_doubt, ready
from workshop.ledger.dates import last_day
from workshop.orders.models import Delivery, OrderLine, StartedBow
from workshop.orders.models.orders import OPEN, LineKind, OrderState
from workshop.orders.stagetimes import (
    USUAL,
    USUAL_HOURS_A_WEEK,
    WEEKS_LOOKED_AT,
    hours_a_week,
    stays_of,
    took_by_stage,
)

EARLY_PCT, EVEN_PCT, LIKELY_PCT = 10.0, 50.0, 90.0
# of the bows finished here, so many of the latest tell what a stage takes
BOWS_LOOKED_AT = 40
DONE = (Stage.READY, Stage.STOCK)
# plays x stages to go: above it the bench is played through fewer times, so that a page stays quick
_STEPS_AT_MOST, _FEWEST_TIMES, _MOST_TIMES = 60_000, 200, 2000


@dataclass(frozen=True)
class StageTime:
    """What one stage takes by this workshop's own bows, or, before the first of them, by common practice."""

    stage: str
    bows: int
    hours: float
    wait_days: float

    @property
    def name(self) -> str:
        return str(Stage(self.stage).label)

    @property
    def seconds(self) -> float:
        return self.hours * 3600


@dataclass(frozen=True)
class Basis:
    """What the forecast stands on, for “where is this from?”."""

    week_h: float
    week_is_own: bool
    stages: tuple[StageTime, ...]
    bows: int  # finished ones that tell something
    queue: int

    @property
    def pace_factor(self) -> float:
        """How many times quicker or slower than reckoned the workshop may well be, in all stages alike."""
        return exp(pace_doubt(self.bows))


@dataclass(frozen=True, eq=False)
class LineReady:
    """When one line's bow is ready: at even odds, and nine times in ten. `bow` is its furthest; None: none begun."""

    line: OrderLine
    bow: Bow | None
    early_on: dt.date
    even_on: dt.date
    likely_on: dt.date
    chance_pct: float | None = None  # of being ready by the promised day
    own: bool = True  # from a record of this workshop's own, however short
    place: int = 0  # in the queue, from 1; 0 when nothing is left to make
    when: Ready | None = None  # every day it was ready in the bench played through; None when it is ready

    @property
    def is_ready(self) -> bool:
        return self.bow is not None and self.bow.stage in DONE


@dataclass(frozen=True)
class Forecast:
    today: dt.date
    basis: Basis
    lines: dict[int, LineReady]

    def of(self, lines) -> list[LineReady]:
        """Those of the lines that wait for a bow."""
        return [self.lines[line.pk] for line in lines if line.pk in self.lines]


class ToGo(NamedTuple):
    """A stage a bow has still to go; of one that is begun, half."""

    stage: str
    begun: bool = False


@dataclass(frozen=True)
class _Waiting:
    """One bow of the queue, begun or not, and whose line it is, if anybody's."""

    stages: tuple[ToGo, ...]
    line: OrderLine | None
    bow: Bow | None
    rest_days: float

    @property
    def rank(self) -> tuple:
        """Who comes first: what is agreed before what is only asked, then by the promise, then the furthest."""
        order = self.line.order if self.line else None
        asked_only = order is not None and order.state == OrderState.ASKED
        until = last_day(order.promised_on, order.promised_to) if order and order.promised_on else dt.date.max
        first = self.bow.pk if self.bow else self.line.pk
        return asked_only, until, order is None, len(self.stages), self.bow is None, first


def forecast(today: dt.date) -> Forecast:
    """Every open bow line that waits for its bow, with the days it is ready by."""
    lines = _waiting_lines()
    queue = _queue(lines, today)
    basis, past = _stage_times(today, len(queue), [each.bow.pk for each in queue if each.bow])
    played = _played(
        tuple(each.stages for each in queue),
        tuple(past.items()),
        basis.week_h,
        tuple(each.rest_days for each in queue),
    )
    places: dict[int, list[tuple[Ready, int]]] = defaultdict(list)
    for place, (each, when) in enumerate(zip(queue, played, strict=True), start=1):
        if each.line is not None:
            places[each.line.pk].append((when, place))
    found = {line.pk: _line_ready(line, queue, places[line.pk], basis, today) for line in lines}
    return Forecast(today, basis, found)


def _line_ready(line: OrderLine, queue, places, basis: Basis, today: dt.date) -> LineReady:
    done = next((bow for bow in _bows(line) if bow.stage in DONE), None)
    if done is not None:
        return LineReady(line, done, today, today, today, chance_pct=100.0)
    when, place = min(places, key=lambda each: each[0].day(EVEN_PCT))
    order = line.order
    promised = last_day(order.promised_on, order.promised_to) if order.promised_on else None
    return LineReady(
        line,
        queue[place - 1].bow,
        when.on(today, EARLY_PCT),
        when.on(today, EVEN_PCT),
        when.on(today, LIKELY_PCT),
        chance_pct=when.chance_by(today, promised) if promised else None,
        own=basis.bows > 0,
        place=place,
        when=when,
    )


def _bows(line: OrderLine) -> list[Bow]:
    """The bows one of which will be handed over for the line.

    One that went to stock while another is made in its stead is not among them, nor one that is gone.
    """
    bows = [started.bow for started in line.started.all() if not started.is_struck]
    bows = [bow for bow in bows if bow.stage not in (Stage.DELIVERED, *ENDED)]
    return [bow for bow in bows if bow.stage != Stage.STOCK] or bows


def _waiting_lines() -> list[OrderLine]:
    """Bow lines of open orders whose bow has not gone out."""
    out = Delivery.objects.standing().filter(line__isnull=False).values("line")
    return list(
        OrderLine.objects.filter(kind=LineKind.BOW, withdrawn=False, order__state__in=OPEN)
        .exclude(pk__in=out)
        .select_related("order__payer", "archer")
        .prefetch_related(Prefetch("started", StartedBow.objects.standing().select_related("bow")))
    )


def _queue(lines: Sequence[OrderLine], today: dt.date) -> list[_Waiting]:
    """Every bow on the bench, and one for each line that has none, in the order they are worked on."""
    for_line = {bow.pk: line for line in lines for bow in _bows(line)}
    rests = days_of_rest(today)
    queue = [
        _Waiting(_to_go(bow.stage), for_line.get(bow.pk), bow, float(rests.get(bow.pk, 0)))
        for bow in Bow.objects.filter(stage__in=ON_BENCH)
    ]
    begun = {each.line.pk for each in queue if each.line}
    for line in lines:
        if line.pk not in begun and not any(bow.stage in DONE for bow in _bows(line)):
            queue.append(_Waiting(tuple(map(ToGo, ON_BENCH)), line, None, 0.0))
    return sorted(queue, key=lambda each: each.rank)


def _to_go(stage: str) -> tuple[ToGo, ...]:
    """The stage it stands in, half done, and those that follow."""
    now = ON_BENCH.index(stage)
    return (ToGo(stage, begun=True), *map(ToGo, ON_BENCH[now + 1 :]))


def _stage_times(
    today: dt.date, queue: int, on_bench: Sequence[int]
) -> tuple[Basis, dict[str, tuple[Took, ...]]]:
    """What the stages took, from the latest finished bows; those on the bench now had a share of it too."""
    latest = Bow.objects.filter(origin=Origin.HERE, stage__in=FINISHED).order_by("-pk")
    finished = list(latest.values_list("pk", flat=True)[:BOWS_LOOKED_AT])
    until = {**dict.fromkeys(finished), **dict.fromkeys(on_bench, today)}
    moves, minutes = defaultdict(list), defaultdict(lambda: defaultdict(int))
    for move in StageMove.objects.standing().filter(bow__in=list(until)).order_by("pk"):
        moves[move.bow_id].append(move)
    for time in BenchTime.objects.standing().filter(bow__in=list(until)):
        minutes[time.bow_id][time.stage] += time.minutes
    week_own = _own_week(today) if sum(pk in minutes for pk in finished) >= LEAST_PAST else None
    week_h = week_own or USUAL_HOURS_A_WEEK
    stays = {pk: stays_of(moves[pk], minutes[pk], week_h=week_h, until=day) for pk, day in until.items()}
    told = [stays[pk] for pk in finished if stays[pk]]
    past = took_by_stage(told, [stays[pk] for pk in on_bench], week_h=week_h)
    stages = tuple(_stage_time(stage, past[stage]) for stage in ON_BENCH)
    return Basis(week_h, week_own is not None, stages, len(told), queue), past


def _own_week(today: dt.date) -> float | None:
    """Bench hours of a week as this workshop writes them down. They are only set against hours it wrote itself:
    where half of the time is written down, so is half of the hours of each stage."""
    since = today - dt.timedelta(weeks=WEEKS_LOOKED_AT)
    lately = BenchTime.objects.standing().filter(happened_on__gte=since, happened_to="d")
    return hours_a_week(lately.values_list("happened_on", "minutes"), today)


def _stage_time(stage: str, past: Sequence[Took]) -> StageTime:
    """In the middle of what it took here; before the first bow, what is usual."""
    told = past or [USUAL[stage]]
    return StageTime(
        stage, len(past), median(each.hours for each in told), median(each.rest_days for each in told)
    )


@lru_cache(maxsize=16)
def _played(queue, past, week_h: float, resting) -> list[Ready]:
    """The bench played through; the same question is not played twice."""
    times = _STEPS_AT_MOST // max(1, sum(map(len, queue)))
    whole = {ToGo(stage): took for stage, took in past}
    halves = {ToGo(stage, begun=True): tuple(map(_half, took)) for stage, took in past}
    usual = {ToGo(stage): took for stage, took in USUAL.items()}
    half_usual = {ToGo(stage, begun=True): _half(took) for stage, took in USUAL.items()}
    return ready(
        queue,
        {**whole, **halves},
        hours_a_week=week_h,
        usual={**usual, **half_usual},
        resting_days=resting,
        times=min(_MOST_TIMES, max(_FEWEST_TIMES, times)),
    )


def _half(took: Took) -> Took:
    return Took(took.hours / 2, took.rest_days / 2)
