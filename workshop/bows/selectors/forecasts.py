"""How far out the shop's forecasts were: what was expected before a pull against what the scale then showed."""

from collections import defaultdict
from collections.abc import Iterable, Mapping, Sequence
from dataclasses import dataclass, field
from typing import NamedTuple

from django.db.models import BigIntegerField, Exists, OuterRef, Q
from django.db.models.fields.json import KeyTextTransform
from django.db.models.functions import Cast

from workshop.bows.models import Expectation, WeighPoint
from workshop.bows.weighing.picture import method_label
from workshop.calc.learning import Outcome

# The last forecasts that met their outcome, some ninety by each way; older ones were made by a younger maker.
MOST_LEARNED = 630


class Met(NamedTuple):
    """A forecast that met its outcome, as far as is needed of it: a whole entry costs ten times as much to read."""

    method: str
    value: float
    low: float
    high: float
    outcome: float
    at_draw_m: float
    inputs: dict


@dataclass(frozen=True)
class MethodRecord:
    """One way of forecasting a weight. Shares are of the weight forecast, in percent."""

    method: str
    tried: int
    held: int  # outcomes inside the band that was shown
    off_pct: float  # mean; above zero the bow weighed more than forecast
    away_pct: float  # mean, whichever way

    @property
    def name(self) -> str:
        return method_label(self.method)

    @property
    def too_high_pct(self) -> float:
        """By how much the forecasts lay above what was weighed."""
        return -self.off_pct


@dataclass(frozen=True)
class Past:
    """The shop's last forecasts that met their outcome: how far out each way was, and what can be learned of it."""

    records: Sequence[MethodRecord] = ()
    outcomes: Mapping[str, Sequence[Outcome]] = field(default_factory=dict)

    def of(self, method: str) -> Sequence[Outcome]:
        return self.outcomes.get(method, ())


def forecasts_kept(year: int | None = None) -> list[MethodRecord]:
    """Every way of forecasting a draw weight that met its outcome, the nearest first. One query."""
    met = _met()
    return _records(_read(met if year is None else met.filter(happened_on__year=year)))


def forecasts_past() -> Past:
    """What the last forecasts teach the next one. One query, of a bounded number of rows."""
    met = _read(_met().order_by("-pk")[:MOST_LEARNED])
    outcomes: dict[str, list[Outcome]] = defaultdict(list)
    for each in met:
        if (outcome := _outcome(each)) is not None:
            outcomes[each.method].append(outcome)
    return Past(_records(met), outcomes)


def _met():
    """Those that met an outcome, but for what was struck since: the point weighed, the point they were made from, or
    the whole weigh-in of either."""
    after = Cast(KeyTextTransform("after", "inputs"), BigIntegerField())
    struck = WeighPoint.objects.filter(Q(struck_at__isnull=False) | Q(weigh_in__struck_at__isnull=False))
    met = Expectation.objects.standing().filter(what="weight", outcome__gt=0, value__gt=0)
    of_struck = Exists(struck.filter(pk__in=(OuterRef("outcome_point"), OuterRef("after"))))
    return met.annotate(after=after).exclude(of_struck)


def _read(met) -> list[Met]:
    return [Met(*each) for each in met.values_list(*Met._fields)]


def _outcome(met: Met) -> Outcome | None:
    """Measured over expected, before anything was learned from earlier ones; None where the draw it was made at is
    not kept."""
    made = met.inputs.get("raw_n") or met.inputs.get("tempered_n") or met.value
    after = met.inputs.get("after_draw_m")
    usable = made and after and 0.1 < met.outcome / made < 10 and after <= met.at_draw_m
    return Outcome(met.outcome / made, 1 - after / met.at_draw_m) if usable else None


def _records(met: Iterable[Met]) -> list[MethodRecord]:
    of: dict[str, list[Met]] = defaultdict(list)
    for expectation in met:
        of[expectation.method].append(expectation)
    return sorted((_record(method, tried) for method, tried in of.items()), key=lambda each: each.away_pct)


def _record(method: str, tried: Sequence[Met]) -> MethodRecord:
    off = [100 * (each.outcome / each.value - 1) for each in tried]
    return MethodRecord(
        method=method,
        tried=len(tried),
        held=sum(each.low <= each.outcome <= each.high for each in tried),
        off_pct=sum(off) / len(off),
        away_pct=sum(map(abs, off)) / len(off),
    )
