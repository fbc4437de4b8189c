"""What was foreseen when a day was promised, kept so that the year book can say how far out forecasts were."""

from collections.abc import Iterable

from django.db import transaction
from django.utils import timezone

from workshop.bows.models import Expectation
from workshop.bows.services.stages import READY
from workshop.ledger.services import entry_add
from workshop.orders.models import OrderLine
from workshop.orders.selectors.forecast import LineReady, forecast

METHOD = "stage times"


@transaction.atomic
def readiness_expect(*, lines: Iterable[OrderLine], by) -> list[Expectation]:
    """Keep when the begun bow of each promised line is expected ready: days from today, with the middle 80 %.

    It meets its outcome when the bow is finished (`bows.services.stages`). The same promise is kept once.
    """
    promised = {line.pk: line.order.promised_on for line in lines if line.order.promised_on}
    if not promised:
        return []
    foreseen = forecast(timezone.localdate())
    begun = [
        each for each in foreseen.of(lines) if each.line.pk in promised and each.bow and not each.is_ready
    ]
    return [_expect(each, foreseen, by) for each in begun if not _is_kept(each)]


def _expect(each: LineReady, foreseen, by) -> Expectation:
    today = foreseen.today
    return entry_add(
        Expectation(
            bow=each.bow,
            what=READY,
            method=METHOD,
            inputs={
                "promised": each.line.order.promised_on.isoformat(),
                "stage": each.bow.stage,
                "place": each.place,
                "own_bows": foreseen.basis.bows,
            },
            value=(each.even_on - today).days,
            low=(each.early_on - today).days,
            high=(each.likely_on - today).days,
            happened_on=today,
        ),
        by=by,
    )


def _is_kept(each: LineReady) -> bool:
    promised = each.line.order.promised_on.isoformat()
    kept = Expectation.objects.standing().filter(bow=each.bow, what=READY, outcome_at=None)
    return any(one.inputs.get("promised") == promised for one in kept)
