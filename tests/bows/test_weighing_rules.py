"""What a weigh-in says, rates and expects, as a bowyer would put it."""

import datetime as dt
import itertools
import uuid

import pytest

from workshop.bows.models import Bow, Expectation, ShotsFired, WeighIn, WeighPoint, WorkDone
from workshop.bows.nextstep import step_words
from workshop.bows.selectors.glance import glances
from workshop.bows.services.readings import set_add
from workshop.bows.weighing.forecasts import before_pull, full_draw_m, pull_to_m, series_m
from workshop.bows.weighing.page import answer_of, facts_of
from workshop.bows.weighing.passes import Pass
from workshop.bows.weighing.selectors import last_weigh_in, rating_of, series_of, weighings_of, weight_now
from workshop.bows.weighing.services import weigh_in_add, weigh_in_write, weigh_point_add
from workshop.bows.weighing.words import words_of
from workshop.calc.imperial import INCH_M, POUND_N
from workshop.ledger.services import entry_add, entry_strike, record_add
from workshop.ledger.units import UnitsInUse

pytestmark = pytest.mark.django_db
NUMBERS = itertools.count(1)
DAY = dt.date(2026, 3, 14)


@pytest.fixture
def make_bow(owner):
    def make(**plan):
        wanted = {"wanted_n": 45 * POUND_N, "wanted_draw_m": 28 * INCH_M, "brace_m": 6.5 * INCH_M}
        bow = Bow(number=f"26-{next(NUMBERS):02}", **{**wanted, **plan})
        return record_add(bow, by=owner)

    return make


@pytest.fixture
def weigh(owner):
    """Weigh a bow: pairs of inches and pounds."""

    def weigh(bow, *pairs, on=DAY, **head):
        usual = {"purpose": "tillering", "strung": "full", "brace_m": 6.5 * INCH_M, "draw_from": "back"}
        weigh_in = weigh_in_add(bow=bow, by=owner, system="imperial", happened_on=on, **{**usual, **head})
        for inches, pounds in pairs:
            pull(weigh_in, inches, pounds, owner)
        return weigh_in

    return weigh


def pull(weigh_in, inches, pounds, by):
    return weigh_point_add(
        weigh_in=weigh_in,
        by=by,
        system="imperial",
        draw_m=inches * INCH_M,
        force_n=pounds * POUND_N,
        entry_key=uuid.uuid4(),
    )


@pytest.fixture
def work(owner):
    def work(bow, deed="scraped", on=DAY, **more):
        return entry_add(WorkDone(bow=bow, deed=deed, happened_on=on, **more), by=owner)

    return work


def said(bow, shop, weigh_in=None):
    """The codes of the words that the last weigh-in (or the one given) says."""
    known = weighings_of(bow)
    one = known.of(weigh_in) if weigh_in else known.last
    return [word.code for word in words_of(facts_of(known, one, shop))]


SERIES = [(10, 8), (12, 12), (14, 16), (16, 20), (18, 24), (20, 28), (22, 32), (24, 36), (26, 40), (28, 44.5)]


# the rating


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


# the words


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


# expectations


def test_what_was_expected_meets_its_outcome(make_bow, weigh, owner):
    """24 lb at 20 in, rising about 2 lb an inch, makes 40 lb at 28 in (common practice, no source)."""
    bow = make_bow()
    weigh_in = weigh(bow, (20, 24), purpose="series")
    thumb = Expectation.objects.get(method="pounds_an_inch", at_draw_m__gt=27 * INCH_M)
    assert thumb.value == pytest.approx(40 * POUND_N) and thumb.outcome_at is None
    pull(weigh_in, 28, 41, owner)
    thumb.refresh_from_db()
    assert thumb.outcome == pytest.approx(41 * POUND_N)
    assert thumb.outcome_point == weigh_in.points.last()


def test_a_weigh_in_written_at_once_is_foretold_as_one_written_point_by_point(make_bow, weigh, owner):
    """By the rules that do not learn; of the pull after the last point only the page that shows it keeps a word."""
    pairs = ((20, 28.0), (22, 32.0), (24, 36.5))
    one_by_one, at_once = make_bow(length_m=1.7), make_bow(length_m=1.7)
    weigh(one_by_one, *pairs)
    head = {"purpose": "tillering", "strung": "full", "brace_m": 6.5 * INCH_M, "draw_from": "back"}
    points = [
        {"draw_m": inches * INCH_M, "force_n": pounds * POUND_N, "entry_key": uuid.uuid4()}
        for inches, pounds in pairs
    ]
    weigh_in_write(bow=at_once, by=owner, system="imperial", happened_on=DAY, points=points, **head)

    def foretold(bow, *, before_in):
        kept = Expectation.objects.filter(bow=bow, method="pounds_an_inch")
        return [
            (round(each.at_draw_m, 4), each.value)
            for each in kept.order_by("pk")
            if each.inputs["after_draw_m"] < before_in * INCH_M - 1e-6
        ]

    assert foretold(at_once, before_in=24) == foretold(one_by_one, before_in=24) != []
    assert foretold(at_once, before_in=99) == foretold(at_once, before_in=24)
    assert len(foretold(one_by_one, before_in=99)) > len(foretold(one_by_one, before_in=24))


def test_nothing_is_expected_twice_of_the_same_points(make_bow, weigh):
    bow = make_bow()
    weigh(bow, (20, 24), purpose="series")
    count = Expectation.objects.count()
    assert count
    weigh(bow, purpose="series")  # begins where the last one ended: what is shown is kept already
    assert Expectation.objects.count() == count


def test_wood_taken_off_ends_what_was_expected(make_bow, weigh, work, owner):
    bow = make_bow()
    weigh(bow, (20, 24), purpose="series")
    work(bow)
    weigh(bow, (28, 38), purpose="series")
    assert not Expectation.objects.exclude(outcome_at=None).exists()


def test_a_slip_struck_out_does_not_stay_the_only_outcome(make_bow, weigh, owner):
    bow = make_bow()
    weigh_in = weigh(bow, (20, 24), purpose="series")
    entry_strike(pull(weigh_in, 28, 410 / 10 + 200, owner), by=owner)
    right = pull(weigh_in, 28, 41, owner)
    joined = Expectation.objects.filter(outcome_point=right, method="pounds_an_inch")
    assert [round(each.outcome / POUND_N) for each in joined] == [41]


def outcomes_of(*points):
    """By rule of thumb, what met these points, in pounds."""
    joined = Expectation.objects.filter(outcome_point__in=points, method="pounds_an_inch")
    return sorted(round(each.outcome / POUND_N) for each in joined)


def test_what_was_expected_of_a_slipped_digit_meets_nothing(make_bow, weigh, owner):
    bow = make_bow()
    weigh_in = weigh(bow, (18, 20), purpose="series")
    entry_strike(pull(weigh_in, 20, 42, owner), by=owner)  # 24 was meant
    pull(weigh_in, 20, 24, owner)
    right = pull(weigh_in, 28, 41, owner)
    met = Expectation.objects.filter(outcome_point=right, method="pounds_an_inch")
    assert sorted(round(each.value / POUND_N) for each in met) == [40, 40], (
        "from 18 and from 20 in, not from the slip"
    )


def test_what_was_expected_of_a_weigh_in_struck_out_meets_nothing(make_bow, weigh, owner):
    bow = make_bow()
    entry_strike(weigh(bow, (20, 34), purpose="series"), by=owner)
    right = weigh(bow, (20, 24), (28, 41), purpose="series").points.last()
    met = Expectation.objects.filter(outcome_point=right, method="pounds_an_inch")
    assert [round(each.value / POUND_N) for each in met] == [40]


def test_a_weigh_in_struck_out_does_not_stay_the_only_outcome(make_bow, weigh, owner):
    bow = make_bow()
    weigh(bow, (20, 24), purpose="series")
    slip = weigh(bow, (28, 52), purpose="series")
    entry_strike(slip, by=owner)
    right = weigh(bow, (28, 41), purpose="series").points.get()
    assert outcomes_of(right) == [41]
    again = weigh(bow, (28, 41.5), purpose="series").points.get()
    assert outcomes_of(again) == [], "once it has met its outcome it is not written anew"


def test_the_long_string_promises_nothing(make_bow, weigh):
    bow = make_bow()
    weigh(bow, (20, 24), (22, 28), strung="long", brace_m=None)
    assert not Expectation.objects.exists()


def test_a_point_sent_twice_is_one_point(make_bow, weigh, owner):
    weigh_in = weigh(make_bow())
    sent = {"weigh_in": weigh_in, "by": owner, "system": "imperial", "entry_key": uuid.uuid4()}
    first, second = (weigh_point_add(draw_m=0.5, force_n=100.0, **sent) for _ in range(2))
    assert first == second and WeighPoint.objects.count() == 1


# how far to draw


@pytest.mark.parametrize("purpose", ["tillering", "series"])
def test_a_childs_bow_is_not_sent_to_28_in_because_its_grip_was_not_measured(
    make_bow, weigh, shop, owner, purpose
):
    """Ordered 18 in from the back, weighed from the belly: how far that is only the grip's depth can say."""
    bow = make_bow(wanted_draw_m=18 * INCH_M, wanted_n=15 * POUND_N, stage="tillering")
    weigh_in = weigh(bow, (12, 8), (14, 10), purpose=purpose, draw_from="belly")
    known = weighings_of(bow)
    one = known.of(weigh_in)
    assert full_draw_m(one) is None and series_m(one, "imperial") == []
    pull = before_pull(known, one, pull_to_m(known, one, None, "imperial"), None)
    assert pull.draw_m is None and pull.no_end == "no_grip_depth"
    assert not Expectation.objects.exists(), "nothing is foretold of a draw nobody ordered"
    set_add(bow=bow, by=owner, follow_m=0.0, is_zero=True, happened_on=DAY, rested=True)
    bow = Bow.objects.get(pk=bow.pk)
    step = glances([bow], shop=shop, today=DAY)[bow.pk].step
    assert step.code == "grip_depth" and "depth of its grip" in step_words(step, UnitsInUse("imperial"))


def test_with_the_grips_depth_it_is_drawn_as_far_as_ordered_and_no_further(make_bow, weigh):
    bow = make_bow(wanted_draw_m=18 * INCH_M, grip_depth_m=1.25 * INCH_M)
    weigh_in = weigh(bow, (12, 8), purpose="series", draw_from="belly")
    draws = series_m(weighings_of(bow).of(weigh_in), "imperial")
    assert draws[-1] == pytest.approx(16.75 * INCH_M), "18 in from the back of a grip 1 1/4 in deep"


def test_where_no_draw_is_ordered_the_usual_28_in_is_the_end(make_bow, weigh):
    bow = make_bow(wanted_draw_m=None)
    weigh_in = weigh(bow, (12, 8), purpose="series", draw_from="belly")
    assert series_m(weighings_of(bow).of(weigh_in), "imperial")[-1] == pytest.approx(28 * INCH_M)


def test_after_scraping_it_may_go_back_to_where_it_was_drawn(make_bow, weigh, work):
    bow = make_bow(wanted_draw_m=18 * INCH_M)
    weigh_in = weigh(bow, (12, 8), draw_from="belly")
    work(bow)
    known = weighings_of(bow)
    planned = Pass(bow, WeighIn(bow=bow, draw_from="belly", strung="full", purpose="tillering"), ())
    assert pull_to_m(known, planned, None, "imperial") == pytest.approx(weigh_in.points.get().draw_m)


def test_the_trade_standard_needs_no_grip_depth(make_bow, weigh):
    """28 in by the trade standard is 26 1/4 in from the belly of any grip (AMO FP-3: pivot and 1 3/4 in)."""
    bow = make_bow(draw_from="trade")
    weigh(bow, (22, 37), (26.25, 45), purpose="final", draw_from="belly")
    rating = rating_of(bow)
    assert rating.ok and not rating.interpolated and rating.force_n == pytest.approx(45 * POUND_N)
    assert last_weigh_in(bow).wanted_draw_m == pytest.approx(26.25 * INCH_M)
