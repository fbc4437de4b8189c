"""When a piece will be dry enough for the bench, in words, and what a planned move would change.

The arithmetic and its doubts are in `workshop.calc.drying`; here the ledger's entries are handed to it.
"""

import datetime as dt
from collections.abc import Mapping, Sequence
from dataclasses import dataclass

from django.utils.translation import gettext as _

from workshop.calc import drying as calc
from workshop.calc.errors import CalcError
from workshop.calc.moisture import Band
from workshop.staves.climate import equilibrium_of, place_moisture_now, place_year
from workshop.staves.dryingwords import drying_words, help_words
from workshop.staves.models import ClimateReading, Place, StaveMove
from workshop.staves.moisture import How, Track
from workshop.staves.words import reckoned_words

HOW = {How.METER: calc.How.METER, How.WEIGHING: calc.How.WEIGHING, How.OVEN: calc.How.OVEN_DRY}


@dataclass(frozen=True)
class Drying:
    """The forecast and its sentence. `days` is the curve with its band: (day, low, high), in percent."""

    ok: bool
    why: str
    words: str
    help: str = ""
    air: str = ""  # what it is reckoned with in the last of its places
    days: tuple[tuple[dt.date, float, float], ...] = ()


def drying(
    track: Track,
    moves: Sequence[StaveMove],
    air: Mapping[int, Sequence[ClimateReading]],
    band: Band,
    *,
    today: dt.date,
    thickness_m: float | None = None,
    planned: bool = False,
) -> Drying | None:
    """A forecast from the piece's readings and the air of its places; None where there is nothing to forecast.

    `moves` are the standing ones, by day, and after them one only thought of, if `planned`: that is answered, whatever
    there is to say. Readings the meter itself
    cannot vouch for are left out, and so is the time before it last left a place whose air nobody read.
    """
    if not track.points:
        words = _("When it will be dry cannot be said: nothing says how wet it is yet.")
        return Drying(False, "no_reading", words) if planned else None
    readings = [
        calc.Reading(point.on.toordinal(), point.pct, HOW[point.how]) for point in track.points if point.ok
    ]
    if not readings:
        words = _("When it will be dry cannot be said: none of its readings can be relied on.")
        return Drying(False, "no_sound_reading", words, _("Drying a slice would tell most."))
    places = _by_day(moves)
    if not places:
        return Drying(
            False, "no_place", _("When it will be dry cannot be said: where it lies is not written down.")
        )
    places, readings, unread = _since_air_was_read(places, readings, air)
    if not readings:
        words = _("When it will be dry cannot be said: the air of %(place)s has not been read.")
        return Drying(False, "air_unknown", words % {"place": unread}, _("Reading its air would tell most."))
    first = min(reading.day for reading in readings)
    try:
        forecast = calc.forecast(
            readings,
            _stays(places, air, first, today),
            band,
            today=today.toordinal(),
            thickness_m=thickness_m,
        )
    except CalcError as error:
        return Drying(False, error.code, _("When it will be dry cannot be said from these readings."))
    words = drying_words(forecast, today, thickness_known=thickness_m is not None, planned=planned)
    last = air[places[-1][1].pk]
    reckoned = reckoned_words(place_moisture_now(last, today), place_year(last))
    return Drying(
        forecast.ok, forecast.why, words, help_words(forecast), reckoned, _band_days(forecast, today)
    )


Days = list[tuple[int, Place]]


def _by_day(moves: Sequence[StaveMove]) -> Days:
    """Where it lay from which day on; of two moves on one day the later one holds."""
    return sorted({move.happened_on.toordinal(): move.place for move in moves}.items())


def _since_air_was_read(
    places: Days, readings: list[calc.Reading], air
) -> tuple[Days, list[calc.Reading], Place | None]:
    """The places after the last whose air is unknown, the readings taken there, and that last place."""
    unread = [n for n, (_day, place) in enumerate(places) if not _climate_known(air[place.pk])]
    if not unread:
        return places, readings, None
    after = places[unread[-1] + 1 :]
    told = [reading for reading in readings if after and reading.day >= after[0][0]]
    return after, told, places[unread[-1]][1]


def _climate_known(readings: Sequence[ClimateReading]) -> bool:
    return any(equilibrium_of(reading) is not None for reading in readings)


def _stays(places: Days, air, first_day: float, today: dt.date) -> list[calc.Stay]:
    """The stays in order; the first reaches back to the readings."""
    stays = [calc.Stay(day, _place(place, air[place.pk], today)) for day, place in places]
    first, second = stays[0], stays[1] if len(stays) > 1 else None
    if first_day < first.from_day and (second is None or first_day < second.from_day):
        stays[0] = calc.Stay(first_day, first.place)
    return stays


def _place(place: Place, readings: Sequence[ClimateReading], today: dt.date) -> calc.Place:
    """A place read in every month of a year has its seasons; another keeps the mean of its last readings."""
    if year := place_year(readings):
        return calc.Place(str(place), calc.monthly(year.months_pct))
    return calc.Place(str(place), calc.steady(place_moisture_now(readings, today).pct))


def _band_days(forecast: calc.Forecast, today: dt.date) -> tuple[tuple[dt.date, float, float], ...]:
    """The curve from today to a month past the late end of the date, or for a year; thinned to what can be drawn."""
    curve = forecast.curve
    if curve is None:
        return ()
    begin = today.toordinal()
    ends = [forecast.latest_day, forecast.past and forecast.past.day]
    end = max(filter(None, ends)) + 30 if forecast.latest_day is not None else begin + 365
    days = [
        (dt.date.fromordinal(round(day)), low, high)
        for day, low, high in zip(curve.days, curve.low_pct, curve.high_pct, strict=True)
        if begin <= day <= end
    ]
    return tuple(days[:: max(1, len(days) // 60)])
