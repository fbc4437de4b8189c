"""The curves through points against scipy's, and what they promise."""

import numpy as np
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st
from scipy.interpolate import PchipInterpolator

from workshop.calc.cubic import monotone, parabolic
from workshop.calc.errors import OutOfOrder, OutOfRange, TooFew

points = st.integers(2, 12).flatmap(
    lambda count: st.tuples(
        st.lists(st.floats(0.01, 1), min_size=count, max_size=count),
        st.lists(st.floats(-100, 100), min_size=count, max_size=count),
    )
)


@settings(derandomize=True, max_examples=150, deadline=None)
@given(points)
def test_it_is_scipys_curve(steps_and_values):
    steps, y = steps_and_values
    x = np.cumsum(steps)
    ours, theirs = monotone(x, y), PchipInterpolator(x, y)
    at = np.clip(np.linspace(x[0], x[-1], 57), x[0], x[-1])
    # Rounding only: values to 100, slopes to 2e4.
    np.testing.assert_allclose(ours(at), theirs(at), atol=1e-9)
    np.testing.assert_allclose(ours.slope(at), theirs(at, 1), rtol=1e-9, atol=1e-7)
    assert ours.area(at) == pytest.approx(theirs.antiderivative()(at), abs=1e-9)
    assert ours.area() == pytest.approx(float(theirs.integrate(x[0], x[-1])), abs=1e-9)


@settings(derandomize=True, max_examples=100, deadline=None)
@given(points)
def test_it_never_swings_past_its_points(steps_and_values):
    steps, y = steps_and_values
    x = np.cumsum(steps)
    curve = monotone(x, y)
    for left, right, low, high in zip(x[:-1], x[1:], y[:-1], y[1:], strict=True):
        inside = curve(np.clip(np.linspace(left, right, 11), left, right))
        assert inside.min() >= min(low, high) - 1e-9
        assert inside.max() <= max(low, high) + 1e-9


def test_it_passes_through_its_points():
    curve = monotone([0, 1, 3, 4], [0, 5, 4, 9])
    np.testing.assert_allclose(curve([0, 1, 3, 4]), [0, 5, 4, 9], atol=1e-12)


@settings(derandomize=True, max_examples=100, deadline=None)
@given(points.filter(lambda each: len(each[0]) > 2), st.floats(-3, 3), st.floats(-3, 3))
def test_an_even_reflex_comes_back_even(steps_and_values, slope, bend):
    x = np.cumsum(steps_and_values[0])
    at = np.linspace(x[0], x[-1], 31)
    curve = parabolic(x, slope * x + bend * x**2)
    # Rounding only: chords over steps down to 0.01.
    assert curve(at) == pytest.approx(slope * at + bend * at**2, abs=1e-8)
    assert curve.slope(at) == pytest.approx(slope + 2 * bend * at, abs=1e-6)


@pytest.mark.parametrize("curve", [monotone, parabolic])
@pytest.mark.parametrize(
    ("x", "y", "error"),
    [
        ([0.0], [1.0], TooFew),
        ([0, 1, 1], [0, 1, 2], OutOfOrder),
        ([0, 2, 1], [0, 1, 2], OutOfOrder),
        ([0, 1], [0, np.nan], OutOfRange),
        ([0, 1], [0, 1, 2], OutOfRange),
    ],
)
def test_points_it_cannot_join_are_refused(curve, x, y, error):
    with pytest.raises(error):
        curve(x, y)


def test_it_says_nothing_beyond_its_points():
    with pytest.raises(OutOfRange, match="beyond_points"):
        monotone([0, 1], [0, 1])(1.01)


def test_a_place_out_by_rounding_lies_on_the_end_knot():
    curve = monotone([0.1, 0.3], [1.0, 2.0])
    assert curve(0.1 + 2 * 0.1) == pytest.approx(2.0)
    assert curve(np.nextafter(0.1, 0)) == pytest.approx(1.0)
