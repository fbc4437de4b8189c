"""What is asked, line by line: one bow to a line, somebody new beside the list, an archer's measurements filled in."""

import datetime as dt

import pytest
from django.core.exceptions import ValidationError
from django.urls import reverse

from tests.orders.conftest import INCH, LB
from workshop.bows.models import Bow
from workshop.ledger.services import history
from workshop.orders.models import OrderLine, Person
from workshop.orders.services.handover import bow_join_line, bow_start_for_line
from workshop.orders.services.orders import line_add, line_change
from workshop.orders.services.persons import measure_add, person_add

pytestmark = pytest.mark.django_db
BACKEND = "django.contrib.auth.backends.ModelBackend"
ASKED = {"kind": "bow", "draw_from": "back", "hand": "either", "wanted_n": "45", "wanted_draw_m": "28"}


@pytest.fixture
def asked(as_owner, order):
    """The answer to a line typed into the page that asks one."""

    def asked(**typed):
        return as_owner.post(reverse("line-add", args=[order.pk]), {**ASKED, **typed})

    return asked


def test_a_line_orders_one_bow(owner, order):
    with pytest.raises(ValidationError, match="One line for each bow"):
        line_add(order=order, by=owner, kind="bow", quantity=2)


def test_three_bows_alike_become_three_lines(asked, order):
    asked(quantity="3", price_minor="430")
    assert [(line.quantity, line.price_minor) for line in order.lines.all()] == [(1, 43000)] * 3


def test_three_strings_alike_stay_one_line(asked, order):
    asked(kind="goods", words="strings", quantity="3")
    assert order.lines.get().quantity == 3


@pytest.mark.parametrize("many", ["0", "41", "two", "1.5", "-1"])
def test_an_absurd_number_of_bows_is_refused_beside_its_field(asked, order, many):
    answer = asked(quantity=many)
    assert answer.status_code == 422 and not order.lines.exists()


def test_each_kind_of_line_shows_only_the_fields_that_fit_it(as_owner, order):
    page = reverse("line-add", args=[order.pk])
    bow, repair, goods = (
        as_owner.get(f"{page}?kind={kind}").content.decode() for kind in ("bow", "repair", "goods")
    )
    assert 'name="wanted_n"' in bow and 'name="repairs"' not in bow
    assert 'name="repairs"' in repair and 'name="wanted_n"' not in repair and 'name="quantity"' not in repair
    assert 'name="quantity"' in goods and 'name="wanted_n"' not in goods
    assert as_owner.get(f"{page}?kind=boat").status_code == 404


def test_what_is_seldom_asked_lies_under_a_fold_that_opens_on_what_stands_in_it(as_owner, asked, order, line):
    page = as_owner.get(reverse("line-add", args=[order.pk])).content.decode()
    assert "<details>" in page and "<details open>" not in page
    assert "<details open>" in asked(tolerance_pct="lots").content.decode()
    line_change(line=line, by=order.made_by, nocks="horn")
    assert "<details open>" in as_owner.get(reverse("line-change", args=[line.pk])).content.decode()


@pytest.mark.parametrize("typed", ["2", "±2 lb", "+-2", "+/- 2 lb", "± 2#"])
def test_a_tolerance_may_be_written_with_its_sign(asked, order, typed):
    assert asked(wanted_n="45", tolerance_n=typed).status_code == 302
    assert order.lines.get().tolerance_n == pytest.approx(2 * LB)


def test_a_tolerance_of_more_than_half_the_weight_is_a_slip(asked, order):
    answer = asked(wanted_n="45", tolerance_n="60")
    assert answer.status_code == 422 and "one of the two is a slip" in answer.content.decode()
    assert not order.lines.exists()


def test_a_new_archer_is_written_in_beside_the_list(asked, order):
    asked(new_archer="Tilly Quill", new_guardian="Ned Quill")
    line = order.lines.get()
    assert (line.archer.name, line.guardian.name) == ("Tilly Quill", "Ned Quill")


def test_nobody_is_written_in_twice(asked, payer, order):
    answer = asked(new_archer="edda quill")
    assert answer.status_code == 422 and "is in the book" in answer.content.decode()
    assert Person.objects.count() == 1 and not order.lines.exists()


def test_an_archer_is_chosen_or_written_in_not_both(asked, payer):
    answer = asked(new_archer="Tilly Quill", archer=payer.pk)
    assert answer.status_code == 422 and "one of the two" in answer.content.decode()
    assert Person.objects.count() == 1


def test_a_refused_line_leaves_no_person_behind(asked):
    answer = asked(new_archer="Tilly Quill", tolerance_n="2", tolerance_pct="5")
    assert answer.status_code == 422 and "not both" in answer.content.decode()
    assert not Person.objects.filter(name="Tilly Quill").exists()


def test_the_payer_is_thought_to_be_the_archer_of_the_first_bow(as_owner, order, payer):
    form = as_owner.get(reverse("line-add", args=[order.pk])).context["form"]
    assert form["archer"].value() == payer.pk


def test_the_last_measurements_of_the_archer_are_offered_and_fill_the_line_in(as_owner, owner, order, payer):
    for draw, on in ((29.0, 2024), (27.5, 2026)):
        measure_add(person=payer, by=owner, draw_m=draw * INCH, hand="left", happened_on=dt.date(on, 3, 3))
    at = reverse("line-add", args=[order.pk])
    assert "27\xa01/2\xa0in" in as_owner.get(at).content.decode()
    form = as_owner.get(f"{at}?kind=bow&measured={payer.pk}").context["form"]
    assert form["wanted_draw_m"].value() == "27\xa01/2" and form["hand"].value() == "left"


def test_old_measurements_are_said_to_be_old(as_owner, owner, order, payer):
    measure_add(person=payer, by=owner, draw_m=27.5 * INCH, happened_on=dt.date(2019, 1, 1), happened_to="y")
    page = as_owner.get(reverse("line-add", args=[order.pk]) + f"?measured={payer.pk}").content.decode()
    assert "measure again" in page and "2019" in page


def test_an_archer_not_measured_is_sent_to_be_measured(as_owner, order, payer):
    page = as_owner.get(reverse("line-add", args=[order.pk]) + f"?measured={payer.pk}").content.decode()
    assert reverse("measure-add", args=[payer.pk]) in page


@pytest.mark.parametrize("archer", ["99999", "x", "-1", "9" * 40, "١"])
def test_an_archer_nobody_knows_fills_nothing_in(as_owner, order, archer):
    assert as_owner.get(reverse("line-add", args=[order.pk]), {"measured": archer}).status_code == 200


def test_the_bow_to_repair_is_named_by_the_number_on_its_tag(asked, owner, order, line):
    bow = bow_start_for_line(line=line, by=owner, number="26-07")
    asked(kind="repair", repairs="26-07", words="bind the nock")
    assert order.lines.last().repairs == bow
    answer = asked(kind="repair", repairs="77-77", words="bind the nock")
    assert answer.status_code == 422 and "No bow bears the number “77-77”" in answer.content.decode()


def test_another_makers_bow_comes_for_repair_and_is_its_owners(asked, order, payer):
    asked(kind="repair", other_maker="Old Hob of Nowhere", words="tip overlay has come off")
    bow = order.lines.get().repairs
    assert (bow.origin, bow.maker, bow.stage) == ("other", "Old Hob of Nowhere", "delivered")
    assert bow.ownerships.get().person == payer


def test_a_repair_of_nothing_is_refused(asked, order):
    answer = asked(kind="repair")
    assert answer.status_code == 422 and "Name the bow to repair" in answer.content.decode()
    assert not Bow.objects.exists()


def test_a_withdrawn_line_takes_no_bow(owner, line):
    line = line_change(line=line, by=owner, withdrawn=True)
    for deed in (bow_start_for_line, lambda **kw: bow_join_line(bow=Bow(number="x"), **kw)):
        with pytest.raises(ValidationError, match="withdrawn"):
            deed(line=line, by=owner)


def test_withdrawing_can_be_read_in_what_changed_and_taken_back(as_owner, line):
    at = reverse("line-withdraw", args=[line.pk])
    as_owner.post(at, {"version": "1", "withdrawn": "on"})
    page = as_owner.get(reverse("order", args=[line.order_id])).content.decode()
    assert "Take it up again" in page and "(withdrawn)" in page
    as_owner.post(at, {"version": "2"})
    assert not OrderLine.objects.get().withdrawn
    assert [c.fields[0]["name"] for c in history(line) if c.fields] == ["withdrawn", "withdrawn"]


def test_two_people_changing_one_line_see_each_others_change(as_owner, maker, line):
    line_change(line=line, by=maker, seen=1, timbers="Wych elm")
    answer = as_owner.post(
        reverse("line-change", args=[line.pk]), {**ASKED, "version": "1", "timbers": "Ash"}
    )
    page = answer.content.decode()
    assert answer.status_code == 422 and "Wych elm" in page and 'value="Ash"' in page


def test_a_maker_reads_no_price_in_what_changed(client, maker, owner, line):
    line_change(line=line, by=owner, price_minor=77700, nocks="horn")
    client.force_login(maker, backend=BACKEND)
    page = client.get(reverse("record-history", args=["orders.orderline", line.pk])).content.decode()
    assert "777" not in page and "620" not in page and "horn" in page
    answer = client.post(reverse("line-change", args=[line.pk]), {**ASKED, "version": "1"})
    assert answer.status_code == 422 and "777" not in answer.content.decode()


def test_a_maker_changing_a_line_leaves_its_price(client, maker, line):
    client.force_login(maker, backend=BACKEND)
    client.post(reverse("line-change", args=[line.pk]), {**ASKED, "version": "1", "price_minor": "1"})
    assert OrderLine.objects.get().price_minor == 62000


def test_html_in_every_word_of_a_line_is_printed_as_typed(asked, as_owner, order):
    words = (
        "words",
        "timbers",
        "grip",
        "nocks",
        "bowstring",
        "use",
        "class_rule",
        "new_archer",
        "new_guardian",
    )
    asked(**{name: f"<b>{name}</b>" for name in words})
    page = as_owner.get(reverse("order", args=[order.pk])).content.decode()
    assert all(f"<b>{name}</b>" not in page for name in words)
    assert all(f"&lt;b&gt;{name}&lt;/b&gt;" in page for name in words)


def test_one_person_may_pay_shoot_and_be_guardian(as_owner, owner, order, payer):
    line_add(order=order, by=owner, kind="bow", archer=payer)
    child = person_add(by=owner, name="Tilly Quill")
    line_add(order=order, by=owner, kind="bow", archer=child, guardian=payer)
    page = as_owner.get(reverse("person", args=[payer.pk])).content.decode()
    assert "pays, shoots, answers for a minor" in page
