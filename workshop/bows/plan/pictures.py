"""The drawings of a plan: its outline, its shape strung and drawn, its draw curve, in the reader's units."""

import numpy as np
from django.utils.translation import gettext as _

from workshop.bows.models import Bow
from workshop.bows.plan.design import LimbPlan, Plan
from workshop.bows.plan.solving import Answer
from workshop.bows.views.pictures import axis
from workshop.calc.cubic import monotone
from workshop.ledger import drawings
from workshop.ledger.drawings import Drawing
from workshop.ledger.units import UnitsInUse
from workshop.units import show

_PLACE_STEPS = {"in": 6, "mm": 100}
_DRAW_STEPS = {"in": 2, "cm": 5}
_FORCE_STEPS = {"lb": 5, "kg": 2}


def outline_drawing(bow: Bow, plan: Plan, units: UnitsInUse) -> Drawing:
    """Both limbs from the back and from the side."""
    number, thin = units.number, units.unit("depth")
    limbs = {limb.name: limb for limb in plan.limbs}
    side = 1 if plan.upper.name == "A" else -1
    above = plan.grip_above_m
    grip = tuple(number(side * end, "place") for end in (above, above - plan.grip_m))
    per_metre = number(1.0, "place")
    data = drawings.LimbOutline(
        title=_("Limbs of bow %(number)s, as planned") % {"number": bow.number},
        description=_("Width from the back and depth from the side, at stations from the middle mark."),
        columns=(_("Limb"), _("From the middle"), _("Width"), _("Depth")),
        limb_a=_limb(limbs["A"], _("limb A"), units),
        limb_b=_limb(limbs["B"], _("limb B"), units),
        along=axis(_("from the middle"), "place", units, _PLACE_STEPS.get(units.unit("place"))),
        plan_label=_("width, seen from the back"),
        profile_label=_("depth, the back above"),
        middle_label=_("middle mark"),
        stretch_label=lambda n: _("widths and depths × %(n)s") % {"n": n},
        grip=grip,
        grip_label=_("grip"),
        show=lambda value: show(value / per_metre, "depth", thin, with_unit=False) if value > 0 else "0",
    )
    return drawings.limb_outline(data)


def _limb(limb: LimbPlan, label: str, units: UnitsInUse) -> drawings.LimbStations:
    number, sizes = units.number, limb.sizes
    columns = zip(sizes.stations_m, sizes.widths_m, sizes.depths_m, strict=True)
    return drawings.LimbStations(
        label,
        [
            drawings.Station(number(a, "place"), number(w, "place") / 2, number(d, "place"))
            for a, w, d in columns
        ],
    )


def shape_drawing(bow: Bow, answer: Answer, units: UnitsInUse) -> Drawing:
    """Unstrung, braced and at full draw, back up as it hangs on the tree; limb A to the left."""
    plan, drawn = answer.plan, answer.drawn
    unstrung = [_unstrung(plan, limb) for limb in plan.limbs]
    braced = [(pose.x_m, pose.y_m) for pose in (drawn.brace.upper, drawn.brace.lower)]
    full = [(pose.x_m[-1], pose.y_m[-1]) for pose in (drawn.upper, drawn.lower)]
    nock = drawn.arrow_nock_m[-1]
    shapes = [
        _shape(plan, _("unstrung"), unstrung, units),
        _shape(plan, _("braced"), braced, units, string=True),
        _shape(plan, _("drawn"), full, units, string=True, nock=(float(nock[0]), float(nock[1]))),
    ]
    unit = units.unit("place")
    data = drawings.BowShape(
        title=_("Shape of bow %(number)s, as planned") % {"number": bow.number},
        description=_("Unstrung, braced and at full draw, to one scale."),
        columns=(
            _("Shape"),
            _("Along, %(unit)s") % {"unit": unit},
            _("Toward the archer, %(unit)s") % {"unit": unit},
        ),
        left_label=_("limb A"),
        right_label=_("limb B"),
        shapes=shapes,
    )
    return drawings.bow_shape(data)


def _unstrung(plan: Plan, limb: LimbPlan) -> tuple[np.ndarray, np.ndarray]:
    """The limb's line before it is strung, from the hand, as a pose gives it."""
    made, side = plan.bow.sides[0 if limb is plan.upper else -1]
    at = np.linspace(made.stations_m[0], made.stations_m[-1], 25)
    lean = made.natural_angle(at)
    step = np.diff(at)

    def summed(slope: np.ndarray) -> np.ndarray:
        return np.r_[0.0, np.cumsum((slope[1:] + slope[:-1]) / 2 * step)]

    return made.root_offset_m + summed(np.sin(lean)), side + summed(np.cos(lean))


def _shape(
    plan: Plan, label: str, limbs, units: UnitsInUse, *, string: bool = False, nock=None
) -> drawings.Shape:
    (upper_x, upper_y), (lower_x, lower_y) = limbs
    # A to the left: along the sheet the upper limb is on the left when it is A
    side = -1 if plan.upper.name == "A" else 1
    upper = [(side * float(y), float(x)) for x, y in zip(upper_x, upper_y, strict=True)]
    lower = [(-side * float(y), float(x)) for x, y in zip(lower_x, lower_y, strict=True)]
    points = [*reversed(upper), *lower]
    strung = []
    if string:
        middle = [(side * nock[1], nock[0])] if nock else []
        strung = [points[0], *middle, points[-1]]

    def shown(places):
        return [(units.number(x, "place"), units.number(y, "place")) for x, y in places]

    return drawings.Shape(label, shown(points), shown(strung))


def curve_drawing(bow: Bow, answer: Answer, units: UnitsInUse, expected=None) -> Drawing:
    """Weight against draw as planned, measured as the bow's draws are; what is wanted; the range."""
    drawn, plan = answer.drawn, answer.plan
    shift = plan.draw_m - plan.draw_on_axis_m
    trace = [
        (units.number(float(at) + shift, "draw"), units.number(float(force), "force"))
        for at, force in zip(drawn.draws_m, drawn.force_n, strict=True)
    ]
    step = units.read(str(_DRAW_STEPS.get(units.unit("draw"), 5)), "draw").value
    curve = monotone(drawn.draws_m + shift, drawn.force_n)
    marks = np.arange(np.ceil(curve.x[0] / step), np.floor(curve.x[-1] / step + 1e-9) + 1) * step
    points = [(units.number(float(at), "draw"), units.number(float(curve(at)), "force")) for at in marks]
    wanted = None
    if bow.wanted_n:
        words = _("wanted %(weight)s at %(draw)s")
        said = words % {"weight": units.show(bow.wanted_n, "force"), "draw": units.show(plan.draw_m, "draw")}
        wanted = drawings.Wanted(units.number(plan.draw_m, "draw"), units.number(bow.wanted_n, "force"), said)
    brackets = []
    if expected is not None:
        low, high = (units.number(each, "force") for each in (expected.low_n, expected.high_n))
        at = units.number(plan.draw_m, "draw")
        brackets = [drawings.Projection(at, low, high, _("expected, the set it will take allowed for"))]
    data = drawings.DrawCurve(
        title=_("Draw curve of bow %(number)s, as planned") % {"number": bow.number},
        description=_("Weight against draw, measured from %(place)s.")
        % {"place": bow.get_draw_from_display()},
        columns=(_("Draw"), _("Weight"), _("From")),
        draw_axis=axis(_("draw"), "draw", units, _DRAW_STEPS.get(units.unit("draw")), show=_figure),
        weight_axis=axis(_("weight"), "force", units, _FORCE_STEPS.get(units.unit("force")), show=_figure),
        lines=[drawings.WeighInLine(_("as planned"), points=points, curve=trace)],
        wanted=wanted,
        projections=brackets,
    )
    return drawings.draw_curve(data)


def _figure(value: float) -> str:
    return f"{round(value, 1):g}"
