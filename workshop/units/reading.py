"""Text -> SI: a parser for what a maker writes, and nothing else: no operators, formulas or exponents."""

import functools
import re
import unicodedata
from dataclasses import dataclass
from fractions import Fraction
from typing import NamedTuple

from .errors import UnitsError
from .factors import exact
from .kinds import KINDS, Kind, kind_of
from .showing import limits, show
from .spellings import SMALLER, UNNAMED_AFTER, Unit

LONGEST = 40  # characters; no honest measure comes near it
FINEST = 128  # the largest denominator on any rule

_VULGAR = {
    char: f"{top}/{bottom}"
    for char, top, bottom in (
        (chr(code), *unicodedata.normalize("NFKC", chr(code)).split("\N{FRACTION SLASH}"))
        for code in (0xBC, 0xBD, 0xBE, *range(0x2150, 0x215F))
    )
}
_VULGAR_SIGN = re.compile(f"(-?)([{''.join(_VULGAR)}])")
_FOLD = str.maketrans(
    dict.fromkeys("′’‘ʹʼ´`＇", "'")
    | dict.fromkeys("″“”„ʺ〃＂", '"')
    | dict.fromkeys("⁄∕", "/")
    | dict.fromkeys("−‐‑‒–—", "-")
    | {"⋅": "·", "º": "°", "℃": "°c", "℉": "°f"}
)
_NUMBER = re.compile(
    r"(?:(?P<whole>\d+)(?: +|-))?(?P<top>\d+)/(?P<bottom>\d+)(?![\d/.,])"
    r"|(?P<decimal>\d*[.,]\d+|\d+)(?![\d.,/])",
    re.ASCII,
)
_THOUSANDS = re.compile(r"(?<![\d.])[1-9]\d{0,2},\d{3}(?!\d)", re.ASCII)
_SIGN = re.compile(r"[-+] ?")
_GAP = re.compile(r" +|(?<=')-(?=[\d.])|")  # 5'-10" is written too


def _unit_pattern() -> re.Pattern:
    spellings = {
        s for kind in KINDS.values() for s in kind.silent + sum((u.spellings for u in kind.units), ())
    }
    longest_first = sorted(spellings, key=len, reverse=True)
    anyone = "|".join(re.escape(spelling).replace(r"\ ", " ?") for spelling in longest_first)
    return re.compile(rf" *(?P<unit>{anyone})(?![^\W\d_]|[°%#'\"])")


_UNIT = _unit_pattern()


@dataclass(frozen=True)
class Reading:
    """A measure taken: its value in SI, the unit it was read in, and the text as typed."""

    value: float
    unit: str
    text: str


class _Unread(Exception):
    """Ends the parsing; `read` makes of it a UnitsError that knows the field."""

    def __init__(self, code: str, read: str = ""):
        self.code = code
        self.read = read


def read(text: str, kind: str | Kind, unit: str) -> Reading:
    """The measure in `text`; a bare number is taken in `unit`, the one shown beside the field.

    Raises UnitsError, and nothing else, whatever the text.

    >>> read("71,1 cm", "draw", "in")
    Reading(value=0.711, unit='cm', text='71,1 cm')
    >>> read("45#", "force", "N").value
    200.1699
    >>> read("45 lb", "draw", "in")
    Traceback (most recent call last):
    workshop.units.errors.UnitsError: wrong_unit: '45 lb', read 45 lb, such as 28 or 28 1/2"
    """
    kind = kind_of(kind)
    field_unit = kind.unit(unit)
    try:
        folded = _fold(text)
        value, read_unit = _taken(folded, kind, field_unit)
        if _THOUSANDS.search(folded) and _would_be_taken(folded.replace(",", ""), kind, field_unit):
            raise _Unread("unreadable")  # 1,234 g may be a gram or a kilogram; 2,345 kg is only the one
    except _Unread as reason:
        ranged = reason.code in ("negative", "too_small", "too_large")
        low, high = limits(kind, unit) if ranged else ("", "")
        raise UnitsError(
            reason.code, text, read=reason.read, examples=field_unit.examples, low=low, high=high
        ) from None
    return Reading(value, read_unit.code, text)


def _fold(text: str) -> str:
    """One spelling for each sign: plain spaces, quotes, dashes and fractions, lower case."""
    if len(text) > LONGEST:
        raise _Unread("too_long")
    categories = [unicodedata.category(char) for char in text]
    if any(category[0] == "C" or category in ("Zl", "Zp") for category in categories):
        raise _Unread("unreadable")
    spaced = "".join(
        " " if category == "Zs" else char for char, category in zip(text, categories, strict=True)
    )
    plain = _VULGAR_SIGN.sub(lambda sign: (sign[1] or " ") + _VULGAR[sign[2]] + " ", spaced.translate(_FOLD))
    folded = re.sub(" +", " ", plain.lower()).strip(" ")
    if not folded:
        raise _Unread("empty")
    return folded


def _taken(folded: str, kind: Kind, field_unit: Unit) -> tuple[float, Unit]:
    amount, unit = _parse(folded, kind, field_unit)
    return _believed(amount, kind, unit), unit


def _would_be_taken(folded: str, kind: Kind, field_unit: Unit) -> bool:
    try:
        _taken(folded, kind, field_unit)
    except _Unread:
        return False
    return True


def _parse(folded: str, kind: Kind, field_unit: Unit) -> tuple[Fraction, Unit]:
    """The amount, with its sign, and the unit it is in."""
    sign = _SIGN.match(folded)
    if sign and sign[0][0] == "+" and not kind.signed:
        raise _Unread("unreadable")
    body = folded[sign.end() :] if sign else folded
    pieces = _pieces(body)
    unit_of = _spelt(kind)
    for piece in pieces:
        if piece.word and piece.word not in unit_of and piece.word not in kind.silent:
            raise _Unread("wrong_unit", piece.said)
    first, *second = pieces
    unit = unit_of.get(first.word, field_unit)
    amount = _with_smaller(first, *second, unit, kind) if second else first.amount
    return (-amount if sign and sign[0][0] == "-" else amount), unit


@functools.cache
def _spelt(kind: Kind) -> dict[str, Unit]:
    return {spelling.replace(" ", ""): unit for unit in kind.units for spelling in unit.spellings}


class _Piece(NamedTuple):
    amount: Fraction
    word: str | None  # the spelling of a unit that follows it, of whatever kind
    said: str  # the text to the end of this piece


def _pieces(body: str) -> list[_Piece]:
    """One number with its unit, or two: the whole text, or it is not read."""
    pieces = []
    at = 0
    while at < len(body) and len(pieces) < 2:
        number = _NUMBER.match(body, at)
        amount = _amount(number) if number else None
        if amount is None:
            raise _Unread("unreadable", body[:at].strip())
        word = _UNIT.match(body, number.end())
        at = (word or number).end()
        pieces.append(_Piece(amount, word["unit"].replace(" ", "") if word else None, body[:at]))
        at = _GAP.match(body, at).end()
    if at < len(body) or not pieces:
        raise _Unread("unreadable", body[:at].strip())
    return pieces


def _amount(number: re.Match) -> Fraction | None:
    if decimal := number["decimal"]:
        return Fraction(decimal.replace(",", "."))
    whole, top, bottom = int(number["whole"] or 0), int(number["top"]), int(number["bottom"])
    return whole + Fraction(top, bottom) if 0 < top < bottom <= FINEST else None


def _with_smaller(first: _Piece, second: _Piece, unit: Unit, kind: Kind) -> Fraction:
    """Feet and inches, pounds and ounces: a whole number of the first, less than one of it in the second."""
    code = SMALLER.get(unit.code) if second.word else UNNAMED_AFTER.get(unit.code)
    smaller = _spelt(kind).get(second.word) if second.word else code and kind.unit(code)
    if not first.word or not smaller or smaller.code != code or first.amount.denominator != 1:
        raise _Unread("unreadable", first.said)
    rest = second.amount * exact(smaller, kind)[0] / exact(unit, kind)[0]
    if rest >= 1:
        raise _Unread("unreadable", first.said)
    return first.amount + rest


def _believed(amount: Fraction, kind: Kind, unit: Unit) -> float:
    slope, zero = exact(unit, kind)
    exactly = amount * slope + zero
    value = float(exactly if kind.decimals is None else round(exactly, kind.decimals))
    if amount < 0 and not kind.signed:
        raise _Unread("negative", show(value, kind, unit.code))
    if not kind.low <= value <= kind.high:
        raise _Unread("too_small" if value < kind.low else "too_large", show(value, kind, unit.code))
    return value
