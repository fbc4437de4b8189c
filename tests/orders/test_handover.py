"""Handing over, with its papers and its money; and a bow that comes back, years later or from another maker."""

import datetime as dt
import uuid

import pytest
from django.core.exceptions import ValidationError
from django.urls import reverse

from tests.orders.conftest import INCH, LB
from workshop.bows.services.bows import bow_start
from workshop.bows.services.readings import work_add
from workshop.bows.services.stages import stage_step
from workshop.bows.weighing.services import weigh_in_add
from workshop.ledger.services import entry_add, entry_strike
from workshop.orders.models import Delivery, IssuedPaper, Order, Ownership, Payment, Person, Visit
from workshop.orders.selectors.book import account_of
from workshop.orders.selectors.visits import since_it_came
from workshop.orders.services.handover import (
    bow_deliver,
    bow_start_for_line,
    line_deliver,
    papers_missing,
    visit_add,
    visit_end,
)
from workshop.orders.services.orders import line_add, line_change, order_step, payment_add
from workshop.orders.services.persons import ownership_add, person_add

pytestmark = pytest.mark.django_db
BACKEND = "django.contrib.auth.backends.ModelBackend"


@pytest.fixture
def bow(owner, line):
    return bow_start_for_line(line=line, by=owner)


@pytest.fixture
def paper(owner, today):
    """A paper of one kind, issued for a bow."""

    def paper(bow, kind):
        number = IssuedPaper.objects.count() + 1
        return entry_add(
            IssuedPaper(
                number=number,
                kind=kind,
                bow=bow,
                pdf=b"%PDF",
                sha256="ab" * 32,
                facts={"a": 1},
                happened_on=today,
            ),
            by=owner,
        )

    return paper


def hand_over(to, **typed):
    return {"to": to.pk, "happened_on": "today", "entry_key": uuid.uuid4(), **typed}


# handing over


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


def weighed_for_good(bow, by, day, force_n=45 * LB):
    return weigh_in_add(
        bow=bow, by=by, system="imperial", purpose="final", strung="full", draw_from="back", draw_m=28 * INCH,
        force_n=force_n, happened_on=day,
    )  # fmt: skip


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
    paper(bow, "rating-tag")
    assert papers_missing(bow) == []


def test_a_bow_whose_weight_was_mistyped_on_its_tag_wants_a_new_one(owner, bow, paper, today):
    point = weighed_for_good(bow, owner, today, force_n=54 * LB).points.get()
    paper(bow, "rating-tag"), paper(bow, "care-sheet")
    entry_strike(point, by=owner)
    assert papers_missing(bow) == ["new-tag"]


def test_a_tag_that_states_no_weight_outlives_work_but_not_a_final_weigh_in(owner, bow, paper, today):
    paper(bow, "plain-tag"), paper(bow, "care-sheet")
    work_add(bow=bow, by=owner, deed="scraped", happened_on=today)
    assert papers_missing(bow) == []
    weighed_for_good(bow, owner, today)
    assert papers_missing(bow) == ["new-tag"]


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


# a hand-over struck out


def struck(client, entry):
    label = entry._meta.label_lower
    return client.post(reverse("strike-out", args=[label, entry.pk]), {"next": "/"}, follow=True)


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


# money


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


@pytest.mark.parametrize("amount", ["", "0", "-5", "1e3", "12.345", "NaN", "9999999", "½", "ten"])
def test_what_is_no_amount_is_refused_and_stays_typed(as_owner, order, amount):
    typed = {"amount_minor": amount, "paid_by": "cash", "happened_on": "today", "entry_key": uuid.uuid4()}
    answer = as_owner.post(reverse("payment-add", args=[order.pk]), typed)
    assert answer.status_code == 422 and not Payment.objects.exists()
    assert f'value="{amount}"' in answer.content.decode() or not amount


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


# coming back


def test_a_bow_brought_by_its_new_owner_is_theirs(as_owner, bow):
    as_owner.post(
        reverse("visit-add", args=[bow.pk]),
        {"new_brought_by": "Later Owner", "owner_now": "on", "complaint": "it ticks", "happened_on": "today",
         "entry_key": uuid.uuid4()},
    )  # fmt: skip
    assert Ownership.objects.get().person.name == Visit.objects.get().brought_by.name == "Later Owner"


def test_a_visit_says_what_they_say_or_what_is_found(as_owner, bow):
    answer = as_owner.post(
        reverse("visit-add", args=[bow.pk]), {"happened_on": "today", "entry_key": uuid.uuid4()}
    )
    assert answer.status_code == 422 and not Visit.objects.exists()


def test_a_bow_does_not_leave_before_it_came(owner, bow, today):
    visit = visit_add(bow=bow, by=owner, complaint="it ticks", happened_on=today)
    with pytest.raises(ValidationError, match="before it came"):
        visit_end(visit=visit, by=owner, outcome="bound", on=today - dt.timedelta(days=1))


def test_what_the_tag_still_wants_is_said_before_a_bow_leaves_again(as_owner, owner, bow, paper, today):
    visit = visit_add(bow=bow, by=owner, complaint="it ticks", happened_on=today)
    at = reverse("visit-end", args=[visit.pk])
    assert "No work, weigh-in or paper" in as_owner.get(at).content.decode()
    work_add(bow=bow, by=owner, deed="scraped", happened_on=today)
    assert "Its weight is not known now" in as_owner.get(at).content.decode()
    weigh_in_add(
        bow=bow, by=owner, system="imperial", purpose="final", strung="full", draw_from="back", draw_m=0.7,
        force_n=40 * LB, happened_on=today,
    )  # fmt: skip
    assert "Its tag is old" in as_owner.get(at).content.decode()
    paper(bow, "rating-tag")
    since = since_it_came(visit)
    assert not since.weight_unknown and not since.tag_is_old


def test_when_a_repaired_bow_leaves_its_repair_is_handed_over(owner, bow, payer, order, today):
    stage_step(bow=bow, stage="delivered", by=owner)
    repair = line_add(order=order, by=owner, kind="repair", repairs=bow, words="bind the nock")
    visit = visit_add(bow=bow, by=owner, brought_by=payer, complaint="loose", happened_on=today)
    visit_end(visit=visit, by=owner, outcome="bound anew")
    assert repair.deliveries.get().to == payer
    visit_end(visit=visit, by=owner, outcome="bound anew")
    assert repair.deliveries.count() == 1


def test_an_old_notebook_bow_comes_for_repair(as_owner, owner, order):
    old = bow_start(by=owner, number="17", origin="notebook", started_on=dt.date(1998, 1, 1), started_to="y")
    line_add(order=order, by=owner, kind="repair", repairs=old, words="a nock has split")
    form = as_owner.get(reverse("visit-add", args=[old.pk])).context["form"]
    assert form["complaint"].value() == "a nock has split" and form["brought_by"].value() == order.payer_id
    page = as_owner.get(reverse("order", args=[order.pk])).content.decode()
    assert "has not come in yet" in page and "It came in" in page


def test_visits_stand_on_the_page_of_whoever_brought_the_bow_and_of_whoever_owns_it(
    as_owner, owner, bow, payer, today
):
    bow_deliver(bow=bow, to=payer, by=owner, despite=True, note="x", happened_on=today)
    visit_add(bow=bow, by=owner, complaint="it ticks", happened_on=today)
    page = as_owner.get(reverse("person", args=[payer.pk])).content.decode()
    assert page.count("it ticks") == 1 and "Bows that came back" in page
