"""When a piece will be dry enough for the bench, in words, and what a planned move would change.

The arithmetic and its doubts are in `workshop.calc.drying`; here the ledger's entries are handed to it.
"""

import datetime as dt
from collections import defaultdict
from collections.abc import Mapping, Sequence
from dataclasses import dataclass
from statistics import fmean

from django.utils.translation import gettext as _

from workshop.calc import drying as calc
from workshop.calc.errors import CalcError
from workshop.calc.moisture import Band
from workshop.ledger.dates import show_date
from workshop.staves.climate import equilibrium_of, place_moisture_now
from workshop.staves.models import ClimateReading, Place, StaveMove
from workshop.staves.moisture import How, Track

HOW = {How.METER: calc.How.METER, How.WEIGHING: calc.How.WEIGHING, How.OVEN: calc.How.OVEN_DRY}


@dataclass(frozen=True)
class Drying:
    """The forecast and its sentence. `days` is the curve with its band: (day, low, high), in percent."""

    ok: bool
    why: str
    words: str
    help: str = ""
    days: tuple[tuple[dt.date, float, float], ...] = ()


def drying(
    track: Track,
    moves: Sequence[StaveMove],
    air: Mapping[int, Sequence[ClimateReading]],
    band: Band,
    *,
    today: dt.date,
) -> Drying | None:
    """A forecast from the piece's readings and the air of its places; None where there is nothing to forecast.

    `moves` are the standing ones, by day, and after them one only thought of, if any. Readings the meter itself
    cannot vouch for are left out.
    """
    readings = [
        calc.Reading(point.on.toordinal(), point.pct, HOW[point.how]) for point in track.points if point.ok
    ]
    places = [(move.happened_on, move.place) for move in moves]
    if not readings or not places:
        return None
    without = [str(place) for _on, place in places if not _climate_known(air[place.pk])]
    if without:
        words = _("When it will be dry cannot be said: the air of %(place)s has not been read.")
        return Drying(False, "air_unknown", words % {"place": without[0]})
    first = min(reading.day for reading in readings)
    try:
        forecast = calc.forecast(readings, _stays(places, air, first, today), band, today=today.toordinal())
    except CalcError as error:
        return Drying(False, error.code, _("When it will be dry cannot be said from these readings."))
    if forecast.why == "already_there":
        return None
    return Drying(forecast.ok, forecast.why, _words(forecast), _help(forecast), _band_days(forecast, today))


def _climate_known(readings: Sequence[ClimateReading]) -> bool:
    return any(equilibrium_of(reading) is not None for reading in readings)


def _stays(places, air, first_day: float, today: dt.date) -> list[calc.Stay]:
    """The stays in order; of two moves on one day the later one holds, and the first reaches back to the readings."""
    by_day = {on.toordinal(): place for on, place in places}
    days = sorted(by_day)
    stays = [calc.Stay(day, _place(by_day[day], air[by_day[day].pk], today)) for day in days]
    first, second = stays[0], stays[1] if len(stays) > 1 else None
    if first_day < first.from_day and (second is None or first_day < second.from_day):
        stays[0] = calc.Stay(first_day, first.place)
    return stays


def _place(place: Place, readings: Sequence[ClimateReading], today: dt.date) -> calc.Place:
    """A place read in every month of a year has its seasons; another keeps the mean of its last readings."""
    months = defaultdict(list)
    for reading in readings:
        pct = equilibrium_of(reading)
        if pct is not None:
            months[reading.happened_on.month].append(pct)
    if len(months) == 12:
        return calc.Place(str(place), calc.monthly([fmean(months[month]) for month in range(1, 13)]))
    return calc.Place(str(place), calc.steady(place_moisture_now(readings, today).pct))


def _date(day: float) -> str:
    return show_date(dt.date.fromordinal(round(day)))


def _words(forecast: calc.Forecast) -> str:
    if forecast.ok:
        return _("Dry enough about %(likely)s; one chance in ten before %(early)s, one after %(late)s.") % {
            "likely": _date(forecast.likely_day),
            "early": _date(forecast.earliest_day),
            "late": _date(forecast.latest_day),
        }
    nearest = {"pct": forecast.nearest_pct}
    return {
        "no_place_dry_enough": _(
            "It will not get dry enough there: no lower than about %(pct).0f %%. Plan a move."
        ),
        "no_place_damp_enough": _(
            "It will not take up enough there: no more than about %(pct).0f %%. Plan a move."
        ),
        "too_few_readings": _(
            "Two readings on different days, below fibre saturation, are the least to tell when."
        ),
        "rate_not_told": _("When cannot be told yet: its readings fit a quick piece as well as a slow one."),
        "readings_contradict": _(
            "When cannot be told: its readings fit no piece in these places. Wetted, mistyped, or another piece?"
        ),
        "may_not_arrive": _("It may never get dry enough there: more than one chance in ten. Plan a move."),
    }[forecast.why] % nearest


def _help(forecast: calc.Forecast) -> str:
    """The reading that would narrow the date most."""
    if forecast.help is None or forecast.why in ("no_place_dry_enough", "no_place_damp_enough"):
        return ""
    how = {
        calc.How.METER: _("Reading the meter"),
        calc.How.WEIGHING: _("Weighing it"),
        calc.How.OVEN_DRY: _("Drying a slice"),
    }[forecast.help.how]
    return _("%(how)s on %(day)s would tell most.") % {"how": how, "day": _date(forecast.help.day)}


def _band_days(forecast: calc.Forecast, today: dt.date) -> tuple[tuple[dt.date, float, float], ...]:
    """The curve from today to a month past the late end of the date, or for a year; thinned to what can be drawn."""
    curve = forecast.curve
    if curve is None:
        return ()
    begin = today.toordinal()
    end = forecast.latest_day + 30 if forecast.latest_day is not None else begin + 365
    days = [
        (dt.date.fromordinal(round(day)), low, high)
        for day, low, high in zip(curve.days, curve.low_pct, curve.high_pct, strict=True)
        if begin <= day <= end
    ]
    return tuple(days[:: max(1, len(days) // 60)])
