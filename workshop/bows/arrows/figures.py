"""The figures of the page, each with where it is from; what is missing for one is said instead."""

from collections.abc import Iterator
from dataclasses import dataclass

from django.utils.translation import gettext as _

from workshop.bows.arrows.forms import USUAL_FACTOR
from workshop.bows.grip import stiff_half_m
from workshop.bows.models import Bow
from workshop.bows.models import Speed as ShotEntry
from workshop.bows.plan.cast import Fitted, fitted
from workshop.bows.weighing.passes import Pass, Weighings
from workshop.bows.weighing.selectors import rating_of, weight_now
from workshop.calc import arrows, bowstring
from workshop.calc.cast import arrow_for, efficiency, grains_per_pound, kinetic_energy, momentum, speed_of
from workshop.calc.errors import CalcError
from workshop.calc.imperial import INCH_M
from workshop.calc.projection import BAND_80
from workshop.ledger.figures import Figure, Source
from workshop.ledger.units import UnitsInUse

# A shaft stands an inch out before the bow at full draw; common practice, no source.
LONGER_THAN_DRAW_M = INCH_M


@dataclass(frozen=True)
class Known:
    """What the page reckons from: the weight and where it is from, the last curve with its energy, the shots."""

    bow: Bow
    force_n: float | None
    draw_m: float | None
    by: str  # in words
    series: Pass | None
    shots: tuple[ShotEntry, ...]


def known_of(bow: Bow, weighings: Weighings) -> Known:
    """The rating where there is one, else the last weight read, else the weight wanted. No query but the shots'."""
    rating, weight = rating_of(bow, weighings), weight_now(bow, weighings)
    if rating.ok:
        force, draw, by = rating.force_n, rating.draw_m, _("its rating")
    elif weight is not None:
        force, draw, by = weight.force_n, weight.draw_m, _("as last weighed")
    else:
        force, draw, by = bow.wanted_n, bow.wanted_draw_m, _("as wanted")
    curves = [each for each in weighings.passes if each.counts and each.energy is not None and each.energy.ok]
    shots = tuple(ShotEntry.objects.filter(bow=bow).standing())
    return Known(bow, force, draw, by, curves[-1] if curves else None, shots)


def arrow_figures(known: Known, supposed: dict, shop, units: UnitsInUse) -> Iterator[Figure]:
    if known.force_n is None:
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
    yield from _first_spine(known, supposed, units)
    yield from _shot(known, supposed.get("arrow_kg") or lightest, weight, shop, units)


def _first_spine(known: Known, supposed: dict, units: UnitsInUse) -> Iterator[Figure]:
    if known.series is None or known.draw_m is None:
        return
    energy, length = known.series.energy, supposed.get("arrow_m") or known.draw_m + LONGER_THAN_DRAW_M
    try:
        spine = arrows.first_spine(energy.curve_j, energy.to_m - energy.from_m, length)
    except CalcError:
        return
    low, high = spine.range_lb
    yield Figure(
        _("First shaft to try"),
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
                (_("Stored energy"), units.show(energy.curve_j, "energy")),
                (_("The string drives over"), units.show(energy.to_m - energy.from_m, "draw")),
                (_("Shaft"), units.show(length, "draw")),
            ),
            _("own formula, set so that a usual bow takes as many pounds of spine as of draw: common practice"),
        ),
        _("as a deflection %(astm).3f in") % {"astm": arrows.astm_spine(spine.stiffness_nm2)},
    )  # fmt: skip


def _shot(
    known: Known, arrow_kg: float, weight: tuple[str, str], shop, units: UnitsInUse
) -> Iterator[Figure]:
    fit = fitted(known.draw_m, known.shots) if known.shots and known.draw_m else None
    if fit is None:
        return
    cast, line = fit.cast, _shot_source(fit, known, units)
    yield Figure(
        _("Virtual mass, what flies along with the arrow"),
        _("%(mass)s, within %(doubt)s")
        % {
            "mass": units.show(cast.virtual_kg, "arrow_mass"),
            "doubt": units.show(BAND_80 * cast.virtual_doubt_kg, "arrow_mass"),
        },
        line,
    )
    one = speed_of(cast, arrow_kg)
    low, high = (one.speed_mps + side * BAND_80 * one.doubt_mps for side in (-1, 1))
    named = {"arrow": units.show(arrow_kg, "arrow_mass")}
    yield Figure(
        _("Speed of an arrow of %(arrow)s") % named,
        f"{units.show(low, 'speed')} – {units.show(high, 'speed')}",
        line,
        _("no arrow so light or so heavy was shot") if one.why else "",
    )
    flight = Source(
        _(
            "Energy ½ m v², momentum m v, at the middle of the speeds; efficiency is arrow ÷ (arrow + virtual mass)."
        ),
        (weight, (_("Arrow"), named["arrow"]), (_("Speed"), units.show(one.speed_mps, "speed"))),
        _("Klopsteg 1943 (from memory)"),
    )
    share = efficiency(arrow_kg, max(0.0, cast.virtual_kg))
    yield Figure(
        _("Energy of that arrow"), units.show(kinetic_energy(arrow_kg, one.speed_mps), "energy"), flight
    )
    yield Figure(_("Momentum of that arrow"), f"{momentum(arrow_kg, one.speed_mps):.2f} N s", flight)
    yield Figure(_("Efficiency with that arrow"), f"{100 * share:.0f} %", flight)
    grains = grains_per_pound(arrow_kg, known.force_n)
    light = _("lighter than you allow") if grains < shop.lightest_arrow_gpp - 0.05 else ""
    yield Figure(_("Grains for each pound"), f"{grains:.1f}", flight, light)


def _shot_source(fit: Fitted, known: Known, units: UnitsInUse) -> Source:
    drawn = units.show(fit.draw_m if fit.draw_m is not None else known.draw_m, "draw")
    return Source(
        _(
            "By this bow's own shots at one draw: one over speed squared is a straight line in the arrow's weight. "
            "Eight arrows in ten should fall in the range."
        ),
        (
            (_("Shots written down"), str(len(known.shots))),
            (_("Drawn to"), drawn),
            (_("Energy given off"), units.show(fit.cast.energy_j, "energy")),
        ),
        _("Klopsteg 1943 (from memory)"),
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


def string_figures(known: Known, supposed: dict, units: UnitsInUse) -> Iterator[Figure]:
    bow = known.bow
    if bow.length_m and bow.brace_m:
        brace = bow.brace_m + (bow.grip_depth_m or 0.0) / 2
        try:
            length = bowstring.string_length(bow.length_m, brace, grip_m=2 * stiff_half_m(bow))
        except CalcError:
            length = None
        if length is not None:
            yield Figure(
                _("String, braced, between the nocks"),
                units.show(length, "length"),
                Source(
                    _("Each limb taken as rigid, hinged at a quarter of its length; the tips come back by the brace."),
                    (
                        (_("Bow length"), units.show(bow.length_m, "length")),
                        (_("Brace height"), units.show(bow.brace_m, "brace")),
                    ),
                    _("Hickman 1937; 0.01 in short of a bow solved with bending limbs"),
                ),
            )  # fmt: skip
    if bow.length_m and bow.length_m > bowstring.AMO_SHORTER_M:
        yield Figure(
            _("String by the trade standard"),
            units.show(bowstring.amo_string(bow.length_m), "length"),
            Source(
                _("Bow length less 3 in."),
                ((_("Bow length"), units.show(bow.length_m, "length")),),
                "AMO 2000",
            ),
        )
    if known.force_n and (strand := supposed.get("strand_n")):
        factor = supposed.get("factor") or USUAL_FACTOR
        yield Figure(
            _("Strands"),
            str(bowstring.strands(known.force_n, strand, factor=factor)),
            Source(
                _("Factor × draw weight ÷ what one strand bears, rounded up. Fit in the nock, creep and wear usually "
                  "ask for more strands than strength does."),
                (
                    (_("Draw weight"), f"{units.show(known.force_n, 'force')}, {known.by}"),
                    (_("One strand"), units.show(strand, "tension")),
                    (_("Factor"), f"{factor:g}"),
                ),
                _("common practice, no source"),
            ),
        )  # fmt: skip
