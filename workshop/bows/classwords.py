"""A bow held against class rules, in words: what each asks, what the bow is, and where that is from."""

from collections.abc import Sequence
from fractions import Fraction

from django.utils.translation import gettext as _
from django.utils.translation import ngettext

from workshop.bows.models import ClassRule, Dimension
from workshop.bows.models.classrules import RuleKind
from workshop.calc.classrules import Finding
from workshop.ledger.units import UnitsInUse

_EVEN_M = 5e-5  # what is told of a length is told to a tenth of a millimetre


def share_words(share: float) -> str:
    """A share as it is said: an eighth, a third where it is one, else in decimals.

    >>> share_words(0.625), share_words(0.7)
    ('5/8', '0.7')
    """
    fraction = Fraction(share).limit_denominator(8)
    if fraction.denominator in (2, 3, 4, 8) and abs(fraction - Fraction(share)) < 1e-9:
        return str(fraction)
    return f"{share:.4g}"


def limit_words(rule: ClassRule, units: UnitsInUse) -> str:
    """What the rule asks, for the list of rules."""
    if rule.kind == RuleKind.DEPTH:
        return _("depth at least %(share)s of the width") % {"share": share_words(rule.least_share)}
    if rule.kind == RuleKind.RECURVE:
        words = _("a recurve begins at least %(share)s of the limb from the nock")
        return words % {"share": share_words(rule.least_share)}
    if rule.kind == RuleKind.LAYERS:
        return ngettext("at most %(n)s layer", "at most %(n)s layers", rule.most_layers) % {
            "n": rule.most_layers
        }
    least = length_words(rule.least_m, units)
    if rule.kind == RuleKind.FOR_ARROW:
        return _("at least %(least)s for arrows up to %(arrow)s, %(beyond)s for longer ones") % {
            "least": least,
            "arrow": units.show(rule.arrow_m, "draw"),
            "beyond": length_words(rule.least_beyond_m, units),
        }
    strung = _("strung") if rule.kind == RuleKind.STRUNG else _("unstrung")
    return _("at least %(least)s nock to nock, %(strung)s") % {"least": least, "strung": strung}


def length_words(length_m: float, units: UnitsInUse) -> str:
    """A length in the reader's units; also in centimetres where it is a round number of them, as a rule may be."""
    shown = units.show(length_m, "length")
    round_cm = abs(length_m * 100 - round(length_m * 100)) < 1e-6
    return f"{shown} ({length_m * 100:.0f}\N{NO-BREAK SPACE}cm)" if round_cm and "cm" not in shown else shown


MOST_NAMED = 4  # stations of one limb in one sentence


def depth_sentence(limit: float, stations: Sequence[Dimension], units: UnitsInUse) -> str:
    """Stations of one limb: “depth at 12 in on limb A is 0.58 of the width, as measured; at least 5/8 asked”.

    Of many the worst are named, and the others counted.
    """
    first, *more = sorted(stations, key=lambda each: each.depth_m / each.width_m)
    named, left = more[: MOST_NAMED - 1], len(more) - (MOST_NAMED - 1)
    each_at = _("%(share)s at %(at)s")
    more_words = [each_at % {"share": _share(it), "at": units.show(it.station_m, "place")} for it in named]
    if left > 0:
        words = ngettext("too little at %(n)s station more", "too little at %(n)s stations more", left)
        more_words.append(words % {"n": left})
    words = _("depth at %(at)s on %(limb)s is %(share)s of the width, %(how)s; at least %(least)s asked")
    if more:
        words = _(
            "depth on %(limb)s is %(share)s of the width at %(at)s, %(more)s, %(how)s; at least %(least)s asked"
        )
    return words % {
        "at": units.show(first.station_m, "place"),
        "limb": first.get_limb_display(),
        "share": _share(first),
        "more": ", ".join(more_words),
        "how": _("as planned") if first.planned else _("as measured"),
        "least": share_words(limit),
    }


def _share(station: Dimension) -> str:
    """Cut off, not rounded: a depth that falls short is never told as the limit."""
    return f"{int(1000 * station.depth_m / station.width_m + 1e-6) / 1000:.3g}"


def length_sentence(found: Finding, units: UnitsInUse) -> str:
    """The bow's length beside the limit; how much is wanting, where the two would be told alike."""
    has, asked = units.show(found.value, "length"), length_words(found.limit, units)
    words = _("%(has)s nock to nock along the back, as planned; at least %(asked)s asked") % {
        "has": has,
        "asked": asked,
    }
    wanting = found.limit - found.value
    if found.met or asked.split(" (")[0] != has:
        return words
    return _("%(words)s, %(by)s mm wanting") % {"words": words, "by": f"{max(1000 * wanting, _EVEN_M):.2g}"}


def layers_sentence(found: Finding) -> str:
    count = int(found.value)
    return ngettext(
        "%(n)s layer, a backing counted as one; at most %(most)s allowed",
        "%(n)s layers, a backing counted as one; at most %(most)s allowed",
        count,
    ) % {"n": count, "most": int(found.limit)}


def missing_sentence(missing: str) -> str:
    return {
        "strung_length_m": _("no length is written"),
        "unstrung_length_m": _("no length is written"),
        "arrow_m": _("no draw from the back of the bow is known, which the arrow is taken to be as long as"),
        "depths_m": _("no widths and depths are written"),
        "recurve_from_nock": _("where a recurve begins is not kept here: look at the bow"),
    }[missing]


def formula_words(kind: str) -> str:
    """What is reckoned for a rule of this kind."""
    if kind == RuleKind.DEPTH:
        return _(
            "Depth over width at every station, the least of them. On each limb the last measured sizes count; the "
            "planned ones where nothing of it was measured. The depth is the whole limb’s: a backing counts in it."
        )
    if kind == RuleKind.STRUNG:
        return _(
            "The bow’s length as planned, unstrung, nock to nock along the back. A limb bends without growing longer, "
            "so along the outside of its limbs the strung bow is taken to be as long; what the back stretches when "
            "braced is not counted. It is not the straight line from nock to nock."
        )
    if kind == RuleKind.UNSTRUNG:
        return _("The bow’s length as planned, unstrung, nock to nock along the back.")
    if kind == RuleKind.FOR_ARROW:
        return _(
            "The bow’s length as planned, unstrung, nock to nock along the back, against the length asked for its "
            "arrow. The arrow is taken to be as long as the draw."
        )
    if kind == RuleKind.LAYERS:
        return _(
            "The layers named among the pieces, one where none is named; each backing counts as one more."
        )
    return _("Not reckoned: the ledger does not keep where a recurve begins.")


def sizes_words(limbs: Sequence[tuple[str, bool]]) -> str:
    """Which sizes were taken: limb by limb, measured or planned."""
    hows = {measured for _limb, measured in limbs}
    if len(hows) == 1 and len(limbs) == 2:
        return _("as measured") if hows == {True} else _("as planned")
    return ", ".join(
        (_("limb %(limb)s as measured") if measured else _("limb %(limb)s as planned")) % {"limb": limb}
        for limb, measured in limbs
    )
