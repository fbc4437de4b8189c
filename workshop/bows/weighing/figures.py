"""The figures of a weigh-in, each to be asked where it is from: energy, slope, a weight between two draws, and every
way of expecting the weight at full draw."""

from collections.abc import Sequence
from dataclasses import dataclass, replace

from django.utils.translation import gettext as _

from workshop.bows.plan.nextpull import NextPull
from workshop.bows.plan.nextwords import WAYS, PullPage
from workshop.bows.plan.sources import OWN
from workshop.bows.weighing.passes import Pass
from workshop.bows.weighing.picture import method_label
from workshop.calc.drawcurve import end_slope, weight_at
from workshop.calc.errors import CalcError
from workshop.calc.projection import SOLVED, Projection
from workshop.ledger.figures import Figure, Source
from workshop.ledger.units import UnitsInUse


@dataclass(frozen=True)
class Way:
    """One way of expecting: its name, the weight with its range, what to bear in mind, and where it is from."""

    label: str
    way: Projection
    source: Source
    aside: str = ""


def ways_of(
    start: Pass, place: str, seen: NextPull, pulls: PullPage, thumb: Sequence[Projection], units: UnitsInUse
) -> list[Way]:
    """Every way to the full draw side by side: the solved bow, tempered and elastic, then what these are made of,
    then the rules of thumb."""
    made = []
    if seen.full is not None:
        full, source = seen.full, pulls.rows[-1].source
        named = {"tempered": full.tempered, "elastic": full.elastic}
        named = {"solved": full.expected, **named} if seen.outcomes else named
        made += [(replace(way, method=name), source) for name, way in named.items()]
        made += [(way, Source(WAYS[way.method](), (), OWN)) for way in full.ways if way.method in SOLVED]
    made += [(way, _thumb_source(way, start, place, units)) for way in thumb]
    return [Way(method_label(way.method), way, source, _aside(way)) for way, source in made]


def _aside(way: Projection) -> str:
    return {
        "not_of_middling_weight": _("said of bows of middling weight, which this is not"),
        "before_last_third": _("said of the last third of the draw, which is not reached"),
        "before_half_way": _("from before half the draw, where a curve still bends the other way"),
        "shape_does_not_fit": _("the points do not lie on such a bow’s curve"),
    }.get(way.why, "")


def _thumb_source(way: Projection, start: Pass, place: str, units: UnitsInUse) -> Source:
    curve, practice = start.curve(place), _("common practice, no source")
    last_m = float(curve.draws_m[-1])
    inputs = [
        (_("The last point"), _at(float(curve.forces_n[-1]), last_m, units)),
        (_("Still to draw"), units.show(way.draw_m - last_m, "draw")),
    ]
    if way.method == "pounds_an_inch":
        words = _(
            "2 lb for every inch still to draw; the range takes 1 1/2 to 3 lb. Said of bows of 25 to 65 lb."
        )
        return Source(words, tuple(inputs), practice)
    if way.method == "share_an_inch":
        words = _(
            "Each inch of the last third is 4 to 5 % of the full weight: the last weight over 1 less 4 1/2 % for "
            "every inch still to draw. The range takes 4 to 6 %, as simulated bows gain more in the very last inches."
        )
        return Source(words, tuple(inputs), practice)
    slope = end_slope(curve)
    inputs.append((_("Rises at the end by"), _give_or_take(slope.newton_per_m, slope.doubt, "slope", units)))
    words = _(
        "The slope of the last inches, carried on 1.15 times as steep: curves of wooden bows steepen toward the end. "
        "The range takes 1.05 to 1.25 times, and the doubt of the slope itself."
    )
    return Source(words, tuple(inputs), _("our own simulated bows"))


def energy_figure(one: Pass, units: UnitsInUse) -> Figure | None:
    """What it stores so far, with its doubt."""
    energy = one.energy
    if energy is None:
        return None
    words = _(
        "The area under the curve through every point, as far as it was drawn. The doubt, one standard deviation, is "
        "that of the scale, taken as alike all the way, and what the curve and straight lines between the points "
        "differ by."
    )
    inputs = (
        (_("From"), units.show(energy.from_m, "draw")),
        (_("To"), _at(energy.peak_n, energy.to_m, units)),
        (_("Doubt of the scale"), units.show(one.doubt_n, "doubt")),
        (_("By straight lines"), units.show(energy.trapezoid_j, "energy")),
    )
    return Figure(
        name=_("Energy so far") if energy.ok else _("Energy from the first point on"),
        value=_give_or_take(energy.curve_j, energy.doubt_j, "energy", units),
        source=Source(words, inputs, _("by its definition; the force-draw curve after ASTM F1832")),
        more=""
        if energy.ok
        else _("the part from the brace is missing: brace height or grip depth is not known"),
    )


def slope_figure(one: Pass, units: UnitsInUse) -> Figure | None:
    """How fast the weight rises at the end, with its doubt."""
    curve = None if one.is_long or len(one.points) < 2 else one.curve()
    if curve is None:
        return None
    slope = end_slope(curve)
    inputs = (
        (_("From"), units.show(slope.from_m, "draw")),
        (_("To"), units.show(slope.to_m, "draw")),
        (_("Doubt of the scale"), units.show(one.doubt_n, "doubt")),
    )
    words = _(
        "The straight line that fits the points of the last 4 in best, or the last two points. The doubt, one standard "
        "deviation, is what that of the scale makes of it."
    )
    return Figure(
        name=_("Rises at the end by"),
        value=_give_or_take(slope.newton_per_m, slope.doubt, "slope", units),
        source=Source(words, inputs, _("least squares")),
    )


def weight_figure(one: Pass, draw_m: float, units: UnitsInUse) -> Figure | None:
    """The weight at a draw between two that were weighed, with its doubt; None beyond the points."""
    try:
        found = weight_at(one.curve(), draw_m)
    except CalcError:
        return None
    words = _("It was read there.") if found.measured else _(
        "Read off the curve through every point, between the two beside it. The doubt, one standard deviation, is that "
        "of the scale, and half of what the curve and the straight line between the two differ by: nothing was "
        "measured there."
    )  # fmt: skip
    beside = {round(draw, 5) for draw in found.between_m}
    inputs = [
        (_("Weighed"), _at(point.force_n, point.draw_m, units))
        for point in one.points
        if round(point.draw_m, 5) in beside
    ]
    return Figure(
        name=units.show(draw_m, "draw"),
        value=_give_or_take(found.force_n, found.doubt_n, "force", units),
        source=Source(words, tuple(inputs), ""),
    )


def _at(force_n: float, draw_m: float, units: UnitsInUse) -> str:
    return _("%(force)s at %(draw)s") % {
        "force": units.show(force_n, "force"),
        "draw": units.show(draw_m, "draw"),
    }


def _give_or_take(value: float, doubt: float, kind: str, units: UnitsInUse) -> str:
    return f"{units.show(value, kind)} ± {units.show(doubt, kind)}"
