"""The draw curve: stored energy against print, an exact parabola and bow T1; what lies between points."""

import numpy as np
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from tests.calc.bows import T1_FOOT_POUNDS, inches_and_pounds, t1
from workshop.calc.drawcurve import draw_curve, end_slope, energy_of_weight, stored_energy, weight_at
from workshop.calc.errors import Mismatch, OutOfRange, TooFew
from workshop.calc.imperial import FOOT_M, FOOT_POUND_J, INCH_M, POUND_N


def test_trapezoid_over_one_inch_steps_of_bow_t1():
    # Our own computation by two methods; the trapezoid misses 0.033 % of it.
    energy = stored_energy(t1())
    assert energy.trapezoid_j / FOOT_POUND_J == pytest.approx(46.4486, abs=0.0005)
    # The curve sees the bend between the points and comes nearer: within 0.01 %.
    assert energy.curve_j / FOOT_POUND_J == pytest.approx(T1_FOOT_POUNDS, rel=1e-4)
    assert energy.per_peak_m / FOOT_M == pytest.approx(0.9636, abs=0.0002)
    assert energy.ok


def test_the_weight_alone_tells_the_energy_of_a_straight_bow_to_two_parts_in_a_hundred():
    """Bow T1, our own computation by two methods: q = 0.41298 at 28 in, against the 0.407 of Kooi's straight bow."""
    peak = t1().peak_n
    assert energy_of_weight(peak, 28 * INCH_M) == pytest.approx(T1_FOOT_POUNDS * FOOT_POUND_J, rel=0.02)
    with pytest.raises(OutOfRange):
        energy_of_weight(0.0, 0.7)


def test_the_curve_beats_the_trapezoid_on_a_series_weighed_by_twos():
    energy = stored_energy(t1(step_in=2))
    true = T1_FOOT_POUNDS * FOOT_POUND_J
    assert abs(energy.curve_j - true) < abs(energy.trapezoid_j - true)
    assert energy.curve_j == pytest.approx(true, rel=1e-3)
    assert abs(energy.curve_j - true) <= energy.doubt_j


@pytest.mark.parametrize(
    ("energy_j", "peak_n", "stroke_m", "ratio", "foot_pounds_a_pound"),
    [
        (42.6, 170.5, 0.430, 0.5811, 0.820),
        (50.3, 170.0, 0.509, 0.5813, 0.971),
        (45.6, 178.0, 0.440, 0.5822, 0.840),
        (33.2, 130.0, 0.429, 0.5953, 0.838),
    ],
    ids=["OK1", "OK2", "OK3", "GH"],
)
def test_ratios_of_the_recurves_of_tuijn_and_kooi(energy_j, peak_n, stroke_m, ratio, foot_pounds_a_pound):
    # C. Tuijn & B.W. Kooi, Eur. J. Phys. 13 (1992), table I: energy, peak weight and stroke. A curve is made
    # that stores that energy at that peak over that stroke (a parabola F = a u + b u^2), weighed every 1/24
    # of the stroke; the energy and both ratios must come back.
    a = 6 * energy_j / stroke_m**2 - 2 * peak_n / stroke_m
    b = (peak_n - a * stroke_m) / stroke_m**2
    u = np.linspace(0, stroke_m, 25)[1:]
    energy = stored_energy(draw_curve(0.2 + u, a * u + b * u**2, braced_draw_m=0.2))
    # The printed figures have three digits. The trapezoid misses h^2/12 of the curvature: below 1e-3 of the
    # energy.
    assert energy.curve_j == pytest.approx(energy_j, rel=1e-4)
    assert energy.trapezoid_j == pytest.approx(energy_j, rel=1e-3)
    assert energy.ratio == pytest.approx(ratio, abs=1e-4)
    assert energy.per_peak_m / FOOT_M == pytest.approx(foot_pounds_a_pound, abs=6e-4)


def test_an_exact_parabola():
    # F = 400 u - 200 u^2 over 0.5 m: energy 200 u^2 - 200/3 u^3 = 41.6667 J. The trapezoid misses
    # exactly F'' stroke h^2 / 12 of a parabola: 400 x 0.5 x 0.05^2 / 12 = 0.0416667 J too little.
    u = np.linspace(0, 0.5, 11)[1:]
    energy = stored_energy(draw_curve(0.2 + u, 400 * u - 200 * u**2, braced_draw_m=0.2))
    exact = 200 * 0.25 - 200 / 3 * 0.125
    assert energy.trapezoid_j == pytest.approx(exact - 400 * 0.5 * 0.05**2 / 12, abs=1e-12)
    assert energy.curve_j == pytest.approx(exact, rel=1e-4)


def test_a_straight_line_stores_half_peak_times_stroke():
    energy = stored_energy(draw_curve([0.3, 0.45, 0.7], [40, 100, 200], braced_draw_m=0.2))
    assert energy.curve_j == pytest.approx(0.5 * 200 * 0.5, abs=1e-12)
    assert energy.ratio == pytest.approx(0.5, abs=1e-12)


@settings(derandomize=True, max_examples=100, deadline=None)
@given(
    st.lists(st.floats(0.01, 0.1), min_size=2, max_size=12),
    st.lists(st.floats(1, 60), min_size=12, max_size=12),
    st.floats(0.5, 3),
)
def test_a_rising_curve_stores_between_its_steps_and_scales_with_its_weights(steps, rises, times):
    draws = 0.15 + np.cumsum(steps)
    forces = np.cumsum(rises[: len(steps)])
    energy = stored_energy(draw_curve(draws, forces, braced_draw_m=0.15))
    steps = np.diff(np.r_[0.15, draws])
    below, above = steps @ np.r_[0, forces[:-1]], steps @ forces
    assert below - 1e-9 <= energy.curve_j <= above + 1e-9
    assert below - 1e-9 <= energy.trapezoid_j <= above + 1e-9
    heavier = stored_energy(draw_curve(draws, times * forces, braced_draw_m=0.15))
    assert heavier.curve_j == pytest.approx(times * energy.curve_j, rel=1e-9)


def test_without_brace_the_energy_is_not_whole():
    energy = stored_energy(inches_and_pounds({20: 31, 24: 39, 28: 48}))
    assert (energy.ok, energy.why) == (False, "no_brace")
    assert energy.from_m == pytest.approx(20 * INCH_M)


def test_a_scale_that_reads_a_quarter_pound_off_makes_that_much_doubt():
    doubt = stored_energy(t1(doubt_lb=0.25)).doubt_j
    assert doubt == pytest.approx(0.25 * POUND_N * 22 * INCH_M, rel=0.01)


def test_a_draw_that_was_weighed_is_given_as_read():
    at = weight_at(t1(step_in=2, doubt_lb=0.5), 24 * INCH_M)
    assert at.measured
    assert at.force_n == pytest.approx(38.998 * POUND_N)
    assert at.doubt_n == pytest.approx(0.5 * POUND_N)


@pytest.mark.parametrize("inch", [13, 17, 21, 25, 27])
def test_between_two_weighed_draws_bow_t1_is_found_again(inch):
    from tests.calc.bows import T1_POUNDS

    at = weight_at(t1(step_in=2), inch * INCH_M)
    assert not at.measured
    # 0.02 lb: what a monotone cubic over 2 in steps misses of this curve.
    assert at.force_n / POUND_N == pytest.approx(T1_POUNDS[inch], abs=0.02)
    assert at.between_m == pytest.approx(((inch - 1) * INCH_M, (inch + 1) * INCH_M))


@pytest.mark.parametrize("inch", [7, 30])
def test_nothing_is_said_of_a_draw_the_points_do_not_reach(inch):
    with pytest.raises(OutOfRange, match="draw_beyond_points"):
        weight_at(inches_and_pounds({10: 12, 28: 48}, brace_in=6), inch * INCH_M)


def test_the_end_slope_of_bow_t1():
    # Chord of the last four inches: (48.2186 - 38.9980) / 4 = 2.305 lb an inch; the least-squares line over
    # the five points is within 0.01 of it, and a scale doubt of 0.25 lb leaves 0.25 / sqrt(10) = 0.079.
    slope = end_slope(t1(doubt_lb=0.25))
    assert slope.newton_per_m * INCH_M / POUND_N == pytest.approx(2.305, abs=0.01)
    assert slope.doubt * INCH_M / POUND_N == pytest.approx(0.25 / 10**0.5, rel=1e-9)


def test_one_point_and_the_brace_still_make_a_curve():
    curve = inches_and_pounds({20: 28}, brace_in=6)
    assert stored_energy(curve).curve_j == pytest.approx(0.5 * 28 * POUND_N * 14 * INCH_M)
    assert end_slope(curve).newton_per_m == pytest.approx(28 * POUND_N / (14 * INCH_M))


def test_one_point_alone_has_neither_energy_nor_slope():
    curve = inches_and_pounds({20: 28})
    for question in (stored_energy, end_slope):
        with pytest.raises(TooFew):
            question(curve)


def test_points_typed_in_any_order_make_the_same_curve():
    assert inches_and_pounds({28: 48, 20: 31, 24: 39}).draws_m.tolist() == sorted(
        inches_and_pounds({20: 31, 24: 39, 28: 48}).draws_m.tolist()
    )


@pytest.mark.parametrize(
    ("draws", "forces", "more", "error", "code"),
    [
        ([], [], {}, TooFew, "points"),
        ([0.5, 0.6], [100], {}, Mismatch, "points"),
        ([0.5, 0.5], [100, 110], {}, Mismatch, "equal_draws"),
        ([0.5, 0.5003], [100, 110], {}, Mismatch, "equal_draws"),
        ([-0.5], [100], {}, OutOfRange, "draw"),
        ([0.5], [-1], {}, OutOfRange, "weight"),
        ([0.5], [float("nan")], {}, OutOfRange, "weight"),
        ([float("inf")], [1], {}, OutOfRange, "draw"),
        ([0.5], [100], {"braced_draw_m": 0.5}, Mismatch, "draw_below_brace"),
        ([0.5], [100], {"braced_draw_m": -0.1}, OutOfRange, "brace"),
        ([0.5], [100], {"scale_doubt_n": -1.0}, OutOfRange, "scale_doubt"),
    ],
)
def test_points_that_cannot_be_are_named(draws, forces, more, error, code):
    with pytest.raises(error) as said:
        draw_curve(draws, forces, **more)
    assert said.value.code == code
    assert said.value.allowed


def test_a_falling_curve_is_kept_and_says_so():
    assert inches_and_pounds({20: 31, 24: 30}).falls
    assert not inches_and_pounds({20: 31, 24: 30.9}, doubt_lb=0.25).falls
