"""The draw curve of one pass or several, in the reader's units."""

from collections import defaultdict
from collections.abc import Mapping, Sequence

import numpy as np
from django.utils.translation import gettext as _

from workshop.bows.weighing.passes import Pass, Weighings
from workshop.calc.projection import Projection
from workshop.ledger import drawings
from workshop.ledger.dates import show_date
from workshop.ledger.drawings import Axis, Drawing
from workshop.ledger.units import UnitsInUse

TRACED = 60  # places along a curve
STEPS = {"in": 2, "cm": 5, "mm": 50, "lb": 5, "kg": 2, "N": 20}


def draw_curve(
    one: Pass,
    units: UnitsInUse,
    *,
    names: Mapping[int, str],
    earlier: Sequence[Pass] = (),
    limit_n: float | None = None,
    expected: Sequence[Projection] = (),
) -> Drawing:
    """This pass in ink, earlier ones in grey, what is wanted, how far it may go, and what is expected.

    `names` are those of the passes in the key, by their weigh-in's pk (`pass_names`).
    """
    place = one.weigh_in.draw_from
    lines = [_line(each, units, place, names, earlier=True) for each in earlier]
    wanted = None
    if one.bow.wanted_n is not None and one.wanted_draw_m is not None:
        words = _("wanted %(weight)s at %(draw)s") % {
            "weight": units.show(one.bow.wanted_n, "force"),
            "draw": units.show(one.wanted_draw_m, "draw"),
        }
        wanted = drawings.Wanted(_draw(one.wanted_draw_m, units), _force(one.bow.wanted_n, units), words)
    limit = None
    if limit_n is not None:
        words = _("limit of pull %(weight)s") % {"weight": units.show(limit_n, "force")}
        limit = drawings.LimitOfPull(_force(limit_n, units), words)
    data = drawings.DrawCurve(
        title=_("Draw curve of bow %(number)s") % {"number": one.bow.number},
        description=_("Weight against draw, measured from %(place)s.")
        % {"place": one.weigh_in.get_draw_from_display()},
        columns=(_("Draw"), _("Weight"), _("From")),
        draw_axis=_axis(_("draw"), "draw", units),
        weight_axis=_axis(_("weight"), "force", units),
        lines=[*(line for line in lines if line.points), _line(one, units, place, names)],
        wanted=wanted,
        limit=limit,
        projections=[_bracket(way, units) for way in expected],
        struck_label=_("struck out"),
    )
    return drawings.draw_curve(data)


def pass_names(known: Weighings) -> dict[int, str]:
    """How each pass is named in a key or a column, by its weigh-in's pk; of those alike, which of them it is."""
    names, alike = {}, defaultdict(list)
    for each in known.passes:
        head = each.weigh_in
        names[head.pk] = f"{show_date(head.happened_on, head.happened_to)}, {head.get_purpose_display()}"
        if each.counts:
            alike[names[head.pk]].append(head.pk)
    for name, pks in alike.items():
        if len(pks) > 1:
            which = _("%(name)s, %(n)s of %(all)s")
            names |= {pk: which % {"name": name, "n": n, "all": len(pks)} for n, pk in enumerate(pks, 1)}
    return names


def way_label(way: Projection) -> str:
    """How an expectation was come by."""
    return method_label(way.method)


def method_label(method: str) -> str:
    return {
        "pounds_an_inch": _("by 2 lb an inch"),
        "share_an_inch": _("by 4 to 6 % an inch"),
        "last_slope": _("by the last slope, a little steeper"),
        "combined": _("by the rules of thumb together"),
        "solved_shape": _("by the curve of such a bow, solved"),
        "solved_bow": _("by this bow, solved"),
        "elastic": _("solved, elastic: without the set still to come"),
        "tempered": _("solved, the set still to come taken off"),
        "solved": _("solved, the set to come taken off, moved by this workshop’s record"),
    }.get(method, method)


def _line(
    one: Pass, units: UnitsInUse, place: str, names: Mapping[int, str], *, earlier: bool = False
) -> drawings.WeighInLine:
    curve, shift, label = one.curve(place), one.shift_to(place), names[one.weigh_in.pk]
    if curve is None:
        struck = [] if earlier or not shift.ok else one.struck
        return drawings.WeighInLine(label, struck=[_at(each, 0.0, units) for each in struck])
    trace = []
    if len(curve.draws_m) > 1:  # one point is no curve, even with the brace
        line = curve.curve
        draws = np.linspace(line.x[0], line.x[-1], TRACED)
        trace = list(zip(_draw(draws, units), _force(line(draws), units), strict=True))
    return drawings.WeighInLine(
        label=label,
        points=[_at(each, shift.metres, units) for each in one.points],
        curve=trace,
        struck=[] if earlier else [_at(each, shift.metres, units) for each in one.struck],
        earlier=earlier,
    )


def _bracket(way: Projection, units: UnitsInUse) -> drawings.Projection:
    words = _("expected %(way)s") % {"way": way_label(way)}
    return drawings.Projection(
        _draw(way.draw_m, units), _force(way.low_n, units), _force(way.high_n, units), words
    )


def _axis(name: str, kind: str, units: UnitsInUse) -> Axis:
    unit = units.unit(kind)
    return Axis(label=f"{name}, {unit}", step=STEPS.get(unit), show=lambda value: f"{round(value, 2):g}")


def _at(point, shift_m: float, units: UnitsInUse) -> tuple[float, float]:
    return _draw(point.draw_m + shift_m, units), _force(point.force_n, units)


def _draw(metres, units: UnitsInUse):
    return units.number(metres, "draw")


def _force(newtons, units: UnitsInUse):
    return units.number(newtons, "force")
