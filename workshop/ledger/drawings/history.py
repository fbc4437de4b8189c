"""Set over time, with the furthest draw the bow had seen under it."""

from collections.abc import Sequence
from dataclasses import dataclass

from .chart import Chart, KeyEntry, line_sample, margin_for, upright_sample, write_key
from .paper import DASH_DOT, DASHED, DOTTED, Drawing, Paper, Point
from .scales import Axis, Ticks, number_ticks


@dataclass(frozen=True)
class SetReading:
    """Set read `at_once`, `rested` or both; `furthest_draw` until then; None where not measured.

    `new_zero` begins a new reckoning (after steam, heat, a new reflex): the line is not joined across it.
    """

    when: str
    at_once: float | None = None
    rested: float | None = None
    furthest_draw: float | None = None
    new_zero: bool = False
    note: str = ""


@dataclass(frozen=True)
class Guide:
    """A level to compare with, such as what counts as fine work."""

    value: float
    label: str


@dataclass(frozen=True)
class SetHistory:
    title: str
    description: str
    columns: tuple[str, str, str, str, str]
    set_axis: Axis
    draw_axis: Axis
    at_once_label: str
    rested_label: str
    new_zero_label: str
    readings: Sequence[SetReading] = ()
    guides: Sequence[Guide] = ()


def set_history(data: SetHistory) -> Drawing:
    """Two charts over the same readings in the order they were made: set above, the furthest draw below."""
    paper = Paper()
    when = _order_ticks(data.readings)
    sets = [
        value for reading in data.readings for value in (reading.at_once, reading.rested) if value is not None
    ]
    levels = [guide.value for guide in data.guides]
    set_ticks = number_ticks([*sets, *levels, 0.0], data.set_axis, 6)
    draws = [reading.furthest_draw for reading in data.readings if reading.furthest_draw is not None]
    draw_ticks = number_ticks(draws, data.draw_axis, 4)
    left = margin_for(set_ticks, draw_ticks)
    unnamed = Ticks(when.low, when.high, ())
    upper = Chart(paper, unnamed, set_ticks, y_label=data.set_axis.label, height=150, left=left)
    key: list[KeyEntry] = []
    _draw_guides(upper, data, key)
    _draw_sets(upper, data, key)
    lower = Chart(
        paper, when, draw_ticks, y_label=data.draw_axis.label, top=upper.floor + 8, height=80, left=left
    )
    _draw_draws(lower, data)
    bottom = write_key(paper, lower.bottom + 6, key)
    return Drawing(paper.finished(data.title, data.description, bottom), data.columns, _rows(data))


def _order_ticks(readings: Sequence[SetReading]) -> Ticks:
    """Side by side in the order of entry: five in one afternoon need as much room as five in a year."""
    marks = tuple((float(number), reading.when) for number, reading in enumerate(readings))
    return Ticks(-0.5, max(len(readings), 1) - 0.5, marks)


def _draw_guides(chart: Chart, data: SetHistory, key: list[KeyEntry]) -> None:
    for number, guide in enumerate(data.guides):
        dash = (DASH_DOT, DOTTED)[number % 2]
        chart.across(guide.value, "faint", dash, 1.2)
        key.append(KeyEntry(guide.label, line_sample("faint", dash)))


def _draw_sets(chart: Chart, data: SetHistory, key: list[KeyEntry]) -> None:
    sorts = (
        ("at_once", data.at_once_label, "ring", DASHED),
        ("rested", data.rested_label, "dot", ""),
    )
    for name, label, mark, dash in sorts:
        for run in _runs(data.readings, name):
            places = [chart.at(number, value) for number, value in run]
            chart.paper.path(places, "ink", dash)
            for place in places:
                chart.paper.mark(mark, place)
        if any(getattr(reading, name) is not None for reading in data.readings):
            key.append(KeyEntry(label, line_sample("ink", dash, mark)))
    zeros = [number for number, reading in enumerate(data.readings) if reading.new_zero]
    for number in zeros:
        chart.upright(number - 0.5, "accent", weight=1.2)
    if zeros:
        key.append(KeyEntry(data.new_zero_label, upright_sample("accent")))


def _runs(readings: Sequence[SetReading], name: str) -> list[list[tuple[int, float]]]:
    """The values of one sort, parted at each new zero."""
    runs: list[list[tuple[int, float]]] = [[]]
    for number, reading in enumerate(readings):
        if reading.new_zero:
            runs.append([])
        value = getattr(reading, name)
        if value is not None:
            runs[-1].append((number, value))
    return [run for run in runs if run]


def _draw_draws(chart: Chart, data: SetHistory) -> None:
    known = [(n, r.furthest_draw) for n, r in enumerate(data.readings) if r.furthest_draw is not None]
    steps: list[Point] = []
    for number, draw in known:
        place = chart.at(number, draw)
        if steps:
            steps.append((place[0], steps[-1][1]))
        steps.append(place)
    chart.paper.path(steps, "ink")
    for number, draw in known:
        chart.paper.mark("square", chart.at(number, draw))


def _rows(data: SetHistory) -> tuple[tuple[str, ...], ...]:
    def shown(axis: Axis, value: float | None) -> str:
        return "" if value is None else axis.show(value)

    return tuple(
        (
            reading.when,
            shown(data.draw_axis, reading.furthest_draw),
            shown(data.set_axis, reading.at_once),
            shown(data.set_axis, reading.rested),
            ", ".join(filter(None, (data.new_zero_label if reading.new_zero else "", reading.note))),
        )
        for reading in data.readings
    )
