"""What a year did to the order book: what was asked, handed over, kept to the day, and paid."""

from dataclasses import dataclass

from django.db.models import Min, Sum

from workshop.ledger.dates import last_day
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
        kept=[
            Kept(d, (d.happened_on - last_day(d.line.order.promised_on, d.line.order.promised_to)).days)
            for d in promised
        ],
    )


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
