"""Orders: what was asked, what it costs, how it stands, and what was paid."""

from django.core.exceptions import ValidationError
from django.db import transaction
from django.db.models import Sum
from django.utils import timezone
from django.utils.translation import gettext as _

from workshop.ledger.numbers import hold_numbers, next_of_year
from workshop.ledger.services import entry_add, entry_kept, record_add, record_change
from workshop.orders.models import Order, OrderLine, OrderMove, Payment
from workshop.orders.models.orders import STEPS, LineKind, OrderState
from workshop.orders.services.expectations import readiness_expect


def next_order_number() -> str:
    return next_of_year(Order, "number", timezone.localdate())


@transaction.atomic
def order_add(*, by, number: str = "", **values) -> Order:
    """An order as it was asked; without a number it takes the next."""
    hold_numbers()
    order = record_add(Order(number=number.strip() or next_order_number(), **values), by=by)
    _move(order, "", OrderState.ASKED, by=by, on=order.happened_on, to=order.happened_to)
    return order


@transaction.atomic
def order_change(*, order: Order, by, seen: int | None = None, **values) -> Order:
    """Change the order. Of another promised day it is kept what was foreseen when it was promised."""
    was = order.promised_on
    order = record_change(order, by=by, seen=seen, **values)
    if order.promised_on != was:
        readiness_expect(lines=order.lines.all(), by=by)
    return order


@transaction.atomic
def order_step(*, order: Order, state: str, by, seen: int | None = None, note: str = "") -> Order:
    """Take the order to `state`, by the allowed steps."""
    if state not in STEPS[order.state]:
        allowed = ", ".join(str(OrderState(s).label) for s in STEPS[order.state])
        raise ValidationError(
            {"state": _("An order that is %(now)s can become: %(allowed)s.")
             % {"now": order.get_state_display(), "allowed": allowed}}
        )  # fmt: skip
    was = order.state
    order = record_change(order, by=by, seen=seen, state=state)
    _move(order, was, state, by=by, on=timezone.localdate(), note=note)
    return order


def order_goes_on(*, order: Order, state: str, by) -> Order:
    """Bring the order to `state` where that is a step onward; otherwise leave it as it is."""
    onward = [
        OrderState.ASKED,
        OrderState.ACCEPTED,
        OrderState.IN_WORK,
        OrderState.READY,
        OrderState.DELIVERED,
    ]
    if order.state in onward and onward.index(state) > onward.index(order.state):
        was = order.state
        order = record_change(order, by=by, state=state)
        _move(order, was, state, by=by, on=timezone.localdate())
    return order


def _move(order, was, state, *, by, on, to="d", note=""):
    entry_add(OrderMove(order=order, was=was, state=state, happened_on=on, happened_to=to, note=note), by=by)


@transaction.atomic
def line_add(*, order: Order, by, **values) -> OrderLine:
    _check_line(values)
    return record_add(OrderLine(order=order, **values), by=by)


@transaction.atomic
def lines_add(*, order: Order, by, quantity: int = 1, **values) -> list[OrderLine]:
    """What is asked, `quantity` of it: of bows as many lines, of anything else one line for all."""
    if values.get("kind") != LineKind.BOW:
        return [line_add(order=order, by=by, quantity=quantity, **values)]
    return [line_add(order=order, by=by, **values) for _n in range(quantity)]


@transaction.atomic
def line_change(*, line: OrderLine, by, seen: int | None = None, **values) -> OrderLine:
    _check_line({"kind": line.kind, "quantity": line.quantity, **values})
    if values.get("withdrawn") and line.deliveries.standing().exists():
        raise ValidationError({"withdrawn": _("This line was handed over; strike the hand-over out first.")})
    return record_change(line, by=by, seen=seen, **values)


def _check_line(values: dict) -> None:
    if values.get("tolerance_n") is not None and values.get("tolerance_pct") is not None:
        raise ValidationError({"tolerance_pct": _("Give the tolerance as a weight or in percent, not both.")})
    kind = values.get("kind", LineKind.BOW)
    if kind == LineKind.BOW and values.get("quantity", 1) != 1:
        raise ValidationError(
            {
                "quantity": _(
                    "One line for each bow: each has its own archer, is begun by itself, and one is handed over."
                )
            }
        )
    if kind == LineKind.GOODS and "words" in values and not values["words"]:
        raise ValidationError({"words": _("Say what is ordered: strings, arrows, a place on a course.")})
    if kind == LineKind.REPAIR and "words" in values and not (values["words"] or values.get("repairs")):
        raise ValidationError({"repairs": _("Name the bow to repair, or say in words what it is.")})


@transaction.atomic
def payment_add(*, order: Order, by, **values) -> Payment:
    """Money that came in; below zero, money given back, and no more of it than came in."""
    if kept := entry_kept(Payment, values.get("entry_key")):
        return kept
    amount = values.get("amount_minor")
    if not amount:
        raise ValidationError({"amount_minor": _("An amount of nothing is no payment.")})
    Order.objects.select_for_update().get(pk=order.pk)
    paid = Payment.objects.standing().filter(order=order).aggregate(sum=Sum("amount_minor"))["sum"] or 0
    if amount < 0 and paid + amount < 0:
        raise ValidationError(
            {"amount_minor": _("No more can be given back than came in: %(paid).2f.") % {"paid": paid / 100}}
        )
    return entry_add(Payment(order=order, **values), by=by)
