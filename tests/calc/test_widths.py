"""A section taken with callipers, against the closed forms and the outline drawn point by point."""

import numpy as np
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from workshop.calc.errors import CalcError, OutOfOrder, OutOfRange, TooFew
from workshop.calc.section import Layer, half_oval, measured, rectangle
from workshop.calc.widths import by_widths, check_lines


def test_two_lines_of_one_width_are_a_flat_limb():
    """I = w d^3 / 12 (Gere)."""
    flat = by_widths(((0, 0.02), (0.01, 0.02)), 0.040, 0.012).section(1.0)
    assert flat.second_moment_m4 == pytest.approx(
        rectangle(0.040, 0.012).section(1.0).second_moment_m4, rel=1e-12
    )


def test_a_half_oval_taken_at_five_heights_comes_near_the_true_one():
    """Against the closed form (pi/16 - 4/9pi) w d^3: chords cut the round off, so it reads low: by 14 %
    with heights evenly spread, by 4 % with the lower ones closer, as the form asks for them."""
    true = half_oval(0.030, 0.015).section(1.0).second_moment_m4
    closer = [0, 0.05, 0.2, 0.5, 1]
    for heights, within in ((np.linspace(0, 1, 5), 0.14), (closer, 0.042), (np.linspace(0, 1, 41), 0.01)):
        lines = tuple((0.015 * h, 0.030 * np.sqrt(1 - (1 - h) ** 2)) for h in heights)
        found = by_widths(lines, 0.030, 0.015).section(1.0).second_moment_m4
        assert true * (1 - within) < found < true


@settings(max_examples=40, derandomize=True, deadline=None)
@given(
    steps=st.lists(st.floats(0.001, 0.01), min_size=1, max_size=6),
    widths=st.lists(st.floats(0.004, 0.05), min_size=7, max_size=7),
)
def test_the_widths_say_the_same_as_the_outline_walked_round_point_by_point(steps, widths):
    heights = np.r_[0, np.cumsum(steps)]
    widths = np.array(widths[: heights.size])
    depth = heights[-1]
    right = [(w / 2, depth - h) for h, w in zip(heights, widths, strict=True)]
    round_it = right + [(-x, y) for x, y in reversed(right)]
    by_points = measured(round_it).section(1e10, 700.0)
    lines = tuple(zip(heights, widths, strict=True))
    by_lines = by_widths(lines, widths.max(), depth).section(1e10, 700.0)
    for name in ("area_m2", "neutral_axis_m", "stiffness_nm2", "mass_kg_per_m"):
        assert getattr(by_lines, name) == pytest.approx(getattr(by_points, name), rel=1e-9)


def test_carried_to_another_station_it_goes_with_width_and_with_the_cube_of_depth():
    lines = ((0, 0.0), (0.004, 0.022), (0.012, 0.030), (0.016, 0.026))
    one = by_widths(lines, 0.030, 0.016).section(1.0)
    many = by_widths(lines, np.array([0.030, 0.060]), np.array([0.016, 0.008])).section(1.0)
    assert many.second_moment_m4 == pytest.approx(one.second_moment_m4 * np.array([1, 2 / 8]))
    assert many.to_back_m == pytest.approx(one.to_back_m * np.array([1, 0.5]))


def test_it_is_layered_like_any_other_section():
    lines = ((0, 0.03), (0.015, 0.03))
    layers = [Layer(15e9, 0.003), Layer(10e9)]
    flat, backed = rectangle(0.030, 0.015).layered(layers), by_widths(lines, 0.030, 0.015).layered(layers)
    assert backed.stiffness_nm2 == pytest.approx(flat.stiffness_nm2, rel=1e-12)


@pytest.mark.parametrize(
    ("lines", "error", "code"),
    [
        (((0, 0.02),), TooFew, "outline_lines"),
        ((), TooFew, "outline_lines"),
        (((0, 0.02), (0.01, 0.02), (0.008, 0.02)), OutOfOrder, "outline_heights"),
        (((0, 0.02), (0.0, 0.02)), OutOfOrder, "outline_heights"),
        (((0.002, 0.02), (0.01, 0.02)), OutOfRange, "outline_belly"),
        (((0, 0.02), (0.01, -0.02)), OutOfRange, "outline_width"),
        (((0, 0.02), (0.01, 0.0), (0.02, 0.02)), OutOfRange, "outline_width"),
        (((0, 0.0), (0.01, 0.0)), OutOfRange, "outline_width"),
    ],
)
def test_what_is_no_section_is_named(lines, error, code):
    with pytest.raises(error) as refused:
        check_lines(lines)
    assert refused.value.code == code
    with pytest.raises(CalcError):
        by_widths(lines, 0.03, 0.015)


def test_a_size_of_nothing_is_named():
    with pytest.raises(OutOfRange, match="size"):
        by_widths(((0, 0.02), (0.01, 0.02)), np.array([0.03, 0.0]), 0.015)
