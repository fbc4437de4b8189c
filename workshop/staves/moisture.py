"""From raw readings to how wet a piece is: the meter corrected, the weighings given their zero.

No queries here: what is needed is handed in. Entries are taken by the day they happened on, and within a day in
the order they were written.
"""

import datetime as dt
from collections.abc import Iterable, Sequence
from dataclasses import dataclass
from enum import StrEnum

from django.utils.translation import gettext as _

from workshop.calc import meter
from workshop.calc.errors import CalcError
from workshop.calc.moisture import KnownMoisture, calibrate_weighings, moisture_pct
from workshop.staves.models import MoistureReading, OvenDryTest, StaveWork, Timber, Weighing

UNKNOWN_SCALE = "unknown"
METER_DOUBT_PCT = meter.DOUBT_PCT


class How(StrEnum):
    """How a moisture was found, least trusted first."""

    METER = "meter"
    WEIGHING = "weighing"
    OVEN = "oven"

    @property
    def words(self) -> str:
        return {
            How.METER: _("by meter"),
            How.WEIGHING: _("by weighing"),
            How.OVEN: _("by an oven-dried slice"),
        }[self]


@dataclass(frozen=True)
class MeterAnswer:
    """A meter reading corrected as far as can be. `corrected` is None where the arithmetic refuses it."""

    pct: float
    corrected: meter.Corrected | None
    temperature_known: bool

    @property
    def ok(self) -> bool:
        return self.corrected is not None and self.corrected.ok


@dataclass(frozen=True)
class Point:
    """The moisture of a piece on a day."""

    entry: MoistureReading | Weighing | OvenDryTest
    on: dt.date
    pct: float
    doubt_pct: float
    how: How
    ok: bool
    why: str = ""


@dataclass(frozen=True)
class Track:
    """All moistures of one piece, oldest first; of one day the most trusted last."""

    points: tuple[Point, ...] = ()
    meters: dict[int, MeterAnswer] | None = None
    loose_weighings: tuple[Weighing, ...] = ()  # in the series that runs now, and without a zero
    began: dict[int, StaveWork | OvenDryTest | None] | None = None  # what began each weighing's series

    @property
    def latest(self) -> Point | None:
        return self.points[-1] if self.points else None


def scale_of(words: str, timber: Timber) -> str:
    """The scale a meter was set to, out of the maker's own words. Not named, it is not guessed.

    A meter set to the timber itself has allowed for it already.
    """
    said = words.casefold()
    if not said.strip():
        return UNKNOWN_SCALE
    if "douglas" in said:
        return meter.SCALE
    return timber.code if timber.code and timber.name.casefold() in said else said


def meter_answer(reading: MoistureReading, timber: Timber) -> MeterAnswer:
    """What a meter reading is worth. Without a wood temperature none is corrected for."""
    known = reading.wood_c is not None
    try:
        corrected = meter.corrected(
            reading.reading_pct,
            reading.wood_c if known else reading.calibrated_at_c,
            timber_code=timber.code,
            scale=scale_of(reading.meter_scale, timber),
            calibrated_at_c=reading.calibrated_at_c,
        )
    except CalcError:
        return MeterAnswer(reading.reading_pct, None, known)
    return MeterAnswer(corrected.moisture_pct, corrected, known)


def track(
    timber: Timber,
    readings: Iterable[MoistureReading],
    weighings: Iterable[Weighing],
    tests: Iterable[OvenDryTest],
    works: Iterable[StaveWork],
) -> Track:
    """Every moisture known of a piece, out of its entries; struck ones are corrected too, but do not count."""
    readings = list(readings)
    meters = {reading.pk: meter_answer(reading, timber) for reading in readings}
    readings, weighings, tests, works = (
        [entry for entry in entries if not entry.is_struck] for entries in (readings, weighings, tests, works)
    )
    points = [_meter_point(reading, meters[reading.pk]) for reading in readings]
    points += [
        Point(t, t.happened_on, moisture_pct(t.wet_kg, t.dry_kg), 0.5, How.OVEN, ok=True) for t in tests
    ]
    loose: list[Weighing] = []
    began = {}
    runs = _series(weighings, tests, works)
    enders = [starter for starter, _series in runs[1:]] + [None]
    for (starter, series), ender in zip(runs, enders, strict=True):
        began |= {weighing.pk: starter for weighing in series}
        weighed, loose = _weighed(starter, series, ender, tests, points)
        points += weighed
    trusted = list(How)
    points.sort(key=lambda p: (p.on, trusted.index(p.how), p.entry.pk))
    return Track(tuple(points), meters, tuple(loose), began)


def _meter_point(reading: MoistureReading, answer: MeterAnswer) -> Point:
    why = answer.corrected.why if answer.corrected else "beyond_meter"
    return Point(reading, reading.happened_on, answer.pct, METER_DOUBT_PCT, How.METER, answer.ok, why)


def _series(weighings, tests, works) -> list[tuple[object, list[Weighing]]]:
    """The weighings in runs between which no wood, bark or slice came off, each with what began it."""
    breaks = [work for work in works if work.starts_a_series] + list(tests)
    events = sorted([*weighings, *breaks], key=lambda entry: (entry.happened_on, entry.entered_at))
    runs: list[tuple[object, list[Weighing]]] = [(None, [])]
    for event in events:
        if isinstance(event, Weighing):
            runs[-1][1].append(event)
        else:
            runs.append((event, []))
    return runs


def _weighed(starter, series, ender, tests, points: Sequence[Point]) -> tuple[list[Point], list[Weighing]]:
    """The moistures of one run of weighings; without anything to give them a zero, the weighings themselves.

    A zero comes from the slice that began the run, with the piece weighed after it; from the slice that ended it, with
    the piece and the slice weighed together (the sawdust is too little to matter); or from a slice dried on a day the
    piece was weighed. Failing those, from the meter read on a day the piece was weighed.
    """
    if not series:
        return [], []
    known = []
    for slice_cut, with_slice in ((starter, False), (ender, True)):
        if isinstance(slice_cut, OvenDryTest) and slice_cut.piece_kg:
            mass_kg = slice_cut.piece_kg + (slice_cut.wet_kg if with_slice else 0)
            known.append(KnownMoisture(mass_kg, moisture_pct(slice_cut.wet_kg, slice_cut.dry_kg)))
    known += [
        KnownMoisture(weighing.mass_kg, moisture_pct(test.wet_kg, test.dry_kg))
        for weighing in series
        for test in tests
        if test.happened_on == weighing.happened_on and not (test.piece_kg and test in (starter, ender))
    ]
    known = known or [
        KnownMoisture(weighing.mass_kg, point.pct, METER_DOUBT_PCT)
        for weighing in series
        for point in points
        if point.how == How.METER and point.ok and point.on == weighing.happened_on
    ]
    if not known:
        return [], list(series)
    answer = calibrate_weighings([weighing.mass_kg for weighing in series], known)
    return [
        Point(weighing, weighing.happened_on, pct, doubt, How.WEIGHING, answer.ok, answer.why)
        for weighing, pct, doubt in zip(series, answer.moistures_pct, answer.doubts_pct, strict=True)
        if pct is not None
    ], []
