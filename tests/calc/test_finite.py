"""A figure that is no number, or an endless one, is refused by name wherever an answer is asked for."""

import math

import pytest

from tests.calc.questions import QUESTIONS
from workshop.calc.classrules import BRITISH_DEPTH, BRITISH_LENGTH, SIX_LAYERS, STRUNG_160, BowFigures, check
from workshop.calc.drawcurve import energy_of_weight
from workshop.calc.errors import CalcError, Mismatch, OutOfRange, require
from workshop.calc.widths import by_widths, check_lines

NO_FIGURES = (math.nan, math.inf, -math.inf)


@pytest.mark.parametrize("bad", NO_FIGURES)
@pytest.mark.parametrize("lines", ["height", "width"])
def test_a_section_taken_with_callipers_has_no_size_that_is_no_number(lines, bad):
    taken = ((0.0, 0.010), (bad, 0.020)) if lines == "height" else ((0.0, 0.010), (0.012, bad))
    with pytest.raises(CalcError, match="outline_"):
        check_lines(taken)
    with pytest.raises(CalcError, match="outline_"):
        by_widths(taken, 0.030, 0.015)


@pytest.mark.parametrize("bad", NO_FIGURES)
def test_a_weight_or_draw_that_is_no_number_stores_no_energy(bad):
    for given in ((bad, 0.7), (200.0, bad)):
        with pytest.raises(OutOfRange, match="weight"):
            energy_of_weight(*given)


@pytest.mark.parametrize("bad", [*NO_FIGURES, 0.0, -0.01])
def test_a_width_or_depth_that_is_no_size_meets_no_class_rule(bad):
    for sizes in (
        {"widths_m": (0.030, bad), "depths_m": (0.021, 0.015)},
        {"widths_m": (0.030, 0.020), "depths_m": (0.021, bad)},
    ):
        with pytest.raises(OutOfRange, match="size"):
            check(BRITISH_DEPTH, BowFigures(**sizes))


@pytest.mark.parametrize("bad", NO_FIGURES)
@pytest.mark.parametrize(
    ("rule", "figures"),
    [
        (STRUNG_160, {"strung_length_m": 1.7}),
        (BRITISH_LENGTH, {"unstrung_length_m": 1.8, "arrow_m": 0.66}),
        (SIX_LAYERS, {"layers": 3}),
    ],
)
def test_a_length_or_count_that_is_no_number_meets_no_class_rule(rule, figures, bad):
    for name in figures:
        with pytest.raises(OutOfRange, match=name):
            check(rule, BowFigures(**{**figures, name: bad}))


@pytest.mark.parametrize("bad", NO_FIGURES)
def test_no_condition_lets_such_a_figure_through_alone_or_among_others(bad):
    for given in (bad, [1.0, bad], ((0.0, 1.0), (0.1, bad))):
        with pytest.raises(Mismatch, match="sizes"):
            require(True, Mismatch, "sizes", allowed="numbers", given=given, name="left limb", missing=None)


def spoilt(figures, bad):
    """What was given, each figure of it spoilt in turn; a count is left as it is."""
    if isinstance(figures, float):
        yield bad
    elif isinstance(figures, list):
        for at, figure in enumerate(figures):
            yield from ([*figures[:at], each, *figures[at + 1 :]] for each in spoilt(figure, bad))


@pytest.mark.parametrize(("ask", "given"), QUESTIONS, ids=[ask.__qualname__ for ask, _given in QUESTIONS])
def test_no_question_is_answered_from_a_figure_that_is_none(ask, given):
    ask(**given)
    for name, figures in given.items():
        for bad in NO_FIGURES:
            for worse in spoilt(figures, bad):
                with pytest.raises(CalcError):
                    ask(**{**given, name: worse})
