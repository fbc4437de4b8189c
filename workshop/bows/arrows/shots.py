"""What the shots through the chronograph tell of a bow, or why they do not."""

from collections.abc import Iterator

from django.utils.translation import gettext as _

from workshop.bows.arrows.known import Known
from workshop.bows.plan.cast import Fitted, fit_or_why
from workshop.calc.cast import efficiency, grains_per_pound, kinetic_energy, momentum, speed_of
from workshop.calc.imperial import POUND_N
from workshop.calc.projection import BAND_80
from workshop.ledger.figures import Figure, Source, Unsaid
from workshop.ledger.units import UnitsInUse

CANNOT_STORE = (
    1.1  # a scale and a chronograph are not out by more than a tenth together; common practice, no source
)
WHY_NOT = {
    "no_draw": lambda: _("the shots do not say at which draw, and no full draw is known: write the draw wanted."),
    "shots": lambda: _("one arrow’s speed gives no virtual mass; shoot one of another weight."),
    "one_mass": lambda: _(
        "all arrows shot weigh the same, within 1 %, and one weight gives no virtual mass; shoot one of another weight."
    ),
    "unlike_draws": lambda: _("no two arrows were shot at one and the same draw; shoot two of unlike weight at one."),
    "heavier_not_slower": lambda: _(
        "the heavier arrow flew as fast as the lighter one, or faster; no bow does that. Look at the weights and the "
        "speeds, and strike out the slip."
    ),
    "no_virtual_mass": lambda: _(
        "the heavier arrow took up more energy than a bow without any loss could give: an efficiency over 1. Look at "
        "the weights and the speeds, and strike out the slip."
    ),
    "scatter": lambda: _(
        "the shots lie further off one line than a chronograph is out: at unlike draws, or one of them is a slip."
    ),
    "over_stored": lambda: _(
        "an arrow carried off more energy than the bow was weighed to store: an efficiency over 1. Look at its weight "
        "and its speed, and at the weigh-in, and strike out the slip."
    ),
}  # fmt: skip


def shot_figures(known: Known, arrow_kg: float | None, shop, units: UnitsInUse) -> Iterator[Figure | Unsaid]:
    """Nothing where nothing was shot: the page says then what to do first."""
    if not known.shots:
        return
    fit, why = _fit(known)
    if fit is None:
        yield Unsaid(_("Virtual mass, and the speed of another arrow"), WHY_NOT[why]())
        return
    yield _virtual(known, fit, units)
    if arrow_kg:
        yield from _flown(known, fit, arrow_kg, shop, units)
    else:
        yield Unsaid(_("Speed of another arrow"), _("say below how much it weighs."))


def _fit(known: Known) -> tuple[Fitted | None, str]:
    if known.draw_m is None and not any(shot.draw_m for shot in known.shots):
        return None, "no_draw"
    fit, why = fit_or_why(known.draw_m, known.shots)
    if fit is not None and fit.draw_m is None and known.drive is not None and known.drive.read:
        most = max(kinetic_energy(shot.arrow_kg, shot.speed_m_s) for shot in fit.shots)
        if most > CANNOT_STORE * known.drive.energy_j:
            return None, "over_stored"
    return fit, why


def _virtual(known: Known, fit: Fitted, units: UnitsInUse) -> Figure:
    cast = fit.cast
    return Figure(
        _("Virtual mass, what flies along with the arrow"),
        _("%(mass)s, within %(doubt)s")
        % {
            "mass": units.show(cast.virtual_kg, "arrow_mass"),
            "doubt": units.show(BAND_80 * cast.virtual_doubt_kg, "arrow_mass"),
        },
        _line(fit, known, units),
    )


def _flown(known: Known, fit: Fitted, arrow_kg: float, shop, units: UnitsInUse) -> Iterator[Figure | Unsaid]:
    cast = fit.cast
    one = speed_of(cast, arrow_kg)
    low, high = (one.speed_mps + side * BAND_80 * one.doubt_mps for side in (-1, 1))
    named = {"arrow": units.show(arrow_kg, "arrow_mass")}
    yield Figure(
        _("Speed of an arrow of %(arrow)s") % named,
        f"{units.show(low, 'speed')} – {units.show(high, 'speed')}",
        _line(fit, known, units),
        _("no arrow so light or so heavy was shot") if one.why else "",
    )
    flight = Source(
        _(
            "Energy ½ m v², momentum m v, at the middle of the speeds. Of what the limbs give off the arrow takes "
            "arrow ÷ (arrow + virtual mass)."
        ),
        (
            (_("Arrow"), named["arrow"]),
            (_("Speed"), units.show(one.speed_mps, "speed")),
            (_("Virtual mass"), units.show(cast.virtual_kg, "arrow_mass")),
        ),
        _("Klopsteg 1943 (from memory)"),
    )
    energy = kinetic_energy(arrow_kg, one.speed_mps)
    yield Figure(_("Energy of that arrow"), units.show(energy, "energy"), flight)
    yield Figure(_("Momentum of that arrow"), _momentum(momentum(arrow_kg, one.speed_mps), units), flight)
    share = efficiency(arrow_kg, cast.virtual_kg)
    yield Figure(_("Its share of what the limbs give off"), f"{100 * share:.0f} %", flight)
    yield _efficiency(known, fit, energy, flight, units)
    yield _grains(known, arrow_kg, shop, units)


def _momentum(newton_s: float, units: UnitsInUse) -> str:
    return f"{newton_s / POUND_N:.3f} lb s" if units.unit("force") == "lb" else f"{newton_s:.2f} N s"


def _efficiency(
    known: Known, fit: Fitted, energy_j: float, flight: Source, units: UnitsInUse
) -> Figure | Unsaid:
    """Energy of the arrow over the energy stored: only where both are of the same draw, and the store was weighed."""
    name = _("Efficiency with that arrow")
    if fit.draw_m is not None or known.drive is None or not known.drive.read:
        return Unsaid(
            name, _("what it stores at the draw it was shot at is not weighed: weigh a full series.")
        )
    stored = (_("Stored energy, by the weigh-in"), units.show(known.drive.energy_j, "energy"))
    source = Source(
        _(
            "The energy of the arrow over the energy stored: what the limbs keep, and what stays in the wood, is lost."
        ),
        (stored, (_("Energy of that arrow"), units.show(energy_j, "energy")), *flight.inputs),
        _("as archers reckon: common practice"),
    )
    return Figure(name, f"{100 * energy_j / known.drive.energy_j:.0f} %", source)


def _grains(known: Known, arrow_kg: float, shop, units: UnitsInUse) -> Figure | Unsaid:
    name = _("Grains for each pound")
    if not known.force_n:
        return Unsaid(name, _("the draw weight is not known yet."))
    grains = grains_per_pound(arrow_kg, known.force_n)
    source = Source(
        _("The arrow in grains over the draw weight in pounds."),
        (
            (_("Arrow"), units.show(arrow_kg, "arrow_mass")),
            (_("Draw weight"), f"{units.show(known.force_n, 'force')}, {known.by}"),
        ),
        _("as archers reckon: common practice"),
    )
    light = _("lighter than you allow") if grains < shop.lightest_arrow_gpp - 0.05 else ""
    return Figure(name, f"{grains:.1f}", source, light)


def _line(fit: Fitted, known: Known, units: UnitsInUse) -> Source:
    drawn = fit.draw_m if fit.draw_m is not None else known.draw_m
    return Source(
        _(
            "By this bow's own shots at one draw: one over speed squared is a straight line in the arrow's weight. "
            "Eight arrows in ten should fall in the range."
        ),
        (
            (
                _("Shots reckoned with"),
                _("%(n)s of %(all)s") % {"n": len(fit.shots), "all": len(known.shots)},
            ),
            (_("Drawn to"), units.show(drawn, "draw")),
            (_("Energy given off"), units.show(fit.cast.energy_j, "energy")),
        ),
        _("Klopsteg 1943 (from memory)"),
    )
