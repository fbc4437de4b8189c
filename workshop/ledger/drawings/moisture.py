"""How a piece of wood dried: readings over time against what its places would bring it to."""

from collections.abc import Callable, Sequence
from dataclasses import dataclass
from datetime import date

from .chart import (
    RIGHT,
    Chart,
    KeyEntry,
    hatch_sample,
    letter_sample,
    line_sample,
    mark_sample,
    write_key,
)
from .paper import DASHED, DOTTED, MARKS, Drawing, Paper, fitted, lettered, plain, width_of
from .scales import Axis, date_ticks, number_ticks


@dataclass(frozen=True)
class MoistureReading:
    """One reading; each `how` (by meter, by weighing) gets its own mark, `note` is for the table."""

    on: date
    pct: float
    how: str = ""
    note: str = ""
    struck: bool = False


@dataclass(frozen=True)
class Stay:
    """A time in one place and the moisture it would bring the wood to; `until` None: still there."""

    since: date
    until: date | None
    pct: float
    label: str


@dataclass(frozen=True)
class ReadyBand:
    low_pct: float
    high_pct: float
    label: str


@dataclass(frozen=True)
class DryingForecast:
    """Between `low_pct` and `high_pct` on each date, in order."""

    days: Sequence[tuple[date, float, float]]
    label: str


@dataclass(frozen=True)
class MoistureCurve:
    title: str
    description: str
    columns: tuple[str, str, str]
    y_label: str
    readings: Sequence[MoistureReading] = ()
    stays: Sequence[Stay] = ()
    ready: ReadyBand | None = None
    forecast: DryingForecast | None = None
    today: date | None = None
    today_label: str = ""
    struck_label: str = ""
    show_date: Callable[[date], str] = lambda day: f"{day:%Y-%m}"
    show_day: Callable[[date], str] = date.isoformat
    show_pct: Callable[[float], str] = plain


def moisture_curve(data: MoistureCurve) -> Drawing:
    """Readings as marks joined by a line, the places' equilibrium dashed, the bench-ready band hatched."""
    days = _days(data)
    paper = Paper()
    chart = Chart(
        paper,
        date_ticks(days, data.show_date, show_day=data.show_day),
        number_ticks(_values(data, days), Axis("", 2, data.show_pct), 7),
        y_label=data.y_label,
    )
    key: list[KeyEntry] = []
    _draw_ready(chart, data, key)
    _draw_stays(chart, data, days, key)
    _draw_forecast(chart, data, key)
    _draw_readings(chart, data, key)
    if data.today:
        _draw_today(chart, data)
    bottom = write_key(paper, chart.bottom + 6, key)
    return Drawing(paper.finished(data.title, data.description, bottom), data.columns, _rows(data))


def _days(data: MoistureCurve) -> list[date]:
    """The days that must be on the sheet; a stay reaches in from before and is cut off at the edge."""
    days = [reading.on for reading in data.readings]
    if data.today:
        days.append(data.today)
    if data.forecast:
        days += [day for day, _, _ in data.forecast.days]
    if not data.readings:
        days += [stay.since for stay in data.stays]
    return days


def _values(data: MoistureCurve, days: list[date]) -> list[float]:
    values = [reading.pct for reading in data.readings]
    values += [stay.pct for stay in _shown_stays(data, days)]
    if data.ready:
        values += [data.ready.low_pct, data.ready.high_pct]
    if data.forecast:
        values += [pct for _, low, high in data.forecast.days for pct in (low, high)]
    return values


def _shown_stays(data: MoistureCurve, days: list[date]) -> list[Stay]:
    if not days:
        return []
    first, last = min(days), max(days)
    return [stay for stay in data.stays if stay.since <= last and (stay.until is None or stay.until >= first)]


def _draw_ready(chart: Chart, data: MoistureCurve, key: list[KeyEntry]) -> None:
    if not data.ready:
        return
    low, high = data.ready.low_pct, data.ready.high_pct
    chart.paper.hatch(chart.left, chart.y(high), RIGHT, chart.y(low))
    key.append(KeyEntry(data.ready.label, hatch_sample))


def _draw_stays(chart: Chart, data: MoistureCurve, days: list[date], key: list[KeyEntry]) -> None:
    """One dashed line in steps; with several places each step carries a letter."""
    shown = _shown_stays(data, days)
    trace = []
    for number, stay in enumerate(shown):
        left = max(chart.left, chart.x(stay.since.toordinal()))
        right = min(RIGHT, chart.x(stay.until.toordinal())) if stay.until else RIGHT
        trace += [(left, chart.y(stay.pct)), (right, chart.y(stay.pct))]
        if len(shown) == 1:
            key.append(KeyEntry(stay.label, line_sample("faint", DASHED)))
        else:
            letter = lettered(number)
            chart.paper.text(((left + right) / 2, chart.y(stay.pct) - 5), letter, "faint", "middle")
            key.append(KeyEntry(stay.label, _lettered_line(letter)))
    chart.paper.path(trace, "faint", DASHED)


def _lettered_line(letter: str):
    def draw(paper: Paper, at: tuple[float, float]) -> None:
        line_sample("faint", DASHED)(paper, (at[0], at[1] + 5))
        letter_sample(letter, "faint")(paper, (at[0], at[1] - 4))

    return draw


def _draw_forecast(chart: Chart, data: MoistureCurve, key: list[KeyEntry]) -> None:
    if not data.forecast or not data.forecast.days:
        return
    low = [chart.at(day.toordinal(), pct) for day, pct, _ in data.forecast.days]
    high = [chart.at(day.toordinal(), pct) for day, _, pct in data.forecast.days]
    chart.paper.path(low, "accent", DOTTED)
    chart.paper.path(high, "accent", DOTTED)
    key.append(KeyEntry(data.forecast.label, _two_lines))


def _two_lines(paper: Paper, at: tuple[float, float]) -> None:
    for shift in (-3, 3):
        line_sample("accent", DOTTED)(paper, (at[0], at[1] + shift))


def _draw_readings(chart: Chart, data: MoistureCurve, key: list[KeyEntry]) -> None:
    """Each way of measuring has its mark and line; a struck reading is crossed and joined to nothing."""
    ways = list(dict.fromkeys(reading.how for reading in data.readings if not reading.struck))
    for number, how in enumerate(ways):
        mark = MARKS[number % len(MARKS)]
        counted = sorted((r for r in data.readings if not r.struck and r.how == how), key=lambda r: r.on)
        places = [chart.at(reading.on.toordinal(), reading.pct) for reading in counted]
        chart.paper.path(places, "ink")
        for place in places:
            chart.paper.mark(mark, place)
        if how:
            key.append(KeyEntry(how, line_sample("ink", mark=mark)))
    struck = [reading for reading in data.readings if reading.struck]
    for reading in struck:
        chart.paper.mark("cross", chart.at(reading.on.toordinal(), reading.pct), "faint", 5)
    if struck and data.struck_label:
        key.append(KeyEntry(data.struck_label, mark_sample("cross", "faint")))


def _draw_today(chart: Chart, data: MoistureCurve) -> None:
    place = chart.x(data.today.toordinal())
    chart.upright(data.today.toordinal(), "accent", weight=1)
    words = fitted(data.today_label, 150)
    fits_right = place + width_of(words) + 5 < RIGHT
    at = (place + 5 if fits_right else place - 5, chart.top + 12)
    chart.paper.text(at, words, "accent", "start" if fits_right else "end")


def _rows(data: MoistureCurve) -> tuple[tuple[str, ...], ...]:
    rows = []
    for reading in sorted(data.readings, key=lambda reading: reading.on):
        notes = (reading.how, reading.note, data.struck_label if reading.struck else "")
        words = ", ".join(note for note in notes if note)
        rows.append((data.show_day(reading.on), data.show_pct(reading.pct), words))
    return tuple(rows)
