"""The draw-curve sheet of the last full series."""

from itertools import pairwise

import numpy as np
from django.urls import reverse
from django.utils.translation import gettext as _

from workshop.bows.models import Bow
from workshop.bows.models.weighing import Purpose
from workshop.bows.weighing.passes import Pass, Weighings
from workshop.bows.weighing.picture import draw_curve, pass_names
from workshop.bows.weighing.selectors import weighings_of
from workshop.calc.drawcurve import end_slope
from workshop.documents.desk import (
    Desk,
    Draft,
    Remark,
    at_draw,
    day,
    joined,
    measured_from,
    remarks_on_code,
    remarks_on_letters,
)
from workshop.documents.gather import bows
from workshop.documents.pdf.chart import Axis, Tick
from workshop.documents.pdf.draw_curve_sheet import DrawCurveSheet, Weighed
from workshop.units import to_si

LEAST_POINTS = 3  # two points are a line, no curve
TRACED = 60
STEPS = {"in": 2, "cm": 5, "lb": 10, "kg": 5}


def found():
    return bows.found()


def draft(bow: Bow, desk: Desk) -> Draft:
    known = weighings_of(bow)
    series = last_series(known)
    if series is None:
        reason = _("A draw curve comes from a full series or a final weigh-in of at least %(n)s draws. Weigh the bow "
                   "from a little past the brace to its full draw.") % {"n": LEAST_POINTS}  # fmt: skip
        url = reverse("weigh-in-add", args=[bow.pk])
        return Draft(refused=(Remark(_("No full series"), reason, url, _("Weigh it")),))
    facts = _facts(bow, series, known, desk)
    return Draft(
        facts=facts,
        figure=facts.weight,
        about=at_draw(facts.draw, facts.measured_from, facts.date),
        remarks=(*_remarks(series, known), *remarks_on_code(desk), *remarks_on_letters(facts)),
        drawing=draw_curve(series, desk.units, names=pass_names(known)),
    )


def last_series(known: Weighings) -> Pass | None:
    """The last series or final weigh-in with enough draws, on no long string."""
    return next(
        (
            one
            for one in reversed(known.passes)
            if one.counts
            and not one.is_long
            and one.weigh_in.purpose in (Purpose.SERIES, Purpose.FINAL)
            and len(one.points) >= LEAST_POINTS
        ),
        None,
    )


def _facts(bow: Bow, one: Pass, known: Weighings, desk: Desk) -> DrawCurveSheet:
    head, energy = one.weigh_in, one.energy
    curve = one.curve()
    line = tuple(_traced(curve)) if curve is not None else ()
    slope = end_slope(curve).newton_per_m if curve is not None else None
    draws = [point.draw_m for point in one.points] + [draw for draw, _force in line]
    return DrawCurveSheet(
        workshop=desk.workshop,
        number=bow.number,
        date=day(head),
        weight=desk.show(one.furthest.force_n, "force"),
        draw=desk.show(one.furthest.draw_m, "draw"),
        measured_from=measured_from(head.get_draw_from_display()),
        points=tuple(_points(one, desk)),
        across=_axis(_("draw"), "draw", min(draws), max(draws), desk),
        up=_axis(_("weight"), "force", 0.0, max(point.force_n for point in one.points), desk),
        line=line,
        timber=bows.timber_of(bow),
        length=bows.length_of(bow, desk),
        brace_height=desk.show(head.brace_m, "brace"),
        string=head.bowstring or bow.bowstring,
        energy=desk.show(energy.curve_j, "energy") if energy and energy.ok else "",
        slope=desk.show(slope, "slope"),
        how=tuple(_how(one, known, desk)),
        code=desk.code("bow", bow.number),
        demo=desk.demo,
    )


def _traced(curve):
    """The curve from brace, or from its first draw, in small steps."""
    line = curve.curve
    for draw in np.linspace(line.x[0], line.x[-1], TRACED):
        yield round(float(draw), 6), round(float(line(draw)), 4)


def _points(one: Pass, desk: Desk):
    rises = [b.force_n - a.force_n for a, b in pairwise(one.points)]
    for point, rise in zip(one.points, [None, *rises], strict=True):
        yield Weighed(
            draw=desk.show(point.draw_m, "draw"),
            weight=desk.show_column(point.force_n, "force"),
            gain=_gain(rise, desk),
            draw_m=point.draw_m,
            force_n=point.force_n,
        )


def _gain(rise_n: float | None, desk: Desk) -> str:
    if rise_n is None:
        return ""
    shown = desk.show_column(abs(rise_n), "force")
    return shown if rise_n >= 0 else _("%(less)s less") % {"less": shown}


def _axis(name: str, kind: str, low_si: float, high_si: float, desk: Desk) -> Axis:
    """An axis in whole steps of the workshop's unit, from the step below the least to the step above the most."""
    unit = desk.units.unit(kind)
    step = STEPS[unit]
    low, high = (desk.units.number(value, kind) / step for value in (low_si, high_si))
    first, last = int(np.floor(low + 1e-6)), max(int(np.ceil(high - 1e-6)), int(np.floor(low)) + 1)
    ticks = (Tick(at=to_si(n * step, unit, kind), said=f"{n * step:g}") for n in range(first, last + 1))
    return Axis(name=f"{name}, {unit}", ticks=tuple(ticks))


def _how(one: Pass, known: Weighings, desk: Desk):
    """How it was measured, a line each; only what was written down."""
    head = one.weigh_in
    yield _("%(purpose)s, at %(strung)s") % {
        "purpose": head.get_purpose_display().capitalize(),
        "strung": head.get_strung_display(),
    }
    yield _("Draw %(from)s") % {"from": measured_from(head.get_draw_from_display())}
    if head.scale:
        yield _("Scale: %(scale)s") % {"scale": head.scale}
    if head.moisture_pct is not None:
        yield _("Moisture of the bow: %(pct)s") % {"pct": desk.show(head.moisture_pct, "moisture")}
    air = joined(desk.show(head.temperature_c, "temperature"), desk.show(head.humidity_pct, "humidity"))
    if air:
        yield _("Air: %(air)s") % {"air": air}
    yield _("Weighed by %(who)s") % {"who": head.entered_by.name}
    if works := known.work_since(head):
        yield _("Worked on since: %(work)s. It weighs otherwise now") % {"work": _told(works)}


def _told(works) -> str:
    return joined(*(f"{work} ({day(work)})" for work in works), by="; ")


def _remarks(one: Pass, known: Weighings):
    works = known.work_since(one.weigh_in)
    if works:
        reason = _("Since that day: %(work)s. The sheet tells how the bow drew then.")
        yield Remark(_("Work done since"), reason % {"work": _told(works)})
    if one.energy is None or not one.energy.ok:
        missing = _("grip depth") if one.weigh_in.brace_m else _("brace height")
        reason = _("The %(missing)s was not written down, so where the string stood is not known and the sheet leaves "
                   "the energy out.") % {"missing": missing}  # fmt: skip
        yield Remark(_("No stored energy"), reason)
