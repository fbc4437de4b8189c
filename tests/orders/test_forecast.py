"""Ready by when: from this workshop's own stage times and the queue on the bench."""

import datetime as dt

import pytest
from django.db import connection
from django.test.utils import CaptureQueriesContext
from django.urls import reverse

from tests.orders.conftest import LB
from workshop.bows.models import Expectation, StageMove
from workshop.bows.services.bows import bow_start
from workshop.bows.services.pieces import piece_add
from workshop.bows.services.readings import time_add, work_add
from workshop.bows.services.stages import stage_step
from workshop.calc.readyby import Took
from workshop.orders.models import OrderLine
from workshop.orders.selectors.book import promises
from workshop.orders.selectors.forecast import forecast
from workshop.orders.services.handover import bow_join_line, bow_start_for_line
from workshop.orders.services.orders import line_add, line_change, order_add, order_change, order_step
from workshop.orders.stagetimes import USUAL, Stay, stays_of, took_by_stage

pytestmark = pytest.mark.django_db
WEEK_H = 14.0  # two hours a day, so that four hours are two days
STAGES = ("roughing", "tillering", "shooting-in", "finishing", "ready")


def days(n):
    return dt.timedelta(days=n)


@pytest.fixture
def finish(owner, today):
    """A bow of this shop that took `each` days for every stage and was ready `ago` days back."""

    def finish(each=10, ago=30):
        begun = today - days(ago + 5 * each)
        bow = bow_start(by=owner, started_on=begun)
        for n, stage in enumerate(STAGES, start=1):
            stage_step(bow=bow, stage=stage, by=owner, happened_on=begun + days(n * each))
        return bow

    return finish


@pytest.fixture
def ordered(owner, payer, today):
    """A bow line, promised in so many days."""

    def ordered(promised=None, state="accepted", **promise):
        on = today + days(promised) if promised is not None else None
        order = order_add(by=owner, payer=payer, happened_on=today, promised_on=on, **promise)
        if state != "asked":
            order = order_step(order=order, state=state, by=owner)
        return line_add(order=order, by=owner, kind="bow", wanted_n=40 * LB)

    return ordered


def test_without_a_finished_bow_the_usual_times_are_used_and_it_is_said(as_owner, ordered, today):
    line = ordered(60)
    seen = forecast(today)
    assert (seen.basis.bows, seen.basis.week_is_own) == (0, False)
    foreseen = seen.lines[line.pk]
    assert (foreseen.likely_on - today).days > 2 * (foreseen.even_on - today).days
    assert [stage.hours for stage in seen.basis.stages] == [took.hours for took in USUAL.values()]
    page = as_owner.get(reverse("order", args=[line.order_id])).content.decode()
    assert "these are the usual times (common practice, no source)" in page
    assert "at even odds" in page and "nine times in ten" in page
    for seen in (reverse("order", args=[line.order_id]), reverse("order-book"), reverse("today")):
        assert "from a stated default, no record of your own yet" in as_owner.get(seen).content.decode()


def test_every_bow_finished_narrows_the_days(as_owner, finish, ordered, today):
    line, widths = ordered(200), []
    for _n in range(4):
        foreseen = forecast(today).lines[line.pk]
        widths.append((foreseen.likely_on - today) / (foreseen.even_on - today))
        finish(each=9, ago=100)
    assert widths == sorted(widths, reverse=True)
    page = as_owner.get(reverse("order", args=[line.order_id])).content.decode()
    assert "From the last 4 bows finished here" in page and "no record of your own" not in page


def test_before_the_first_bow_an_order_is_in_danger_at_less_than_even_odds(owner, ordered, today):
    order = ordered(300).order
    even = promises(today)[0].even_on
    order = order_change(order=order, by=owner, promised_on=even)
    assert not promises(today)[0].in_danger
    order_change(order=order, by=owner, promised_on=even - days(1))
    assert promises(today)[0].in_danger


def test_a_workshop_that_takes_longer_foresees_a_later_day(finish, ordered, today):
    line = ordered()
    usual = forecast(today).lines[line.pk].even_on
    for n in range(3):
        finish(each=40, ago=30 + 220 * n)  # one after another, so nobody waited for the bench
    own = forecast(today).lines[line.pk].even_on
    # five stages of 40 days, hours and all; what is usual still counts as one bow in four, and is quicker
    assert own > usual and 180 <= (own - today).days <= 205


def test_a_bow_written_down_after_the_fact_tells_nothing_of_stage_times(finish, owner, today):
    finish(each=0)
    bow_start(by=owner, origin="notebook", started_on=dt.date(1998, 1, 1), started_to="y")
    assert forecast(today).basis.bows == 0


def test_days_at_other_bows_are_no_waiting():
    day = dt.date(2026, 3, 2)
    one, other = (Stay("tillering", day, day + days(20), hours=12) for _n in range(2))
    alone = took_by_stage([[one]], [], week_h=WEEK_H)["tillering"]
    shared = took_by_stage([[one], [other]], [], week_h=WEEK_H)["tillering"]
    # 20 days less 6 at the bench; and less 6 at the other
    assert alone == (Took(12, 14),)
    assert shared == (Took(12, 8), Took(12, 8))


def test_a_stage_gone_back_to_took_both_times():
    day = dt.date(2026, 3, 2)
    steps = [("tillering", 0), ("shooting-in", 10), ("tillering", 12), ("finishing", 15), ("ready", 16)]
    moves = [StageMove(stage=stage, happened_on=day + days(n), happened_to="d") for stage, n in steps]
    took = {stay.stage: stay.days for stay in stays_of(moves, {"tillering": 600}, week_h=WEEK_H)}
    assert took == {"tillering": 13, "shooting-in": 2, "finishing": 1}


def test_a_bow_nearer_its_end_is_ready_sooner(owner, ordered, today):
    line, other = ordered(), ordered()
    bow = bow_start_for_line(line=line, by=owner)
    stage_step(bow=bow, stage="finishing", by=owner)
    seen = forecast(today)
    assert seen.lines[line.pk].even_on < seen.lines[other.pk].even_on
    assert seen.lines[line.pk].bow == bow and seen.lines[other.pk].bow is None


def test_what_is_promised_first_comes_first_and_what_is_only_asked_comes_last(ordered, today):
    asked, late, soon = ordered(5, state="asked"), ordered(90), ordered(30)
    places = {pk: each.place for pk, each in forecast(today).lines.items()}
    assert (places[soon.pk], places[late.pk], places[asked.pk]) == (1, 2, 3)


def test_a_rest_puts_the_day_off(owner, ordered, today):
    line = ordered()
    bow = bow_start_for_line(line=line, by=owner)
    stage_step(bow=bow, stage="finishing", by=owner)
    before = forecast(today).lines[line.pk].even_on
    work_add(bow=bow, by=owner, deed="backed", rest_days=60, happened_on=today)
    assert forecast(today).lines[line.pk].even_on >= before + days(50)


def test_glue_that_cures_puts_the_day_off_as_work_does(owner, ordered, today):
    line = ordered()
    bow = bow_start_for_line(line=line, by=owner)
    stage_step(bow=bow, stage="finishing", by=owner)
    before = forecast(today).lines[line.pk].even_on
    piece_add(
        bow=bow, by=owner, part="backing", material="sinew", cured_on=today + days(60), happened_on=today
    )
    assert forecast(today).lines[line.pk].even_on >= before + days(50)


def test_an_order_of_three_bows_is_promised_by_all_three_together(owner, finish, ordered, today):
    """Three bows that rest and cure by themselves are ready together less often than any one of them."""
    for n in range(4):
        finish(each=(5, 60, 8, 40)[n], ago=30 + 320 * n)
    line = ordered(promised=150)
    for _n in range(2):
        line_add(order=line.order, by=owner, kind="bow", wanted_n=40 * LB)
    (promise,) = promises(today)
    alone = list(forecast(today).lines.values())
    assert 1 < promise.chance_pct < min(each.chance_pct for each in alone)
    assert promise.even_on >= max(each.even_on for each in alone)
    assert promise.likely_on >= max(each.likely_on for each in alone)


def test_of_two_bows_begun_the_one_ready_first_is_waited_for(owner, ordered, today):
    line = ordered()
    bow_start_for_line(line=line, by=owner)
    second = bow_start_for_line(line=OrderLine.objects.get(pk=line.pk), by=owner)
    stage_step(bow=second, stage="finishing", by=owner)
    assert forecast(today).lines[line.pk].bow == second


def test_a_broken_bow_is_no_longer_counted_on(owner, ordered, today):
    line = ordered()
    bow = bow_start_for_line(line=line, by=owner)
    stage_step(bow=bow, stage="broken", by=owner, cause="a hidden knot", where="limb A")
    assert forecast(today).lines[line.pk].bow is None


def test_a_bow_that_went_to_stock_is_not_the_one_while_another_is_made(owner, ordered, today):
    line = ordered(200)
    light = bow_start_for_line(line=line, by=owner)
    stage_step(bow=light, stage="stock", by=owner)
    assert promises(today)[0].ready
    bow_start_for_line(line=OrderLine.objects.get(pk=line.pk), by=owner)
    assert not promises(today)[0].ready


def test_a_month_is_promised_to_its_last_day(owner, payer, today):
    first = (today.replace(day=1) + days(62)).replace(day=1)
    order = order_add(by=owner, payer=payer, happened_on=today, promised_on=first, promised_to="m")
    line_add(order=order, by=owner, kind="bow")
    (promise,) = promises(today)
    assert today + days(promise.days_left) == (first + days(31)).replace(day=1) - days(1)


def test_an_order_promised_for_this_year_is_not_late_before_it_ends(owner, payer, today):
    order_add(
        by=owner, payer=payer, happened_on=today.replace(day=1, month=1), promised_on=today.replace(day=1, month=1),
        promised_to="y",
    )  # fmt: skip
    assert promises(today)[0].days_late == 0 and not promises(today)[0].in_danger


def test_an_open_repair_is_not_called_ready(owner, payer, today):
    order = order_add(by=owner, payer=payer, happened_on=today, promised_on=today + days(9))
    line_add(order=order, by=owner, kind="repair", words="bind the nock")
    assert not promises(today)[0].ready
    assert not promises(today + days(9))[0].in_danger and promises(today + days(10))[0].in_danger


def test_bench_time_written_for_three_bows_in_eight_weeks_tells_what_a_week_holds(owner, finish, today):
    bows = [finish() for _n in range(3)]
    for week in range(10):
        on = today - days(7 * week + 1)
        time_add(
            bow=bows[0],
            by=owner,
            stage="tillering",
            seconds=6 * 3600,
            happened_on=max(on, bows[0].started_on),
        )
    assert not forecast(today).basis.week_is_own
    for bow in bows[1:]:
        time_add(bow=bow, by=owner, stage="finishing", seconds=3600, happened_on=today - days(1))
    basis = forecast(today).basis
    assert basis.week_is_own and basis.week_h == pytest.approx((60 + 2) / 10)


def test_orders_without_a_promised_day_stand_last_in_the_book(as_owner, ordered):
    undated, dated = ordered(), ordered(30)
    orders = [order for order, _promise in as_owner.get(reverse("order-book")).context["rows"]]
    assert orders == [dated.order, undated.order]


def test_what_was_foreseen_when_a_day_was_promised_meets_its_outcome(owner, ordered, today):
    line = ordered(60)
    bow = bow_start_for_line(line=line, by=owner)
    kept = Expectation.objects.get(what="ready")
    assert (kept.bow, kept.inputs["promised"]) == (bow, line.order.promised_on.isoformat())
    assert kept.low <= kept.value <= kept.high and kept.outcome is None
    stage_step(bow=bow, stage="ready", by=owner, happened_on=today)
    kept.refresh_from_db()
    assert kept.outcome == 0


def test_another_promised_day_is_another_expectation_and_the_same_is_not(owner, ordered, today):
    line = ordered(60)
    bow_start_for_line(line=line, by=owner)
    order_change(order=line.order, by=owner, note="rang")
    assert Expectation.objects.count() == 1
    order_change(order=line.order, by=owner, promised_on=today + days(90))
    assert Expectation.objects.count() == 2


def test_an_order_without_a_promise_keeps_no_expectation(owner, ordered):
    bow_start_for_line(line=ordered(), by=owner)
    assert not Expectation.objects.exists()


def test_withdrawn_lines_wait_for_nothing(owner, ordered, today):
    line = ordered(5)
    line_change(line=line, by=owner, withdrawn=True)
    assert forecast(today).lines == {} and not promises(today)[0].in_danger


def test_a_bow_from_stock_makes_the_order_ready_at_once(owner, ordered, today):
    line = ordered(3)
    bow = bow_start(by=owner)
    stage_step(bow=bow, stage="ready", by=owner)
    bow_join_line(line=line, bow=bow, by=owner)
    (promise,) = promises(today)
    assert promise.ready and not promise.in_danger


@pytest.mark.parametrize("page", ["order-book", "order", "today"])
def test_pages_with_a_forecast_ask_as_often_for_many_orders_as_for_few(as_owner, ordered, owner, page):
    def asked():
        with CaptureQueriesContext(connection) as queries:
            assert (
                as_owner.get(reverse(page, args=[first.order_id] if page == "order" else [])).status_code
                == 200
            )
        return len(queries)

    first = ordered(50)
    bow_start_for_line(line=first, by=owner)
    for n in range(9):
        ordered(20 + n)
    few = asked()
    for n in range(190 if page == "order-book" else 50):
        ordered(20 + n)
    assert asked() == few
