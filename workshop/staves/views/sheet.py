"""The drawings and the tables of a piece's page, in the reader's units."""

import datetime as dt
from dataclasses import dataclass

from django.utils.translation import gettext as _

from workshop.ledger import drawings
from workshop.ledger.dates import show_date
from workshop.ledger.units import UnitsInUse, typed_otherwise
from workshop.staves.models import OvenDryTest
from workshop.staves.models.readings import Face
from workshop.staves.moisture import How
from workshop.staves.selectors.sheet import StaveSheet
from workshop.staves.words import bend_words, correction_words, pct, ring_words

RECENT = 6


def moisture_drawing(sheet: StaveSheet, units: UnitsInUse, today: dt.date) -> drawings.Drawing | None:
    """Moisture over time, with what each place brings it to and the band wanted at the bench."""
    readings = [
        drawings.MoistureReading(point.on, point.pct, point.how.words, "" if point.ok else _("only a hint"))
        for point in sheet.track.points
    ]
    readings += [
        drawings.MoistureReading(reading.happened_on, sheet.track.meters[reading.pk].pct, struck=True)
        for reading in sheet.readings
        if reading.is_struck
    ]
    if not readings:
        return None
    low, high = sheet.band.low_pct, sheet.band.high_pct
    return drawings.moisture_curve(
        drawings.MoistureCurve(
            title=_("Moisture of %(tag)s") % {"tag": sheet.stave.tag},
            description=_("Each reading by its day, with the moisture its places bring it to."),
            columns=(_("When"), _("Moisture"), _("How")),
            y_label=_("moisture, % of the dry wood"),
            readings=readings,
            stays=[
                drawings.Stay(stay.move.happened_on, stay.until, stay.brought.pct, _stay_words(stay))
                for stay in sheet.stays
                if stay.brought
            ],
            ready=drawings.ReadyBand(
                low, high, _("bench-ready, %(low)g to %(high)g %%") % {"low": low, "high": high}
            ),
            forecast=_forecast(sheet),
            today=today,
            today_label=_("today"),
            struck_label=_("struck out"),
            show_date=lambda day: show_date(day, "m"),
            show_day=show_date,
            show_pct=lambda value: f"{value:.4g} %",
        )
    )


def _forecast(sheet: StaveSheet) -> drawings.DryingForecast | None:
    if sheet.drying is None or not sheet.drying.days:
        return None
    return drawings.DryingForecast(sheet.drying.days, _("expected: four chances in five between the two"))


def _stay_words(stay) -> str:
    return _("%(place)s, brings wood to about %(pct).0f %%") % {
        "place": stay.move.place,
        "pct": stay.brought.pct,
    }


def flaw_drawing(sheet: StaveSheet, units: UnitsInUse) -> drawings.Drawing | None:
    """Where the flaws lie, face by face."""
    flaws = [flaw for flaw in sheet.flaws if not flaw.is_struck]
    if not flaws:
        return None
    ends = [flaw.to_m if flaw.to_m is not None else flaw.from_m for flaw in flaws]
    length_m = sheet.stave.length_m or max(ends) * 1.05 or 1.0
    faces = [Face.BACK, Face.BELLY, *(f for f in (Face.LEFT, Face.RIGHT) if any(x.face == f for x in flaws))]
    if any(flaw.face == Face.THROUGH for flaw in flaws):
        faces.append(Face.THROUGH)

    def along(value_m: float) -> float:
        return units.number(value_m, "place")

    return drawings.flaw_map(
        drawings.FlawMap(
            title=_("Flaws of %(tag)s") % {"tag": sheet.stave.tag},
            description=_("Each face as a strip from the butt to the top."),
            columns=(_("Mark"), _("Flaw"), _("Face"), _("From the butt")),
            start=0.0,
            end=along(length_m),
            start_label=_("butt"),
            end_label=_("top"),
            along=drawings.Axis(_("from the butt, %(unit)s") % {"unit": units.unit("place")}),
            faces=[drawings.Face(face.value, str(face.label)) for face in faces],
            place_unknown_label=_("place not known"),
            face_unknown_label=_("face not known"),
            watched_label=_("watched"),
            flaws=[
                drawings.Flaw(
                    ", ".join(filter(None, (str(flaw.get_kind_display()), flaw.size))),
                    at=along(flaw.from_m),
                    to=along(flaw.to_m) if flaw.to_m is not None else None,
                    face=flaw.face,
                    watched=flaw.watched and flaw.settled_at is None,
                )
                for flaw in flaws
            ],
        )
    )


@dataclass(frozen=True)
class Table:
    """One kind of entries: a heading, columns, and rows of (entry, cells)."""

    kind: str
    heading: str
    columns: tuple[str, ...]
    rows: list[tuple[object, tuple[str, ...]]]
    lead: str = ""

    @property
    def recent(self):
        """The latest day first, of one day what was entered last; sizes in the order of their stations, all of them."""
        return self._labelled(self.rows if self.kind == "sizes" else self._by_day()[:RECENT])

    @property
    def older(self):
        return [] if self.kind == "sizes" else self._labelled(self._by_day()[RECENT:])

    def _by_day(self):
        return sorted(self.rows, key=lambda row: (row[0].happened_on, row[0].pk), reverse=True)

    def _labelled(self, rows):
        """Each cell with its column's name, which a phone shows before it."""
        return [(entry, list(zip(self.columns, cells, strict=True))) for entry, cells in rows]

    @property
    def strikable(self) -> bool:
        return any(entry.strikable for entry, _cells in self.rows)


def entry_tables(sheet: StaveSheet, units: UnitsInUse) -> list[Table]:
    """The entries, kind by kind; kinds nobody has written are left out."""
    tables = [
        _meter_table(sheet, units),
        _weighing_table(sheet, units),
        _oven_table(sheet, units),
        _ring_table(sheet, units),
        _size_table(sheet, units),
        _shape_table(sheet, units),
        _bend_table(sheet, units),
        _work_table(sheet, units),
        Table("moves", _("Where it lay"), (_("Place"),), [(m, (str(m.place),)) for m in sheet.moves]),
        Table(
            "states",
            _("States"),
            (_("State"), _("Why")),
            [(s, (s.get_state_display(), s.cause)) for s in sheet.states],
        ),
    ]
    return [table for table in tables if table.rows]


def show(units: UnitsInUse, entry, name: str, kind: str) -> str:
    """A measure in the reader's units, and as it was typed where that reads otherwise."""
    shown = units.show(getattr(entry, name), kind)
    text = typed_otherwise(entry, name, shown)
    return f"{shown} ({text})" if text else shown


def _work_table(sheet: StaveSheet, units: UnitsInUse) -> Table:
    rows = []
    for work in sheet.works:
        _was, length_m = work.changed.get("length_m", (None, None))
        rows.append((work, (work.get_work_display(), units.show(length_m, "length") if length_m else "")))
    return Table("work", _("Work on the piece"), (_("Work"), _("Length then")), rows)


def _meter_table(sheet: StaveSheet, units: UnitsInUse) -> Table:
    rows = []
    for reading in sheet.readings:
        answer = sheet.track.meters[reading.pk]
        meter = ", ".join(filter(None, (str(reading.meter or ""), reading.meter_scale)))
        words = correction_words(reading, answer, units)
        rows.append(
            (reading, (show(units, reading, "reading_pct", "moisture"), pct(answer.pct), words, meter))
        )
    columns = (_("Read"), _("Corrected"), _("How corrected"), _("Meter and scale"))
    return Table("moisture", _("Moisture by meter"), columns, rows)


def _weighing_table(sheet: StaveSheet, units: UnitsInUse) -> Table:
    by_entry = {p.entry.pk: p for p in sheet.track.points if p.how == How.WEIGHING}
    rows = []
    for weighing in sheet.weighings:
        point = by_entry.get(weighing.pk)
        wet = f"{point.pct:.1f} % ± {point.doubt_pct:.1f}" if point else "–"
        series = "" if weighing.is_struck else _series_words(sheet.track.began[weighing.pk])
        rows.append((weighing, (show(units, weighing, "mass_kg", "mass"), wet, series)))
    lead = ""
    if sheet.track.loose_weighings:
        lead = _(
            "Dry a slice and weigh the piece that day, or read the meter on a day it is weighed: then every weight of "
            "the series tells its moisture. Taking off bark or wood starts another series."
        )
    return Table("weighing", _("Weighings"), (_("Weight"), _("Moisture"), _("Series")), rows, lead)


def _series_words(starter) -> str:
    """Since when the weights can be compared with each other."""
    if starter is None:
        return _("the first")
    what = _("slice cut") if isinstance(starter, OvenDryTest) else starter.get_work_display()
    return _("anew since %(what)s, %(day)s") % {
        "what": what,
        "day": show_date(starter.happened_on, starter.happened_to),
    }


def _oven_table(sheet: StaveSheet, units: UnitsInUse) -> Table:
    pcts = {p.entry.pk: p.pct for p in sheet.track.points if p.how == How.OVEN}
    rows = [
        (
            test,
            (
                show(units, test, "wet_kg", "slice_mass"),
                show(units, test, "dry_kg", "slice_mass"),
                pct(pcts[test.pk]) if test.pk in pcts else "–",
                show(units, test, "piece_kg", "mass") if test.piece_kg else "–",
            ),
        )
        for test in sheet.oven_tests
    ]
    columns = (_("As cut"), _("Oven-dry"), _("Moisture"), _("The piece itself"))
    return Table("oven-dry", _("Oven-dried slices"), columns, rows)


def _ring_table(sheet: StaveSheet, units: UnitsInUse) -> Table:
    rows = []
    for count, answer in sheet.rings:
        said = _("%(n)s over %(d)s") % {"n": count.rings, "d": show(units, count, "distance_m", "depth")}
        late = f"{count.latewood_pct:g} %" if count.latewood_pct is not None else "–"
        if answer is None:
            rows.append((count, (count.get_end_display(), said, "–", "–", late, "")))
            continue
        each = f"{answer.rings_per_inch:.1f}", units.show(answer.mean_width_m, "ring")
        rows.append((count, (count.get_end_display(), said, *each, late, ring_words(answer.meaning))))
    columns = (_("End"), _("Counted"), _("An inch"), _("Mean width"), _("Late wood"), _("What it means"))
    return Table("rings", _("Rings"), columns, rows)


def _size_table(sheet: StaveSheet, units: UnitsInUse) -> Table:
    kinds = (("station_m", "place"), ("width_m", "depth"), ("depth_m", "depth"))
    rows = [(size, tuple(show(units, size, name, kind) for name, kind in kinds)) for size in sheet.sizes]
    return Table("sizes", _("Sizes"), (_("From the butt"), _("Width"), _("Depth")), rows)


def _shape_table(sheet: StaveSheet, units: UnitsInUse) -> Table:
    rows = []
    for shape in sheet.shapes:
        bend = units.show(shape.natural_bend_m, "offset")
        if shape.natural_bend_m:
            bend += " " + (_("reflex") if shape.natural_bend_m > 0 else _("deflex"))
        twist = f"{shape.twist_deg:g}°" if shape.twist_deg is not None else "–"
        cells = (bend, units.show(shape.sideways_m, "offset"), twist, units.show(shape.sapwood_m, "depth"))
        rows.append((shape, cells))
    columns = (_("Bend"), _("Sideways"), _("Twist"), _("Sapwood"))
    return Table("shape", _("Bend, twist, sapwood"), columns, rows)


def _bend_table(sheet: StaveSheet, units: UnitsInUse) -> Table:
    rows = []
    for test, answer in sheet.bends:
        stiff = "–"
        if answer:
            doubt = 100 * answer.doubt_pa / answer.stiffness_pa
            stiff = f"{units.show(answer.stiffness_pa, 'modulus')} ± {doubt:.0f} %"
        wet = f"{test.moisture_pct:g} %" if test.moisture_pct is not None else "–"
        words = bend_words(answer.why) if answer else ""
        rows.append(
            (
                test,
                (stiff, units.show(test.load_n, "force"), units.show(test.deflection_m, "depth"), wet, words),
            )
        )
    columns = (_("Stiffness"), _("Load"), _("Sank by"), _("Moisture"), _("Against it"))
    return Table("bend-test", _("Bend tests"), columns, rows)
