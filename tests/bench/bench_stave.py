"""The page of one piece in a full store, against a view that does nothing: time on the server, all but the network."""

import datetime as dt
import math
import random

from tests.bench.ledger import empty_ledger, got, queries_of
from tests.bench.registry import bench, best_ms

STAVES, READINGS_EACH = 5000, 18  # 90 000 readings in all
PLACES, AIR_EACH = 12, 120
TODAY = dt.date.today()
ROUNDS = 15


@bench("stave page")
def stave_page():
    """The page of a piece, dry and drying, and the lists beside it, with 5000 pieces and 90 000 readings kept."""
    with empty_ledger() as (client, owner):
        drying, dry = _full_store(owner)
        bare = best_ms(lambda: got(client, "/bare"), ROUNDS)
        yield f"{'a view that does nothing':34} {bare:6.1f} ms"
        for name, address, hold in (
            ("a piece still drying, forecast", f"/wood/pieces/{drying.pk}", 150),
            ("a piece ready for the bench", f"/wood/pieces/{dry.pk}", 100),
            ("the store, a page of 40", "/wood/", 100),
            ("the meter round", "/wood/round", 100),
            ("a felling", f"/wood/fellings/{dry.felling_id}", 100),
            ("fellings", "/wood/fellings", 100),
            ("places", "/wood/places", 100),
            ("timbers", "/wood/timbers", 100),
        ):
            taken = best_ms(lambda address=address: got(client, address), ROUNDS)
            asked = queries_of(client, address)
            yield (
                f"{name:34} {taken:6.1f} ms, {taken / bare:5.1f} times that, {asked:3} queries   (hold: {hold} ms)"
            )


def _full_store(owner) -> tuple:
    """An invented store, the same each time: a piece that has been drying for a year, and one that is ready."""
    from workshop.staves.models import MoistureReading

    drying, dry = _staves(owner)
    for stave in (drying, dry):
        _written(stave, owner)
    MoistureReading.objects.create(stave=dry, reading_pct=9.2, happened_on=TODAY, entered_by=owner)
    return drying, dry


def _staves(owner) -> list:
    """All pieces with their moves and readings, their places with their air; back come the first two."""
    from workshop.staves.models import (
        ClimateReading,
        Felling,
        MoistureReading,
        Place,
        Stave,
        StaveMove,
        Weighing,
    )
    from workshop.staves.services.timbers import timbers_seed

    chance, timbers, felled = random.Random(1), timbers_seed(), TODAY - dt.timedelta(days=400)
    places = [Place.objects.create(name=f"Place {n}", walk=n) for n in range(PLACES)]
    air = [
        ClimateReading(
            place=place,
            temperature_c=12 + n % 8,
            humidity_pct=chance.uniform(50, 75),
            happened_on=TODAY - dt.timedelta(days=3 * n),
            entered_by=owner,
        )
        for n in range(AIR_EACH)
        for place in places
    ]
    fellings = [
        Felling.objects.create(timber=chance.choice(timbers), came_by="tree", happened_on=felled)
        for _ in range(STAVES // 10)
    ]
    staves = [
        Stave(
            tag=f"24-{n:04}",
            felling=fellings[n // 10],
            length_m=1.8,
            place=places[n % PLACES],
            bark_on=False,
        )
        for n in range(STAVES)
    ]
    _poured(ClimateReading, air)
    _poured(Stave, staves)
    moves = [StaveMove(stave=each, place=each.place, happened_on=felled, entered_by=owner) for each in staves]
    _poured(StaveMove, moves)
    for model, value in ((MoistureReading, "reading_pct"), (Weighing, "mass_kg")):
        entries = (
            model(
                stave=each,
                happened_on=felled + dt.timedelta(days=44 * n),
                entered_by=owner,
                **{value: _drying(44 * n, number % 2, value)},
            )
            for number, each in enumerate(staves)
            for n in range(READINGS_EACH // 2)
        )
        _poured(model, entries)
    return list(Stave.objects.order_by("pk")[:2])


def _poured(model, rows) -> None:
    """Thousands of invented rows at once: what the ledger itself does not do."""
    from django.db.models.query import QuerySet

    QuerySet(model).bulk_create(rows, batch_size=900)


def _drying(days: int, quick: bool, value: str) -> float:
    """Toward 13 %, the slow ones by half every 140 days, the others by half every 60; or what it then weighs."""
    pct = 13 + 14 * math.exp(-days * math.log(2) / (60 if quick else 140))
    return round(pct, 1) if value == "reading_pct" else round(3 * (1 + pct / 100), 2)


def _written(stave, owner) -> None:
    """Sizes, a bent offcut, rings and flaws: what a piece that is looked after has."""
    from workshop.staves.services import bend_test_add, flaw_add, ring_count_add, sizes_add

    entry = {"stave": stave, "by": owner, "happened_on": TODAY - dt.timedelta(days=48)}
    rows = [{"station_m": at, "width_m": 0.055, "depth_m": 0.05} for at in (0.1, 0.5, 0.9, 1.3, 1.7)]
    sizes_add(rows=rows, **entry)
    bend_test_add(
        span_m=0.3, width_m=0.02, depth_m=0.01, load_n=30.0, deflection_m=0.0008, moisture_pct=10, **entry
    )
    for end in ("butt", "top"):
        ring_count_add(end=end, rings=9, distance_m=0.0254, **entry)
    for at in (0.3, 0.7, 1.1):
        flaw_add(kind="pin", face="belly", from_m=at, watched=True, **entry)
