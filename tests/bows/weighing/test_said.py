"""What a weigh-in says at once, as a bowyer would put it."""

import datetime as dt

import pytest

from tests.bows.conftest import pull
from workshop.bows.models import ShotsFired
from workshop.bows.weighing.page import facts_of
from workshop.bows.weighing.selectors import weighings_of, weight_now
from workshop.bows.weighing.words import words_of
from workshop.calc.imperial import INCH_M, POUND_N
from workshop.ledger.services import entry_add

from .conftest import DAY, SERIES

pytestmark = pytest.mark.django_db


def said(bow, shop, weigh_in=None):
    """The codes of the words that the last weigh-in (or the one given) says."""
    known = weighings_of(bow)
    one = known.of(weigh_in) if weigh_in else known.last
    return [word.code for word in words_of(facts_of(known, one, shop))]


def test_an_even_series_says_nothing(make_bow, weigh, shop):
    bow = make_bow()
    weigh(bow, *SERIES)
    assert said(bow, shop) == []


def test_past_the_limit_of_pull_is_ordered_weight_and_allowance(make_bow, weigh, shop, owner):
    bow = make_bow()  # 45 lb ordered, and the 3 lb that finishing takes
    weigh_in = weigh(bow, (26, 47.9))
    assert said(bow, shop) == []
    pull(weigh_in, 27, 48.2, owner)
    assert said(bow, shop) == ["past_limit"]


def test_beyond_the_ordered_draw(make_bow, weigh, shop):
    bow = make_bow()
    weigh(bow, (28.5, 44))
    assert said(bow, shop) == ["past_draw"]


def test_lighter_with_no_work_done_is_dying_wood(make_bow, weigh, shop):
    bow = make_bow()
    weigh(bow, (26, 41))
    weigh(bow, (26, 39), on=DAY + dt.timedelta(days=1))
    assert said(bow, shop) == ["dying"]


def test_lighter_after_scraping_is_what_was_meant(make_bow, weigh, work, shop):
    bow = make_bow()
    weigh(bow, (26, 41))
    work(bow)
    weigh(bow, (26, 39))
    assert said(bow, shop) == []


def test_work_done_after_both_weigh_ins_does_not_hide_dying_wood(make_bow, weigh, work, shop):
    bow = make_bow()
    weigh(bow, (26, 41))
    second = weigh(bow, (26, 39))
    work(bow, on=DAY + dt.timedelta(days=1))
    assert said(bow, shop, second) == ["dying"]


@pytest.mark.parametrize(
    "head", [{"brace_m": 6 * INCH_M}, {"strung": "low"}, {"brace_m": None}, {"strung": "long"}]
)
def test_another_brace_or_string_is_not_compared(make_bow, weigh, shop, head):
    bow = make_bow()
    weigh(bow, (26, 41))
    weigh(bow, (26, 39), **head)
    assert "dying" not in said(bow, shop)


def test_a_loss_no_greater_than_the_scales_doubt_is_none(make_bow, weigh, shop):
    bow = make_bow()
    weigh(bow, (26, 41))
    weigh(bow, (26, 40.5))
    assert said(bow, shop) == []


def test_a_wetter_season_explains_a_couple_of_pounds(make_bow, weigh, shop):
    bow = make_bow()
    weigh(bow, (26, 41), moisture_pct=8.0)
    weigh(bow, (26, 39.5), moisture_pct=11.0)
    assert said(bow, shop) == []


def test_arrows_shot_since_are_named_beside_dying_wood(make_bow, weigh, shop, owner):
    bow = make_bow()
    weigh(bow, (26, 41))
    entry_add(ShotsFired(bow=bow, shots=150, happened_on=DAY), by=owner)
    weigh(bow, (26, 36))  # more than the 3 lb that shooting in and finishing usually take
    known = weighings_of(bow)
    words = words_of(facts_of(known, known.last, shop))
    assert [word.values["shots"] for word in words] == [150]


def test_a_point_below_the_one_before(make_bow, weigh, shop):
    bow = make_bow()
    weigh(bow, (20, 28), (22, 27))
    assert said(bow, shop) == ["below_before"]


def test_a_slipped_digit_is_out_of_line(make_bow, weigh, shop):
    bow = make_bow()
    weigh(bow, (18, 24), (20, 28), (22, 39), (24, 36), (26, 40))
    assert said(bow, shop) == ["jump", "below_before"]


def test_one_figure_far_from_last_time_is_asked_about(make_bow, weigh, work, shop):
    bow = make_bow()
    weigh(bow, (26, 41))
    work(bow)
    weigh(bow, (26, 4.1))
    assert said(bow, shop) == ["unlike_last"]


def test_a_bow_heavier_at_the_same_draw_and_brace_with_no_work_between_is_asked_about(make_bow, weigh, shop):
    bow = make_bow()
    weigh(bow, (26, 40))
    weigh(bow, (26, 41.8))
    assert said(bow, shop) == ["heavier"]


def test_a_bow_heavier_by_no_more_than_the_scale_doubts_is_not(make_bow, weigh, shop):
    bow = make_bow()
    weigh(bow, (26, 40))
    weigh(bow, (26, 40.5))
    assert said(bow, shop) == []


def test_a_bow_that_dried_meanwhile_may_weigh_more_without_a_word(make_bow, weigh, shop):
    bow = make_bow()
    weigh(bow, (26, 40), moisture_pct=11.0)
    weigh(bow, (26, 41.8), moisture_pct=8.0)
    assert said(bow, shop) == []


def test_a_bow_heavier_although_it_was_wetted_is_asked_about(make_bow, weigh, shop):
    bow = make_bow()
    weigh(bow, (26, 40), moisture_pct=8.0)
    weigh(bow, (26, 41.8), moisture_pct=11.0)
    assert said(bow, shop) == ["heavier"]


def test_a_bow_heavier_after_work_on_it_is_not(make_bow, weigh, work, shop):
    bow = make_bow()
    weigh(bow, (26, 40))
    work(bow)
    weigh(bow, (26, 41.8))
    assert said(bow, shop) == []


def test_a_slipped_digit_upward_is_said_once(make_bow, weigh, shop):
    bow = make_bow()
    weigh(bow, (26, 15))
    weigh(bow, (26, 40))
    assert said(bow, shop) == ["unlike_last"]


def test_stacking(make_bow, weigh, shop):
    bow = make_bow()
    weigh(bow, (20, 24), (22, 26.5), (24, 29.5), (26, 34), (28, 41))
    assert said(bow, shop) == ["stacking"]


def test_the_long_string_is_not_draw_weight(make_bow, weigh, shop):
    bow = make_bow()
    weigh(bow, (20, 30), strung="long", brace_m=None)
    assert said(bow, shop) == ["long_string"]


def test_a_rest_that_is_not_over(make_bow, weigh, work, shop):
    bow = make_bow()
    work(bow, "steamed", on=DAY - dt.timedelta(days=3), rest_until=DAY + dt.timedelta(days=4))
    weigh(bow, (20, 28))
    assert said(bow, shop) == ["resting"]
    weigh(bow, (20, 28), on=DAY + dt.timedelta(days=4))
    assert said(bow, shop) == []


def test_measured_from_elsewhere_is_converted_with_the_grip_depth_or_not_at_all(make_bow, weigh, shop):
    known, unknown = make_bow(grip_depth_m=0.032), make_bow()
    for bow in (known, unknown):
        weigh(bow, (20, 28), draw_from="belly")
    assert said(known, shop) == ["converted"]
    assert said(unknown, shop) == ["not_converted_no_grip_depth"]


def test_the_same_draw_twice_keeps_both_and_counts_the_later(make_bow, weigh, shop):
    bow = make_bow()
    weigh(bow, (20, 28), (20, 29))
    assert said(bow, shop) == ["twice"]
    assert weight_now(bow).force_n == pytest.approx(29 * POUND_N)


def test_a_draw_short_of_the_brace_is_named_and_breaks_nothing(make_bow, weigh, shop):
    bow = make_bow(grip_depth_m=0.03)
    weigh(bow, (7, 3), (20, 28))
    assert said(bow, shop) == ["short_of_brace"]


def test_draws_in_any_order_are_put_in_order(make_bow, weigh, shop):
    bow = make_bow()
    weigh(bow, *reversed(SERIES))
    assert said(bow, shop) == []
    assert weight_now(bow).draw_m == pytest.approx(28 * INCH_M)
