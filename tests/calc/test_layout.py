"""Marks on the stave and lengths by the rules of thumb (common practice, no source)."""

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from workshop.calc.errors import Mismatch, OutOfRange
from workshop.calc.imperial import INCH_M
from workshop.calc.layout import (
    STEP_METRIC_M,
    draw_from_arm_span,
    full_compass_length,
    limb_lengths,
    stations,
    stiff_handled_length,
)


def inches(made, mark):
    return [round(each.at_m / INCH_M, 3) for each in made if each.mark == mark]


def test_the_grip_stands_an_inch_above_the_middle_and_two_to_three_below():
    made = stations(70 * INCH_M)
    below, above = inches(made, "grip")
    assert above == 1
    assert -3 <= below <= -2
    upper, lower = limb_lengths(70 * INCH_M)
    assert lower < upper


def test_marks_every_six_inches_are_measured_from_the_middle():
    assert inches(stations(70 * INCH_M), "step") == [-30, -24, -18, -12, -6, 6, 12, 18, 24, 30]


def test_marks_every_150_mm():
    made = [round(each.at_m * 1000) for each in stations(1.8, step_m=STEP_METRIC_M) if each.mark == "step"]
    # The sixth step is the nock itself, and the nock keeps the mark.
    assert made == [-750, -600, -450, -300, -150, 150, 300, 450, 600, 750]


def test_cutting_the_tips_moves_no_station():
    long, short = stations(72 * INCH_M), stations(68 * INCH_M)
    assert set(inches(short, "step")) <= set(inches(long, "step"))
    assert inches(short, "grip") == inches(long, "grip")


def test_a_bow_that_bends_through_the_grip_has_no_fades():
    assert inches(stations(70 * INCH_M, fade_m=0.0), "fade") == []


@settings(derandomize=True, max_examples=100, deadline=None)
@given(st.floats(1.0, 2.3), st.floats(0, 0.08), st.floats(0, 0.08), st.floats(0, 0.08), st.floats(0.03, 0.3))
def test_marks_run_from_nock_to_nock_and_no_two_share_a_pencil_line(bow_m, above, below, fade, step):
    made = stations(bow_m, grip_above_m=above, grip_below_m=below, fade_m=fade, step_m=step)
    at = [each.at_m for each in made]
    assert at == sorted(at)
    assert (at[0], at[-1]) == (-bow_m / 2, bow_m / 2)
    steps = [each.at_m for each in made if each.mark == "step"]
    others = [each.at_m for each in made if each.mark != "step"]
    assert all(abs(a - b) >= 0.003 for a in steps for b in others)
    assert [each.limb for each in made if each.at_m == 0] == ["both"]


def test_a_draw_is_first_guessed_from_the_arm_span():
    # Common practice, no source: arm span / 2.5; 70 in of span make 28 in of draw.
    assert draw_from_arm_span(70 * INCH_M) == pytest.approx(28 * INCH_M)
    with pytest.raises(OutOfRange):
        draw_from_arm_span(0)


def test_length_of_a_full_compass_bow():
    # Common practice, no source: 2.3 to 2.6 times the draw.
    lengths = full_compass_length(28 * INCH_M)
    assert lengths.least_m / INCH_M == pytest.approx(64.4)
    assert lengths.most_m / INCH_M == pytest.approx(72.8)


def test_length_of_a_stiff_handled_bow():
    # Common practice, no source: twice the draw, and grip and fades besides.
    assert stiff_handled_length(
        28 * INCH_M, grip_m=4 * INCH_M, fade_m=2 * INCH_M
    ).least_m / INCH_M == pytest.approx(64)


@pytest.mark.parametrize(
    ("given", "error"),
    [
        ({"bow_m": 0}, OutOfRange),
        ({"bow_m": 1.8, "step_m": 0}, OutOfRange),
        ({"bow_m": 1.8, "grip_below_m": -0.01}, OutOfRange),
        ({"bow_m": 0.2, "grip_below_m": 0.1}, Mismatch),
    ],
)
def test_a_bow_that_cannot_be_laid_out_is_refused(given, error):
    with pytest.raises(error):
        stations(**given)
