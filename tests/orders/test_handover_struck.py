"""A hand-over struck out: it never was, where nothing rests on it."""

import pytest
from django.urls import reverse

from workshop.bows.services.stages import stage_step
from workshop.ledger.services import entry_strike
from workshop.orders.models import Delivery, Order, Ownership
from workshop.orders.services.handover import (
    bow_deliver,
    line_deliver,
    visit_add,
)
from workshop.orders.services.orders import line_add, line_change
from workshop.orders.services.persons import ownership_add, person_add

pytestmark = pytest.mark.django_db


def struck(client, entry):
    label = entry._meta.label_lower
    return client.post(
        reverse("strike-out", args=[label, entry.pk]), {"next": "/", "reason": "mistyped"}, follow=True
    )


def test_a_hand_over_struck_out_never_was(as_owner, owner, bow, line, payer, today):
    stage_step(bow=bow, stage="ready", by=owner)
    delivery = bow_deliver(bow=bow, line=line, to=payer, by=owner, despite=True, note="x", happened_on=today)
    assert Order.objects.get().state == "delivered"
    struck(as_owner, delivery)
    bow.refresh_from_db()
    assert bow.stage == "ready"
    assert Ownership.objects.get().is_struck
    assert Order.objects.get().state == "in-work"
    assert "handed over:" in as_owner.get(reverse("order", args=[line.order_id])).content.decode()
    bow_deliver(bow=bow, line=line, to=payer, by=owner, despite=True, note="x", happened_on=today)
    bow.refresh_from_db()
    assert (bow.stage, Order.objects.get().state) == ("delivered", "delivered")


def test_a_bow_that_left_unfinished_is_back_where_it_stood_on_the_bench(owner, bow, line, payer, today):
    stage_step(bow=bow, stage="tillering", by=owner)
    delivery = bow_deliver(bow=bow, line=line, to=payer, by=owner, despite=True, note="x", happened_on=today)
    entry_strike(delivery, by=owner, reason="wrong bow")
    bow.refresh_from_db()
    assert (bow.stage, Ownership.objects.get().struck_reason) == ("tillering", "wrong bow")
    assert Order.objects.get().state == "in-work"


def test_a_hand_over_on_which_a_visit_rests_is_not_struck_out_before_it(
    as_owner, owner, bow, line, payer, today
):
    delivery = bow_deliver(bow=bow, line=line, to=payer, by=owner, despite=True, note="x", happened_on=today)
    visit = visit_add(bow=bow, by=owner, complaint="it ticks", happened_on=today)
    for entry in (delivery, visit):  # what is to be struck first can be struck from the same page
        strike_out = reverse("strike-out", args=[entry._meta.label_lower, entry.pk])
        assert strike_out in as_owner.get(reverse("bow", args=[bow.pk])).content.decode()
    assert "This bow came back" in struck(as_owner, delivery).content.decode()
    bow.refresh_from_db()
    assert bow.stage == "delivered" and not Ownership.objects.get().is_struck
    assert Delivery.objects.standing().exists()
    entry_strike(visit, by=owner)
    struck(as_owner, delivery)
    assert not Delivery.objects.standing().exists()


def test_a_hand_over_is_not_struck_out_while_the_bow_is_anothers_since(as_owner, owner, bow, payer, today):
    delivery = bow_deliver(bow=bow, to=payer, by=owner, despite=True, note="x", happened_on=today)
    sold = ownership_add(
        bow=bow, person=person_add(by=owner, name="Later Owner"), by=owner, happened_on=today
    )
    assert "another owner since" in struck(as_owner, delivery).content.decode()
    entry_strike(sold, by=owner)
    struck(as_owner, delivery)
    bow.refresh_from_db()
    assert bow.stage == "laid-out" and not Ownership.objects.standing().exists()


def test_an_earlier_hand_over_is_not_struck_out_before_the_later_one(as_owner, owner, bow, payer, today):
    how = {"to": payer, "by": owner, "despite": True, "note": "x", "happened_on": today}
    first = bow_deliver(bow=bow, **how)
    stage_step(bow=bow, stage="tillering", by=owner)
    again = bow_deliver(bow=bow, **how)
    assert "handed over again" in struck(as_owner, first).content.decode()
    struck(as_owner, again)
    bow.refresh_from_db()
    assert bow.stage == "tillering"
    struck(as_owner, first)
    bow.refresh_from_db()
    assert bow.stage == "tillering" and not Ownership.objects.standing().exists()


def test_a_repair_handed_over_by_mistake_leaves_the_bow_its_owners(owner, bow, payer, order, today):
    bow_deliver(bow=bow, to=payer, by=owner, despite=True, note="x", happened_on=today)
    repair = line_add(order=order, by=owner, kind="repair", repairs=bow, words="bind the nock")
    line_change(line=order.lines.get(kind="bow"), by=owner, withdrawn=True)
    entry_strike(line_deliver(line=repair, to=payer, by=owner, happened_on=today), by=owner)
    bow.refresh_from_db()
    assert (bow.stage, Order.objects.get().state) == ("delivered", "in-work")
    assert not Ownership.objects.get().is_struck
