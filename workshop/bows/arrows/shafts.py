"""Shafts: the lightest allowed, a first one to try, and a spine told in both conventions."""

from collections.abc import Iterator

from django.utils.translation import gettext as _

from workshop.bows.arrows.known import Known
from workshop.bows.arrows.shots import shot_figures
from workshop.calc import arrows
from workshop.calc.cast import arrow_for
from workshop.calc.imperial import INCH_M
from workshop.ledger.figures import Figure, Source, Unsaid
from workshop.ledger.units import UnitsInUse

# A shaft stands an inch out before the bow at full draw; common practice, no source.
LONGER_THAN_DRAW_M = INCH_M
# Without a series the energy is itself a reckoning, a tenth out for a bow with follow or reflex.
SPREAD_PCT, SPREAD_BY_WEIGHT_PCT = 15.0, 20.0


def arrow_figures(known: Known, supposed: dict, shop, units: UnitsInUse) -> Iterator[Figure | Unsaid]:
    if not known.force_n:
        yield from shot_figures(known, supposed.get("arrow_kg"), shop, units)
        return
    weight = (_("Draw weight"), f"{units.show(known.force_n, 'force')}, {known.by}")
    lightest = arrow_for(known.force_n, shop.lightest_arrow_gpp)
    yield Figure(
        _("Lightest arrow you allow"),
        units.show(lightest, "arrow_mass"),
        Source(
            _("So many grains for each pound of draw weight, by the workshop's own setting."),
            (weight, (_("Grains a pound"), f"{shop.lightest_arrow_gpp:g}")),
            _("about 8 to 10 for a wooden bow: common practice, no source"),
        ),
    )
    yield _first_spine(known, supposed, weight, units)
    yield from shot_figures(known, supposed.get("arrow_kg") or lightest, shop, units)


def _first_spine(known: Known, supposed: dict, weight: tuple[str, str], units: UnitsInUse) -> Figure | Unsaid:
    name, drive = _("First shaft to try"), known.drive
    if known.draw_m is None:
        return Unsaid(name, _("at which draw it has that weight is not known: write the draw wanted."))
    if drive is None:
        return Unsaid(
            name, _("the draw does not reach past the brace height, or cannot be told from the belly.")
        )
    if not supposed.get("arrow_m") and known.back_m is None:
        return Unsaid(
            name, _("its draw cannot be told from the back of the bow: write the shaft’s length below.")
        )
    length = supposed.get("arrow_m") or known.back_m + LONGER_THAN_DRAW_M
    spread = SPREAD_PCT if drive.read else SPREAD_BY_WEIGHT_PCT
    spine = arrows.first_spine(drive.energy_j, drive.stroke_m, length, spread_pct=spread)
    low, high = spine.range_lb
    return Figure(
        name,
        _("%(rating).0f lb, from %(low).0f to %(high).0f lb")
        % {"rating": spine.rating_lb, "low": low, "high": high},
        Source(
            _(
                "Our own reckoning, to be tried; no maker's chart. A shaft must bend round the grip and back while "
                "the string drives it, so its time of bending has to fit the time of the drive: stiffer for more "
                "energy, much stiffer for a longer shaft. A heavier point wants a stiffer one than this, a wider "
                "grip a softer one."
            ),
            (
                weight,
                (_("Stored energy"), f"{units.show(drive.energy_j, 'energy')}, {_energy_words(drive.read)}"),
                (_("The string drives over"), units.show(drive.stroke_m, "draw")),
                (_("Shaft"), units.show(length, "draw")),
            ),
            _(
                "own formula, set so that a straight bow drawn to 28 in takes as many pounds of spine as of draw, with "
                "a shaft of 29 in: common practice"
            ),
        ),
        _("as a deflection %(astm).3f in, 1.94 lb on 28 in") % {"astm": arrows.astm_spine(spine.stiffness_nm2)},
    )  # fmt: skip


def _energy_words(read: bool) -> str:
    if read:
        return _("by the weigh-in that weight is from")
    return _(
        "0.407 of weight × draw, as a straight bow stores: no series of weights from the brace to that draw"
    )


def shaft_figures(supposed: dict) -> Iterator[Figure]:
    """A spine read by one convention, told in the other."""
    source = Source(
        _(
            "Both hang a weight in the middle of a shaft on two supports; stiffness = weight × span³ ÷ (48 × sag)."
        ),
        (
            (_("Wood"), _("2 lb on 26 in; 26 ÷ sag in inches")),
            (_("Others"), _("1.94 lb on 28 in; the sag itself")),
        ),
        _("Rheingans & Nagler 1947; ASTM F2031"),
    )
    if rating := supposed.get("rating_lb"):
        told = arrows.astm_spine(arrows.stiffness_from_wood(rating))
        yield Figure(_("A wood shaft of %(lb)g lb") % {"lb": rating}, f"{told:.3f} in", source)
    if sag := supposed.get("astm_in"):
        told = arrows.wood_rating(arrows.stiffness_from_astm(sag))
        yield Figure(_("A shaft that sags %(sag)g in") % {"sag": sag}, f"{told:.1f} lb", source)
