"""The drawings of a bow's page, in the reader's units."""

from collections.abc import Sequence
from itertools import groupby

from django.utils.translation import gettext as _

from workshop.bows.grip import grip_of
from workshop.bows.models import BowFlaw, Dimension
from workshop.bows.models.readings import BowFace, Limb
from workshop.bows.selectors.glance import Glance, standing
from workshop.bows.selectors.sheet import BowSheet
from workshop.bows.sets import FINE_SET_M, USUAL_SET_M, SetPoint
from workshop.bows.weighing import picture
from workshop.ledger import drawings
from workshop.ledger.dates import show_date
from workshop.ledger.drawings import Axis, Drawing
from workshop.ledger.units import UnitsInUse
from workshop.units import show

_SET_STEPS = {"in": 0.25, "mm": 5}
_DRAW_STEPS = {"in": 1, "cm": 2}
_PLACE_STEPS = {"in": 6, "mm": 100}


def axis(words: str, kind: str, units: UnitsInUse, step: float | None = None, **more) -> Axis:
    """An axis in the reader's unit, its figures without the unit."""
    unit = units.unit(kind)
    return Axis(_("%(what)s, %(unit)s") % {"what": words, "unit": unit}, step, **more)


def weight_drawing(seen: Glance, units: UnitsInUse) -> Drawing | None:
    """The draw curve of the last weigh-in at the string, the one before it in grey."""
    if seen.weight is None:
        return None
    one = seen.weighings.of(seen.weight.weigh_in)
    before = seen.weighings.before(one)
    limit = seen.limit_n if seen.bow.is_on_bench else None
    names = picture.pass_names(seen.weighings)
    return picture.draw_curve(one, units, names=names, earlier=[before] if before else [], limit_n=limit)


def set_drawing(seen: Glance, units: UnitsInUse) -> Drawing | None:
    """Set over time, the greater of the two limbs, against the furthest draw reached by then."""
    known = [point for point in seen.sets if point.set_m is not None]
    if len(known) < 2:
        return None
    days = [
        list(day) for _key, day in groupby(known, key=lambda point: (point.reading.happened_on, point.begins))
    ]
    unit = units.unit("offset")

    def level(value_m: float) -> float:
        return units.number(value_m, "offset")

    return drawings.set_history(
        drawings.SetHistory(
            title=_("Set of bow %(number)s") % {"number": seen.bow.number},
            description=_("Set at each reading, and the furthest draw reached by then."),
            columns=(_("When"), _("Furthest draw"), _("At once"), _("Rested"), _("Zero")),
            set_axis=axis(_("set"), "offset", units, _SET_STEPS.get(unit)),
            draw_axis=axis(_("furthest draw"), "draw", units, _DRAW_STEPS.get(units.unit("draw"))),
            at_once_label=_("at once"),
            rested_label=_("rested"),
            new_zero_label=_("new zero"),
            readings=[_day_of_sets(day, units) for day in days],
            guides=[
                drawings.Guide(level(FINE_SET_M), _("below: fine work (common practice)")),
                drawings.Guide(level(USUAL_SET_M), _("above: more than usual")),
            ],
        )
    )


def _day_of_sets(day: Sequence[SetPoint], units: UnitsInUse) -> drawings.SetReading:
    def greatest(rested: bool) -> float | None:
        sets = [point.set_m for point in day if point.reading.rested is rested]
        return units.number(max(sets), "offset") if sets else None

    first, furthest = day[0].reading, [point.furthest_m for point in day if point.furthest_m is not None]
    return drawings.SetReading(
        when=show_date(first.happened_on, first.happened_to),
        at_once=greatest(False),
        rested=greatest(True),
        furthest_draw=units.number(max(furthest), "draw") if furthest else None,
        new_zero=any(point.begins for point in day),
    )


def limb_drawing(sheet: BowSheet, units: UnitsInUse) -> Drawing | None:
    """Both limbs from the back and from the side: as measured, or as planned while nothing was measured."""
    known = sheet.dimensions or sheet.planned
    if not known:
        return None
    bow = sheet.bow
    title = (
        _("Limbs of bow %(number)s, as measured")
        if sheet.dimensions
        else _("Limbs of bow %(number)s, as planned")
    )
    thin = units.unit("depth")
    flaws = [
        flaw for flaw in standing(bow.bowflaws.all()) if flaw.at_m is not None and flaw.settled_at is None
    ]
    return drawings.limb_outline(
        drawings.LimbOutline(
            title=title % {"number": bow.number},
            description=_("Width from the back and depth from the side, at stations from the middle mark."),
            columns=(_("Limb"), _("From the middle"), _("Width"), _("Depth")),
            limb_a=_limb(known, "A", sheet.glance.upper, units),
            limb_b=_limb(known, "B", sheet.glance.upper, units),
            along=axis(_("from the middle"), "place", units, _PLACE_STEPS.get(units.unit("place"))),
            plan_label=_("width, seen from the back"),
            profile_label=_("depth, the back above"),
            middle_label=_("middle mark"),
            stretch_label=lambda n: _("widths and depths × %(n)s") % {"n": n},
            grip=_grip(sheet, units),
            grip_label=_("grip"),
            flaws=[drawings.Place(_along(flaw, units), str(flaw.get_kind_display())) for flaw in flaws],
            show=lambda value: show(_si(value, units), "depth", thin, with_unit=False) if value > 0 else "0",
        )
    )


def _si(value: float, units: UnitsInUse) -> float:
    """Widths are drawn in the unit of lengths, so that both are to scale; back to metres."""
    return value / units.number(1.0, "place")


def _limb(known: Sequence[Dimension], limb: str, upper: str, units: UnitsInUse) -> drawings.LimbStations:
    label = str(Limb(limb).label)
    if upper:
        label += ", " + (_("upper") if limb == upper else _("lower"))
    number = units.number
    stations = [
        drawings.Station(
            number(each.station_m, "place"), number(each.width_m, "place") / 2, number(each.depth_m, "place")
        )
        for each in known
        if each.limb == limb
    ]
    return drawings.LimbStations(label, stations)


def _grip(sheet: BowSheet, units: UnitsInUse) -> tuple[float, float] | None:
    """The ends of the grip; above the middle is toward the upper limb, toward A while that is not decided."""
    grip = grip_of(sheet.bow)
    if not grip.written:
        return None
    side = -1 if sheet.glance.upper == "B" else 1
    return units.number(side * grip.above_m, "place"), units.number(-side * grip.below_m, "place")


def _along(flaw: BowFlaw, units: UnitsInUse) -> float:
    """Toward limb A above nought; a flaw of both limbs or the grip is drawn on A's side."""
    return units.number(-flaw.at_m if flaw.limb == Limb.B else flaw.at_m, "place")


def flaw_drawing(sheet: BowSheet, units: UnitsInUse) -> Drawing | None:
    """Where the flaws lie, face by face, counted from the middle mark."""
    flaws = standing(sheet.bow.bowflaws.all())
    if not flaws:
        return None
    places = [flaw.at_m or 0.0 for flaw in flaws]
    half = units.number(max((sheet.bow.length_m or 0.0) / 2, *places, 0.3), "place")
    faces = [
        BowFace.BACK,
        BowFace.BELLY,
        *(f for f in (BowFace.SIDE, BowFace.THROUGH) if any(x.face == f for x in flaws)),
    ]
    return drawings.flaw_map(
        drawings.FlawMap(
            title=_("Flaws of bow %(number)s") % {"number": sheet.bow.number},
            description=_("Each face as a strip, limb A to the left, limb B to the right of the middle mark."),
            columns=(_("Mark"), _("Flaw"), _("Face"), _("From the middle")),
            start=-half,
            end=half,
            start_label=_("limb A"),
            end_label=_("limb B"),
            along=axis(
                _("from the middle"), "place", units, _PLACE_STEPS.get(units.unit("place")),
                show=lambda value: drawings.plain(abs(value)),
            ),
            faces=[drawings.Face(face.value, str(face.label)) for face in faces],
            place_unknown_label=_("place not known"),
            face_unknown_label=_("face not known"),
            watched_label=_("watched"),
            flaws=[
                drawings.Flaw(
                    ", ".join(filter(None, (str(flaw), flaw.size))),
                    at=None if flaw.at_m is None else -_along(flaw, units),
                    face=flaw.face,
                    watched=flaw.watched and flaw.settled_at is None,
                )
                for flaw in flaws
            ],
        )
    )  # fmt: skip
