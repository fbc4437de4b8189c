"""What a bow will weigh further on, by the rules of thumb and the last slope."""

import pytest

from tests.calc.bows import inches_and_pounds, t1
from workshop.calc.errors import NoSolution, OutOfRange, TooFew
from workshop.calc.imperial import INCH_M, POUND_N
from workshop.calc.projection import (
    Projection,
    by_last_slope,
    by_pounds_an_inch,
    by_share_an_inch,
    combine,
    no_surer_than,
    rules_of_thumb,
)


@pytest.mark.parametrize(("at_20", "draw_in", "pounds"), [(24, 28, 40), (24, 30, 44), (14, 28, 30)])
def test_two_pounds_an_inch_as_makers_reckon(at_20, draw_in, pounds):
    # Common practice, no source: 24 lb at 20 in makes 40 lb at 28 in and 44 lb at 30 in; 14 lb makes 30 lb.
    expected = by_pounds_an_inch(inches_and_pounds({20: at_20}), draw_in * INCH_M)
    assert expected.force_n / POUND_N == pytest.approx(pounds, abs=1e-9)
    assert expected.low_n < expected.force_n < expected.high_n
    assert expected.ok


def test_two_pounds_an_inch_is_not_for_a_childs_bow_or_a_war_bow():
    for at_20 in (5, 70):
        expected = by_pounds_an_inch(inches_and_pounds({20: at_20}), 28 * INCH_M)
        assert (expected.ok, expected.why) == (False, "not_of_middling_weight")


def test_four_to_five_percent_an_inch_in_the_last_third():
    # Common practice, no source: 4 in left at 4.5 % each leave 82 % of the weight.
    expected = by_share_an_inch(inches_and_pounds({24: 41}), 28 * INCH_M)
    assert expected.force_n / POUND_N == pytest.approx(41 / 0.82)
    assert expected.low_n / POUND_N == pytest.approx(41 / 0.84)
    # The band reaches past the rule, to 6 % an inch.
    assert expected.high_n / POUND_N == pytest.approx(41 / 0.76)
    assert expected.ok


def test_before_the_last_third_that_rule_is_stretched():
    expected = by_share_an_inch(inches_and_pounds({16: 23}), 28 * INCH_M)
    assert (expected.ok, expected.why) == (False, "before_last_third")


def test_from_too_far_off_that_rule_says_nothing():
    with pytest.raises(NoSolution, match="too_far"):
        by_share_an_inch(inches_and_pounds({8: 7}), 28 * INCH_M)


def test_the_last_slope_goes_on_a_little_steeper():
    """2 lb an inch for four inches more, 1.15 times (the middle of what simulated bows steepen by): 47.2 lb."""
    expected = by_last_slope(inches_and_pounds({20: 30, 22: 34, 24: 38}), 28 * INCH_M)
    assert expected.force_n / POUND_N == pytest.approx(38 + 1.15 * 8)


@pytest.mark.parametrize("last_in", [16, 20, 24, 27])
def test_no_way_expects_a_weight_outside_its_own_range(last_in):
    for expected in rules_of_thumb(t1(step_in=1, last_in=last_in, doubt_lb=0.25), 28 * INCH_M):
        assert expected.low_n < expected.force_n < expected.high_n, expected.method


@pytest.mark.parametrize("last_in", [20, 22, 24, 26])
def test_every_band_holds_what_bow_t1_weighs_at_28_in(last_in):
    for expected in rules_of_thumb(t1(step_in=2, last_in=last_in, doubt_lb=0.25), 28 * INCH_M):
        assert expected.low_n <= 48.2186 * POUND_N <= expected.high_n, expected.method


def test_the_combined_weight_lies_among_its_sources():
    ways = rules_of_thumb(t1(step_in=2, last_in=22), 28 * INCH_M)
    assert [each.method for each in ways] == ["pounds_an_inch", "share_an_inch", "last_slope"]
    both = combine(ways)
    # The bands lean upward of the bare rules, as curves steepen; what counts is the middle of each.
    assert min(each.low_n for each in ways) <= both.force_n <= max(each.high_n for each in ways)
    assert both.force_n / POUND_N == pytest.approx(48.2, abs=0.5)
    assert both.low_n < both.force_n < both.high_n
    assert both.ok


def test_agreement_does_not_narrow_the_band():
    same = Projection("last_slope", 0.7, 200.0, 190.0, 210.0)
    twice = combine([same, same])
    assert twice.high_n - twice.low_n == pytest.approx(20)


def test_a_stretched_method_does_not_count_beside_a_sound_one():
    sound = Projection("last_slope", 0.7, 200.0, 190.0, 210.0)
    stretched = Projection("share_an_inch", 0.7, 300.0, 299.0, 301.0, False, "before_last_third")
    assert combine([sound, stretched]).force_n == pytest.approx(200)
    alone = combine([stretched])
    assert (alone.ok, alone.why) == (False, "before_last_third")


def test_one_point_alone_leaves_the_rules_of_thumb():
    ways = rules_of_thumb(inches_and_pounds({24: 40}), 28 * INCH_M)
    assert [each.method for each in ways] == ["pounds_an_inch", "share_an_inch"]


def test_a_draw_already_reached_is_not_projected():
    with pytest.raises(OutOfRange, match="draw_reached"):
        rules_of_thumb(t1(), 28 * INCH_M)


def test_a_falling_curve_is_not_projected():
    with pytest.raises(NoSolution, match="curve_falls"):
        rules_of_thumb(inches_and_pounds({20: 31, 24: 30}), 28 * INCH_M)


def test_a_solved_curve_outranks_the_rules():
    rule = Projection("last_slope", 0.7, 180.0, 179.0, 181.0)
    solved = Projection("solved_shape", 0.7, 200.0, 190.0, 210.0)
    assert combine([rule, solved]).force_n == pytest.approx(200)
    unfit = Projection("solved_shape", 0.7, 200.0, 190.0, 210.0, False, "shape_does_not_fit")
    assert combine([rule, unfit]).force_n == pytest.approx(180)


def test_methods_that_disagree_more_than_their_bands_allow_widen_the_band():
    a, b = (
        Projection("last_slope", 0.7, 200.0, 198.0, 202.0),
        Projection("share_an_inch", 0.7, 220.0, 218.0, 222.0),
    )
    both = combine([a, b])
    assert both.low_n < 200
    assert both.high_n > 220


def test_from_before_half_the_draw_the_last_slope_is_not_trusted():
    expected = by_last_slope(inches_and_pounds({10: 12, 12: 16}), 28 * INCH_M)
    assert (expected.ok, expected.why) == (False, "before_half_way")


def test_nothing_combines_to_nothing():
    with pytest.raises(TooFew):
        combine([])


def test_no_band_is_narrower_than_the_scale_it_is_read_on():
    """Of a scale that may be wrong by half a pound eight readings in ten lie within 0.64 lb (normal)."""
    sure = Projection("solved_shape", 0.4, 16 * POUND_N, 15.9 * POUND_N, 16.1 * POUND_N)
    told = no_surer_than(sure, 0.5 * POUND_N)
    assert (told.high_n - told.force_n) / POUND_N == pytest.approx(0.641, abs=0.001)
    wide = Projection("last_slope", 0.4, 16 * POUND_N, 12 * POUND_N, 20 * POUND_N)
    assert no_surer_than(wide, 0.5 * POUND_N) == wide
