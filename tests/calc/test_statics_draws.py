"""One draw, four ways of measuring it."""

import itertools

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from workshop.calc.draws import FROM, GripDepth
from workshop.calc.errors import OutOfRange, TooFew

INCH = 0.0254


def test_the_trade_standard_is_the_pivot_and_an_inch_and_three_quarters():
    """AMO Field Publication FP-3 (2000), as quoted by a coach: 26 1/4 in to the pivot is a draw of 28 in."""
    read = GripDepth().convert(26.25 * INCH, given="belly", wanted="trade")
    assert read == pytest.approx(28 * INCH, abs=1e-12)


def test_a_grip_as_deep_as_the_standard_reads_the_same_from_its_back():
    grip = GripDepth(depth_m=1.75 * INCH)
    assert grip.convert(0.7, given="back", wanted="trade") == pytest.approx(0.7, abs=1e-12)


def test_a_draw_and_a_brace_height_from_the_belly_share_one_step_to_the_axis():
    grip = GripDepth(depth_m=0.052, axis_from_back_m=0.019)
    assert grip.convert(0.66, given="belly", wanted="axis") == pytest.approx(0.693)
    assert grip.brace_on_axis(0.16) == pytest.approx(0.193)
    assert grip.brace_from_belly(0.193) == pytest.approx(0.16)


@settings(derandomize=True, deadline=None)
@given(
    st.floats(0.2, 0.9),
    st.floats(0.02, 0.08),
    st.floats(0, 1),
    st.sampled_from(list(itertools.product(FROM, FROM))),
)
def test_there_and_back_is_the_same_draw(draw, depth, part, names):
    grip = GripDepth(depth, part * depth)
    there = grip.convert(draw, given=names[0], wanted=names[1])
    assert grip.convert(there, given=names[1], wanted=names[0]) == pytest.approx(draw, abs=1e-12)


@pytest.mark.parametrize("pair", [("back", "belly"), ("trade", "axis"), ("axis", "belly")])
def test_without_the_grip_s_depth_nothing_is_guessed(pair):
    with pytest.raises(TooFew, match="grip_depth"):
        GripDepth().convert(0.7, given=pair[0], wanted=pair[1])


def test_the_same_measure_needs_no_depth():
    assert GripDepth().convert(0.7, given="back", wanted="back") == 0.7


@pytest.mark.parametrize(
    ("make", "error"),
    [
        (lambda: GripDepth(depth_m=0.0), OutOfRange),
        (lambda: GripDepth(depth_m=0.05, axis_from_back_m=0.06), OutOfRange),
        (lambda: GripDepth(axis_from_back_m=0.02), TooFew),
        (lambda: GripDepth(0.05).convert(0.7, given="nose", wanted="back"), OutOfRange),
    ],
)
def test_a_grip_that_cannot_be_is_refused(make, error):
    with pytest.raises(error):
        make()


def test_a_draw_that_would_lie_behind_the_belly_is_refused():
    with pytest.raises(OutOfRange):
        GripDepth(depth_m=0.030).convert(0.020, given="back", wanted="belly")
