"""Where the figures in the answer of a piece's page are from: its moisture, its place's, when it will be dry."""

from django.utils.translation import gettext as _

from workshop.calc import meter
from workshop.calc.dryingfit import usual
from workshop.ledger.dates import show_date
from workshop.ledger.figures import Source
from workshop.ledger.units import UnitsInUse
from workshop.staves.moisture import How
from workshop.staves.selectors.sheet import StaveSheet, Stay
from workshop.staves.words import correction_words, pct, year_words


def moisture_source(sheet: StaveSheet, units: UnitsInUse) -> Source | None:
    """Where the moisture in the answer is from."""
    latest = sheet.track.latest
    if latest is None:
        return None
    doubt = (_("Doubt"), _("%(pct)s either way") % {"pct": pct(latest.doubt_pct)})
    entry = latest.entry
    if latest.how == How.METER:
        answer = sheet.track.meters[entry.pk]
        return Source(
            _(
                "What the meter read, half a percent added for every 5.6 °C (10 °F) the wood was colder than the meter "
                "is made for, then set from the meter’s scale over to this timber."
            ),
            (
                (_("The meter read"), units.show(entry.reading_pct, "moisture")),
                (_("Corrected"), correction_words(entry, answer, units)),
                doubt,
            ),
            _("%(rule)s; James 1988, FPL-GTR-6, Table 1") % {"rule": meter.RULE},
        )
    if latest.how == How.OVEN:
        return Source(
            _("The water that left the slice in the oven, over the weight of the dry slice."),
            (
                (_("As cut"), units.show(entry.wet_kg, "slice_mass")),
                (_("Oven-dry"), units.show(entry.dry_kg, "slice_mass")),
                doubt,
            ),
        )
    return Source(
        _(
            "A moisture known on one day the piece was weighed tells what its dry wood weighs; every weight since, "
            "less that and over it, is the moisture. Taking off bark or wood starts anew."
        ),
        ((_("Weight of the piece"), units.show(entry.mass_kg, "mass")), doubt),
    )


def place_source(sheet: StaveSheet) -> Source | None:
    """Where the equilibrium of its place is from."""
    now = sheet.place_now
    if now is None:
        return None
    kept = _("the mean of the last season") if now.ok else _("the last reading there is")
    return Source(
        _("What wood comes to in air of that temperature and humidity, if it lies there long enough."),
        (
            (_("Readings of the air"), f"{now.readings}, {kept}"),
            (_("Since"), show_date(now.since)),
        ),
        _("Wood Handbook, FPL-GTR-282 (2021), eq. 4-5; the published equations differ by up to a percent"),
    )


def drying_source(sheet: StaveSheet, units: UnitsInUse) -> Source | None:
    """Where the drying forecast is from."""
    if sheet.drying is None or not sheet.drying.days:
        return None
    trusted = [point for point in sheet.track.points if point.ok]
    return Source(
        _(
            "The piece nears the moisture of its place, ever more slowly: each day a share of what is left. Many "
            "such pieces that fit its readings are followed through its places, as the readings, the air and the rate "
            "may be out; the two dates leave out the earliest tenth and the latest."
        ),
        (
            (_("Readings reckoned with"), str(len(trusted))),
            (_("Before the first reading"), _usual_words(sheet, units)),
            *((str(stay.move.place), _brought_words(stay)) for stay in sheet.stays if stay.brought),
            (_("Bench-ready"), f"{sheet.band.low_pct:g} – {sheet.band.high_pct:g}\N{NO-BREAK SPACE}%"),
        ),
        _("our own fit of the late form of diffusion in a slab (Siau 1984; Kollmann and Côté 1968)"),
    )


def _brought_words(stay: Stay) -> str:
    words = _("brings wood to about %(pct)s") % {"pct": pct(stay.brought.pct)}
    if stay.year is None:
        return words
    return f"{words}; {_('reckoned with its seasons, %(year)s') % {'year': year_words(stay.year)}}"


def _usual_words(sheet: StaveSheet, units: UnitsInUse) -> str:
    """The rate the readings are weighed against."""
    thickness_m = sheet.wood.thickness_m
    days = round(usual(thickness_m).half_time_days)
    if thickness_m is None:
        words = _(
            "of any thickness, half way there in about %(days)s days, give or take a factor of nearly three"
        )
        return f"{words % {'days': days}} ({_('common practice, no source')})"
    words = _("%(thick)s thick, half way there in about %(days)s days, give or take a factor of two")
    return f"{words % {'days': days, 'thick': units.show(thickness_m, 'depth')}} ({_('common practice, no source')})"
