"""What the arithmetic refuses, in a sentence: what was given, what is allowed, and beside which field it belongs."""

from collections import defaultdict

from django.utils.translation import gettext as _now
from django.utils.translation import gettext_lazy as _

from workshop.calc.errors import CalcError
from workshop.ledger.units import UnitsInUse

# code -> the field of the plan it belongs beside ("" the form as a whole), the sentence
SAID = {
    "one_station": ("stations", _("One station is no limb: give two at least.")),
    "stations_order": (
        "stations",
        _("The stations run from the middle outward, each further out than the last."),
    ),
    "size": ("stations", _("A width or depth of zero or less: every size is above zero.")),
    "too_far_off": (
        "stations",
        _(
            "The sizes would have to change more than fourfold: plan it anew, with a strain nearer to what its timber "
            "bears, another length or another weight."
        ),
    ),
    "layers": (
        "depths",
        _(
            "At %(station_m)s on limb %(limb)s it is %(depth_m)s deep, and its layers without the belly’s are "
            "%(layers_m)s: they must be thinner."
        ),
    ),
    "layer_depth": (
        "pieces",
        _("Layer %(layer)s, %(wood)s, has no depth: only the belly’s layer may be left open."),
    ),
    "outline_lines": (
        "section",
        _("Its section is as measured, and no outline is written: write heights above the belly and widths."),
    ),
    "stiffness_unknown": (
        "timber",
        _("Nothing is known of the stiffness of %(wood)s. Bend an offcut, or suppose a figure."),
    ),
    "grip_and_fades": ("length_m", _("Grip and fades leave no limb on a bow of this length.")),
    "bow_length": ("length_m", _("A bow of %(bow_m)s: it must be longer than that.")),
    "nocking": (
        "nocking",
        _("A nocking point %(above_m)s above the hand is too far up: 4 in (10 cm) at the most."),
    ),
    "beyond": (
        "length_m",
        _(
            "The bow is too short for its draw: up to a draw of %(limit_m)s the answer holds, and past it no shape was "
            "found. A longer bow or a shorter draw is wanted."
        ),
    ),
    "out_of_reach": (
        "length_m",
        _("The bow is too short for its draw. A longer bow or a shorter draw is wanted."),
    ),
    "touch": (
        "length_m",
        _(
            "The string would lie on a limb before the draw is reached, and a string lying on a limb is not reckoned. "
            "Up to a draw of %(limit_m)s the answer holds."
        ),
    ),
    "touch_braced": (
        "follow_m",
        _(
            "Braced, the string would lie on a limb, as on a recurve; a string lying on the limb is not reckoned, so "
            "nothing can be said at any draw. A higher brace or less reflex toward the tips would lift it off."
        ),
    ),
    "coarse": (
        "stations",
        _("The sizes change too fast between two stations to be trusted: give stations between."),
    ),
    "unlike": (
        "",
        _(
            "No braced shape was found for two limbs so unlike in length, stiffness or natural bend: the bow would "
            "turn too far in the hand. Limbs a little more alike, or a lower brace, can be strung."
        ),
    ),
    "draw_below_brace": (
        "wanted_draw_m",
        _(
            "The draw, %(draw_m)s from the limb’s axis, does not reach past the braced string: it must be longer "
            "than the brace height."
        ),
    ),
    "draw": ("wanted_draw_m", _("The draw does not reach past the braced string.")),
    "brace": (
        "brace_m",
        _("A brace height of %(brace_m)s: above zero, and far less than the limbs are long."),
    ),
    "stringing": ("brace_m", _("A brace height is above zero.")),
    "brace_height": (
        "brace_m",
        _(
            "No string holds it at %(brace_height_m)s from the axis. The string must lie beyond the unstrung tips, "
            "which a natural bend may touch already, and within what the limbs can reach."
        ),
    ),
    "unbraced": (
        "brace_m",
        _("No braced shape was found: with this natural bend and brace height it does not string."),
    ),
    "string_too_long": (
        "brace_m",
        _("At this draw the string would still be slack: a longer draw or a lower brace is wanted."),
    ),
    "natural_offset_m": ("follow_m", _("So much natural bend is steeper than the limb is long.")),
    "moisture_above_intersection": (
        "moisture_pct",
        _(
            "%(moisture_pct)s is above fibre saturation, where wood is green: the formula for dry wood holds from "
            "%(allowed)s."
        ),
    ),
    "moisture": ("moisture_pct", _("%(moisture_pct)s is no moisture of wood: from %(allowed)s.")),
    "weight": ("wanted_n", _("A weight of %(weight_n)s: it is above zero.")),
    "strain": ("strain", _("A strain above 0 and below 10 percent.")),
    "no_layout": (
        "taper",
        _("Laid out so, no sizes were found for this weight and strain: try another way."),
    ),
    "long_string": (
        "long_string",
        _(
            "A string of %(long_string_m)s is no long string: it must be longer than the unstrung bow from nock to "
            "nock, or it would brace it."
        ),
    ),
    "axis": (
        "grip_depth_m",
        _("A grip of %(depth_m)s is less deep than half the limb beside it."),
    ),
    "grip_depth": (
        "grip_depth_m",
        _("A draw measured from there wants the depth of the grip, back to pivot point."),
    ),
}
_KINDS = {
    "station_m": "place",
    "depth_m": "depth",
    "above_m": "depth",
    "layers_m": "depth",
    "bow_m": "length",
    "limit_m": "draw",
    "draw_m": "draw",
    "brace_m": "brace",
    "brace_height_m": "brace",
    "weight_n": "force",
    "long_string_m": "length",
    "moisture_pct": "moisture",
}


def refusal(error: CalcError, units: UnitsInUse) -> tuple[str, str]:
    """The field an error of the arithmetic belongs beside, and what to say there."""
    shown = defaultdict(lambda: "–", allowed=error.allowed)
    for name, value in error.given.items():
        measure = name in _KINDS and isinstance(value, int | float)
        shown[name] = units.show(float(value), _KINDS[name]) if measure else str(value)
    if error.code not in SAID:
        return "", _now("This cannot be solved: %(allowed)s.") % {"allowed": error.allowed}
    name, sentence = SAID[error.code]
    return name, str(sentence) % shown
