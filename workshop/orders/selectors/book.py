"""What the order book and an order's page read, with a fixed number of queries."""

import datetime as dt
from dataclasses import dataclass

from django.db.models import F, Prefetch, Q, QuerySet

from workshop.calc.readyby import all_ready
from workshop.ledger.dates import last_day
from workshop.orders.models import (
    Delivery,
    Order,
    OrderLine,
    Payment,
    StartedBow,
    Visit,
)
from workshop.orders.models.orders import OPEN, LineKind, OrderState
from workshop.orders.selectors.forecast import EVEN_PCT, LIKELY_PCT, Forecast, forecast


def lines_prefetched() -> Prefetch:
    """Lines with what stands on them: archer, bows started, deliveries."""
    started = StartedBow.objects.select_related("bow", "entered_by", "struck_by")
    gone = Delivery.objects.select_related("bow", "to", "entered_by", "struck_by")
    visits = Visit.objects.standing().order_by("-pk")
    return Prefetch(
        "lines",
        OrderLine.objects.select_related("archer", "guardian", "repairs").prefetch_related(
            Prefetch("started", started), Prefetch("deliveries", gone), Prefetch("repairs__visits", visits)
        ),
    )


def order_book(*, state: str = "", text: str = "") -> QuerySet[Order]:
    """Orders by promised date, those without one last, with payer and lines."""
    orders = Order.objects.select_related("payer").prefetch_related("lines__archer")
    if state == "open":
        orders = orders.filter(state__in=OPEN)
    elif state:
        orders = orders.filter(state=state)
    if text:
        orders = orders.filter(
            Q(number__icontains=text)
            | Q(payer__name__icontains=text)
            | Q(lines__archer__name__icontains=text)
            | Q(lines__words__icontains=text)
        ).distinct()
    return orders.order_by(F("promised_on").asc(nulls_last=True), "-pk")


@dataclass(frozen=True)
class Account:
    """What an order costs and what came in, in minor units. What is withdrawn costs nothing."""

    price: int
    paid: int
    deposit: int
    unpriced: int = 0
    priced: int = 0

    @property
    def owing(self) -> int:
        """Still to come in, as far as prices are agreed; below zero, more came in than was asked."""
        return self.price - self.paid

    @property
    def overpaid(self) -> int:
        return 0 if self.unpriced else max(0, -self.owing)

    @property
    def deposit_missing(self) -> int:
        return max(0, self.deposit - self.paid)


def account_of(order: Order) -> Account:
    """From the order's lines and payments; no query where they were fetched along."""
    lines = [line for line in order.lines.all() if not line.withdrawn]
    if order.state == OrderState.WITHDRAWN:
        lines = []
    return Account(
        price=sum((line.price_minor or 0) * line.quantity for line in lines),
        paid=sum(payment.amount_minor for payment in order.payments.all() if not payment.is_struck),
        deposit=order.deposit_minor or 0 if lines else 0,
        unpriced=sum(line.price_minor is None for line in lines),
        priced=sum(line.price_minor is not None for line in lines),
    )


def order_whole(pk: int) -> QuerySet[Order]:
    """One order with everything its page shows; its papers are listed by the room that prints them."""
    return (
        Order.objects.filter(pk=pk)
        .select_related("payer", "made_by")
        .prefetch_related(
            lines_prefetched(),
            Prefetch("payments", Payment.objects.select_related("entered_by", "struck_by")),
            "moves__entered_by",
        )
    )


@dataclass(frozen=True)
class Promise:
    """An open order with its promised date, and how that stands today. A month or a year is promised to its end."""

    order: Order
    days_left: int | None
    ready: bool
    in_danger: bool
    why: str = ""  # the stage of the bow that is waited for longest; empty when none is begun
    even_on: dt.date | None = None  # ready by then at even odds
    likely_on: dt.date | None = None  # and by then nine times in ten
    chance_pct: float | None = None  # of being ready by the promised day
    own: bool = True  # foreseen from a record of this workshop's own, however short

    @property
    def days_late(self) -> int:
        return max(0, -(self.days_left or 0))


def promises(today: dt.date) -> list[Promise]:
    """Promised dates of open orders, those in danger first, then by date."""
    orders = list(
        Order.objects.filter(state__in=OPEN, promised_on__isnull=False)
        .select_related("payer")
        .prefetch_related("lines")
    )
    if not orders:
        return []
    foreseen = forecast(today)
    found = [promise_of(order, foreseen) for order in orders]
    return sorted(
        found, key=lambda p: (not p.in_danger, last_day(p.order.promised_on, p.order.promised_to), p.order.pk)
    )


def promise_of(order: Order, foreseen: Forecast) -> Promise:
    """How the order stands: in danger when its day is past, or will not be kept nine times in ten.

    Before the first bow is finished here the nine times in ten tell more of the doubt than of the order: then it is in
    danger at less than even odds. Without a promised day nothing is in danger, and `days_left` is None.
    """
    until = last_day(order.promised_on, order.promised_to) if order.promised_on else None
    waiting = foreseen.of(order.lines.all())
    to_make = [each for each in waiting if not each.is_ready]
    left = (until - foreseen.today).days if until else None
    if not to_make:
        others = [line for line in order.lines.all() if line.kind != LineKind.BOW and not line.withdrawn]
        ready = bool(waiting or not others or order.state == OrderState.READY)
        return Promise(order, left, ready=ready, in_danger=left is not None and left < 0)
    last = max(to_make, key=lambda each: each.likely_on)
    when = all_ready([each.when for each in to_make])
    even_on, likely_on = (when.on(foreseen.today, pct) for pct in (EVEN_PCT, LIKELY_PCT))
    own = foreseen.basis.bows > 0
    return Promise(
        order,
        left,
        ready=False,
        in_danger=until is not None and (likely_on if own else even_on) > until,
        why=str(last.bow.get_stage_display()) if last.bow else "",
        even_on=even_on,
        likely_on=likely_on,
        chance_pct=when.chance_by(foreseen.today, until) if until else None,
        own=own,
    )
