"""One finished bow of an invented workshop, its order, its wood: what the papers are made from."""

import datetime as dt
import uuid

import pytest

from workshop.bows.models import Dimension, WorkDone
from workshop.bows.services.bows import bow_change, upper_decide
from workshop.bows.services.pieces import piece_add
from workshop.bows.weighing.services import weigh_in_add, weigh_point_add
from workshop.calc.imperial import INCH_M, POUND_N
from workshop.ledger.models import Terms
from workshop.ledger.services import entry_add, record_add, record_change
from workshop.orders.services.handover import bow_start_for_line
from workshop.orders.services.orders import line_add, order_add, payment_add
from workshop.orders.services.persons import measure_add, person_add
from workshop.staves.models import Felling, Place, Stave, Timber

ADDRESS = "https://ledger.invalid"
STARTED = dt.date(2024, 1, 10)
SERIES = ((10, 8), (12, 12), (14, 16), (16, 20), (18, 24), (20, 28), (22, 32), (24, 36), (26, 40), (28, 44.5))
BACKEND = "django.contrib.auth.backends.ModelBackend"


@pytest.fixture
def shop(shop, db):
    """The workshop with everything a paper asks of it."""
    changes = {
        "name": "Hazel Fenwick, bowyer",
        "address": "3 Alder Row\nNether Wickham",
        "contact": "hazel@fenwick.invalid",
        "mark": "HF",
        "address_of_ledger": ADDRESS,
    }
    return record_change(shop, by=None, **changes)


@pytest.fixture
def terms(owner):
    def terms(text="One year on the wood, for the first owner.", on=dt.date(2025, 1, 1)):
        return entry_add(Terms(text=text, happened_on=on), by=owner)

    return terms


@pytest.fixture
def yew(owner):
    return record_add(Timber(name="Yew", code="yew-common", kind="softwood"), by=owner)


@pytest.fixture
def felling(owner, yew):
    return record_add(
        Felling(timber=yew, came_by="tree", happened_on=dt.date(2023, 2, 1), happened_to="m"), by=owner
    )


@pytest.fixture
def make_stave(owner, felling):
    loft = record_add(Place(name="drying loft, rack 2"), by=owner)

    def make(tag, **more):
        return record_add(Stave(tag=tag, felling=felling, length_m=74 * INCH_M, place=loft, **more), by=owner)

    return make


@pytest.fixture
def stave(make_stave):
    return make_stave("23-001")


@pytest.fixture
def archer(owner):
    person = person_add(by=owner, name="Ladislav Žák")
    measure_add(person=person, by=owner, draw_m=28 * INCH_M, happened_on=dt.date(2026, 3, 2))
    return person


@pytest.fixture
def order(owner, archer):
    payer = person_add(
        by=owner, name="Mirela Žáková", address="8 Mill Lane\nOver Wickham", mail="mirela@wickham.invalid"
    )
    order = order_add(
        by=owner,
        payer=payer,
        happened_on=dt.date(2026, 3, 3),
        promised_on=dt.date(2026, 9, 1),
        deposit_minor=20000,
    )
    line_add(
        order=order, by=owner, kind="bow", archer=archer, wanted_n=45 * POUND_N, wanted_draw_m=28 * INCH_M,
        tolerance_n=2 * POUND_N, bow_kind="compass", timbers="Yew", nocks="horn", price_minor=64000,
    )  # fmt: skip
    line_add(order=order, by=owner, kind="goods", words="linen strings", quantity=2, price_minor=1800)
    payment_add(order=order, by=owner, amount_minor=15000, happened_on=dt.date(2026, 3, 4))
    return order


@pytest.fixture
def bow(owner, order, stave):
    """Laid out, planned and braced; not weighed yet."""
    bow = bow_start_for_line(line=order.lines.first(), by=owner, number="26-014", started_on=STARTED)
    bow = bow_change(
        bow=bow, by=owner, length_m=70.5 * INCH_M, grip_m=4 * INCH_M, grip_above_m=INCH_M,
        grip_depth_m=1.25 * INCH_M, section="d", brace_m=6.5 * INCH_M, bowstring="linen, 12 strands",
    )  # fmt: skip
    piece_add(bow=bow, by=owner, stave=stave, part="whole", happened_on=dt.date(2026, 3, 5))
    upper_decide(bow=bow, limb="A", by=owner, happened_on=dt.date(2026, 4, 1), mark="a cross on the back")
    return bow


@pytest.fixture
def weigh(owner):
    """Weigh a bow: pairs of inches and pounds."""

    def weigh(bow, *pairs, on=dt.date(2026, 5, 10), **head):
        usual = {"purpose": "final", "strung": "full", "brace_m": 6.5 * INCH_M, "draw_from": "back"}
        weigh_in = weigh_in_add(bow=bow, by=owner, system="imperial", happened_on=on, **{**usual, **head})
        for inches, pounds in pairs:
            weigh_point_add(
                weigh_in=weigh_in,
                by=owner,
                system="imperial",
                draw_m=inches * INCH_M,
                force_n=pounds * POUND_N,
                entry_key=uuid.uuid4(),
            )
        return weigh_in

    return weigh


@pytest.fixture
def work(owner):
    def work(bow, deed="scraped", on=dt.date(2026, 5, 12), **more):
        return entry_add(WorkDone(bow=bow, deed=deed, happened_on=on, **more), by=owner)

    return work


@pytest.fixture
def finished(bow, weigh, terms):
    """The bow with its final series: 44.5 lb at 28 in."""
    terms()
    weigh(bow, *SERIES)
    return bow


@pytest.fixture
def as_maker(client, maker):
    client.force_login(maker, backend=BACKEND)
    return client


@pytest.fixture
def plan(owner):
    """Planned sizes, both limbs alike."""

    def plan(bow, *stations):
        for limb in "AB":
            for inches, width_mm, depth_mm in stations:
                sizes = {"station_m": inches * INCH_M, "width_m": width_mm / 1000, "depth_m": depth_mm / 1000}
                entry_add(
                    Dimension(bow=bow, limb=limb, planned=True, happened_on=dt.date(2026, 3, 5), **sizes),
                    by=owner,
                )

    return plan


@pytest.fixture
def issue():
    """Issue a paper through the page, as a maker does: look at it, then press the button."""

    def issue(client, kind, subject, **typed):
        page = client.get(f"/papers/{kind}/{subject.pk}")
        form = page.context["form"]
        sent = {name: form.initial.get(name, "") for name in form.fields} | typed
        return client.post(f"/papers/{kind}/{subject.pk}/issue", sent)

    return issue
