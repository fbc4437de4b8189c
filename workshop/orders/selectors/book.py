"""What the order book and an order's page read, with a fixed number of queries."""

import datetime as dt
from dataclasses import dataclass, field

from django.db.models import Prefetch, Q, QuerySet, Sum

from workshop.bows.models.bow import ENDED, Stage
from workshop.orders.models import Delivery, Order, OrderLine, Payment, Person, StartedBow
from workshop.orders.models.orders import OPEN, LineKind


def lines_prefetched() -> Prefetch:
    """Lines with what stands on them: archer, bows started, deliveries."""
    started = StartedBow.objects.select_related("bow", "entered_by", "struck_by")
    gone = Delivery.objects.select_related("bow", "to", "entered_by", "struck_by")
    return Prefetch(
        "lines",
        OrderLine.objects.select_related("archer", "guardian", "repairs").prefetch_related(
            Prefetch("started", started), Prefetch("deliveries", gone)
        ),
    )


def order_book(*, state: str = "", text: str = "") -> QuerySet[Order]:
    """Orders, open ones by promised date first, with payer and lines."""
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
    return orders.order_by("promised_on", "-pk")


@dataclass(frozen=True)
class Account:
    """What an order costs and what came in, in minor units."""

    price: int
    paid: int
    deposit: int
    unpriced: int = 0

    @property
    def owing(self) -> int:
        return self.price - self.paid

    @property
    def deposit_missing(self) -> int:
        return max(0, self.deposit - self.paid)


def account_of(order: Order) -> Account:
    lines = [line for line in order.lines.all() if not line.withdrawn]
    paid = Payment.objects.standing().filter(order=order).aggregate(sum=Sum("amount_minor"))["sum"] or 0
    return Account(
        price=sum((line.price_minor or 0) * line.quantity for line in lines),
        paid=paid,
        deposit=order.deposit_minor or 0,
        unpriced=sum(line.price_minor is None for line in lines),
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
    """An open order with its promised date, and how that stands today."""

    order: Order
    days_left: int
    ready: bool
    in_danger: bool
    why: str = ""

    @property
    def days_late(self) -> int:
        return max(0, -self.days_left)


# common practice, no source: days a bow still needs from each stage on, with shooting in and drying of the finish
DAYS_FROM_STAGE = {
    "": 60, "laid-out": 45, "roughing": 40, "tillering": 30, "shooting-in": 18, "finishing": 10,
    "ready": 1, "stock": 1, "delivered": 0, "broken": 60, "given-up": 60,
}  # fmt: skip


def promises(today: dt.date) -> list[Promise]:
    """Promised dates of open orders, those in danger first, then by date."""
    orders = (
        Order.objects.filter(state__in=OPEN, promised_on__isnull=False)
        .select_related("payer")
        .prefetch_related(lines_prefetched())
    )
    found = [_promise(order, today) for order in orders]
    return sorted(found, key=lambda p: (not p.in_danger, p.order.promised_on))


def _promise(order: Order, today: dt.date) -> Promise:
    left = (order.promised_on - today).days
    needs, why = 0, ""
    for line in order.lines.all():
        if line.kind != LineKind.BOW or line.withdrawn or any(not d.is_struck for d in line.deliveries.all()):
            continue
        bows = [s.bow for s in line.started.all() if not s.is_struck]
        # one that went to stock while another is made in its stead is not the one that will be handed over
        bows = [bow for bow in bows if bow.stage not in (Stage.STOCK, *ENDED)] or bows
        best = min(bows, key=lambda bow: DAYS_FROM_STAGE[bow.stage], default=None)
        days = DAYS_FROM_STAGE[best.stage if best else ""]
        if days > needs:
            needs, why = days, (best.get_stage_display() if best else "")
    return Promise(order=order, days_left=left, ready=needs <= 1, in_danger=left < needs, why=why)


@dataclass
class PersonPage:
    person: Person
    measures: list = field(default_factory=list)
    orders: list = field(default_factory=list)
    bows: list = field(default_factory=list)


def person_whole(person: Person) -> PersonPage:
    """A person with measurements, orders as payer, archer or guardian, and the bows they have or had."""
    mine = Q(payer=person) | Q(lines__archer=person) | Q(lines__guardian=person)
    return PersonPage(
        person=person,
        measures=list(person.measures.select_related("entered_by", "struck_by").order_by("-pk")),
        orders=list(Order.objects.filter(mine).distinct().select_related("payer").order_by("-pk")),
        bows=list(person.ownerships.select_related("bow", "entered_by", "struck_by").order_by("-pk")),
    )


def persons(text: str = "") -> QuerySet[Person]:
    found = Person.objects.filter(nameless_at=None)
    if text:
        found = found.filter(Q(name__icontains=text) | Q(phone__icontains=text) | Q(mail__icontains=text))
    return found
