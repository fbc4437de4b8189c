"""Orders as a bowyer takes them."""

import datetime as dt

import pytest
from django.core.exceptions import ValidationError
from django.db import IntegrityError, transaction

from tests.orders.conftest import INCH, LB
from workshop.ledger.services import history
from workshop.orders.models import Delivery, Order, OrderLine, StartedBow
from workshop.orders.selectors.book import account_of, promises
from workshop.orders.services.handover import (
    bow_deliver,
    bow_join_line,
    bow_start_for_line,
    papers_missing,
    visit_add,
    visit_end,
)
from workshop.orders.services.orders import (
    line_add,
    line_change,
    order_add,
    order_change,
    order_step,
    payment_add,
)

pytestmark = pytest.mark.django_db


def test_an_order_takes_the_next_number_of_the_year(owner, payer, today):
    first = order_add(by=owner, payer=payer, happened_on=today)
    second = order_add(by=owner, payer=payer, happened_on=today)
    assert (first.number, second.number) == (f"{today:%y}-01", f"{today:%y}-02")


def test_two_orders_never_bear_one_number(owner, payer, today):
    order_add(by=owner, payer=payer, happened_on=today, number="A7")
    with pytest.raises(ValidationError, match="Another order has this number"):
        order_add(by=owner, payer=payer, happened_on=today, number="a7")


def test_a_changed_promise_can_be_read_as_a_person_reads_it(owner, order):
    order_change(order=order, by=owner, seen=1, promised_on=dt.date(2026, 9, 20))
    assert history(order).last().fields == [
        {"field": "promised_on", "name": "promised for", "from": "1 Sep 2026", "to": "20 Sep 2026"}
    ]


def test_an_order_goes_by_the_allowed_steps(owner, order):
    with pytest.raises(ValidationError, match="accepted, withdrawn"):
        order_step(order=order, state="delivered", by=owner)
    order = order_step(order=order, state="accepted", by=owner)
    assert [m.state for m in order.moves.all()] == ["asked", "accepted"]


def test_what_the_order_asks_is_copied_into_the_bow_when_it_is_started(owner, line):
    bow = bow_start_for_line(line=line, by=owner)
    assert (bow.wanted_n, bow.wanted_draw_m, bow.kind) == (line.wanted_n, line.wanted_draw_m, "compass")
    assert bow.tolerance_n == pytest.approx(2 * LB)
    line_change(line=line, by=owner, wanted_n=50 * LB)
    bow.refresh_from_db()
    assert bow.wanted_n == pytest.approx(45 * LB)
    assert bow.as_ordered["wanted_n"] == pytest.approx(45 * LB)


def test_a_tolerance_in_percent_becomes_a_weight(owner, order):
    line = line_add(order=order, by=owner, kind="bow", wanted_n=50 * LB, tolerance_pct=4)
    assert line.allowed_off_n == pytest.approx(2 * LB)


def test_a_tolerance_is_given_one_way(owner, order):
    with pytest.raises(ValidationError, match="not both"):
        line_add(order=order, by=owner, kind="bow", tolerance_n=9, tolerance_pct=4)


def test_starting_a_bow_puts_the_order_in_work(owner, line):
    order_step(order=line.order, state="accepted", by=owner)
    line = OrderLine.objects.get(pk=line.pk)
    bow_start_for_line(line=line, by=owner)
    assert Order.objects.get(pk=line.order_id).state == "in-work"


def test_two_bows_may_be_started_for_one_line_and_one_is_delivered(owner, line, payer, today):
    first, second = (bow_start_for_line(line=line, by=owner) for _ in range(2))
    hand_over = {
        "to": payer,
        "by": owner,
        "line": line,
        "despite": True,
        "note": "tag lost",
        "happened_on": today,
    }
    bow_deliver(bow=first, **hand_over)
    with pytest.raises(ValidationError, match="delivered for this line already"):
        bow_deliver(bow=second, **hand_over)


def test_the_database_too_delivers_one_bow_for_a_line(owner, line, payer, today):
    bows = [bow_start_for_line(line=line, by=owner) for _ in range(2)]
    Delivery(bow=bows[0], line=line, to=payer, happened_on=today, entered_by=owner).save()
    with pytest.raises(IntegrityError), transaction.atomic():
        Delivery(bow=bows[1], line=line, to=payer, happened_on=today, entered_by=owner).save()


def test_a_bow_does_not_leave_without_tag_and_care_sheet_unless_it_is_said_why(owner, line, payer, today):
    bow = bow_start_for_line(line=line, by=owner)
    assert papers_missing(bow) == ["tag", "care-sheet"]
    with pytest.raises(ValidationError, match="tag and care sheet"):
        bow_deliver(bow=bow, line=line, to=payer, by=owner, happened_on=today)


def test_the_order_is_delivered_when_its_last_bow_is(owner, line, payer, today):
    order_step(order=line.order, state="accepted", by=owner)
    line = OrderLine.objects.get(pk=line.pk)
    second = line_add(order=line.order, by=owner, kind="bow", wanted_n=30 * LB)
    for some in (line, second):
        some = OrderLine.objects.get(pk=some.pk)
        bow = bow_start_for_line(line=some, by=owner)
        some = OrderLine.objects.get(pk=some.pk)
        bow_deliver(bow=bow, line=some, to=payer, by=owner, despite=True, note="x", happened_on=today)
        state = Order.objects.get(pk=line.order_id).state
        assert state == ("in-work" if some.pk == line.pk else "delivered")


def test_a_bow_stands_for_one_line_at_a_time(owner, line, order):
    bow = bow_start_for_line(line=line, by=owner)
    other = line_add(order=order, by=owner, kind="bow")
    with pytest.raises(ValidationError, match="started for another line"):
        bow_join_line(line=other, bow=bow, by=owner)
    assert StartedBow.objects.count() == 1


def test_the_account_counts_what_stands(owner, line, order, today):
    from workshop.ledger.services import entry_strike

    payment_add(order=order, by=owner, amount_minor=20000, happened_on=today)
    slip = payment_add(order=order, by=owner, amount_minor=99900, happened_on=today)
    entry_strike(slip, by=owner)
    account = account_of(order)
    assert (account.price, account.paid, account.owing, account.deposit_missing) == (62000, 20000, 42000, 0)


def test_promised_dates_in_danger_come_first(owner, payer, today):
    late = order_add(by=owner, payer=payer, happened_on=today, promised_on=today + dt.timedelta(days=400))
    soon = order_add(by=owner, payer=payer, happened_on=today, promised_on=today + dt.timedelta(days=20))
    for some in (late, soon):
        line_add(order=some, by=owner, kind="bow", wanted_n=40 * LB, wanted_draw_m=28 * INCH)
    assert [(p.order, p.in_danger) for p in promises(today)] == [(soon, True), (late, False)]


def test_a_bow_comes_back_and_leaves_again(owner, line, payer, today):
    bow = bow_start_for_line(line=line, by=owner)
    visit = visit_add(bow=bow, by=owner, brought_by=payer, complaint="it ticks", happened_on=today)
    ended = visit_end(visit=visit, outcome="nock rebound", by=owner)
    assert (ended.ended_on, ended.outcome) == (today, "nock rebound")
    assert visit_end(visit=ended, outcome="again", by=owner).outcome == "nock rebound"
