"""Money that comes in and is given back."""

import uuid

import pytest
from django.urls import reverse

from workshop.orders.models import Payment
from workshop.orders.selectors.book import account_of
from workshop.orders.services.orders import line_add, line_change, order_step, payment_add

pytestmark = pytest.mark.django_db


def test_no_more_is_given_back_than_came_in(as_owner, owner, order, line, today):
    payment_add(order=order, by=owner, amount_minor=20000, happened_on=today)
    at = reverse("refund-add", args=[order.pk])
    typed = {"amount_minor": "200.01", "paid_by": "cash", "happened_on": "today", "entry_key": uuid.uuid4()}
    answer = as_owner.post(at, typed)
    assert answer.status_code == 422 and "200.00" in answer.content.decode()
    as_owner.post(at, {**typed, "amount_minor": "200"})
    assert [p.amount_minor for p in Payment.objects.all()] == [20000, -20000]
    page = as_owner.get(reverse("order", args=[order.pk])).content.decode()
    assert "given back," in page and "-200.00" in page


def test_a_payment_sent_twice_is_one(as_owner, order):
    typed = {"amount_minor": "50", "paid_by": "cash", "happened_on": "today", "entry_key": uuid.uuid4()}
    for _n in range(2):
        as_owner.post(reverse("payment-add", args=[order.pk]), typed)
    assert Payment.objects.count() == 1


@pytest.mark.parametrize("amount", ["", "0", "-5", "1e3", "12.345", "NaN", "9999999", "½", "ten", "$5"])
def test_what_is_no_amount_is_refused_and_stays_typed(as_owner, order, amount):
    typed = {"amount_minor": amount, "paid_by": "cash", "happened_on": "today", "entry_key": uuid.uuid4()}
    answer = as_owner.post(reverse("payment-add", args=[order.pk]), typed)
    assert answer.status_code == 422 and not Payment.objects.exists()
    assert f'value="{amount}"' in answer.content.decode() or not amount


@pytest.mark.parametrize("amount", ["150,-", "150.-", "150,–", "150", "150,00", "€150", "150 €", "EUR 150"])
def test_an_amount_without_cents_is_read_as_it_is_written(as_owner, order, amount):
    typed = {"amount_minor": amount, "paid_by": "cash", "happened_on": "today", "entry_key": uuid.uuid4()}
    assert as_owner.post(reverse("payment-add", args=[order.pk]), typed).status_code == 302
    assert Payment.objects.get().amount_minor == 15000


def test_more_than_the_price_is_taken_and_said(as_owner, order, line):
    typed = {"amount_minor": "690", "paid_by": "cash", "happened_on": "today", "entry_key": uuid.uuid4()}
    page = as_owner.post(reverse("payment-add", args=[order.pk]), typed, follow=True).content.decode()
    assert "more than the price came in: to give back." in page


def test_the_missing_deposit_is_offered_first_then_what_is_owing(as_owner, owner, order, line, today):
    at = reverse("payment-add", args=[order.pk])
    assert as_owner.get(at).context["form"]["amount_minor"].value() == "200.00"
    payment_add(order=order, by=owner, amount_minor=20000, happened_on=today)
    assert as_owner.get(at).context["form"]["amount_minor"].value() == "420.00"


def test_an_order_without_a_price_owes_nothing_yet(as_owner, owner, order):
    line_add(order=order, by=owner, kind="bow")
    page = as_owner.get(reverse("order", args=[order.pk])).content.decode()
    assert "none agreed" in page and "not agreed" in page and "Owing" not in page


def test_of_a_withdrawn_order_what_came_in_is_to_be_given_back(owner, order, line, today):
    payment_add(order=order, by=owner, amount_minor=20000, happened_on=today)
    account = account_of(order_step(order=order, state="withdrawn", by=owner))
    assert (account.price, account.overpaid, account.deposit_missing) == (0, 20000, 0)


def test_a_withdrawn_line_costs_nothing(owner, order, line):
    line_add(order=order, by=owner, kind="goods", words="strings", quantity=3, price_minor=1800)
    line_change(line=line, by=owner, withdrawn=True)
    assert account_of(order).price == 5400
