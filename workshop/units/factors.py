"""Conversion factors. Pint gives them, exactly and once; no text from a person ever reaches it.

(An expression like `9**9**8` handed to Pint's own parser would hold the server for minutes.)
"""

import functools
from fractions import Fraction

from .kinds import Kind, kind_of
from .spellings import Unit


@functools.cache
def _registry():
    import pint  # here, because it costs half a second and many pages convert nothing

    return pint.UnitRegistry(non_int_type=Fraction)


@functools.cache
def exact(unit: Unit, kind: Kind) -> tuple[Fraction, Fraction]:
    """The line from `unit` to SI, as (slope, value of zero): only temperatures have a zero that is not 0."""
    convert = _registry().convert
    zero = convert(Fraction(0), unit.pint, kind.pint)
    return Fraction(convert(Fraction(1), unit.pint, kind.pint)) - zero, Fraction(zero)


@functools.cache
def _line(unit: str, kind: Kind) -> tuple[float, float]:
    slope, zero = exact(kind.unit(unit), kind)
    return float(slope), float(zero)


def factor(unit: str, kind: str | Kind) -> float:
    """SI units in one `unit` of this kind; for a temperature, the size of its degree.

    >>> factor("in", "draw")
    0.0254
    >>> factor("lb", "mass")
    0.45359237
    """
    return _line(unit, kind_of(kind))[0]


def to_si(value, unit: str, kind: str | Kind):
    """`value`, a number or a numpy array, given in `unit`, in SI.

    >>> to_si(68, "F", "temperature")
    20.0
    """
    slope, zero = _line(unit, kind_of(kind))
    return value * slope + zero


def from_si(value_si, unit: str, kind: str | Kind):
    """`value_si`, a number or a numpy array in SI, in `unit`.

    >>> from_si(200, "lb", "force")
    44.961788
    """
    slope, zero = _line(unit, kind_of(kind))
    return (value_si - zero) / slope
