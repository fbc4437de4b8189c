"""Measures are written as a maker writes them, and what is written reads back the same."""

import math

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from workshop.units import KINDS, from_si, read, show, to_si
from workshop.units.showing import limits

NBSP = "\u00a0"

WRITTEN = [
    # value, unit it is given in, kind, unit shown, options, text
    (28, "in", "draw", "in", {}, "28 in"),
    (28.5, "in", "draw", "in", {}, "28 1/2 in"),
    (28.5, "in", "draw", "in", {"with_unit": False}, "28 1/2"),
    (28.5, "in", "draw", "in", {"figures": 2}, "28.50 in"),
    (28.49, "in", "draw", "in", {}, "28 1/2 in"),
    (27.99, "in", "draw", "in", {}, "28 in"),
    (28 + 1 / 32, "in", "draw", "in", {}, "28 1/16 in"),
    (28, "in", "draw", "cm", {}, "71.1 cm"),
    (28, "in", "draw", "mm", {}, "711 mm"),
    (70.5, "in", "length", "ft", {}, "5 ft 10 1/2 in"),
    (70.5, "in", "length", "ft", {"with_unit": False}, "5' 10 1/2\""),
    (72, "in", "length", "ft", {}, "6 ft"),
    (72, "in", "length", "ft", {"with_unit": False}, "6' 0\""),
    (71.99, "in", "length", "ft", {}, "6 ft"),
    (9, "in", "length", "ft", {}, "9 in"),
    (66, "in", "length", "ft", {"figures": 1}, "5.5 ft"),
    (1.5, "m", "length", "m", {}, "1.5 m"),
    (1.5, "m", "length", "m", {"figures": 2}, "1.50 m"),
    (17 / 32, "in", "depth", "in", {}, "17/32 in"),
    (1.375, "in", "depth", "in", {}, "1 3/8 in"),
    (16.52, "mm", "depth", "mm", {}, "16.5 mm"),
    (0, "mm", "offset", "in", {}, "0 in"),
    (-0.01, "in", "offset", "in", {}, "0 in"),
    (-0.25, "in", "offset", "in", {}, "−1/4 in"),
    (-1.25, "in", "offset", "in", {}, "−1 1/4 in"),
    (-6, "mm", "offset", "mm", {}, "−6 mm"),
    (0.52, "in", "deflection", "in", {"figures": 3}, "0.520 in"),
    (45, "lb", "force", "lb", {}, "45 lb"),
    (45.25, "lb", "force", "lb", {}, "45.3 lb"),
    (45, "lb", "force", "lb", {"figures": 1}, "45.0 lb"),
    (45.25, "lb", "force", "lb", {"figures": 0}, "45 lb"),
    (45, "lb", "force", "N", {"figures": 0}, "200 N"),
    (45, "lb", "force", "kg", {}, "20.4 kg"),
    (19, "oz", "mass", "g", {"figures": 0}, "539 g"),
    (400, "gr", "arrow_mass", "gr", {}, "400 gr"),
    (20, "C", "temperature", "F", {}, "68 °F"),
    (-5, "C", "temperature", "C", {}, "−5 °C"),
    (9.5, "%", "moisture", "%", {}, "9.5 %"),
    (0.9, "%", "strain", "%", {}, "0.9 %"),
    (15, "deg", "angle", "deg", {}, "15°"),
    (38, "ft-lb", "energy", "ft-lb", {}, "38 ft·lb"),
    (11.2, "GPa", "modulus", "MPa", {}, "11200 MPa"),
    (11.237, "GPa", "modulus", "MPa", {}, "11200 MPa"),
    (11.237, "GPa", "modulus", "GPa", {}, "11.24 GPa"),
    (11.237, "GPa", "modulus", "Mpsi", {}, "1.63 Mpsi"),
    (11.237, "GPa", "modulus", "psi", {}, "1630000 psi"),
    (94.5, "MPa", "strength", "psi", {}, "13700 psi"),
    (94.5, "MPa", "strength", "psi", {"with_unit": False}, "13700"),
    (94.5, "MPa", "strength", "psi", {"figures": 0}, "13706 psi"),
    (94.5, "MPa", "strength", "MPa", {}, "94.5 MPa"),
    (80, "min", "time", "h", {}, "1 h 20 min"),
    (45, "min", "time", "h", {}, "45 min"),
    (120, "min", "time", "h", {}, "2 h"),
    (80, "min", "time", "h", {"figures": 1}, "1.3 h"),
]


@pytest.mark.parametrize(("value", "given_in", "kind", "unit", "options", "text"), WRITTEN)
def test_a_measure_is_written_as_a_maker_writes_it(value, given_in, kind, unit, options, text):
    written = show(to_si(value, given_in, kind), kind, unit, **options)
    assert " " not in written  # it never breaks at the end of a line
    assert written.replace(NBSP, " ") == text


@pytest.mark.parametrize("value", [math.nan, math.inf, -math.inf])
def test_what_is_not_a_number_is_not_written(value):
    with pytest.raises(ValueError):
        show(value, "draw", "in")


FIELDS = [(kind, unit) for kind in KINDS.values() for unit in kind.units]


@settings(max_examples=800, derandomize=True, deadline=None)
@given(
    field=st.sampled_from(FIELDS),
    share=st.floats(0, 1),
    figures=st.one_of(st.none(), st.integers(0, 4)),
    with_unit=st.booleans(),
)
def test_what_is_written_reads_back_to_the_precision_shown(field, share, figures, with_unit):
    kind, unit = field
    value = kind.low + share * (kind.high - kind.low)
    # Half a step of what is shown, in the unit shown, and the 0.01 mm a draw is kept to.
    in_one = unit.in_smaller[0] if unit.in_smaller else 1
    step = (
        1 / (unit.parts * in_one)
        if unit.parts and figures is None
        else 10.0 ** -(unit.figures if figures is None else figures)
    )
    kept = 0.5 * 10.0**-kind.decimals if kind.decimals else 0.0
    shown = show(value, kind, unit.code, figures=figures, with_unit=with_unit)
    inside = kind.low + step * abs(to_si(1, unit.code, kind) - to_si(0, unit.code, kind))
    if not inside <= value <= kind.high - (inside - kind.low):
        return  # rounding may carry it just past what is believed
    back = read(shown, kind, unit.code)
    off = abs(from_si(back.value, unit.code, kind) - from_si(value, unit.code, kind))
    slack = kept / abs(to_si(1, unit.code, kind) - to_si(0, unit.code, kind))
    assert off <= step / 2 * (1 + 1e-9) + slack + 1e-9
    again = show(back.value, kind, unit.code, figures=figures, with_unit=with_unit)
    assert again == shown or kind.decimals  # a draw shown finer than it is kept may move by its last figure


@pytest.mark.parametrize(("kind", "parts"), [("draw", 16), ("length", 16), ("depth", 32), ("offset", 16)])
def test_every_fraction_of_an_inch_on_the_rule_reads_back_itself(kind, parts):
    for count in range(2 * parts, 12 * parts):
        value = count * 0.0254 / parts
        reading = read(show(value, kind, "in"), kind, "mm")
        assert reading.unit == "in"
        assert reading.value == pytest.approx(value, abs=5.001e-6 if kind == "draw" else 1e-15)


@pytest.mark.parametrize(("kind", "unit"), FIELDS, ids=lambda thing: thing.code)
def test_the_limits_named_are_themselves_believed(kind, unit):
    for limit in limits(kind, unit.code):
        assert kind.low <= read(limit, kind, unit.code).value <= kind.high
