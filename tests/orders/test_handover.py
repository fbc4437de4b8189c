"""Handing over: not without the papers, to somebody, once, and what is owing is said."""

import re
import uuid

import pytest
from django.core.exceptions import ValidationError
from django.urls import reverse

from tests.orders.conftest import LB, hand_over, weighed_for_good
from workshop.bows.services.bows import bow_start
from workshop.bows.services.readings import work_add
from workshop.ledger.services import entry_strike
from workshop.orders.models import Delivery, Order, Ownership, Person
from workshop.orders.services.handover import (
    bow_deliver,
    bow_start_for_line,
    line_deliver,
    papers_missing,
    visit_add,
)
from workshop.orders.services.orders import line_add, line_change, order_step

pytestmark = pytest.mark.django_db
BACKEND = "django.contrib.auth.backends.ModelBackend"


def test_a_bow_is_not_handed_over_without_its_papers_and_the_page_leads_to_them(as_owner, bow, payer):
    at = reverse("deliver", args=[bow.pk])
    page = as_owner.get(at).content.decode()
    for kind in ("rating-tag", "plain-tag", "care-sheet"):
        assert reverse("paper-preview", args=[kind, bow.pk]) in page
    answer = as_owner.post(at, hand_over(payer))
    assert answer.status_code == 422 and "Issue them, or tick this" in answer.content.decode()
    assert not Delivery.objects.exists()


def test_with_tag_and_care_sheet_it_is_handed_over_once_however_often_the_form_is_sent(
    as_owner, bow, payer, paper
):
    paper(bow, "plain-tag"), paper(bow, "care-sheet")
    typed = hand_over(payer)
    for _n in range(2):
        assert as_owner.post(reverse("deliver", args=[bow.pk]), typed).status_code == 302
    bow.refresh_from_db()
    assert (Delivery.objects.count(), Ownership.objects.count(), bow.stage) == (1, 1, "delivered")
    page = as_owner.get(reverse("order", args=[Order.objects.get().pk])).content.decode()
    assert "handed over:" in page and "Start a bow for this" not in page


def test_a_struck_care_sheet_does_not_count(bow, paper, owner):
    entry_strike(paper(bow, "care-sheet"), by=owner)
    assert papers_missing(bow) == ["tag", "care-sheet"]


def test_a_bow_scraped_after_its_rating_tag_was_issued_wants_a_new_one(
    as_owner, owner, bow, paper, today, payer
):
    weighed_for_good(bow, owner, today)
    paper(bow, "rating-tag"), paper(bow, "care-sheet")
    assert papers_missing(bow) == []
    work_add(bow=bow, by=owner, deed="scraped", happened_on=today)
    at = reverse("deliver", args=[bow.pk])
    assert "Its tag is old" in as_owner.get(at).content.decode()
    assert as_owner.post(at, hand_over(payer)).status_code == 422
    weighed_for_good(bow, owner, today, force_n=43 * LB)
    paper(bow, "rating-tag"), paper(bow, "care-sheet")
    assert papers_missing(bow) == []


def test_a_bow_whose_weight_was_mistyped_on_its_tag_wants_a_new_one(owner, bow, paper, today):
    point = weighed_for_good(bow, owner, today, force_n=54 * LB).points.get()
    paper(bow, "rating-tag"), paper(bow, "care-sheet")
    entry_strike(point, by=owner)
    assert papers_missing(bow) == ["new-tag", "new-care-sheet"]


def test_a_care_sheet_with_an_older_weight_is_old_too(as_owner, owner, bow, paper, today, payer):
    weighed_for_good(bow, owner, today)
    paper(bow, "rating-tag"), paper(bow, "care-sheet", facts={"weight": "45 lb"})
    weighed_for_good(bow, owner, today, force_n=43 * LB)
    paper(bow, "rating-tag")
    assert papers_missing(bow) == ["new-care-sheet"]
    assert "Its care sheet is old" in as_owner.get(reverse("deliver", args=[bow.pk])).content.decode()


def test_a_bow_that_came_out_otherwise_since_it_was_rated_is_not_handed_over_without_a_word(
    as_owner, owner, bow, paper, today
):
    weighed_for_good(bow, owner, today, brace_m=0.16)
    at = reverse("deliver", args=[bow.pk])
    assert "since</b>" not in as_owner.get(at).content.decode()
    weighed_for_good(bow, owner, today, force_n=39 * LB, purpose="tillering", brace_m=0.16)
    page = " ".join(as_owner.get(at).content.decode().split())
    assert "Lighter since" in page and "Do not draw it further" in page


def test_a_tag_that_states_no_weight_outlives_work_but_not_a_final_weigh_in(owner, bow, paper, today):
    paper(bow, "plain-tag"), paper(bow, "care-sheet")
    work_add(bow=bow, by=owner, deed="scraped", happened_on=today)
    assert papers_missing(bow) == []
    weighed_for_good(bow, owner, today)
    assert papers_missing(bow) == ["new-tag", "new-care-sheet"]


def test_new_leather_on_the_grip_leaves_the_tag_good(owner, bow, paper, today):
    weighed_for_good(bow, owner, today)
    paper(bow, "rating-tag"), paper(bow, "care-sheet")
    work_add(bow=bow, by=owner, deed="gripped", happened_on=today)
    assert papers_missing(bow) == []


def test_a_bow_is_not_handed_over_for_a_line_or_an_order_that_is_withdrawn(owner, bow, line, payer, today):
    why = {"despite": True, "note": "in a hurry", "happened_on": today}
    line_change(line=line, by=owner, withdrawn=True)
    line.refresh_from_db()
    with pytest.raises(ValidationError, match="line is withdrawn"):
        bow_deliver(bow=bow, line=line, to=payer, by=owner, **why)
    line_change(line=line, by=owner, withdrawn=False)
    order_step(order=line.order, state="withdrawn", by=owner)
    line = type(line).objects.get(pk=line.pk)
    with pytest.raises(ValidationError, match="order is withdrawn"):
        bow_deliver(bow=bow, line=line, to=payer, by=owner, **why)


def test_a_bow_begun_for_a_withdrawn_order_is_handed_over_as_one_from_stock(
    as_owner, owner, bow, line, payer, paper
):
    paper(bow, "plain-tag"), paper(bow, "care-sheet")
    order_step(order=line.order, state="withdrawn", by=owner)
    at = reverse("deliver", args=[bow.pk])
    assert "For no order" in as_owner.get(at).content.decode()
    assert as_owner.post(at, hand_over(payer)).status_code == 302
    assert Delivery.objects.get().line is None


def test_a_bow_from_stock_goes_to_somebody_new(as_owner, owner, paper):
    bow = bow_start(by=owner)
    paper(bow, "rating-tag"), paper(bow, "care-sheet")
    as_owner.post(
        reverse("deliver", args=[bow.pk]),
        {"new_to": "Passing Stranger", "happened_on": "today", "entry_key": uuid.uuid4()},
    )
    assert Delivery.objects.get().to == Person.objects.get(name="Passing Stranger")


def test_a_bow_is_handed_to_somebody(as_owner, owner, paper):
    bow = bow_start(by=owner)
    paper(bow, "rating-tag"), paper(bow, "care-sheet")
    answer = as_owner.post(
        reverse("deliver", args=[bow.pk]), {"happened_on": "today", "entry_key": uuid.uuid4()}
    )
    assert answer.status_code == 422 and "Say to whom" in answer.content.decode()


def test_what_is_owing_is_said_at_the_hand_over_to_whoever_may_see_money(as_owner, client, maker, bow):
    at = reverse("deliver", args=[bow.pk])
    assert "620.00" in as_owner.get(at).content.decode()
    client.force_login(maker, backend=BACKEND)
    assert "620.00" not in client.get(at).content.decode()


def test_goods_go_out_by_themselves_or_with_the_last_bow(owner, order, payer, today):
    string = line_add(order=order, by=owner, kind="goods", words="a string")
    line_deliver(line=string, to=payer, by=owner, happened_on=today)
    order.refresh_from_db()
    assert order.state == "delivered"
    with pytest.raises(ValidationError, match="on its own page"):
        line_deliver(line=line_add(order=order, by=owner, kind="bow"), to=payer, by=owner, happened_on=today)


def test_an_order_with_a_repair_still_open_is_not_delivered_with_its_bow(owner, bow, line, payer, today):
    line_add(order=line.order, by=owner, kind="repair", words="another's nock")
    line_add(order=line.order, by=owner, kind="goods", words="a string")
    bow_deliver(bow=bow, line=line, to=payer, by=owner, despite=True, note="x", happened_on=today)
    assert Order.objects.get().state == "in-work"


def test_a_line_that_was_handed_over_is_not_withdrawn(owner, bow, line, payer, today):
    bow_deliver(bow=bow, line=line, to=payer, by=owner, despite=True, note="x", happened_on=today)
    with pytest.raises(ValidationError, match="handed over"):
        line_change(line=line, by=owner, withdrawn=True)
    with pytest.raises(ValidationError, match="delivered for this line already"):
        bow_start_for_line(line=line, by=owner)


def test_money_that_comes_in_at_the_hand_over_leads_back_to_it(as_owner, bow):
    at = reverse("deliver", args=[bow.pk])
    (pay,) = re.findall(r'href="([^"]*/payment[^"]*)"', as_owner.get(at).content.decode()) or [""]
    typed = {"amount_minor": "620", "paid_by": "cash", "happened_on": "today", "entry_key": uuid.uuid4()}
    assert as_owner.post(pay, typed).url == at


def test_a_bow_here_for_a_visit_is_not_handed_over_but_leaves_again(
    as_owner, owner, bow, paper, payer, today
):
    paper(bow, "plain-tag"), paper(bow, "care-sheet")
    bow_deliver(bow=bow, to=payer, by=owner, happened_on=today)
    visit = visit_add(bow=bow, by=owner, complaint="ticks", happened_on=today)
    page = as_owner.get(reverse("deliver", args=[bow.pk])).content.decode()
    assert "Handed over already" in page and reverse("visit-end", args=[visit.pk]) in page


def test_a_bow_that_went_out_is_not_offered_for_hand_over_again(as_owner, owner, bow, paper, payer, today):
    link = f'href="{reverse("deliver", args=[bow.pk])}"'
    shown = reverse("bow", args=[bow.pk])
    assert link in as_owner.get(shown).content.decode()
    for kind in ("rating-tag", "care-sheet"):
        paper(bow, kind)
    bow_deliver(bow=bow, by=owner, line=None, to=payer, happened_on=today)
    assert link not in as_owner.get(shown).content.decode()
