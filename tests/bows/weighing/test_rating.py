"""What rates a bow, and what it weighs now."""

import datetime as dt

import pytest

from tests.bows.conftest import pull
from workshop.bows.weighing.page import answer_of
from workshop.bows.weighing.selectors import last_weigh_in, rating_of, series_of, weight_now
from workshop.calc.imperial import INCH_M, POUND_N
from workshop.ledger.services import entry_strike
from workshop.ledger.units import UnitsInUse

from .conftest import DAY, SERIES

pytestmark = pytest.mark.django_db


def test_a_final_weigh_in_at_full_brace_that_reached_the_draw_rates_the_bow(make_bow, weigh):
    bow = make_bow()
    weigh_in = weigh(bow, *SERIES, purpose="final")
    rating = rating_of(bow)
    assert rating.ok and rating.weigh_in == weigh_in and not rating.interpolated
    assert rating.force_n == pytest.approx(44.5 * POUND_N)


def test_the_weight_between_two_draws_is_read_off_the_curve(make_bow, weigh):
    bow = make_bow(wanted_draw_m=27 * INCH_M)
    weigh(bow, *SERIES, purpose="final")
    rating = rating_of(bow)
    assert rating.ok and rating.interpolated
    assert 40 * POUND_N < rating.force_n < 44.5 * POUND_N
    assert rating.between_m == pytest.approx((26 * INCH_M, 28 * INCH_M))


@pytest.mark.parametrize(
    ("head", "pairs", "why"),
    [
        ({"purpose": "series"}, SERIES, ("no_final",)),
        ({"purpose": "final", "strung": "low"}, SERIES, ("not_full_brace",)),
        ({"purpose": "final", "strung": "long"}, SERIES, ("not_full_brace",)),
        ({"purpose": "final"}, SERIES[:-1], ("not_reached",)),
        ({"purpose": "final"}, [], ("no_final",)),
        ({"purpose": "final"}, [(26, 46), (29, 44)], ("falls",)),
        ({"purpose": "final", "draw_from": "trade"}, SERIES, ("no_grip_depth",)),
    ],
)
def test_a_bow_without_its_measurement_gets_no_rating(make_bow, weigh, head, pairs, why):
    bow = make_bow()
    weigh(bow, *pairs, **head)
    rating = rating_of(bow)
    assert not rating.ok and rating.why == why and rating.force_n is None


def test_a_bow_with_no_ordered_draw_has_no_rated_draw(make_bow):
    assert rating_of(make_bow(wanted_draw_m=None)).why == ("no_rated_draw",)


def test_work_on_the_limbs_makes_the_final_weigh_in_out_of_date(make_bow, weigh, work):
    bow = make_bow()
    weigh(bow, *SERIES, purpose="final")
    work(bow, "gripped")
    assert rating_of(bow).ok, "a grip wrap leaves the weight"
    sanded = work(bow, "sanded")
    assert rating_of(bow).why == ("work_since",)
    entry_strike(sanded, by=sanded.entered_by)
    assert rating_of(bow).ok, "struck out, it was never done"


def test_work_of_a_month_only_may_have_been_since(make_bow, weigh, work):
    bow = make_bow()
    weigh(bow, *SERIES, purpose="final")
    work(bow, "scraped", on=dt.date(2026, 2, 1), happened_to="m")
    assert rating_of(bow).ok
    work(bow, "scraped", on=dt.date(2026, 3, 1), happened_to="m")
    assert rating_of(bow).why == ("work_since",)


def test_work_of_june_written_after_a_weigh_in_of_the_30th_may_have_been_since(make_bow, weigh, work):
    bow, last = make_bow(), dt.date(2026, 6, 30)
    work(bow, "scraped", on=dt.date(2026, 6, 1), happened_to="m")
    weigh(bow, *SERIES, purpose="final", on=last)
    assert rating_of(bow).ok, "written before, it was done before"
    work(bow, "scraped", on=dt.date(2026, 6, 1), happened_to="m")
    assert rating_of(bow).why == ("work_since",)


def test_work_of_the_first_may_follow_a_weigh_in_of_which_only_the_month_is_known(make_bow, weigh, work):
    bow, first = make_bow(), dt.date(2026, 6, 1)
    weigh(bow, *SERIES, purpose="final", on=first, happened_to="m")
    work(bow, "scraped", on=first)
    assert rating_of(bow).why == ("work_since",)


def test_old_work_typed_in_after_the_weigh_in_does_not_spoil_it(make_bow, weigh, work):
    bow = make_bow()
    weigh(bow, *SERIES, purpose="final")
    work(bow, "scraped", on=DAY - dt.timedelta(days=1))
    assert rating_of(bow).ok


def test_a_bow_lighter_since_its_final_is_not_rated_without_a_word(make_bow, weigh, work, owner):
    bow = make_bow()
    weigh(bow, *SERIES, purpose="final")
    assert rating_of(bow).change is None
    later = weigh(bow, (28, 41), on=DAY + dt.timedelta(days=90))
    rating = rating_of(bow)
    assert rating.ok and rating.change.after.weigh_in == later
    assert rating.change.lighter.loss_n == pytest.approx(3.5 * POUND_N)
    entry_strike(later, by=owner)
    assert rating_of(bow).change is None, "struck out, it was never weighed"


def test_a_bow_weighed_again_within_the_scales_doubt_or_at_another_brace_is_not_lighter(make_bow, weigh):
    bow = make_bow()
    weigh(bow, *SERIES, purpose="final")
    weigh(bow, (28, 44.2))
    weigh(bow, (28, 41), brace_m=6 * INCH_M)
    assert rating_of(bow).change is None


def test_a_struck_point_rates_nothing(make_bow, weigh, owner):
    bow = make_bow()
    weigh_in = weigh(bow, *SERIES, purpose="final")
    entry_strike(weigh_in.points.last(), by=owner)
    assert rating_of(bow).why == ("not_reached",)


def test_a_struck_weigh_in_leaves_the_earlier_rating(make_bow, weigh, owner):
    bow = make_bow()
    first = weigh(bow, *SERIES, purpose="final")
    entry_strike(weigh(bow, (28, 47), purpose="final"), by=owner)
    assert rating_of(bow).weigh_in == first


def test_a_struck_weigh_in_does_not_bring_back_one_from_before_the_scraping(make_bow, weigh, work, owner):
    bow = make_bow()
    first = weigh(bow, *SERIES, purpose="final")
    scraped = work(bow)
    entry_strike(weigh(bow, (28, 43), purpose="final"), by=owner)
    assert (rating_of(bow).why, rating_of(bow).weigh_in) == (("work_since",), first)
    entry_strike(scraped, by=owner)
    assert rating_of(bow).ok, "it was not scraped after all"


@pytest.mark.parametrize(
    ("head", "pairs", "why"),
    [
        ({}, SERIES[:-1], "not_reached"),
        ({"strung": "low"}, SERIES, "not_full_brace"),
        ({}, [(26, 46), (29, 44)], "falls"),
        ({"draw_from": "trade"}, SERIES, "no_grip_depth"),
    ],
)
def test_an_earlier_final_weigh_in_does_not_stand_in_for_the_last_one(make_bow, weigh, head, pairs, why):
    bow = make_bow()
    weigh(bow, *SERIES, purpose="final")
    last = weigh(bow, *pairs, purpose="final", **head)
    rating = rating_of(bow)
    assert not rating.ok and rating.why == (why,) and rating.weigh_in == last


def test_a_final_weigh_in_just_begun_takes_nothing_from_the_last_one(make_bow, weigh, owner):
    bow = make_bow()
    first = weigh(bow, *SERIES, purpose="final")
    begun = weigh(bow, purpose="final")
    assert rating_of(bow).weigh_in == first
    pull(begun, 28, 43, owner)
    assert rating_of(bow).force_n == pytest.approx(43 * POUND_N)


def test_an_old_final_weigh_in_typed_in_later_does_not_rate_the_bow(make_bow, weigh):
    bow = make_bow()
    last = weigh(bow, *SERIES, purpose="final")
    weigh(bow, (28, 47), purpose="final", on=DAY - dt.timedelta(days=400))
    weigh(bow, (28, 48), purpose="final", on=dt.date(2025, 1, 1), happened_to="y")
    assert rating_of(bow).weigh_in == last
    same_day = weigh(bow, (28, 44), purpose="final")
    assert rating_of(bow).weigh_in == same_day


def test_where_the_days_do_not_tell_the_later_entry_rates_the_bow(make_bow, weigh):
    bow = make_bow()
    weigh(bow, *SERIES, purpose="final")
    this_year = weigh(bow, (28, 44), purpose="final", on=dt.date(2026, 1, 1), happened_to="y")
    assert rating_of(bow).weigh_in == this_year


def test_a_trade_draw_is_converted_with_the_bows_own_grip_depth(make_bow, weigh):
    """28 in from the back of a grip 1 1/4 in deep is 28 1/2 in by the trade standard (AMO FP-3: pivot + 1 3/4)."""
    bow = make_bow(grip_depth_m=1.25 * INCH_M)
    weigh(bow, (26.5, 41), (28.5, 45), purpose="final", draw_from="trade")
    rating = rating_of(bow)
    assert rating.ok and not rating.interpolated and rating.draw_from == "back"
    assert rating.force_n == pytest.approx(45 * POUND_N)


def test_the_axis_of_a_stiff_grip_is_not_guessed(make_bow, weigh):
    stiff, compass = (make_bow(kind=kind, grip_depth_m=0.03) for kind in ("stiff", "compass"))
    for bow in (stiff, compass):
        weigh(bow, (26, 41), (28, 45), purpose="final", draw_from="axis")
    assert rating_of(stiff).why == ("no_axis_depth",)
    reached = rating_of(compass).between_m  # the axis lies 15 mm behind the back
    assert reached == pytest.approx((26 * INCH_M + 0.015, 28 * INCH_M + 0.015))


# the answer


@pytest.mark.parametrize(
    ("pounds", "words"),
    [
        (45, "at 28 in, as wanted."),
        (45.04, "at 28 in, as wanted."),
        (43, "at 28 in, 2 lb under the 45 lb wanted."),
        (46, "at 28 in, 1 lb over the 45 lb wanted."),
    ],
)
def test_a_bow_of_just_its_weight_is_as_wanted(make_bow, weigh, pounds, words):
    bow = make_bow()
    weigh(bow, (28, pounds))
    _figure, said = answer_of(last_weigh_in(bow), UnitsInUse("imperial"))
    assert said.replace("\xa0", " ") == words


# what it weighs now


def test_the_weight_now_is_the_furthest_draw_of_the_last_weigh_in(make_bow, weigh, work):
    bow = make_bow()
    assert weight_now(bow) is None and last_weigh_in(bow) is None and series_of(bow) == []
    weigh(bow, (26, 41))
    last = weigh(bow, (28, 45))
    weigh(bow, (20, 30), strung="long")
    now = weight_now(bow)
    assert (now.weigh_in, now.at_wanted, now.work_since) == (last, True, False)
    work(bow)
    assert weight_now(bow).work_since
    assert len(series_of(bow)) == 3


def test_reading_a_bow_takes_the_same_queries_however_much_was_weighed(
    make_bow, weigh, django_assert_num_queries
):
    bow = make_bow()
    for count in (1, 12):
        for _ in range(count):
            weigh(bow, *SERIES, purpose="final")
        with django_assert_num_queries(5):
            assert rating_of(bow).ok
        with django_assert_num_queries(5):
            assert weight_now(bow)
