"""Persons, and what the ledger holds of one; a fixed number of queries."""

import datetime as dt
from collections.abc import Iterable
from dataclasses import dataclass
from functools import reduce
from operator import or_

from django.db.models import Q, QuerySet

from workshop.orders.models import ArcherMeasure, Order, Ownership, Person, Visit

# common practice, no source: the young grow and everybody changes; an older measurement is worth taking again
OLD_AFTER = dt.timedelta(days=730)


def persons(text: str = "") -> QuerySet[Person]:
    """Whose name, address, telephone or mail holds the text."""
    found = Person.objects.filter(nameless_at=None)
    if text:
        fields = ("name", "address", "phone", "mail")
        found = found.filter(reduce(or_, (Q(**{f"{field}__icontains": text}) for field in fields)))
    return found


@dataclass(frozen=True)
class PersonPage:
    """A person with measurements, orders and the parts played in them, bows had, and visits with them."""

    person: Person
    measures: list[ArcherMeasure]
    orders: list[tuple[Order, list[str]]]
    bows: list[Ownership]
    visits: list[Visit]


def person_whole(person: Person) -> PersonPage:
    mine = Q(payer=person) | Q(lines__archer=person) | Q(lines__guardian=person)
    orders = (
        Order.objects.filter(mine)
        .distinct()
        .select_related("payer")
        .prefetch_related("lines")
        .order_by("-pk")
    )
    owned = person.ownerships.select_related("bow", "entered_by", "struck_by").order_by("-pk")
    visits = (
        Visit.objects.filter(Q(brought_by=person) | Q(bow__ownerships__in=owned.filter(struck_at=None)))
        .distinct()
        .select_related("bow", "brought_by", "entered_by", "struck_by")
    )
    return PersonPage(
        person=person,
        measures=list(person.measures.select_related("entered_by", "struck_by").order_by("-pk")),
        orders=[(order, _parts(order, person)) for order in orders],
        bows=list(owned),
        visits=list(visits.order_by("-pk")),
    )


def _parts(order: Order, person: Person) -> list[str]:
    """What the person is in the order: codes `pays`, `shoots`, `guards`; one person may be all."""
    parts = ["pays"] if order.payer_id == person.pk else []
    lines = order.lines.all()
    parts += ["shoots"] if any(line.archer_id == person.pk for line in lines) else []
    parts += ["guards"] if any(line.guardian_id == person.pk for line in lines) else []
    return parts


def last_measures(people: Iterable[Person]) -> dict[int, ArcherMeasure]:
    """The last standing measurement of the draw of each person, by the person's key."""
    found = ArcherMeasure.objects.standing().filter(
        person__in=[person.pk for person in people], draw_m__isnull=False, blanked_at=None
    )
    return {measure.person_id: measure for measure in found.select_related("person").order_by("pk")}


def is_old(measure: ArcherMeasure, today: dt.date) -> bool:
    return today - measure.happened_on > OLD_AFTER
