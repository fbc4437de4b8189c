"""What a weigh-in says at once: slips, stacking, dying wood, the limit of pull (common practice)."""

import numpy as np
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from tests.calc.bows import T1_POUNDS, inches_and_pounds, t1
from workshop.calc.drawcurve import draw_curve
from workshop.calc.errors import OutOfRange
from workshop.calc.foresee import stock_bow
from workshop.calc.imperial import INCH_M, POUND_N
from workshop.calc.statics import draw
from workshop.calc.weighin import lighter_than_before, limit_of_pull, odd_points, stacking


def test_the_limit_of_pull_is_the_order_and_what_finishing_takes():
    assert limit_of_pull(45 * POUND_N, allowance_n=3 * POUND_N) == pytest.approx(48 * POUND_N)
    assert limit_of_pull(40 * POUND_N, allowance_pct=5) == pytest.approx(42 * POUND_N)


@pytest.mark.parametrize("given", [{"ordered_n": 0}, {"ordered_n": 200, "allowance_n": -1}])
def test_a_limit_of_nothing_is_refused(given):
    with pytest.raises(OutOfRange):
        limit_of_pull(**given)


@pytest.mark.parametrize("step_in", [1, 2, 4, 11])
def test_a_smooth_curve_has_no_odd_point_and_does_not_stack(step_in):
    assert odd_points(t1(step_in=step_in)) == []
    assert odd_points(inches_and_pounds({i: w for i, w in T1_POUNDS.items() if i % step_in == 0})) == []
    assert not stacking(t1(step_in=step_in)).stacks


@settings(derandomize=True, max_examples=60, deadline=None)
@given(st.lists(st.floats(-0.5, 0.5), min_size=22, max_size=22))
def test_the_scales_own_noise_is_not_called_odd(noise):
    # Two standard deviations either way of a scale with a quarter pound of doubt.
    noisy = {draw: weight + off for (draw, weight), off in zip(T1_POUNDS.items(), noise, strict=True)}
    curve = inches_and_pounds(noisy, brace_in=6, doubt_lb=0.25)
    # Draws an inch apart rise 1.8 lb at the least, so a quarter pound of doubt never makes one fall.
    assert odd_points(curve) == []


@pytest.mark.parametrize(
    ("slipped_in", "typed_lb", "kind"),
    [
        (16, 32.5, "jump"),  # 23.5 with its figures turned
        (16, 2.35, "falls"),  # the point in the wrong place
        (28, 84.2, "jump"),  # 48.2 turned, at the far end
        (26, 34.4, "falls"),  # 43.4 turned
        (8, 72.0, "jump"),  # the first one
        (22, 38.4, "jump"),
    ],
)
def test_a_slipped_figure_is_found_and_its_neighbours_are_not_blamed(slipped_in, typed_lb, kind):
    by_twos = {draw: weight for draw, weight in T1_POUNDS.items() if draw % 2 == 0}
    odd = odd_points(inches_and_pounds({**by_twos, slipped_in: typed_lb}, brace_in=6, doubt_lb=0.25))
    assert [(round(each.draw_m / INCH_M), each.kind) for each in odd] == [(slipped_in, kind)]
    # What the neighbours make expect is what the slip replaced, to a pound and a half.
    assert odd[0].expected_n / POUND_N == pytest.approx(by_twos[slipped_in], abs=1.5)


def test_two_points_can_only_fall():
    assert [each.kind for each in odd_points(inches_and_pounds({20: 31, 24: 30}))] == ["falls"]
    assert odd_points(inches_and_pounds({20: 31, 24: 90})) == []


def test_a_bow_whose_last_inch_doubles_its_rise_stacks():
    points = {20: 30, 22: 34, 24: 38.5, 26: 44, 28: 53}
    found = stacking(inches_and_pounds(points, brace_in=6, doubt_lb=0.25))
    assert found.stacks
    assert found.ratio == pytest.approx(4.5 / 2)
    assert found.from_m == pytest.approx(22 * INCH_M)


@pytest.mark.parametrize(
    ("bow_in", "follow_in", "ratio", "stacks"),
    [(72, 0, 1.3, False), (62, 0, 1.5, False), (62, 2, 1.7, False), (52, 0, 2.1, True), (48, 0, 2.7, True)],
)
def test_a_bow_far_too_short_for_its_draw_stacks_and_a_long_one_does_not(bow_in, follow_in, ratio, stacks):
    at = np.arange(8, 29, 2) * INCH_M
    bow = stock_bow(bow_in * INCH_M, stiff_m=6 * INCH_M, follow_m=follow_in * INCH_M)
    forces = draw(bow, at, brace_height_m=6 * INCH_M).force_n
    found = stacking(draw_curve(at, forces, braced_draw_m=6 * INCH_M))
    assert found.stacks is stacks
    assert found.ratio == pytest.approx(ratio, abs=0.05)


def test_a_doubtful_scale_is_no_ground_to_speak_of_stacking():
    assert not stacking(inches_and_pounds({20: 30, 24: 34, 28: 40.5}, doubt_lb=2)).stacks


def test_two_points_are_too_few_to_speak_of_stacking():
    found = stacking(inches_and_pounds({20: 30, 28: 60}))
    assert (found.stacks, found.ok, found.why) == (False, False, "too_few_points")


def before(**more):
    return inches_and_pounds({20: 31, 24: 39}, brace_in=6, doubt_lb=0.25, **more)


def test_lower_at_the_same_draw_and_brace_with_no_work_since_is_dying_wood():
    found = lighter_than_before(before(), inches_and_pounds({24: 36.5}, brace_in=6), work_done_since=False)
    assert found.ok
    assert found.dying
    assert found.draw_m == pytest.approx(24 * INCH_M)
    assert found.loss_n / POUND_N == pytest.approx(2.5)


def test_a_shade_lower_is_within_what_the_scale_can_tell():
    again = inches_and_pounds({24: 38.6}, brace_in=6, doubt_lb=0.25)
    found = lighter_than_before(before(), again, work_done_since=False)
    assert found.ok
    assert not found.dying


def test_the_seasons_moisture_may_account_for_a_couple_of_pounds():
    again = inches_and_pounds({24: 37}, brace_in=6, doubt_lb=0.25)
    assert lighter_than_before(before(), again, work_done_since=False).dying
    assert not lighter_than_before(before(), again, work_done_since=False, by_season_n=-2 * POUND_N).dying


@pytest.mark.parametrize(
    ("dried_lb", "after_lb", "dying", "gained"),
    [
        (2, 41, False, False),  # dried, and so much heavier
        (0, 41, False, True),
        (-2, 41, False, True),  # wetted, which explains no gain
        (-2, 37, False, False),  # wetted, and so much lighter
        (0, 37, True, False),
        (2, 37, True, False),  # dried, which explains no loss
        (2, 43.5, False, True),  # more than the drying explains
    ],
)
def test_drying_explains_a_gain_and_wetting_a_loss_and_neither_the_other(dried_lb, after_lb, dying, gained):
    """From 39 lb; common practice, no source: 3 % of moisture is worth a couple of pounds."""
    again = inches_and_pounds({24: after_lb}, brace_in=6, doubt_lb=0.25)
    found = lighter_than_before(before(), again, work_done_since=False, by_season_n=dried_lb * POUND_N)
    assert (found.dying, found.gained) == (dying, gained)


def test_weighed_less_far_it_is_compared_where_both_have_been():
    again = inches_and_pounds({22: 31}, brace_in=6, doubt_lb=0.25)
    found = lighter_than_before(before(), again, work_done_since=False)
    assert found.draw_m == pytest.approx(22 * INCH_M)
    assert found.dying


@settings(derandomize=True, max_examples=60, deadline=None)
@given(st.floats(0, 20), st.floats(0, 3))
def test_a_bow_that_has_not_lost_weight_is_never_said_to_die(gained_lb, doubt_lb):
    again = inches_and_pounds({24: 39 + gained_lb}, brace_in=6, doubt_lb=doubt_lb)
    found = lighter_than_before(before(), again, work_done_since=False)
    assert found.ok
    assert not found.dying


@pytest.mark.parametrize(
    ("again", "more", "why"),
    [
        ({"points": {24: 36}, "brace_in": 6}, {"work_done_since": True}, "work_done"),
        ({"points": {24: 36}, "brace_in": 5}, {"work_done_since": False}, "another_brace"),
        ({"points": {24: 36}}, {"work_done_since": False}, "no_brace"),
        ({"points": {18: 26}, "brace_in": 6}, {"work_done_since": False}, "no_common_draw"),
        (
            {"points": {24: 36}, "brace_in": 6},
            {"work_done_since": False, "same_string": False},
            "another_string",
        ),
    ],
)
def test_what_cannot_be_compared_says_why(again, more, why):
    found = lighter_than_before(before(), inches_and_pounds(**again), **more)
    assert (found.ok, found.why, found.dying) == (False, why, False)


def test_one_figure_and_one_figure_later_are_enough_to_see_dying_wood():
    """Brace heights are known to be one, yet not where the string lay: no grip depth was measured."""
    before, after = (draw_curve([0.6], [force], scale_doubt_n=1.0) for force in (140.0, 131.0))
    assert lighter_than_before(before, after, work_done_since=False, same_brace=True).dying
    assert lighter_than_before(before, after, work_done_since=False, same_brace=False).why == "another_brace"
    assert lighter_than_before(before, after, work_done_since=False).why == "no_brace"
