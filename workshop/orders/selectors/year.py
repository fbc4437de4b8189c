"""What a year did to the order book: what was asked, handed over, kept to the day, and paid."""

import datetime as dt
from dataclasses import dataclass

from django.db.models import Min, Sum

from workshop.orders.models import Delivery, Order, OrderMove, Payment
from workshop.orders.models.orders import OrderState, PaidBy


@dataclass(frozen=True)
class Kept:
    """A promise that came due with a delivery: by how many days it was late (below zero: early)."""

    delivery: Delivery
    days_late: int

    @property
    def in_time(self) -> bool:
        return self.days_late <= 0

    @property
    def order(self) -> Order:
        return self.delivery.line.order


@dataclass(frozen=True)
class OrdersYear:
    asked: int
    withdrawn: int
    delivered: list[Delivery]
    kept: list[Kept]

    @property
    def in_time(self) -> int:
        return sum(kept.in_time for kept in self.kept)


def orders_year(year: int) -> OrdersYear:
    """Three queries."""
    delivered = list(
        Delivery.objects.standing()
        .filter(happened_on__year=year)
        .select_related("bow", "to", "line__order__payer")
        .order_by("happened_on", "pk")
    )
    promised = [d for d in delivered if d.line and d.line.order.promised_on]
    withdrawn = OrderMove.objects.standing().filter(happened_on__year=year, state=OrderState.WITHDRAWN)
    return OrdersYear(
        asked=Order.objects.filter(happened_on__year=year).count(),
        withdrawn=withdrawn.values("order").distinct().count(),
        delivered=delivered,
        kept=[Kept(d, (d.happened_on - _last_day(d.line.order)).days) for d in promised],
    )


def _last_day(order: Order) -> dt.date:
    """The last day that keeps the promise: a promise for a month or a year is kept at its end."""
    day = order.promised_on
    if order.promised_to == "y":
        return dt.date(day.year, 12, 31)
    if order.promised_to == "m":
        return dt.date(day.year + day.month // 12, day.month % 12 + 1, 1) - dt.timedelta(days=1)
    return day


@dataclass(frozen=True)
class MoneyYear:
    """In minor units of the workshop's currency."""

    came_in: list[tuple[str, int]]  # how it was paid, how much

    @property
    def total(self) -> int:
        return sum(amount for _, amount in self.came_in)


def money_year(year: int) -> MoneyYear:
    """Payments of the year by how they were made; money given back is taken off."""
    sums = (
        Payment.objects.standing()
        .filter(happened_on__year=year)
        .values("paid_by")
        .annotate(sum=Sum("amount_minor"))
        .order_by("paid_by")
    )
    return MoneyYear([(str(PaidBy(row["paid_by"]).label), row["sum"]) for row in sums])


def first_order_year() -> int | None:
    first = Order.objects.aggregate(first=Min("happened_on"))["first"]
    return first.year if first else None
