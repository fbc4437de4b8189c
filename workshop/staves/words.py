"""What the arithmetic's codes say, in sentences."""

from django.utils.dates import MONTHS
from django.utils.translation import gettext as _

from workshop.calc.rings import Meaning
from workshop.calc.timber import Known, Origin
from workshop.ledger.dates import show_date
from workshop.ledger.units import UnitsInUse
from workshop.staves.climate import PlaceMoisture, PlaceYear
from workshop.staves.models import MoistureReading
from workshop.staves.moisture import MeterAnswer


def pct(value: float) -> str:
    return f"{value:.1f}\N{NO-BREAK SPACE}%"


def since_words(now: PlaceMoisture) -> str:
    """Over what time the moisture of a place is the mean."""
    since, until = show_date(now.since), show_date(now.until)
    if now.readings == 1:
        return _("by its air on %(day)s") % {"day": since}
    return _("the mean of its air from %(since)s to %(until)s") % {"since": since, "until": until}


def year_words(year: PlaceYear) -> str:
    """The seasons of a place."""
    return _("over the year from %(low)s in %(dry)s to %(high)s in %(damp)s") % {
        "low": pct(min(year.months_pct)),
        "dry": MONTHS[year.driest],
        "high": pct(max(year.months_pct)),
        "damp": MONTHS[year.dampest],
    }


def reckoned_words(now: PlaceMoisture, year: PlaceYear | None) -> str:
    """What air a forecast reckons with in a place: its seasons, where it was read all round the year."""
    if year:
        return _("Its seasons are reckoned with: %(year)s.") % {"year": year_words(year)}
    words = _("Its air is reckoned as %(pct)s all year, %(since)s: not every month of a year has been read.")
    return words % {"pct": pct(now.pct), "since": since_words(now)}


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


def origin_words(known: Known) -> str:
    """Where a figure of the wood is from."""
    if known.why == "typed":
        return _("as you supposed it above")
    if known.origin == Origin.MEASURED:
        return (
            _("measured here: %(source)s") % {"source": known.source}
            if known.source
            else _("measured here: an offcut of the piece, bent")
        )
    if known.origin == Origin.PUBLISHED:
        return _("published: %(source)s") % {"source": known.source}
    if known.origin == Origin.REGRESSION:
        return _("guessed from its density: %(source)s") % {"source": known.source}
    return _("not known")


STANDS_AGAINST = {
    "only_at_12": lambda: _("only known at 12 % moisture, so the moisture is not allowed for"),
    "only_green": lambda: _("only known of green wood; dry wood is stiffer"),
    "moisture_not_allowed_for": lambda: _("the moisture of the offcut could not be allowed for"),
    "drying_in_doubt": lambda: _(
        "the offcut was bent at another moisture, and how much this piece gains by the step is the most doubtful"
    ),
    "from_density": lambda: _("a line through many species; this one may lie off it"),
    "from_own_density": lambda: _(
        "from the density of this very piece; a line through many species, and this one may lie off it"
    ),
    "never_for_yew": lambda: _("yew is never guessed from its density"),
    "no_published_gravity": lambda: _("no density is known either"),
    "kind_unknown": lambda: _("the kind of wood is not known"),
    "out_of_range": lambda: _("a figure of your own is beyond what can be reckoned with"),
    "nothing_published": lambda: _("nothing is published"),
}


def known_words(known: Known, kind: str, units: UnitsInUse) -> str:
    """A figure of the wood with its doubt and where it is from."""
    if known.value is None:
        return f"{origin_words(known)}: {against_words(known)}"
    return f"{units.show(known.value, kind)}; {doubt_words(known)}"


def doubt_words(known: Known) -> str:
    """The doubt of a figure, where it is from and what stands against it."""
    share = f"{100 * known.doubt / known.value:.0f}\N{NO-BREAK SPACE}%" if known.doubt else ""
    parts = [_("give or take %(share)s") % {"share": share} if share else "", origin_words(known)]
    if known.why in STANDS_AGAINST:
        parts.append(against_words(known))
    return "; ".join(filter(None, parts))


def against_words(known: Known) -> str:
    return STANDS_AGAINST.get(known.why, lambda: known.why)()
