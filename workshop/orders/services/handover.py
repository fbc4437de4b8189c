"""From a line of an order to the bow in somebody's hands, and back again years later."""

from django.core.exceptions import ValidationError
from django.db import transaction
from django.dispatch import receiver
from django.utils import timezone
from django.utils.translation import gettext as _

from workshop.bows.models import Bow
from workshop.bows.models.bow import MakeUp, Origin, Stage
from workshop.bows.services.bows import bow_start
from workshop.bows.services.days import check_day
from workshop.bows.services.stages import stage_step
from workshop.bows.wish import wish_of
from workshop.ledger.dates import show_date
from workshop.ledger.services import entry_add, entry_kept, entry_stamp, entry_strike, entry_struck
from workshop.orders.models import Delivery, Order, OrderLine, Ownership, Person, StartedBow, Visit
from workshop.orders.models.orders import OPEN, LineKind, OrderState
from workshop.orders.selectors.papers import care_sheet_of, is_old, tag_of
from workshop.orders.services.expectations import readiness_expect
from workshop.orders.services.orders import order_goes_on, order_step


@transaction.atomic
def bow_start_for_line(*, line: OrderLine, by, note: str = "", entry_key=None, **values) -> Bow:
    """Start a bow for the line, with the order's wishes copied in. Any number may be started.

    Its wood (`staves`) goes to the bench with it: all of it or nothing. A form sent twice starts one bow.
    """
    if kept := entry_kept(StartedBow, entry_key):
        return kept.bow
    _check_takes_bows(line)
    ordered = wish_of(line)
    bow = bow_start(by=by, as_ordered=ordered, **{**ordered, **values})
    bow_join_line(line=line, bow=bow, by=by, note=note, entry_key=entry_key)
    return bow


@transaction.atomic
def bow_join_line(*, line: OrderLine, bow: Bow, by, note: str = "", entry_key=None) -> StartedBow:
    """Set a bow that is there already (from stock, or begun for somebody else) against the line."""
    _check_takes_bows(line)
    key = {"entry_key": entry_key} if entry_key else {}
    started = entry_add(
        StartedBow(line=line, bow=bow, happened_on=timezone.localdate(), note=note, **key), by=by
    )
    order_goes_on(order=line.order, state=OrderState.IN_WORK, by=by)
    readiness_expect(lines=[line], by=by)
    return started


def _check_takes_bows(line: OrderLine) -> None:
    if line.kind != LineKind.BOW:
        raise ValidationError(_("Only a line that orders a bow starts one."))
    _check_is_asked(line)
    if line.deliveries.standing().exists():
        raise ValidationError(_("A bow was delivered for this line already."))


def _check_is_asked(line: OrderLine) -> None:
    if not line.is_asked:
        raise ValidationError(
            _("This line is withdrawn.") if line.withdrawn else _("The order is withdrawn.")
        )


def papers_missing(bow: Bow) -> list[str]:
    """Which papers a bow ought to leave with and has not been given: a tag and a care sheet, neither old."""
    due = {"tag": tag_of(bow), "care-sheet": care_sheet_of(bow)}
    return [
        name if paper is None else f"new-{name}"
        for name, paper in due.items()
        if paper is None or is_old(paper)
    ]


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
    if line is not None:
        _check_is_asked(line)
    delivery = entry_add(Delivery(bow=bow, line=line, to=to, **values), by=by)
    when = {"happened_on": delivery.happened_on, "happened_to": delivery.happened_to}
    entry_add(Ownership(bow=bow, person=to, **when), by=by)
    stage_step(bow=bow, stage=Stage.DELIVERED, by=by, **when)
    if line is not None:
        _order_after_delivery(line, by=by)
    return delivery


@transaction.atomic
def line_deliver(*, line: OrderLine, to: Person, by, **values) -> Delivery:
    """Hand over what is no new bow: goods, or a repaired bow."""
    if kept := entry_kept(Delivery, values.get("entry_key")):
        return kept
    if line.kind == LineKind.BOW:
        raise ValidationError(_("A bow is handed over on its own page, with its papers."))
    _check_is_asked(line)
    delivery = entry_add(Delivery(line=line, bow=line.repairs, to=to, **values), by=by)
    _order_after_delivery(line, by=by)
    return delivery


def _order_after_delivery(line: OrderLine, *, by) -> None:
    """The order is delivered with the last of it; until then it is in work."""
    state = OrderState.IN_WORK if _waiting(line.order) else OrderState.DELIVERED
    order_goes_on(order=line.order, state=state, by=by)


def _waiting(order: Order) -> list[OrderLine]:
    """What must still go out before the order is delivered: each bow and repair; goods go with the last of them."""
    lines = [each for each in order.lines.all() if not each.withdrawn]
    out = set(Delivery.objects.standing().filter(line__order=order).values_list("line", flat=True))
    bows = [each for each in lines if each.kind != LineKind.GOODS]
    return [each for each in bows or lines if each.pk not in out]


@receiver(entry_struck, sender=Delivery)
def hand_over_take_back(*, entry: Delivery, by, **signal) -> None:
    """A hand-over struck out never was: the bow is nobody's yet, at the stage it left, and its order open again."""
    if entry.bow and (entry.line is None or entry.line.kind == LineKind.BOW):
        _bow_take_back(entry, by=by)
    if entry.line:
        _order_take_back(entry.line.order, by=by)


def _bow_take_back(delivery: Delivery, *, by) -> None:
    """Only while nothing rests on the hand-over: what was written since it is struck out first, latest first."""
    bow = delivery.bow
    since = {"struck_at": None, "entered_at__gt": delivery.entered_at}
    again = bow.deliveries.filter(**since).exclude(line__kind=LineKind.REPAIR)
    came_back = bow.visits.filter(**since)
    own = bow.ownerships.filter(
        struck_at=None,
        person=delivery.to,
        happened_on=delivery.happened_on,
        entered_at__gte=delivery.entered_at,
    ).first()
    sold_on = bow.ownerships.filter(**since).exclude(pk=own and own.pk)
    if later := again.first() or came_back.first() or sold_on.first():
        day = show_date(later.happened_on, later.happened_to)
        words = {
            Delivery: _("This bow was handed over again, %(day)s. Strike that out first."),
            Visit: _("This bow came back, %(day)s. Strike that visit out first."),
            Ownership: _("This bow has had another owner since %(day)s. Strike that out first."),
        }[type(later)]
        raise ValidationError(words % {"day": day})
    if own:
        entry_strike(own, by=by, reason=delivery.struck_reason)
    if bow.stage == Stage.DELIVERED:
        left = bow.stage_moves.filter(stage=Stage.DELIVERED).last()
        stage_step(bow=bow, stage=left.was, by=by, note=_("the hand-over was struck out"))


def _order_take_back(order: Order, *, by) -> None:
    """The order stands again as before the last of it went out."""
    if order.state != OrderState.DELIVERED or not _waiting(order):
        return
    was = order.moves.filter(state=OrderState.DELIVERED).last().was
    order = order_step(order=order, state=OrderState.READY, by=by)
    if was != OrderState.READY:
        order_step(order=order, state=OrderState.IN_WORK, by=by)


@transaction.atomic
def bow_of_another_maker(*, maker: str, owner: Person, by) -> Bow:
    """A bow made elsewhere, written into the ledger so that what is found and done can be. It is its owner's."""
    bow = bow_start(by=by, origin=Origin.OTHER, maker=maker, make_up=MakeUp.UNKNOWN)
    when = {"happened_on": timezone.localdate(), "happened_to": "d"}
    entry_add(Ownership(bow=bow, person=owner, **when), by=by)
    stage_step(bow=bow, stage=Stage.DELIVERED, by=by, **when)
    return bow


@transaction.atomic
def visit_add(*, bow: Bow, by, owner_now: bool = False, **values) -> Visit:
    """A bow came back; `owner_now`: whoever brought it owns it from that day on."""
    if kept := entry_kept(Visit, values.get("entry_key")):
        return kept
    check_day(bow, values["happened_on"], values.get("happened_to", "d"))
    visit = entry_add(Visit(bow=bow, **values), by=by)
    if owner_now and visit.brought_by:
        when = {"happened_on": visit.happened_on, "happened_to": visit.happened_to}
        entry_add(Ownership(bow=bow, person=visit.brought_by, **when), by=by)
    return visit


@transaction.atomic
def visit_find(*, visit: Visit, finding: str, by) -> Visit:
    """Write down what was found, where the visit was written before the bow was looked over. Once: what is seen
    later is a flaw of its own."""
    if visit.is_struck:
        raise ValidationError(_("This visit is struck out."))
    if visit.finding.strip():
        raise ValidationError(
            {"finding": _("What was found is written already. Note a flaw, or add it to its work.")}
        )
    return entry_stamp(visit, "found_at", found_at=timezone.now(), finding=finding)


@transaction.atomic
def visit_end(*, visit: Visit, outcome: str, by, on=None) -> Visit:
    """The bow leaves again, or stays, with what was done in words."""
    if visit.ended_at is not None:
        return visit
    if visit.is_struck:
        raise ValidationError(_("This visit is struck out."))
    if on is not None and on < visit.happened_on:
        came = show_date(visit.happened_on, visit.happened_to)
        raise ValidationError({"ended_on": _("That is before it came: %(day)s.") % {"day": came}})
    visit = entry_stamp(
        visit, "ended_at", ended_at=timezone.now(), ended_on=on or timezone.localdate(), outcome=outcome[:300]
    )
    _repair_is_done(visit, by=by)
    return visit


def _repair_is_done(visit: Visit, *, by) -> None:
    """With the bow, the repair that was ordered of it is handed over."""
    ordered = visit.bow.repair_lines.filter(withdrawn=False, order__state__in=OPEN)
    for line in ordered.exclude(deliveries__struck_at=None, deliveries__isnull=False).select_related(
        "order__payer", "repairs"
    ):
        to = visit.brought_by or line.order.payer
        line_deliver(line=line, to=to, happened_on=visit.ended_on, note=visit.outcome, by=by)
