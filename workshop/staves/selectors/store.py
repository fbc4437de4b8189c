"""The store as a list, and what other pages ask of it."""

import datetime as dt
from dataclasses import dataclass

from django.db.models import Exists, F, OuterRef, Q, QuerySet

from workshop.ledger.models import Shop
from workshop.staves.models import MoistureReading, OvenDryTest, Stave, StaveFlaw, Weighing
from workshop.staves.models.staves import IN_STORE, StaveState
from workshop.staves.moisture import Track
from workshop.staves.readiness import Readiness, readiness
from workshop.staves.selectors.tracks import tracks

ALL = "all"


@dataclass(frozen=True)
class StoreFilter:
    """What the list is narrowed to. `state` empty: what lies in the store; `all`: every piece there ever was."""

    state: str = ""
    timber: int | None = None
    place: int | None = None
    form: str = ""
    felling: int | None = None
    text: str = ""


@dataclass(frozen=True)
class StoreRow:
    stave: Stave
    track: Track
    readiness: Readiness


def store(wanted: StoreFilter) -> QuerySet[Stave]:
    """The pieces that are wanted, newest first."""
    pieces = Stave.objects.select_related("felling__timber", "place").order_by("-pk")
    if wanted.state == ALL:
        pass
    elif wanted.state:
        pieces = pieces.filter(state=wanted.state)
    else:
        pieces = pieces.filter(state__in=[*IN_STORE, StaveState.BENCH])
    for lookup, value in (
        ("felling__timber", wanted.timber),
        ("place", wanted.place),
        ("form", wanted.form),
        ("felling", wanted.felling),
    ):
        if value:
            pieces = pieces.filter(**{lookup: value})
    for word in wanted.text.split()[:6]:
        pieces = pieces.filter(
            Q(tag__icontains=word)
            | Q(note__icontains=word)
            | Q(felling__where__icontains=word)
            | Q(felling__giver__icontains=word)
            | Q(felling__timber__name__icontains=word)
        )
    return pieces


def store_rows(pieces, *, shop: Shop, today: dt.date) -> list[StoreRow]:
    """One page of the list with how dry each piece is, in four queries beside its own."""
    pieces = list(pieces)
    dryness = tracks(pieces)
    return [StoreRow(p, dryness[p.pk], readiness(p, dryness[p.pk], shop=shop, today=today)) for p in pieces]


def due_a_reading(*, shop: Shop, today: dt.date) -> QuerySet[Stave]:
    """Pieces in the store that nobody has read, weighed or tested for as long as the workshop allows."""
    since = today - dt.timedelta(days=shop.reading_due_days)

    def lately(model):
        return Exists(model.objects.filter(stave=OuterRef("pk"), struck_at=None, happened_on__gte=since))

    return (
        Stave.objects.filter(~lately(MoistureReading), ~lately(Weighing), ~lately(OvenDryTest))
        .filter(state__in=IN_STORE)
        .select_related("felling__timber", "place")
        .order_by(F("place__walk").asc(nulls_last=True), "place__name", "pk")
    )


def watched_flaws() -> QuerySet[StaveFlaw]:
    """Flaws somebody keeps an eye on, on pieces that are still here."""
    return (
        StaveFlaw.objects.filter(struck_at=None, watched=True, settled_at=None)
        .filter(stave__state__in=[*IN_STORE, StaveState.BENCH])
        .select_related("stave__felling__timber")
    )
