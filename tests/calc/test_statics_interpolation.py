"""The curves between stations against scipy's own."""

import numpy as np
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st
from scipy.interpolate import PchipInterpolator

from workshop.calc.statics.interpolation import monotone, parabolic

steps = st.lists(st.floats(0.01, 1.0), min_size=1, max_size=11)
sizes = st.lists(st.floats(0.1, 10.0), min_size=12, max_size=12)


@settings(derandomize=True, deadline=None)
@given(steps, sizes)
def test_monotone_is_scipy_s_pchip(step, size):
    knots = np.concatenate([[0.0], np.cumsum(step)])
    values = np.array(size[: len(knots)])
    at = np.linspace(0, knots[-1], 57)
    theirs, ours = PchipInterpolator(knots, values), monotone(knots, values)
    assert ours(at) == pytest.approx(theirs(at), rel=1e-9)
    assert ours.area(at) == pytest.approx(theirs.antiderivative()(at), abs=1e-9)
    assert values.min() - 1e-9 <= ours(at).min() <= ours(at).max() <= values.max() + 1e-9


@settings(derandomize=True, deadline=None)
@given(steps.filter(lambda s: len(s) > 1), st.floats(-3, 3), st.floats(-3, 3))
def test_an_even_reflex_comes_back_even(step, slope, bend):
    knots = np.concatenate([[0.0], np.cumsum(step)])
    at = np.linspace(0, knots[-1], 31)
    curve = parabolic(knots, slope * knots + bend * knots**2)
    assert curve(at) == pytest.approx(slope * at + bend * at**2, abs=1e-9)
    assert curve.slope(at) == pytest.approx(slope + 2 * bend * at, abs=1e-8)
