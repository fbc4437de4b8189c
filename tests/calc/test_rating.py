"""The weight on the tag is measured: at the draw or between two draws, never beyond."""

import pytest

from tests.calc.bows import T1_POUNDS, inches_and_pounds, t1
from workshop.calc.errors import Mismatch, OutOfRange, TooFew
from workshop.calc.imperial import INCH_M, POUND_N
from workshop.calc.rating import off_order, rated_weight


def test_a_bow_weighed_at_its_draw_is_rated_as_read():
    rating = rated_weight(t1(step_in=2), 28 * INCH_M)
    assert rating.force_n / POUND_N == pytest.approx(48.2186)
    assert not rating.interpolated


def test_between_two_weighed_draws_it_is_interpolated_and_says_so():
    rating = rated_weight(t1(step_in=2), 27 * INCH_M)
    assert rating.interpolated
    assert rating.force_n / POUND_N == pytest.approx(T1_POUNDS[27], abs=0.02)
    assert rating.between_m == pytest.approx((26 * INCH_M, 28 * INCH_M))


def test_a_bow_that_has_not_reached_its_draw_gets_no_weight():
    with pytest.raises(OutOfRange) as said:
        rated_weight(t1(last_in=27), 28 * INCH_M)
    assert said.value.code == "not_reached"
    assert said.value.given == {"rated_draw_m": 28 * INCH_M}


def test_one_point_at_the_draw_may_do_or_be_too_few():
    one = inches_and_pounds({28: 45})
    assert rated_weight(one, 28 * INCH_M).force_n == pytest.approx(45 * POUND_N)
    with pytest.raises(TooFew):
        rated_weight(one, 28 * INCH_M, least_points=3)


def test_two_points_that_fall_around_the_draw_rate_nothing():
    with pytest.raises(Mismatch, match="falls"):
        rated_weight(inches_and_pounds({26: 46, 30: 45}), 28 * INCH_M)


def test_within_the_orders_tolerance_nothing_is_off():
    order = {"ordered_n": 45 * POUND_N, "tolerance_n": 2 * POUND_N}
    assert off_order(46.9 * POUND_N, **order) == 0
    assert off_order(48 * POUND_N, **order) == pytest.approx(1 * POUND_N)
    assert off_order(42 * POUND_N, **order) == pytest.approx(-1 * POUND_N)
