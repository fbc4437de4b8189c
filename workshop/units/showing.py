"""SI -> text, as a maker would write it: fractions of an inch, feet and inches, decimals elsewhere."""

import math
from decimal import ROUND_CEILING, ROUND_FLOOR, ROUND_HALF_UP, Decimal
from fractions import Fraction

from .factors import from_si
from .kinds import Kind, kind_of
from .spellings import NBSP, Unit

MINUS = "\N{MINUS SIGN}"


def show(
    value_si: float, kind: str | Kind, unit: str, *, figures: int | None = None, with_unit: bool = True
) -> str:
    """The value in `unit`, with it or (for a field that shows it beside) without.

    `figures` decimals exactly, as the scale gave them; by default fractions in inches and feet, elsewhere
    the usual decimals of the kind without trailing noughts. `read` takes the answer back, either way.

    >>> show(0.7239, "draw", "in").replace(NBSP, " ")
    '28 1/2 in'
    >>> show(1.7907, "length", "ft", with_unit=False).replace(NBSP, " ")
    '5\\' 10 1/2"'
    >>> show(200.17, "force", "lb", figures=1, with_unit=False)
    '45.0'
    """
    return _show(value_si, kind_of(kind), unit, figures, with_unit, ROUND_HALF_UP)


def limits(kind: Kind, unit: str) -> tuple[str, str]:
    """The believable range as text, rounded inward so that what it names is believed."""
    return (
        _show(kind.low, kind, unit, None, True, ROUND_CEILING),
        _show(kind.high, kind, unit, None, True, ROUND_FLOOR),
    )


def _show(value_si: float, kind: Kind, code: str, figures: int | None, with_unit: bool, rounding: str) -> str:
    unit = kind.unit(code)
    if not math.isfinite(value_si):
        raise ValueError(f"{value_si} is no {kind.code}")
    value = from_si(value_si, code, kind)
    if figures is None and unit.in_smaller:
        value *= unit.in_smaller[0]
    parts = unit.parts if figures is None else 0
    decimals = unit.figures if figures is None else figures
    count = _count(value, parts or 10.0**decimals, rounding)

    sign = MINUS if count < 0 else ""
    if figures is None and unit.in_smaller:
        return sign + _two_units(abs(count), unit, with_unit)
    text = _mixed(abs(count), parts) if parts else _decimal(abs(count), decimals, trim=figures is None)
    return sign + text + (unit.glue + unit.symbol if with_unit else "")


def _count(value: float, parts: float, rounding: str) -> int:
    """How many `parts`-ths: the twelve figures kept first drop the noise of a float that was converted."""
    return int(Decimal(f"{value * parts:.12g}").to_integral_value(rounding))


def _mixed(count: int, parts: int) -> str:
    whole, rest = divmod(count, parts)
    fraction = str(Fraction(rest, parts)) if rest else ""
    return NBSP.join(filter(None, (str(whole) if whole or not rest else "", fraction)))


def _two_units(count: int, unit: Unit, with_unit: bool) -> str:
    in_one, small = unit.in_smaller
    many, rest = divmod(count, in_one * unit.parts)
    few = _mixed(rest, unit.parts)
    if unit.code == "ft" and not with_unit:
        return f"{many}'{NBSP}{few}\""
    named = (f"{many}{NBSP}{unit.symbol}" if many else "", f"{few}{NBSP}{small}" if rest or not many else "")
    return NBSP.join(filter(None, named))


def _decimal(count: int, figures: int, *, trim: bool) -> str:
    if figures <= 0:
        return str(count * 10**-figures)
    whole, rest = divmod(count, 10**figures)
    text = f"{whole}.{rest:0{figures}d}"
    return text.rstrip("0").rstrip(".") if trim else text
