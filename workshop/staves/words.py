"""What the arithmetic's codes say, in sentences."""

from django.utils.translation import gettext as _

from workshop.calc.rings import Meaning
from workshop.ledger.units import UnitsInUse
from workshop.staves.models import MoistureReading
from workshop.staves.moisture import MeterAnswer


def ring_words(meaning: Meaning) -> str:
    """What a ring count means for that kind of wood (common practice; sources in `workshop.calc.rings`)."""
    return {
        Meaning.MOSTLY_EARLY_WOOD: _("mostly porous early wood: light and weak for its size"),
        Meaning.TIGHT_RINGS_WEAK: _("tight rings, in a ring-porous wood mostly pores: measure the late wood"),
        Meaning.WIDE_RINGS_GOOD: _("wide rings with thick late wood: what is wanted of a ring-porous wood"),
        Meaning.VERY_WIDE_RINGS: _("very wide rings: strong, but few lie within the depth of a limb"),
        Meaning.COUNT_SAYS_LITTLE: _("in a diffuse-porous wood the count says little"),
        Meaning.TIGHT_RINGS_WANTED: _("in yew tight rings are wanted, by custom"),
        Meaning.RINGS_WIDE_FOR_SOFTWOOD: _("wide rings for a softwood: weak"),
        Meaning.RINGS_FAIR_FOR_SOFTWOOD: _("fair for a softwood"),
        Meaning.RINGS_BEST_FOR_SOFTWOOD: _("at its best for a softwood"),
        Meaning.RINGS_FINE_FOR_SOFTWOOD: _(
            "very fine for a softwood: a little weaker than at 12 to 16 an inch"
        ),
        Meaning.KIND_UNKNOWN: _("what that means depends on the kind of wood, which is not known"),
    }[meaning]


def correction_words(reading: MoistureReading, answer: MeterAnswer, units: UnitsInUse) -> str:
    """How a meter reading was corrected, or why it was not."""
    if answer.corrected is None:
        return _("not corrected: beyond what a pin meter can tell")
    corrected, said = answer.corrected, []
    if answer.temperature_known:
        said.append(
            _("wood at %(t)s: %(pct)+.1f %%")
            % {"t": units.show(reading.wood_c, "temperature"), "pct": corrected.temperature_correction_pct}
        )
    else:
        said.append(_("wood temperature not taken"))
    if corrected.species_why:
        said.append(_no_species(corrected.species_why))
    elif corrected.species_correction_pct:
        said.append(_("timber: %(pct)+.1f %%") % {"pct": corrected.species_correction_pct})
    else:
        said.append(_("the meter is set to this timber"))
    said.append(
        {
            "below_range": _("under 7 % a meter guesses"),
            "above_fibre_saturation": _("over 25 % only a hint"),
        }.get(corrected.why, "")
    )
    return "; ".join(words for words in said if words)


def _no_species(why: str) -> str:
    return {
        "no_published_table": _("no published correction for this timber"),
        "other_scale": _("the meter's scale is not one that can be corrected from"),
        "outside_table": _("outside the published correction for this timber"),
    }[why]


def bend_words(why: str) -> str:
    """What stands against a bend test."""
    return {
        "span_short": _("the supports stand too close: ten depths apart at least"),
        "bent_far": _("bent too far: a tenth of the span at most"),
        "not_straight": _("load and sag do not rise together evenly"),
    }.get(why, "")
