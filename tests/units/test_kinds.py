"""The tables of kinds and units hang together."""

import pytest

from workshop.units import KINDS, SYSTEMS, read
from workshop.units.spellings import SMALLER

FIELDS = [(kind, unit) for kind in KINDS.values() for unit in kind.units]


@pytest.mark.parametrize(("kind", "unit"), FIELDS, ids=lambda thing: thing.code)
def test_the_examples_beside_a_field_read_in_that_field(kind, unit):
    assert len(set(unit.examples)) == 2
    for text in unit.examples:
        read(text, kind, unit.code)


@pytest.mark.parametrize(("kind", "unit"), FIELDS, ids=lambda thing: thing.code)
def test_every_spelling_reads_as_its_own_unit(kind, unit):
    number = next(
        number for number in ("1", "0.01", "100", "10000") if kind.low <= _si(number, kind, unit) <= kind.high
    )
    for spelling in (*unit.spellings, unit.symbol):
        for text in (f"{number} {spelling}", f"{number}{spelling}", f"{number} {spelling.upper()}"):
            assert read(text, kind, unit.code).unit == unit.code


def _si(number, kind, unit):
    from workshop.units import to_si

    return to_si(float(number), unit.code, kind)


@pytest.mark.parametrize("kind", KINDS.values(), ids=lambda kind: kind.code)
def test_no_spelling_means_two_units_of_one_kind(kind):
    spellings = [spelling.replace(" ", "") for unit in kind.units for spelling in unit.spellings]
    assert len(spellings) == len(set(spellings))
    assert all(spelling == spelling.lower() for spelling in spellings)


@pytest.mark.parametrize("system", SYSTEMS)
def test_a_system_has_a_unit_for_every_kind(system):
    assert SYSTEMS[system].keys() == KINDS.keys()
    for kind, unit in SYSTEMS[system].items():
        KINDS[kind].unit(unit)


def test_a_smaller_unit_is_always_of_the_same_kind():
    for larger, smaller in SMALLER.items():
        kinds = [kind for kind in KINDS.values() if any(unit.code == larger for unit in kind.units)]
        assert any(unit.code == smaller for kind in kinds for unit in kind.units)


@pytest.mark.parametrize(
    ("text", "kind", "unit"),
    [
        ("200", "force", "lb"),  # the heaviest war bows
        ("10", "force", "lb"),  # a child's bow
        ("34", "draw", "in"),
        ("300", "length", "cm"),  # a long stave
        ("6", "depth", "mm"),  # a lamination is thinner
        ("0.6", "depth", "mm"),
        ("120", "moisture", "%"),  # green wood
        ("103", "temperature", "C"),  # the oven for an oven-dry test
        ("220", "heat", "C"),
        ("250", "arrow_mass", "gr"),
        ("100", "mass", "kg"),  # a log
    ],
)
def test_what_happens_in_a_workshop_is_believed(text, kind, unit):
    read(text, kind, unit)
