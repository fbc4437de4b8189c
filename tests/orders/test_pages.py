"""The order book's pages, with and without the right to see them."""

import pytest
from django.urls import reverse

from tests.orders.conftest import LB
from workshop.orders.models import Order, OrderLine, Person
from workshop.orders.services.orders import line_add, order_add
from workshop.orders.services.persons import person_add

pytestmark = pytest.mark.django_db
BACKEND = "django.contrib.auth.backends.ModelBackend"


def test_an_order_is_taken_for_somebody_new_and_goes_on_to_its_lines(as_owner):
    answer = as_owner.post(
        reverse("order-add"),
        {
            "number": "26-01",
            "new_payer": "Edda Quill",
            "happened_on": "2 Mar 2026",
            "promised_on": "Sep 2030",
        },
    )
    order = Order.objects.get()
    assert answer.url == reverse("line-add", args=[order.pk])
    assert (order.payer.name, order.promised_to) == ("Edda Quill", "m")


def test_an_unreadable_draw_keeps_all_that_was_typed(as_owner, order):
    answer = as_owner.post(
        reverse("line-add", args=[order.pk]),
        {
            "kind": "bow",
            "quantity": "1",
            "wanted_n": "45#",
            "wanted_draw_m": "28 in 3 mm",
            "draw_from": "back",
            "hand": "either",
        },
    )
    page = answer.content.decode()
    assert answer.status_code == 422
    assert "28 in 3 mm" in page and "45#" in page and "Two that can" in page
    assert not OrderLine.objects.exists()


def test_a_line_is_read_in_the_makers_units(as_owner, order):
    as_owner.post(
        reverse("line-add", args=[order.pk]),
        {
            "kind": "bow",
            "quantity": "1",
            "wanted_n": "45",
            "wanted_draw_m": "28",
            "draw_from": "back",
            "hand": "either",
            "price_minor": "620",
        },
    )
    line = OrderLine.objects.get()
    assert line.wanted_n == pytest.approx(45 * LB)
    assert line.price_minor == 62000
    page = as_owner.get(reverse("order", args=[order.pk])).content.decode()
    assert "45\xa0lb" in page and "620.00" in page


def test_a_promise_before_the_asking_is_refused_beside_the_field(as_owner, payer):
    answer = as_owner.post(
        reverse("order-add"),
        {"number": "9", "payer": payer.pk, "happened_on": "2 Mar 2026", "promised_on": "1 Mar 2026"},
    )
    assert answer.status_code == 422
    assert "before the order was asked" in answer.content.decode()


def test_two_people_changing_one_order_see_each_others_change(as_owner, maker, order):
    from workshop.orders.services.orders import order_change

    order_change(order=order, by=maker, seen=1, note="rang on Tuesday")
    answer = as_owner.post(
        reverse("order-change", args=[order.pk]),
        {
            "version": "1",
            "number": order.number,
            "payer": order.payer_id,
            "happened_on": "2 Mar 2026",
            "note": "rang on Friday",
        },
    )
    page = answer.content.decode()
    assert answer.status_code == 422
    assert "Jory Penhale" in page and "rang on Tuesday" in page and "rang on Friday" in page
    assert Order.objects.get().note == "rang on Tuesday"


def test_a_helper_sees_no_order_and_no_person(client, helper, order, payer):
    client.force_login(helper, backend=BACKEND)
    for name, args in (("order-book", []), ("order", [order.pk]), ("persons", []), ("person", [payer.pk])):
        assert client.get(reverse(name, args=args)).status_code == 403


def test_a_maker_sees_no_money_unless_the_workshop_says_so(client, maker, shop, line):
    client.force_login(maker, backend=BACKEND)
    page = client.get(reverse("order", args=[line.order_id])).content.decode()
    assert "620.00" not in page
    assert client.get(reverse("payment-add", args=[line.order_id])).status_code == 403


@pytest.mark.parametrize("many", [10, 200])
def test_the_book_asks_the_database_as_often_for_many_orders_as_for_few(
    as_owner, owner, payer, today, many, django_assert_max_num_queries
):
    for n in range(many):
        line_add(
            order=order_add(by=owner, payer=payer, happened_on=today, number=f"N{n}"), by=owner, kind="bow"
        )
    with django_assert_max_num_queries(20):
        assert as_owner.get(reverse("order-book")).status_code == 200


def test_pages_that_only_show(as_owner, line, payer):
    for name, pk in (("order", line.order_id), ("person", payer.pk), ("line-suits", line.pk)):
        assert as_owner.get(reverse(name, args=[pk])).status_code == 200
    assert as_owner.get(reverse("persons") + "?text=quill").status_code == 200


def test_html_in_a_name_is_printed_as_typed(as_owner, owner):
    person = person_add(by=owner, name="<b>Edda</b>")
    page = as_owner.get(reverse("person", args=[person.pk])).content.decode()
    assert "&lt;b&gt;Edda&lt;/b&gt;" in page and "<b>Edda" not in page
    assert Person.objects.get().name == "<b>Edda</b>"
