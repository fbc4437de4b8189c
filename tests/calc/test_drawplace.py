"""From where a draw is measured (AMO Field Publication FP-3, 2000; geometry)."""

import itertools

import pytest

from workshop.calc.drawplace import PLACES, carry
from workshop.calc.errors import Mismatch, OutOfRange
from workshop.calc.imperial import INCH_M


def test_amo_draw_is_the_distance_to_the_pivot_and_an_inch_and_three_quarters():
    # AMO FP-3 2000: 26 1/4 in to the pivot point + 1 3/4 in = 28 in.
    assert carry(26.25 * INCH_M, "belly", "trade") == pytest.approx(28 * INCH_M, abs=1e-12)


def test_to_the_back_the_bows_own_grip_depth_is_needed():
    assert carry(0.70, "belly", "back", grip_depth_m=0.032) == pytest.approx(0.732)
    with pytest.raises(Mismatch) as said:
        carry(0.70, "trade", "back")
    assert said.value.code == "grip_depth"


def test_the_axis_lies_half_a_limb_behind_the_back():
    assert carry(0.70, "back", "axis", grip_depth_m=0.06, limb_depth_m=0.016) == pytest.approx(0.692)
    # Bending through the grip: the grip is the limb.
    assert carry(0.70, "back", "axis", grip_depth_m=0.03) == pytest.approx(0.685)


@pytest.mark.parametrize(("one", "other"), list(itertools.product(PLACES, PLACES)))
def test_carried_there_and_back_a_draw_is_what_it_was(one, other):
    depths = {"grip_depth_m": 0.045, "limb_depth_m": 0.018}
    assert carry(carry(0.7, one, other, **depths), other, one, **depths) == pytest.approx(0.7, abs=1e-15)


def test_without_a_depth_nothing_is_converted_but_what_needs_none():
    assert carry(0.7, "back", "back") == 0.7


@pytest.mark.parametrize(
    "asked",
    [
        lambda: carry(0.7, "back", "nose", grip_depth_m=0.03),
        lambda: carry(0.7, "back", "belly", grip_depth_m=0.0),
        lambda: carry(0.02, "back", "belly", grip_depth_m=0.03),
        lambda: carry(0.7, "back", "axis", grip_depth_m=0.03, limb_depth_m=0.0),
    ],
)
def test_places_and_depths_that_cannot_be_are_refused(asked):
    with pytest.raises(OutOfRange):
        asked()
