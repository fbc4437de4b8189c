"""One question, every way: bow T1 weighed part of the way, with more and more of it known."""

import pytest

from tests.calc.bows import inches_and_pounds, t1
from workshop.calc.drawcurve import draw_curve
from workshop.calc.errors import NoSolution, OutOfRange
from workshop.calc.foresee import Known, foresee, stock_bow
from workshop.calc.imperial import INCH_M, POUND_N
from workshop.calc.section import rectangle
from workshop.calc.statics import Bow, Limb

PSI = POUND_N / INCH_M**2
LENGTHS = {"bow_m": 72 * INCH_M, "stiff_m": 8 * INCH_M}


def t1_bow(modulus_psi=1.5e6):
    def wood(width, depth):
        return rectangle(width, depth).section(modulus_pa=modulus_psi * PSI)

    return Bow(
        Limb.dimensioned(
            [4 * INCH_M, 36 * INCH_M], [1.75 * INCH_M, 0.4375 * INCH_M], [0.6 * INCH_M] * 2, wood
        )
    )


def half_way(**more):
    return t1(step_in=2, last_in=18, **more)


def test_with_the_weigh_in_alone_there_are_the_rules():
    (full,) = foresee(half_way(), [28 * INCH_M])
    assert [way.method for way in full.ways] == ["pounds_an_inch", "share_an_inch", "last_slope"]
    assert dict(full.left_out) == {"solved_shape": "not_known", "solved_bow": "not_known"}
    assert full.stiffness is None


def test_with_length_and_grip_known_bow_t1_is_foreseen_to_a_percent():
    (full,) = foresee(half_way(), [28 * INCH_M], Known(**LENGTHS))
    assert full.expected.force_n / POUND_N == pytest.approx(48.2186, rel=0.01)
    assert full.expected.low_n < 48.2186 * POUND_N < full.expected.high_n


def test_with_its_dimensions_it_is_found_and_its_wood_corrected():
    # Solved with wood a tenth too stiff: the points say so, and the weight comes out right all the same.
    (full,) = foresee(half_way(), [28 * INCH_M], Known(**LENGTHS, own=t1_bow(1.65e6)))
    by = {way.method: way for way in full.ways}
    assert by["solved_bow"].force_n / POUND_N == pytest.approx(48.2186, abs=0.02)
    assert full.stiffness == pytest.approx(1 / 1.1, rel=1e-3)
    assert full.left_out == ()


def test_the_next_inch_and_full_draw_are_one_question():
    inch, full = foresee(half_way(), [19 * INCH_M, 28 * INCH_M], Known(**LENGTHS))
    assert inch.expected.force_n / POUND_N == pytest.approx(29.0106, rel=0.005)
    assert (inch.draw_m, full.draw_m) == (19 * INCH_M, 28 * INCH_M)
    width = [(each.expected.high_n - each.expected.low_n) / each.expected.force_n for each in (inch, full)]
    assert width == sorted(width)


def test_draws_measured_from_the_back_are_carried_to_the_axis_and_home():
    back = 0.015
    curve = half_way()
    from_back = draw_curve(curve.draws_m + back, curve.forces_n, braced_draw_m=curve.braced_draw_m + back)
    (full,) = foresee(from_back, [28 * INCH_M + back], Known(**LENGTHS, own=t1_bow(), axis_shorter_m=back))
    assert full.expected.draw_m == pytest.approx(28 * INCH_M + back)
    by = {way.method: way for way in full.ways}
    assert by["solved_bow"].force_n / POUND_N == pytest.approx(48.2186, abs=0.02)


def test_without_a_brace_the_solved_ways_are_left_out():
    curve = inches_and_pounds({16: 23.5, 18: 27.1, 20: 30.9})
    (full,) = foresee(curve, [28 * INCH_M], Known(**LENGTHS, own=t1_bow()))
    assert dict(full.left_out) == {"solved_shape": "no_brace", "solved_bow": "no_brace"}


def test_a_draw_the_limbs_cannot_reach_leaves_the_solved_way_out_and_says_so():
    # A 40 in bow weighed to 12 in: its string and limbs are in line before 36 in.
    curve = inches_and_pounds({8: 8, 10: 14, 12: 20}, brace_in=5)
    (full,) = foresee(curve, [36 * INCH_M], Known(bow_m=40 * INCH_M, stiff_m=6 * INCH_M))
    assert dict(full.left_out)["solved_shape"] == "beyond"


def test_follow_that_already_stands_beyond_the_brace_leaves_the_solved_way_out():
    (full,) = foresee(half_way(), [28 * INCH_M], Known(**LENGTHS, follow_m=8 * INCH_M))
    assert dict(full.left_out)["solved_shape"] == "brace_height"


def test_what_nothing_can_be_said_of_is_refused():
    with pytest.raises(OutOfRange, match="draw_reached"):
        foresee(half_way(), [16 * INCH_M])
    with pytest.raises(NoSolution, match="curve_falls"):
        foresee(inches_and_pounds({20: 31, 24: 30}), [28 * INCH_M])
    with pytest.raises(OutOfRange):
        foresee(half_way(), [])
    with pytest.raises(OutOfRange):
        stock_bow(1.8, stiff_m=1.8)
