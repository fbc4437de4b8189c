"""How far out the shop's forecasts were: what was expected before a pull against what the scale then showed."""

from collections import defaultdict
from collections.abc import Sequence
from dataclasses import dataclass

from workshop.bows.models import Expectation
from workshop.bows.weighing.picture import method_label


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


def forecasts_kept(year: int | None = None) -> list[MethodRecord]:
    """Every way of forecasting a draw weight that met its outcome, the nearest first. One query."""
    met = Expectation.objects.standing().filter(what="weight", outcome__isnull=False, value__gt=0)
    met = met.exclude(outcome_point__struck_at__isnull=False)
    if year is not None:
        met = met.filter(happened_on__year=year)
    of: dict[str, list[Expectation]] = defaultdict(list)
    for expectation in met:
        of[expectation.method].append(expectation)
    return sorted((_record(method, tried) for method, tried in of.items()), key=lambda each: each.away_pct)


def _record(method: str, tried: Sequence[Expectation]) -> MethodRecord:
    off = [100 * (each.outcome / each.value - 1) for each in tried]
    return MethodRecord(
        method=method,
        tried=len(tried),
        held=sum(each.low <= each.outcome <= each.high for each in tried),
        off_pct=sum(off) / len(off),
        away_pct=sum(map(abs, off)) / len(off),
    )
