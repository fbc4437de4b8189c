"""The pages that solve a bow, against a view that does nothing: time on the server, all but the network."""

import datetime as dt
import statistics
import time
import uuid

from tests.bench.ledger import empty_ledger, got, queries_of
from tests.bench.registry import bench, best_ms
from workshop.calc.imperial import INCH_M, POUND_N

TODAY = dt.date(2026, 4, 1)
ROUNDS = 15
# stations, widths and depths of an invented ash flatbow, in inches
LIMB = ((3, 1.75, 0.53), (8, 1.6, 0.53), (14, 1.4, 0.52), (20, 1.1, 0.51), (26, 0.8, 0.5), (34, 0.45, 0.48))
BOWS = 2000
OTHERS = "others=wider&others=shorter&others=piked&others=reflex&wider=10&shorter=2&piked=1&reflex=1"


@bench("pages that solve")
def pages():
    """The plan page alone and with four others beside it, and a bow's page with its next pull."""
    with empty_ledger() as (client, owner):
        bow = _bows(owner)
        bare = best_ms(lambda: got(client, "/bare"), ROUNDS)
        yield f"{'a view that does nothing':26} {bare:6.1f} ms"
        for name, address in (
            ("a form that only shows", f"/bench/{bow.pk}/plan"),
            ("the plan, solved", f"/bench/{bow.pk}/plan-sheet"),
            ("the plan and four others", f"/bench/{bow.pk}/plan-sheet?{OTHERS}"),
            ("a bow and its next pull", f"/bench/{bow.pk}"),
        ):
            taken = best_ms(lambda address=address: got(client, address), ROUNDS)
            yield f"{name:26} {taken:6.1f} ms, {taken / bare:5.1f} times that   (hold, where it solves: 150 ms)"


@bench("bows in a full ledger")
def full_ledger():
    """The bow's page, its plan and its weigh-in with 2000 bows in the ledger, each measured, weighed and foretold."""
    with empty_ledger() as (client, owner):
        bow = _bows(owner)
        weigh_in = _only_weigh_in(bow)
        addresses = (
            ("the bench", "/bench/"),
            ("a bow and its next pull", f"/bench/{bow.pk}"),
            ("the plan, solved", f"/bench/{bow.pk}/plan-sheet"),
            ("a weigh-in and its next pull", f"/bench/weigh-in/{weigh_in}"),
            ("before one figure is weighed", f"/bench/{bow.pk}/weigh"),
        )
        few = {name: _measured(client, address) for name, address in addresses}
        _copied(bow, BOWS)
        for name, address in addresses:
            (before, asked_before), (taken, asked) = few[name], _measured(client, address)
            yield (
                f"{name:29} {taken:6.1f} ms, {asked:3} queries; with 21 bows {before:6.1f} ms, {asked_before:3}"
                "   (hold: 150 ms, 100 where nothing is solved)"
            )


def _only_weigh_in(bow) -> int:
    from workshop.bows.models import WeighIn

    return WeighIn.objects.get(bow=bow).pk


def _measured(client, address: str) -> tuple[float, int]:
    """Median server time [ms] of many, and how often the database is asked."""
    got(client, address)
    taken = []
    for _ in range(ROUNDS):
        begun = time.perf_counter()
        got(client, address)
        taken.append(1000 * (time.perf_counter() - begun))
    return statistics.median(taken), queries_of(client, address)


def _copied(bow, count: int) -> None:
    """So many finished bows like this one, with all that hangs on them: what the ledger itself does not do."""
    from django.db.models.query import QuerySet
    from django.utils import timezone

    from workshop.bows.models import Bow, Dimension, Expectation, SetReading, WeighIn, WeighPoint

    def poured(model, rows) -> list:
        return QuerySet(model).bulk_create(rows, batch_size=400)

    def like(entry, **changed):
        fields = [field.attname for field in entry._meta.concrete_fields if not field.primary_key]
        values = {name: getattr(entry, name) for name in fields}
        if "entry_key" in values:
            values["entry_key"] = uuid.uuid4()
        return type(entry)(**values | changed)

    bows = poured(Bow, [like(bow, number=f"24-{n:04}", stage="delivered") for n in range(count)])
    for model in (Dimension, SetReading):
        rows = list(model.objects.filter(bow=bow))
        poured(model, (like(row, bow_id=each.pk) for each in bows for row in rows))
    head, point = WeighIn.objects.get(bow=bow), WeighPoint.objects.get(weigh_in__bow=bow)
    heads = poured(WeighIn, [like(head, bow_id=each.pk) for each in bows])
    points = poured(WeighPoint, [like(point, weigh_in_id=each.pk) for each in heads])
    made, now = list(Expectation.objects.filter(bow=bow)), timezone.now()
    poured(
        Expectation,
        (
            like(each, bow_id=one.pk, outcome=0.98 * each.value, outcome_at=now, outcome_point_id=at.pk)
            for one, at in zip(bows, points, strict=True)
            for each in made
        ),
    )


def _bows(owner):
    """One bow on the bench, planned, measured and weighed once, which comes back, and twenty finished ones."""
    from workshop.bows.models import Bow
    from workshop.staves.services.timbers import timbers_seed

    timbers_seed()
    for number in range(20):
        _bow(owner, f"25-{number:02}", "ready", 28, 42, deeper=1 + number / 200)
    bow = _bow(owner, "26-01", "tillering", 20, 26)
    return Bow.objects.get(pk=bow.pk)


def _bow(owner, number: str, stage: str, draw_in: float, pounds: float, *, deeper: float = 1.0):
    from workshop.bows.services.bows import bow_start
    from workshop.bows.services.readings import dimensions_add, set_add
    from workshop.bows.weighing.services import weigh_in_add, weigh_point_add

    bow = bow_start(
        by=owner, number=number, stage=stage, kind="stiff", timber_words="White ash", started_on=TODAY,
        length_m=68 * INCH_M, grip_depth_m=1.75 * INCH_M, brace_m=6 * INCH_M, wanted_n=42 * POUND_N,
        wanted_draw_m=28 * INCH_M,
    )  # fmt: skip
    stations = [
        {"station_m": at * INCH_M, "width_m": wide * INCH_M, "depth_m": deep * deeper * INCH_M}
        for at, wide, deep in LIMB
    ]
    for planned in (False, True):
        dimensions_add(bow=bow, by=owner, limb="both", stations=stations, planned=planned, happened_on=TODAY)
    for follow, zero in ((0.0, True), (0.75 * INCH_M, False)):
        set_add(bow=bow, by=owner, follow_m=follow, is_zero=zero, rested=True, happened_on=TODAY)
    one = weigh_in_add(
        bow=bow, by=owner, system="imperial", entry_key=uuid.uuid4(), strung="full", purpose="tillering",
        draw_from="back", brace_m=6 * INCH_M, grip_depth_m=1.75 * INCH_M, happened_on=TODAY,
    )  # fmt: skip
    weigh_point_add(
        weigh_in=one, by=owner, system="imperial", draw_m=draw_in * INCH_M, force_n=pounds * POUND_N,
        entry_key=uuid.uuid4(),
    )  # fmt: skip
    return bow
