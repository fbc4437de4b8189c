"""Conversion factors against NIST Special Publication 811 (2008 edition), appendix B.8.

All of them are exact there or products of exact ones, so they are compared to the last bit of a double.
"""

import subprocess
import sys

import numpy as np
import pytest

from workshop.units import KINDS, factor, from_si, read, to_si

EXACT = [
    # kind, unit, SI, what NIST SP 811 says
    ("draw", "in", 0.0254, "inch = 2.54 E-02 m, exact"),
    ("length", "ft", 0.3048, "foot = 3.048 E-01 m, exact"),
    ("depth", "mm", 0.001, "SI prefix"),
    ("length", "cm", 0.01, "SI prefix"),
    ("mass", "lb", 0.45359237, "pound (avoirdupois) = 4.535 923 7 E-01 kg, exact"),
    ("mass", "oz", 0.028349523125, "ounce (avoirdupois) = 2.834 952 E-02 kg; a 16th of the exact pound"),
    ("mass", "gr", 64.79891e-6, "grain = 6.479 891 E-05 kg, exact"),
    ("arrow_mass", "gr", 64.79891e-6, "grain = 6.479 891 E-05 kg, exact"),
    ("force", "kg", 9.80665, "kilogram-force = 9.806 65 N, exact: standard gravity 9.806 65 m/s2"),
    ("force", "lb", 4.4482216152605, "pound-force = 4.448 222 N; its footnote: 4.448 221 615 260 5 exactly"),
    ("force", "oz", 4.4482216152605 / 16, "ounce-force = 2.780 139 E-01 N; a 16th of the pound-force"),
    ("tension", "lb", 4.4482216152605, "pound-force, as above"),
    (
        "energy",
        "ft-lb",
        1.3558179483314004,
        "foot pound-force = 1.355 818 J; 0.3048 m x the exact pound-force",
    ),
    ("speed", "fps", 0.3048, "foot per second = 3.048 E-01 m/s, exact"),
    ("density", "lb/ft3", 0.45359237 / 0.3048**3, "pound per cubic foot = 1.601 846 E+01 kg/m3"),
    ("density", "g/cm3", 1000.0, "gram per cubic centimeter = 1.0 E+03 kg/m3, exact"),
    ("modulus", "psi", 4.4482216152605 / 0.0254**2, "psi = 6.894 757 E+03 Pa"),
    ("modulus", "Mpsi", 4.4482216152605e6 / 0.0254**2, "a million psi"),
    ("slope", "lb/in", 4.4482216152605 / 0.0254, "the exact pound-force over the exact inch"),
    ("angle", "deg", 0.017453292519943295, "degree = 1.745 329 E-02 rad; pi/180"),
    ("temperature", "F", 5 / 9, "section B.8: t/°C = (t/°F - 32)/1.8"),
    ("time", "h", 3600.0, "hour = 3.6 E+03 s, exact"),
    ("time", "min", 60.0, "minute = 6.0 E+01 s, exact"),
]
# The seven figures NIST prints for those that are not exact there (the pound-force per inch from memory).
PRINTED = [
    ("mass", "oz", 2.834952e-2),
    ("force", "lb", 4.448222),
    ("force", "oz", 2.780139e-1),
    ("energy", "ft-lb", 1.355818),
    ("density", "lb/ft3", 1.601846e1),
    ("modulus", "psi", 6.894757e3),
    ("slope", "lb/in", 1.751268e2),
    ("angle", "deg", 1.745329e-2),
]


@pytest.mark.parametrize(("kind", "unit", "si", "source"), EXACT)
def test_a_factor_is_the_published_one(kind, unit, si, source):
    assert factor(unit, kind) == pytest.approx(si, rel=4e-16), source


@pytest.mark.parametrize(("kind", "unit", "printed"), PRINTED)
def test_a_factor_rounds_to_the_seven_figures_printed(kind, unit, printed):
    assert float(f"{factor(unit, kind):.6e}") == printed


@pytest.mark.parametrize(
    ("fahrenheit", "celsius"),
    [(32, 0), (68, 20), (212, 100), (-40, -40)],  # by the definition above
)
def test_temperatures_have_their_own_zero(fahrenheit, celsius):
    assert to_si(fahrenheit, "F", "temperature") == pytest.approx(celsius, abs=1e-13)
    assert from_si(celsius, "F", "temperature") == pytest.approx(fahrenheit, abs=1e-13)
    assert read(f"{fahrenheit} F", "heat" if fahrenheit > 150 else "temperature", "C").value == celsius


def test_a_pound_is_a_force_or_a_mass_by_what_the_field_asks_for():
    assert read("1 lb", "force", "N").value == 4.4482216152605
    assert read("1 lb", "mass", "g").value == 0.45359237


def test_a_whole_curve_is_converted_at_once():
    draws_m = to_si(np.array([10.0, 20.0, 28.0]), "in", "draw")
    assert draws_m == pytest.approx([0.254, 0.508, 0.7112])
    assert from_si(draws_m, "in", "draw") == pytest.approx([10, 20, 28])


@pytest.mark.parametrize("kind", KINDS.values(), ids=lambda kind: kind.code)
def test_every_unit_goes_to_si_and_back(kind):
    for unit in kind.units:
        for value in (0.0, 1.0, 12.34):
            back = from_si(to_si(value, unit.code, kind), unit.code, kind)
            assert back == pytest.approx(value, rel=1e-12, abs=1e-12)  # a few roundings of a double


def test_a_unit_of_another_kind_has_no_factor():
    with pytest.raises(LookupError, match="a draw is not given in 'lb'"):
        factor("lb", "draw")


def test_pint_is_not_loaded_until_something_is_converted():
    code = "import sys, workshop.units; sys.exit('pint' in sys.modules)"
    assert subprocess.run([sys.executable, "-c", code], timeout=60).returncode == 0


def test_pint_never_sees_what_was_typed(monkeypatch):
    import pint

    read("28 in", "draw", "in")  # fetches the factors

    def refuse(*args, **kwargs):
        raise AssertionError("Pint was asked to read text")

    for name in ("parse_expression", "parse_units", "Quantity", "__call__"):
        monkeypatch.setattr(pint.UnitRegistry, name, refuse)
    assert read("28 1/2", "draw", "in").value == 0.7239
