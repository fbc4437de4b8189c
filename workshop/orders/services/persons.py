"""Persons outside the workshop: kept, measured, and on request made nameless."""

from django.db import transaction
from django.db.models import Q
from django.utils import timezone

from workshop.ledger.services import entry_add, entry_stamp, history_blank, record_add, record_change
from workshop.orders.models import ArcherMeasure, IssuedPaper, Ownership, Person


def person_add(*, by, **values) -> Person:
    return record_add(Person(**values), by=by)


@transaction.atomic
def written_in(values: dict, *names: str, by) -> dict:
    """The values with `new_<name>` taken out: somebody new is kept as a person first and put under `name`."""
    values = dict(values)
    for name in names:
        new = (values.pop(f"new_{name}", "") or "").strip()
        if new:
            values[name] = person_add(name=new, by=by)
    return values


def person_change(*, person: Person, by, seen: int | None = None, **values) -> Person:
    return record_change(person, by=by, seen=seen, **values)


def measure_add(*, person: Person, by, **values) -> ArcherMeasure:
    """What was measured on an archer that day."""
    return entry_add(ArcherMeasure(person=person, **values), by=by)


def ownership_add(*, bow, person: Person, by, **values) -> Ownership:
    """From that day the bow is this person's."""
    return entry_add(Ownership(bow=bow, person=person, **values), by=by)


@transaction.atomic
def person_make_nameless(*, person: Person, by) -> Person:
    """Blank what says who the person is: the record, its history, the measurements, the papers that bear the name.

    Numbers, days and checksums stay, so that the ledger still adds up. Backups made before still hold the person;
    the page that calls this names them.
    """
    record_change(person, by=by, name="", address="", phone="", mail="", note="", nameless_at=timezone.now())
    history_blank(person)
    for measure in person.measures.filter(blanked_at=None):
        entry_stamp(
            measure, "blanked_at", blanked_at=timezone.now(), note="", as_typed={},
            draw_m=None, arm_span_m=None, weight_n=None, hand="either",
        )  # fmt: skip
    for paper in papers_naming(person):
        entry_stamp(paper, "removed_at", removed_at=timezone.now(), facts={}, pdf=b"", as_typed={}, note="")
    person.refresh_from_db()
    return person


def papers_naming(person: Person) -> list[IssuedPaper]:
    """Papers still whole of this person's orders, and of bows ordered by them, handed over to them or owned by them.

    Who only brought a bow in stands on no paper.
    """
    mine = (
        Q(order__payer=person)
        | Q(order__lines__archer=person)
        | Q(order__lines__guardian=person)
        | Q(bow__started_for__line__order__payer=person)
        | Q(bow__started_for__line__archer=person)
        | Q(bow__started_for__line__guardian=person)
        | Q(bow__ownerships__person=person)
        | Q(bow__deliveries__to=person)
    )
    return list(IssuedPaper.objects.filter(mine, removed_at=None).distinct())
