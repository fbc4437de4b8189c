"""Class rules a bow may be ordered for, each with where it was read, held against the bow's own figures.

Rules change from year to year: what is held here is what the named text said. Where two texts
disagree both are kept, and the finding says which text it is by.
"""

from dataclasses import dataclass, replace

import numpy as np

from workshop.calc.errors import Mismatch, OutOfRange, require
from workshop.calc.imperial import FOOT_M, INCH_M


@dataclass(frozen=True)
class Rule:
    """One clause: what `kind` measures, its `limit` (SI, a share or a count), the `source` it was read in.

    Kinds: `strung_length` and `unstrung_length` (at least `limit`), `depth_share` (depth over width at least
    `limit` at every station), `length_for_arrow` (unstrung length at least `limit` up to an arrow of
    `threshold_m`, at least `limit_beyond` for a longer one), `layers` (at most `limit`), `recurve_begins`
    (the share of the limb, from the nock, at which a recurve begins: at least `limit`).
    """

    code: str
    name: str
    kind: str
    limit: float
    source: str
    limit_beyond: float | None = None
    threshold_m: float | None = None


@dataclass(frozen=True)
class BowFigures:
    """What of a bow the rules ask for; what was not measured is None."""

    strung_length_m: float | None = None
    unstrung_length_m: float | None = None
    widths_m: tuple[float, ...] = ()
    depths_m: tuple[float, ...] = ()
    arrow_m: float | None = None
    layers: int | None = None
    recurve_from_nock: float | None = None


@dataclass(frozen=True)
class Finding:
    """Whether a rule is met: True, False, or None when the figure it asks for is missing (`missing`).

    `value` is the bow's own figure, `limit` the rule's; `station` the index of the worst place, where there
    is one, and `short` those of every place that falls short.
    """

    rule: Rule
    met: bool | None
    value: float | None = None
    limit: float | None = None
    missing: str = ""
    station: int | None = None
    short: tuple[int, ...] = ()


STRUNG_160 = Rule(
    "longbow_160_strung",
    "Longbow, 160 cm strung",
    "strung_length",
    1.60,
    "Archery GB rule 206A as quoted by a club (men): strung, between the nocks along the "
    "outside of the limbs",
)
STRUNG_150 = replace(
    STRUNG_160,
    code="longbow_150_strung",
    name="Longbow, 150 cm strung",
    limit=1.50,
    source=STRUNG_160.source.replace("(men)", "(women, juniors)"),
)
UNSTRUNG_160 = Rule(
    "longbow_160_unstrung",
    "Longbow, 160 cm unstrung",
    "unstrung_length",
    1.60,
    "Archery Australia's page measures the same length unstrung; the international rulebook itself was "
    "not seen",
)
UNSTRUNG_150 = replace(UNSTRUNG_160, code="longbow_150_unstrung", name="Longbow, 150 cm unstrung", limit=1.50)
BRITISH_DEPTH = Rule(
    "british_longbow_depth",
    "British longbow, depth",
    "depth_share",
    5 / 8,
    "World Archery Coach's Manual Level 2, longbow, p. 146: depth not less than 5/8 of the width",
)
BRITISH_LENGTH = Rule(
    "british_longbow_length",
    "British longbow, length",
    "length_for_arrow",
    5 * FOOT_M,
    "World Archery Coach's Manual Level 2, longbow: 5 ft for arrows up to 26 in, 5 ft 6 in for longer ones "
    "(27 in is also said, from memory)",
    limit_beyond=5.5 * FOOT_M,
    threshold_m=26 * INCH_M,
)
SIX_LAYERS = Rule(
    "longbow_six_layers",
    "Longbow, six layers",
    "layers",
    6,
    "International Longbow Archers Association, rules page: at most six wooden laminations",
)
RECURVE_HALF_WAY = Rule(
    "longbow_recurve_half_way",
    "Longbow, recurve half way",
    "recurve_begins",
    0.5,
    "International Longbow Archers Association, rules page: a recurve begins at least half way along "
    "the limb from the nock",
)

# What a new ledger begins with; from then on they are the workshop's own settings.
RULES = {
    rule.code: rule
    for rule in (
        STRUNG_160,
        STRUNG_150,
        UNSTRUNG_160,
        UNSTRUNG_150,
        BRITISH_DEPTH,
        BRITISH_LENGTH,
        SIX_LAYERS,
        RECURVE_HALF_WAY,
    )
}


# A hair of rounding must not fail a bow made exactly to the rule.
ALLOWANCE = 1e-9


def check(rule: Rule, bow: BowFigures) -> Finding:
    """Hold one rule against a bow.

    Errors: `OutOfRange` an unknown kind of rule, a figure that is not one, a width or depth of zero or less; `Mismatch`
    widths and depths of unequal number.

    >>> check(BRITISH_DEPTH, BowFigures(widths_m=(0.030, 0.020), depths_m=(0.021, 0.012))).met
    False
    >>> check(STRUNG_160, BowFigures(unstrung_length_m=1.78)).missing
    'strung_length_m'
    """
    require(rule.kind in _CHECKS, OutOfRange, "rule", allowed=", ".join(_CHECKS), kind=rule.kind)
    for name in ("strung_length_m", "unstrung_length_m", "arrow_m", "layers", "recurve_from_nock"):
        figure = getattr(bow, name)
        require(figure is None or figure >= 0, OutOfRange, name, allowed="zero or more", **{name: figure})
    return _CHECKS[rule.kind](rule, bow)


def _at_least(rule: Rule, bow: BowFigures) -> Finding:
    name = {"recurve_begins": "recurve_from_nock"}.get(rule.kind, f"{rule.kind}_m")
    value = getattr(bow, name)
    if value is None:
        return Finding(rule, None, limit=rule.limit, missing=name)
    return Finding(rule, value >= rule.limit - ALLOWANCE, value, rule.limit)


def _at_most_layers(rule: Rule, bow: BowFigures) -> Finding:
    if bow.layers is None:
        return Finding(rule, None, limit=rule.limit, missing="layers")
    return Finding(rule, bow.layers <= rule.limit, bow.layers, rule.limit)


def _depth_share(rule: Rule, bow: BowFigures) -> Finding:
    require(
        len(bow.widths_m) == len(bow.depths_m),
        Mismatch,
        "stations",
        allowed="a depth to every width",
        widths=len(bow.widths_m),
        depths=len(bow.depths_m),
    )
    if not bow.widths_m:
        return Finding(rule, None, limit=rule.limit, missing="depths_m")
    for name, sizes_m in (("widths_m", bow.widths_m), ("depths_m", bow.depths_m)):
        require(min(sizes_m) > 0, OutOfRange, "size", allowed="above zero", **{name: sizes_m})
    shares = np.array(bow.depths_m) / np.array(bow.widths_m)
    worst = int(np.argmin(shares))
    short = tuple(int(at) for at in np.flatnonzero(shares < rule.limit - ALLOWANCE))
    return Finding(rule, not short, float(shares[worst]), rule.limit, station=worst, short=short)


def _length_for_arrow(rule: Rule, bow: BowFigures) -> Finding:
    for name in ("arrow_m", "unstrung_length_m"):
        if getattr(bow, name) is None:
            return Finding(rule, None, missing=name)
    limit = rule.limit if bow.arrow_m <= rule.threshold_m + ALLOWANCE else rule.limit_beyond
    return Finding(rule, bow.unstrung_length_m >= limit - ALLOWANCE, bow.unstrung_length_m, limit)


_CHECKS = {
    "strung_length": _at_least,
    "unstrung_length": _at_least,
    "recurve_begins": _at_least,
    "layers": _at_most_layers,
    "depth_share": _depth_share,
    "length_for_arrow": _length_for_arrow,
}
