"""What is expected of the next pull, and what became of it."""

import uuid

import pytest

from tests.bows.conftest import pull
from workshop.bows.models import Bow, Expectation, WeighIn, WeighPoint
from workshop.bows.nextstep import step_words
from workshop.bows.selectors.glance import glances
from workshop.bows.services.readings import set_add
from workshop.bows.weighing.forecasts import before_pull, full_draw_m, pull_to_m, series_m
from workshop.bows.weighing.passes import Pass
from workshop.bows.weighing.selectors import last_weigh_in, rating_of, weighings_of
from workshop.bows.weighing.services import weigh_in_write, weigh_point_add
from workshop.calc.imperial import INCH_M, POUND_N
from workshop.ledger.services import entry_strike
from workshop.ledger.units import UnitsInUse

from .conftest import DAY

pytestmark = pytest.mark.django_db


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
