"""Today: the answer first, only what the reader may see, and as many queries for many rows as for few."""

import datetime as dt
import re

import pytest
from django.urls import reverse

from workshop.bows.services.bows import bow_start
from workshop.bows.services.readings import flaw_add as flaw_add_to_bow
from workshop.bows.services.readings import flaw_look, work_add
from workshop.bows.services.stages import stage_step
from workshop.ledger.units import UnitsInUse
from workshop.orders.services.handover import bow_start_for_line, visit_add
from workshop.orders.services.orders import line_add, order_add
from workshop.orders.services.persons import person_add
from workshop.pages.today import answer, todays
from workshop.staves.models import Timber
from workshop.staves.services import felling_add, flaw_add, moisture_add, place_add

pytestmark = pytest.mark.django_db
BACKEND = "django.contrib.auth.backends.ModelBackend"


@pytest.fixture
def ash(db):
    return Timber.objects.create(name="Ash", kind="ring-porous")


@pytest.fixture
def shed(owner):
    return place_add(by=owner, name="Shed", walk=1)


@pytest.fixture
def pieces(owner, ash, shed, today):
    """Three pieces felled two years ago, in the shed, never read."""
    felling = felling_add(
        by=owner, many=3, first_tag="24-001", timber=ash, came_by="tree", place=shed, length_m=1.9,
        happened_on=today - dt.timedelta(days=700),
    )  # fmt: skip
    return list(felling.staves.all())


@pytest.fixture
def promised(owner, today):
    """An order promised for next week with no bow begun, and one promised far ahead."""
    edda = person_add(by=owner, name="Edda Quill")
    near = order_add(by=owner, payer=edda, happened_on=today, promised_on=today + dt.timedelta(days=7))
    far = order_add(by=owner, payer=edda, happened_on=today, promised_on=today + dt.timedelta(days=300))
    for order in (near, far):
        line_add(order=order, by=owner, kind="bow")
    return near, far


def read_today(member, shop, today):
    return todays(member=member, shop=shop, units=UnitsInUse.of(shop, member), today=today)


def page_of(client):
    answered = client.get(reverse("today"))
    assert answered.status_code == 200
    return answered.content.decode()


def test_an_empty_ledger_says_what_to_do_first_in_order(as_owner):
    page = page_of(as_owner)
    steps = [
        "Name the places",
        "Write down wood",
        "Go round with the meter",
        "Lay out a bow",
        "Take an order",
    ]
    at = [page.index(step) for step in steps]
    assert at == sorted(at)
    assert reverse("place-add") in page and "Nothing presses" not in page


def test_a_first_step_that_is_done_is_crossed_out(as_owner, shed):
    assert "<s>Name the places where your wood lies</s>" in page_of(as_owner)


def test_a_helper_in_an_empty_ledger_is_sent_only_where_a_helper_may_go(client, helper):
    client.force_login(helper, backend=BACKEND)
    page = page_of(client)
    assert reverse("place-add") not in page and reverse("meter-round") in page


def test_promises_in_danger_stand_on_top_and_in_the_answer(as_owner, owner, shop, promised, today):
    page = page_of(as_owner)
    near, far = promised
    assert page.index(f"Order {near.number}<") < page.index(f"Order {far.number}<")
    assert "<b>1</b> promise is in danger" in page
    assert page.count("<b>In danger</b>") == 1


def test_a_late_promise_says_by_how_many_days(as_owner, owner, today):
    order = order_add(
        by=owner, payer=person_add(by=owner, name="Edda Quill"), happened_on=today - dt.timedelta(days=90),
        promised_on=today - dt.timedelta(days=12),
    )  # fmt: skip
    line_add(order=order, by=owner, kind="bow")
    assert "12 days late" in page_of(as_owner)


def test_a_helper_sees_no_promise(client, helper, shop, promised, today):
    client.force_login(helper, backend=BACKEND)
    page = page_of(client)
    assert "Edda Quill" not in page and "danger" not in page
    assert read_today(helper, shop, today).promises == []


def test_pieces_due_a_reading_are_counted_place_by_place_with_their_round(as_owner, pieces, shed):
    page = page_of(as_owner)
    assert f"{reverse('meter-round')}?place={shed.pk}" in page
    assert "<b>3</b> pieces are due a reading" in page


def test_a_piece_read_lately_is_not_due(as_owner, owner, shop, pieces, today):
    moisture_add(stave=pieces[0], by=owner, reading_pct=14, happened_on=today - dt.timedelta(days=3))
    assert read_today(owner, shop, today).pieces_due == 2


def test_a_flaw_under_watch_is_named_with_its_piece(as_owner, owner, pieces, today):
    flaw_add(
        stave=pieces[1], by=owner, kind="check", face="back", from_m=0.4, watched=True, happened_on=today
    )
    page = page_of(as_owner)
    assert "<b>1</b> flaw is under watch" in page and "drying check, back" in page


def test_a_quiet_day_says_so(as_owner, owner, shop, today, monkeypatch):
    monkeypatch.setattr("workshop.pages.today._first_steps", list)
    assert "Nothing presses today" in page_of(as_owner)
    assert answer(read_today(owner, shop, today)) == ""


@pytest.fixture
def bow(owner, today):
    return bow_start(
        by=owner, number="B-1", timber_words="ash", wanted_n=200.0, wanted_draw_m=0.7112,
        started_on=today - dt.timedelta(days=90),
    )  # fmt: skip


def test_a_bow_in_hand_stands_with_its_next_step(as_owner, bow):
    page = page_of(as_owner)
    assert reverse("bow", args=[bow.pk]) in page and "Work out its plan" in page


def test_a_bow_that_left_is_not_in_hand(as_owner, owner, bow):
    stage_step(bow=bow, stage="delivered", by=owner)
    assert reverse("bow", args=[bow.pk]) not in page_of(as_owner)


def test_rests_say_how_long_they_last_and_which_end_this_week(as_owner, owner, bow, today):
    work_add(bow=bow, by=owner, deed="steamed", happened_on=today - dt.timedelta(days=2), rest_days=5)
    page = page_of(as_owner)
    assert "<b>1</b> rest ends this week" in page and "rests 3 more days" in page


def test_a_flaw_under_watch_on_a_bow_says_when_it_was_looked_at(as_owner, owner, bow, today):
    flaw = flaw_add_to_bow(bow=bow, by=owner, kind="chrysal", limb="B", face="belly", happened_on=today)
    assert "not looked at since" in page_of(as_owner)
    flaw_look(flaw=flaw, by=owner, seen="grown", happened_on=today)
    page = page_of(as_owner)
    assert "grown" in page and "<b>1</b> flaw is under watch" in page


def test_a_bow_in_for_a_visit_is_named_but_to_a_helper_not_who_brought_it(
    as_owner, client, owner, helper, bow, today
):
    edda = person_add(by=owner, name="Edda Quill")
    visit_add(bow=bow, by=owner, brought_by=edda, complaint="it creaks", happened_on=today)
    page = page_of(as_owner)
    assert "<b>1</b> bow is in for a visit" in page and "brought by Edda Quill" in page
    client.force_login(helper, backend=BACKEND)
    page = page_of(client)
    assert "it creaks" in page and "Edda" not in page


def _fill(owner, ash, today, many):
    """So many of everything the page shows."""
    edda = person_add(by=owner, name="Edda Quill")
    long_ago, now = today - dt.timedelta(days=700), {"by": owner, "happened_on": today}
    for n in range(many):
        place = place_add(by=owner, name=f"Shed {n}", walk=n)
        felling = felling_add(
            by=owner, many=1, first_tag=f"P{n}", timber=ash, came_by="tree", place=place, happened_on=long_ago
        )
        flaw_add(stave=felling.staves.get(), kind="knot", face="back", from_m=0.4, watched=True, **now)
        order = order_add(payer=edda, number=f"N{n}", promised_on=today, **now)
        line = line_add(order=order, by=owner, kind="bow")
        bow = bow_start_for_line(line=line, by=owner, number=f"B{n}")
        work_add(bow=bow, deed="steamed", **now)
        flaw_look(flaw=flaw_add_to_bow(bow=bow, kind="pin", limb="A", face="back", **now), seen="same", **now)
        visit_add(bow=bow, brought_by=edda, **now)


@pytest.mark.parametrize("many", [10, 200])
def test_today_asks_the_database_as_often_for_many_rows_as_for_few(
    as_owner, owner, ash, today, many, django_assert_num_queries
):
    _fill(owner, ash, today, many)
    with django_assert_num_queries(42):
        page_of(as_owner)


@pytest.mark.parametrize(
    ("whole", "model"),
    [
        ("promised", "order"), ("visits", "bow"), ("rests", "bow"),
        ("in_hand", "bow"), ("bow_flaws", "bow"), ("stave_flaws", "stave"),
    ],
)  # fmt: skip
def test_all_of_them_leads_to_a_list_that_holds_just_those(as_owner, owner, ash, today, whole, model):
    _fill(owner, ash, today, 23)
    link = re.search(rf'href="([^"]*whole={whole}#([a-z]+))">All 23 of them', page_of(as_owner))
    shown = as_owner.get(link[1].split("#")[0]).content.decode()
    section = shown[shown.index(f'<h2 id="{link[2]}"') :].split("<h2")[1]
    address = reverse(model, args=[0]).removesuffix("0")
    assert f"whole={whole}#" not in shown
    assert len(set(re.findall(rf'href="({address}\d+)"', section))) == 23
