"""Tapers: the arc of a circle against our own computation, beams of uniform strength against beam theory."""

import numpy as np
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from workshop.calc.bowstring import string_length
from workshop.calc.errors import Mismatch, NoSolution, OutOfRange
from workshop.calc.imperial import INCH_M
from workshop.calc.tapers import (
    arc_limb,
    depths_for_strain,
    straight,
    surface_strain,
    widths_for_strain,
)

ARC = {
    "limb_m": 32 * INCH_M,
    "grip_half_m": 4 * INCH_M,
    "draw_m": 28 * INCH_M,
    "string_half_m": 35.2431 * INCH_M,
}


def test_stiffness_of_a_limb_that_draws_into_an_arc():
    # Computed from W proportional to the distance to the string; that the width is bulged against a straight
    # taper is Nagler's ("Bow design", part 2).
    limb = arc_limb(np.array([0.1, 0.25, 0.5, 0.75, 0.9]) * 32 * INCH_M, **ARC)
    assert limb.share == pytest.approx([0.93822, 0.82638, 0.593929, 0.31394, 0.12870], abs=1e-5)
    assert limb.radius_m / INCH_M == pytest.approx(36.239, abs=1e-3)
    assert np.degrees(limb.tip_angle_rad) == pytest.approx(50.594, abs=1e-3)


def test_it_is_bulged_against_a_straight_taper_and_comes_to_nothing_at_the_tip():
    at = np.linspace(0, 32 * INCH_M, 33)
    limb = arc_limb(at, **ARC)
    line = straight(at, 32 * INCH_M, root_m=1.0, tip_m=1e-12)
    assert np.all(limb.share[1:-1] > line[1:-1])
    assert limb.share[[0, -1]] == pytest.approx([1, 0], abs=1e-12)
    assert limb.widths(0.045, least_m=0.012).min() == pytest.approx(0.012)
    # Stiffness goes with the cube of the depth.
    assert limb.depths(0.016) ** 3 == pytest.approx(0.016**3 * limb.share, rel=1e-12, abs=1e-20)


@settings(derandomize=True, max_examples=80, deadline=None)
@given(st.floats(1.5, 2.0), st.floats(0, 0.2), st.floats(0.5, 0.75), st.floats(0.1, 0.18))
def test_the_arc_puts_the_tip_where_the_string_reaches(bow_m, grip_m, draw_m, brace_m):
    limb_m = (bow_m - grip_m) / 2
    half = string_length(bow_m, brace_m, grip_m=grip_m) / 2
    at = np.linspace(0, limb_m, 41)
    limb = arc_limb(at, limb_m=limb_m, grip_half_m=grip_m / 2, draw_m=draw_m, string_half_m=half)
    radius, turn = limb.radius_m, limb.tip_angle_rad
    x, y = radius * (1 - np.cos(turn)), grip_m / 2 + radius * np.sin(turn)
    assert np.hypot(draw_m - x, y) == pytest.approx(half, rel=1e-9)
    assert radius * turn == pytest.approx(limb_m, rel=1e-9)
    assert np.all(np.diff(limb.share) < 0)


def test_a_string_never_tight_and_a_draw_out_of_reach_are_refused():
    with pytest.raises(NoSolution, match="string_too_long"):
        arc_limb(np.array([0.1]), **{**ARC, "string_half_m": 1.3})
    with pytest.raises(NoSolution, match="out_of_reach"):
        arc_limb(np.array([0.1]), **{**ARC, "draw_m": 1.6})
    with pytest.raises(OutOfRange, match="station"):
        arc_limb(np.array([0.9]), **ARC)


def test_a_beam_of_uniform_strength_deepens_with_the_square_root():
    # Timoshenko, Strength of Materials (from memory): constant width, end load, depth ~ (distance)^1/2.
    distance = np.linspace(0.01, 0.8, 20)
    depths = depths_for_strain(100 * distance, np.full(20, 0.04), modulus_pa=1e10, strain=0.008)
    assert depths / depths[-1] == pytest.approx(np.sqrt(distance / 0.8), rel=1e-12)


@settings(derandomize=True, max_examples=80, deadline=None)
@given(
    st.lists(st.floats(0.1, 300), min_size=1, max_size=10),
    st.floats(0.01, 0.06),
    st.floats(5e9, 2e10),
    st.floats(0.003, 0.015),
    st.floats(5.5, 10),
)
def test_width_and_depth_answer_each_other_and_meet_the_strain(moments, width_m, modulus, strain, factor):
    wood = {"modulus_pa": modulus, "strain": strain, "fibre_factor": factor}
    widths = np.full(len(moments), width_m)
    depths = depths_for_strain(np.array(moments), widths, **wood)
    assert widths_for_strain(np.array(moments), depths, **wood) == pytest.approx(widths, rel=1e-9)
    assert factor * np.array(moments) / (modulus * widths * depths**2) == pytest.approx(strain, rel=1e-9)


def test_klopstegs_radius_rules():
    # Klopsteg, article on the bowstave, part 4: R / depth about 45 for yew, 35 for osage; rough guides.
    assert 100 * surface_strain(1.0, 45.0) == pytest.approx(1.1111, abs=1e-4)
    assert 100 * surface_strain(1.0, 35.0) == pytest.approx(1.4286, abs=1e-4)


@pytest.mark.parametrize(
    ("asked", "error"),
    [
        (lambda: depths_for_strain([1.0], [0.04], modulus_pa=0, strain=0.008), OutOfRange),
        (lambda: depths_for_strain([1.0], [0.04], modulus_pa=1e10, strain=0.8), OutOfRange),
        (lambda: depths_for_strain([1.0], [0.0], modulus_pa=1e10, strain=0.008), OutOfRange),
        (lambda: depths_for_strain([-1.0], [0.04], modulus_pa=1e10, strain=0.008), OutOfRange),
        (lambda: widths_for_strain([1.0, 2.0], [0.04], modulus_pa=1e10, strain=0.008), Mismatch),
        (lambda: straight(np.array([0.1]), 0.0, root_m=1, tip_m=1), OutOfRange),
        (lambda: straight(np.array([0.1]), 0.8, root_m=1, tip_m=0), OutOfRange),
        (lambda: surface_strain(0.01, 0.0), OutOfRange),
    ],
)
def test_sizes_that_cannot_be_are_refused(asked, error):
    with pytest.raises(error):
        asked()
