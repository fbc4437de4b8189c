"""Projection by a solved shape: bow T1 weighed part of the way, with another taper's curve for it."""

import numpy as np
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from tests.calc.bows import T1_POUNDS, inches_and_pounds, t1
from workshop.calc.drawcurve import draw_curve
from workshop.calc.errors import Mismatch, NoSolution, OutOfRange, TooFew
from workshop.calc.imperial import INCH_M, POUND_N
from workshop.calc.solvedshape import by_solved_shape, fit_shape

# Uniform limb of T1's length, grip and brace (own computation by two methods): force in units of its own.
UNIFORM_IN = np.arange(6, 29, 2)
UNIFORM = [0.0, 0.161165, 0.267825, 0.354851, 0.434626, 0.512344, 0.590604, 0.670986, 0.754664, 0.842678]
UNIFORM += [0.936081, 1.036034]


@pytest.mark.parametrize(("last_in", "within_pct"), [(16, 2.5), (18, 2.0), (20, 1.5), (22, 1.1), (26, 0.6)])
def test_another_tapers_shape_finds_bow_t1_at_28_in(last_in, within_pct):
    fit = fit_shape(t1(step_in=2, last_in=last_in), UNIFORM_IN * INCH_M, UNIFORM)
    expected = by_solved_shape(fit, 28 * INCH_M)
    assert fit.ok
    assert expected.force_n / POUND_N == pytest.approx(48.2186, rel=within_pct / 100)
    assert expected.low_n < 48.2186 * POUND_N < expected.high_n


def test_it_beats_the_rules_of_thumb_and_is_surer_than_the_last_slope_on_bow_t1():
    from workshop.calc.projection import rules_of_thumb

    curve, true = t1(step_in=2, last_in=18), 48.2186 * POUND_N
    solved = by_solved_shape(fit_shape(curve, UNIFORM_IN * INCH_M, UNIFORM), 28 * INCH_M)
    ways = {way.method: way for way in rules_of_thumb(curve, 28 * INCH_M)}
    slope = ways.pop("last_slope")
    assert solved.low_n < true < solved.high_n
    assert solved.high_n - solved.low_n < slope.high_n - slope.low_n
    assert all(abs(way.force_n - true) > abs(solved.force_n - true) for way in ways.values())


def test_the_bows_own_curve_fits_at_once_and_its_scale_is_the_stiffness_to_correct_by():
    draws = np.array([6, *T1_POUNDS]) * INCH_M
    forces = np.array([0, *T1_POUNDS.values()]) * POUND_N
    stiffer = inches_and_pounds({draw: 1.1 * T1_POUNDS[draw] for draw in (14, 18, 20)}, brace_in=6)
    fit = fit_shape(stiffer, draws, forces)
    assert fit.scale == pytest.approx(1.1, rel=1e-9)
    assert fit.misfit == pytest.approx(0, abs=1e-6)
    expected = by_solved_shape(fit, 28 * INCH_M, method="solved_bow")
    assert expected.method == "solved_bow"
    assert expected.force_n / POUND_N == pytest.approx(1.1 * 48.2186, rel=1e-9)


@settings(derandomize=True, max_examples=60, deadline=None)
@given(st.floats(0.2, 5))
def test_a_heavier_bow_of_the_same_shape_is_expected_heavier_in_proportion(times):
    draws, forces = [0.3, 0.4, 0.5], np.array([50.0, 90.0, 130.0])
    shape = ([0.2, 0.3, 0.4, 0.5, 0.6, 0.7], [0, 1.0, 1.8, 2.5, 3.3, 4.3])
    one = by_solved_shape(fit_shape(draw_curve(draws, forces), *shape), 0.7)
    other = by_solved_shape(fit_shape(draw_curve(draws, times * forces), *shape), 0.7)
    assert other.force_n == pytest.approx(times * one.force_n, rel=1e-9)


def test_the_further_the_way_the_wider_the_band():
    fit = fit_shape(t1(step_in=2, last_in=18, doubt_lb=0.25), UNIFORM_IN * INCH_M, UNIFORM)
    shares = [
        by_solved_shape(fit, inch * INCH_M).sd_n / by_solved_shape(fit, inch * INCH_M).force_n
        for inch in (20, 24, 28)
    ]
    assert shares == sorted(shares)


def test_a_bow_of_another_shape_is_not_trusted():
    # Points that stack as no straight bow does, against the straight bow's shape.
    fit = fit_shape(inches_and_pounds({12: 6, 16: 14, 20: 31}, brace_in=6), UNIFORM_IN * INCH_M, UNIFORM)
    assert (fit.ok, fit.why) == (False, "shape_does_not_fit")
    assert not by_solved_shape(fit, 28 * INCH_M).ok


@pytest.mark.parametrize("slip", range(5))
def test_of_points_on_a_curve_but_for_one_that_one_is_named(slip):
    """Wherever it stands: the last too, to which a curve through all would be drawn."""
    draws = np.array([10.0, 13.0, 16.0, 19.0, 22.0]) * INCH_M
    forces = 40.0 * np.interp(draws, UNIFORM_IN * INCH_M, UNIFORM)
    right = forces[slip]
    forces[slip] *= 1.12
    fit = fit_shape(draw_curve(draws, forces), UNIFORM_IN * INCH_M, UNIFORM)
    assert fit.farthest.draw_m == pytest.approx(draws[slip])
    assert fit.farthest.force_n == pytest.approx(1.12 * right)
    assert fit.farthest.curve_n == pytest.approx(right, rel=0.02)  # straight lines between solved draws here


def test_of_two_points_that_disagree_neither_is_named():
    fit = fit_shape(inches_and_pounds({12: 6, 20: 31}, brace_in=6), UNIFORM_IN * INCH_M, UNIFORM)
    assert fit.farthest is None


@pytest.mark.parametrize(
    ("points", "draws", "relative", "error"),
    [
        ({14: 20, 18: 27}, [0.2, 0.4], [0, 1], TooFew),
        ({14: 20, 18: 27}, [0.2, 0.3, 0.4], [0, 1, 2], Mismatch),
        ({14: 20, 18: 27}, [0.2, 0.4, 0.7], [0, 2, 1], OutOfRange),
        ({14: 20, 18: 19}, [0.2, 0.4, 0.7], [0, 1, 2], NoSolution),
    ],
)
def test_shapes_that_cannot_be_fitted_are_refused(points, draws, relative, error):
    with pytest.raises(error):
        fit_shape(inches_and_pounds(points), draws, relative)


def test_no_further_than_was_solved_and_not_where_the_bow_has_been():
    fit = fit_shape(t1(step_in=2, last_in=18), UNIFORM_IN * INCH_M, UNIFORM)
    for inch in (18, 29):
        with pytest.raises(OutOfRange):
            by_solved_shape(fit, inch * INCH_M)
