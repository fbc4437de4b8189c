"""Orders: what was asked, what it costs, how it stands, and what was paid."""

from django.core.exceptions import ValidationError
from django.db import transaction
from django.utils import timezone
from django.utils.translation import gettext as _

from workshop.ledger.numbers import hold_numbers, next_of_year
from workshop.ledger.services import entry_add, record_add, record_change
from workshop.orders.models import Order, OrderLine, OrderMove, Payment
from workshop.orders.models.orders import STEPS, LineKind, OrderState


def next_order_number() -> str:
    return next_of_year(Order, "number", timezone.localdate())


@transaction.atomic
def order_add(*, by, number: str = "", **values) -> Order:
    """An order as it was asked; without a number it takes the next."""
    hold_numbers()
    order = record_add(Order(number=number.strip() or next_order_number(), **values), by=by)
    _move(order, "", OrderState.ASKED, by=by, on=order.happened_on, to=order.happened_to)
    return order


def order_change(*, order: Order, by, seen: int | None = None, **values) -> Order:
    return record_change(order, by=by, seen=seen, **values)


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
def line_change(*, line: OrderLine, by, seen: int | None = None, **values) -> OrderLine:
    _check_line(values)
    return record_change(line, by=by, seen=seen, **values)


def _check_line(values: dict) -> None:
    if values.get("tolerance_n") is not None and values.get("tolerance_pct") is not None:
        raise ValidationError({"tolerance_pct": _("Give the tolerance as a weight or in percent, not both.")})
    if values.get("kind") == LineKind.GOODS and not values.get("words"):
        raise ValidationError({"words": _("Say what is ordered: strings, arrows, a place on a course.")})
    if values.get("kind") == LineKind.REPAIR and not values.get("repairs") and not values.get("words"):
        raise ValidationError({"repairs": _("Name the bow to repair, or say in words what it is.")})


def payment_add(*, order: Order, by, **values) -> Payment:
    """Money that came in; below zero, money given back."""
    if not values.get("amount_minor"):
        raise ValidationError({"amount_minor": _("An amount of nothing is no payment.")})
    return entry_add(Payment(order=order, **values), by=by)
