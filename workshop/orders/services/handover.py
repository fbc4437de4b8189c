"""From a line of an order to the bow in somebody's hands, and back again years later."""

from django.core.exceptions import ValidationError
from django.db import transaction
from django.utils import timezone
from django.utils.translation import gettext as _

from workshop.bows.models import Bow
from workshop.bows.models.bow import Stage
from workshop.bows.services.bows import bow_start
from workshop.bows.services.stages import stage_step
from workshop.bows.wish import wish_of
from workshop.ledger.services import entry_add, entry_kept, entry_stamp
from workshop.orders.models import Delivery, OrderLine, Ownership, Person, StartedBow, Visit
from workshop.orders.models.orders import LineKind, OrderState
from workshop.orders.models.papers import PaperKind
from workshop.orders.services.orders import order_goes_on


@transaction.atomic
def bow_start_for_line(*, line: OrderLine, by, note: str = "", **values) -> Bow:
    """Start a bow for the line, with the order's wishes copied in. Any number may be started."""
    if line.kind != LineKind.BOW:
        raise ValidationError(_("Only a line that orders a bow starts one."))
    ordered = wish_of(line)
    bow = bow_start(by=by, as_ordered=ordered, **{**ordered, **values})
    bow_join_line(line=line, bow=bow, by=by, note=note)
    return bow


@transaction.atomic
def bow_join_line(*, line: OrderLine, bow: Bow, by, note: str = "") -> StartedBow:
    """Set a bow that is there already (from stock, or begun for somebody else) against the line."""
    started = entry_add(StartedBow(line=line, bow=bow, happened_on=timezone.localdate(), note=note), by=by)
    order_goes_on(order=line.order, state=OrderState.IN_WORK, by=by)
    return started


def papers_missing(bow: Bow) -> list[str]:
    """Which papers a bow ought to leave with and has not been given: a tag and a care sheet."""
    kinds = set(bow.papers.filter(struck_at=None).values_list("kind", flat=True))
    missing = []
    if not kinds & {PaperKind.RATING_TAG, PaperKind.PLAIN_TAG}:
        missing.append("tag")
    if PaperKind.CARE_SHEET not in kinds:
        missing.append("care-sheet")
    return missing


@transaction.atomic
def bow_deliver(
    *, bow: Bow, to: Person, by, line: OrderLine | None = None, despite: bool = False, **values
) -> Delivery:
    """Hand the bow over. It wants its tag and care sheet; without them only with `despite` and a note."""
    if kept := entry_kept(Delivery, values.get("entry_key")):
        return kept
    missing = papers_missing(bow)
    if missing and not (despite and values.get("note", "").strip()):
        raise ValidationError(
            {
                "despite": _(
                    "A bow leaves with its tag and care sheet. Issue them, or tick this and say why in the note."
                )
            }
        )
    if bow.stage in (Stage.BROKEN, Stage.GIVEN_UP):
        raise ValidationError(_("This bow is %(stage)s.") % {"stage": bow.get_stage_display()})
    delivery = entry_add(Delivery(bow=bow, line=line, to=to, **values), by=by)
    when = {"happened_on": delivery.happened_on, "happened_to": delivery.happened_to}
    entry_add(Ownership(bow=bow, person=to, **when), by=by)
    stage_step(bow=bow, stage=Stage.DELIVERED, by=by, **when)
    if line is not None:
        _order_after_delivery(line, by=by)
    return delivery


def _order_after_delivery(line: OrderLine, *, by) -> None:
    """The order is delivered when each of its bow lines is."""
    waiting = line.order.lines.filter(kind=LineKind.BOW, withdrawn=False).exclude(
        pk__in=Delivery.objects.standing().filter(line__order=line.order).values("line")
    )
    order_goes_on(
        order=line.order, state=OrderState.IN_WORK if waiting.exists() else OrderState.DELIVERED, by=by
    )


@transaction.atomic
def visit_add(*, bow: Bow, by, **values) -> Visit:
    """A bow came back."""
    return entry_add(Visit(bow=bow, **values), by=by)


@transaction.atomic
def visit_end(*, visit: Visit, outcome: str, by, on=None) -> Visit:
    """The bow leaves again, or stays, with what was done in words."""
    if visit.ended_at is not None:
        return visit
    return entry_stamp(
        visit, "ended_at", ended_at=timezone.now(), ended_on=on or timezone.localdate(), outcome=outcome[:300]
    )
