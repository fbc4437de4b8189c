"""The string: length against the trade standard and bow T1, strands from strength."""

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from workshop.calc.bowstring import (
    amo_string,
    brace_height,
    strands,
    string_efficiency,
    string_factor,
    string_length,
)
from workshop.calc.errors import NoSolution, OutOfRange
from workshop.calc.imperial import INCH_M, POUND_N


def test_a_66_inch_bow_takes_a_63_inch_string():
    # AMO booklets of 1987 and 2000: bow length = string master + 3 in.
    assert amo_string(66 * INCH_M) == pytest.approx(63 * INCH_M, abs=1e-12)


def test_the_string_of_bow_t1():
    # Solved with bending limbs (two methods): half string 35.24310 in. The hinged limb comes within 0.02 in.
    assert string_length(72 * INCH_M, 6 * INCH_M, grip_m=8 * INCH_M) / INCH_M == pytest.approx(
        70.4862, abs=0.02
    )


def test_hickmans_half_string():
    # C.N. Hickman 1937: B1 = 32, B2 = 4, brace 6 in gives S = 35.237900 in (his equations, evaluated).
    assert string_length(72 * INCH_M, 6 * INCH_M, grip_m=8 * INCH_M) / 2 / INCH_M == pytest.approx(
        35.2379, abs=1e-6
    )


@settings(derandomize=True, max_examples=100, deadline=None)
@given(st.floats(1.0, 2.2), st.floats(0.02, 0.25), st.floats(0, 0.25))
def test_brace_and_string_answer_each_other(bow_m, brace_m, grip_m):
    string_m = string_length(bow_m, brace_m, grip_m=grip_m)
    assert string_m < bow_m
    assert brace_height(bow_m, string_m, grip_m=grip_m) == pytest.approx(brace_m, rel=1e-6)


def test_a_higher_brace_wants_a_shorter_string():
    assert string_length(1.8, 0.18) < string_length(1.8, 0.15)


@pytest.mark.parametrize(
    ("draw_lb", "strand_lb", "factor", "count"),
    [(50, 50, 12, 12), (50, 50, 4, 4), (45, 50, 12, 11), (40, 14.4, 4, 12), (50, 25, 4, 8)],
)
def test_strands_bear_the_makers_factor(draw_lb, strand_lb, factor, count):
    # ceil(factor x weight / strand strength): a definition.
    assert strands(draw_lb * POUND_N, strand_lb * POUND_N, factor=factor) == count


def test_a_two_bundle_string_has_an_even_count():
    assert strands(45, 50, factor=12, bundles=2) == 12


@settings(derandomize=True, max_examples=100, deadline=None)
@given(st.floats(20, 1000), st.floats(10, 500), st.floats(1, 20), st.integers(1, 4))
def test_the_strands_are_enough_and_never_a_whole_bundle_too_many(draw_n, strand_n, factor, bundles):
    count = strands(draw_n, strand_n, factor=factor, bundles=bundles)
    assert count % bundles == 0
    assert string_factor(draw_n, strand_n, count) >= factor * (1 - 1e-8)
    assert string_factor(draw_n, strand_n, count - bundles) < factor


def test_fords_test_strings():
    # Ford's letter in F. Nagler, "Bow strings" (Archery: The Technical Side, 1947): averages of 23 strings.
    assert string_efficiency(168.4, 14.4, 17.7) == pytest.approx(0.6607, abs=1e-4)


@pytest.mark.parametrize(
    ("asked", "error"),
    [
        (lambda: string_length(1.8, 0.9), OutOfRange),
        (lambda: string_length(1.8, -0.1), OutOfRange),
        (lambda: string_length(1.8, 0.1, grip_m=1.8), OutOfRange),
        (lambda: brace_height(1.8, 1.9), NoSolution),
        (lambda: brace_height(1.8, 0.3), NoSolution),
        (lambda: strands(200, 0, factor=4), OutOfRange),
        (lambda: strands(200, 200, factor=0.5), OutOfRange),
        (lambda: strands(200, 200, factor=4, bundles=0), OutOfRange),
        (lambda: amo_string(0.05), OutOfRange),
    ],
)
def test_what_no_string_can_be_made_for_is_refused(asked, error):
    with pytest.raises(error):
        asked()
