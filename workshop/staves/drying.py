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
    thickness_m: float | None = None,
) -> Drying | None:
    """A forecast from the piece's readings and the air of its places; None where there is nothing to forecast.

    `moves` are the standing ones, by day, and after them one only thought of, if any. Readings the meter itself
    cannot vouch for are left out, and so is the time before it last left a place whose air nobody read.
    """
    if not track.points:
        return None
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
    if forecast.why == "already_there":
        return None
    words = _words(forecast, today, thickness_known=thickness_m is not None)
    return Drying(forecast.ok, forecast.why, words, _help(forecast), _band_days(forecast, today))


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


def _words(forecast: calc.Forecast, today: dt.date, *, thickness_known: bool) -> str:
    if forecast.ok:
        said = [_when(forecast, today)]
        if forecast.why == "usual_rate":
            said.append(
                _("Its readings do not tell yet how fast it goes: this stands on the usual rate.")
                if thickness_known
                else _(
                    "Its readings do not tell yet how fast it goes: this stands on the usual rate, for a piece of "
                    "any thickness; its sizes written down would narrow it."
                )
            )
        return " ".join(said)
    if forecast.why == "beyond_horizon":
        return _beyond_horizon(forecast, today)
    return {
        "no_place_dry_enough": _(
            "It will not get dry enough there: no lower than about %(pct).0f %%. Plan a move."
        ),
        "no_place_damp_enough": _(
            "It will not take up enough there: no more than about %(pct).0f %%. Plan a move."
        ),
        "too_few_readings": _(
            "When cannot be told while it is wetter than fibre saturation: one reading below that is the least."
        ),
        "readings_contradict": _(
            "When cannot be told: its readings fit no piece in these places. Wetted, mistyped, or another piece?"
        ),
        "may_not_arrive": _("It may never get dry enough there: more than one chance in ten. Plan a move.")
        if forecast.falling
        else _("It may never take up enough there: more than one chance in ten. Plan a move."),
    }[forecast.why] % {"pct": forecast.nearest_pct}


def _when(forecast: calc.Forecast, today: dt.date) -> str:
    days = {"likely": _date(forecast.likely_day), "early": _date(forecast.earliest_day)}
    if forecast.latest_day is None:
        words = (
            _(
                "Dry enough about %(likely)s; one chance in ten before %(early)s, more than one after %(late)s."
            )
            if forecast.falling
            else _(
                "Damp enough about %(likely)s; one chance in ten before %(early)s, more than one after %(late)s."
            )
        )
        return words % {**days, "late": _horizon(today)}
    words = (
        _("Dry enough about %(likely)s; one chance in ten before %(early)s, one after %(late)s.")
        if forecast.falling
        else _("Damp enough about %(likely)s; one chance in ten before %(early)s, one after %(late)s.")
    )
    return words % {**days, "late": _date(forecast.latest_day)}


def _beyond_horizon(forecast: calc.Forecast, today: dt.date) -> str:
    """It gets there, but later than anybody plans for."""
    words = (
        _("It will get dry enough there, but slowly: more likely than not only after %(late)s.")
        if forecast.falling
        else _("It will take up enough there, but slowly: more likely than not only after %(late)s.")
    ) % {"late": _horizon(today)}
    if forecast.earliest_day is None:
        return words
    return f"{words} {_('One chance in ten before %(early)s.') % {'early': _date(forecast.earliest_day)}}"


def _horizon(today: dt.date) -> str:
    return _date(today.toordinal() + calc.HORIZON_DAYS)


def _help(forecast: calc.Forecast) -> str:
    """The reading that would narrow the date most."""
    if forecast.help is None:
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
