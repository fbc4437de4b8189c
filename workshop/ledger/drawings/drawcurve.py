"""The draw curve: weight against draw, what is wanted, how far it may go, what is expected further on."""

from collections.abc import Sequence
from dataclasses import dataclass

from .chart import RIGHT, Chart, KeyEntry, line_sample, mark_sample, write_key
from .paper import DASH_DOT, DASHED, DOTTED, Drawing, Paper, Point, finite, fitted
from .scales import Axis, number_ticks

_HEADROOM = 1.08  # so that the words above the highest line stay within the chart
_MARKS = ("dot", "square", "diamond")  # rings are for earlier weigh-ins
_DASHES = ("", DASHED, DASH_DOT, DOTTED)


@dataclass(frozen=True)
class WeighInLine:
    """One weigh-in: `points` (draw, weight) as marks, `curve` as a line, `struck` points crossed out.

    `earlier` draws it grey: the last pass beside this one. Without a `curve` the points are joined straight.
    """

    label: str
    points: Sequence[Point] = ()
    curve: Sequence[Point] = ()
    struck: Sequence[Point] = ()
    earlier: bool = False


@dataclass(frozen=True)
class Wanted:
    draw: float
    weight: float
    label: str


@dataclass(frozen=True)
class LimitOfPull:
    weight: float
    label: str


@dataclass(frozen=True)
class Projection:
    """What is expected at a draw not yet reached: a range, never a point."""

    draw: float
    low: float
    high: float
    label: str


@dataclass(frozen=True)
class DrawCurve:
    title: str
    description: str
    columns: tuple[str, str, str]
    draw_axis: Axis
    weight_axis: Axis
    lines: Sequence[WeighInLine] = ()
    wanted: Wanted | None = None
    limit: LimitOfPull | None = None
    projections: Sequence[Projection] = ()
    struck_label: str = ""


def draw_curve(data: DrawCurve) -> Drawing:
    """Weigh-ins as marks and lines, the wanted weight as a cross-hair, expectations as upright brackets."""
    paper = Paper()
    draws, weights = _extent(data)
    chart = Chart(
        paper,
        number_ticks(draws, data.draw_axis, 11),
        number_ticks(weights, data.weight_axis, 8),
        y_label=data.weight_axis.label,
        x_label=data.draw_axis.label,
        height=230,
    )
    key: list[KeyEntry] = []
    for earlier in (True, False):  # the last pass lies under this one
        for number, line in enumerate(line for line in data.lines if line.earlier is earlier):
            _draw_line(chart, line, number, key)
    if any(line.struck for line in data.lines) and data.struck_label:
        key.append(KeyEntry(data.struck_label, mark_sample("cross", "faint")))
    for number, projection in enumerate(data.projections):
        _draw_projection(chart, projection, number, key)
    _draw_aims(chart, data)
    bottom = write_key(paper, chart.bottom + 6, key)
    return Drawing(paper.finished(data.title, data.description, bottom), data.columns, _rows(data))


def _extent(data: DrawCurve) -> tuple[list[float], list[float]]:
    """All draws and all weights that must be on the sheet; what was struck sets its scale only where nothing stands."""
    standing = [finite(part) for line in data.lines for part in (line.points, line.curve)]
    if not any(standing):
        standing = [finite(line.struck) for line in data.lines]
    places = [point for part in standing for point in part]
    if data.wanted:
        places.append((data.wanted.draw, data.wanted.weight))
    places += [(projection.draw, weight) for projection in data.projections for weight in _ends(projection)]
    weights = [weight for _, weight in places]
    aims = [aim.weight for aim in (data.wanted, data.limit) if aim]
    if aims:
        weights.append(_HEADROOM * max(aims))
    if weights:
        weights.append(0.0)
    return [draw for draw, _ in places], weights


def _ends(projection: Projection) -> tuple[float, float]:
    return projection.low, projection.high


def _draw_line(chart: Chart, line: WeighInLine, number: int, key: list[KeyEntry]) -> None:
    ink = "faint" if line.earlier else "ink"
    mark = "ring" if line.earlier else _MARKS[number % len(_MARKS)]
    dash = _DASHES[number % len(_DASHES)]
    points = sorted(finite(line.points))
    trace = finite(line.curve) or points
    chart.paper.path((chart.at(*point) for point in trace), ink, dash, 1.5 if line.earlier else 2)
    for point in points:
        chart.paper.mark(mark, chart.at(*point), ink)
    for draw, weight in finite(line.struck):  # a slip beyond the sheet stands at its edge
        chart.paper.mark("cross", chart.at(chart.x.nearest(draw), chart.y.nearest(weight)), "faint", 5)
    key.append(KeyEntry(line.label, line_sample(ink, dash, mark if points else None)))


def _draw_projection(chart: Chart, projection: Projection, number: int, key: list[KeyEntry]) -> None:
    """A bracket just short of its draw, the next beside it, so that none hides the cross-hair."""
    dash = _DASHES[number % len(_DASHES)]
    x = chart.x(projection.draw) - 14 - 12 * number
    _bracket(chart.paper, x, chart.y(projection.low), chart.y(projection.high), dash)
    key.append(
        KeyEntry(projection.label, lambda paper, at: _bracket(paper, at[0], at[1] + 8, at[1] - 8, dash))
    )


def _bracket(paper: Paper, x: float, low: float, high: float, dash: str) -> None:
    paper.line((x, low), (x, high), "accent", dash, 2)
    for y in (low, high):
        paper.line((x - 4, y), (x + 4, y), "accent", weight=2)


def _draw_aims(chart: Chart, data: DrawCurve) -> None:
    """Wanted weight and limit of pull; the upper one has its words above its line, the lower one below."""
    room = RIGHT - chart.left - 8
    wanted_is_lower = not data.limit or not data.wanted or data.wanted.weight <= data.limit.weight
    if data.limit:
        chart.across(data.limit.weight, "ink", DASH_DOT, 1)
        shift = -5 if wanted_is_lower else 15
        at = (chart.left + 4, chart.y(data.limit.weight) + shift)
        chart.paper.text(at, fitted(data.limit.label, room), "ink")
    if data.wanted:
        x, y = chart.at(data.wanted.draw, data.wanted.weight)
        chart.across(data.wanted.weight, "accent", weight=1)
        chart.upright(data.wanted.draw, "accent", weight=1)
        chart.paper.mark("ring", (x, y), "accent", 6)
        shift = 16 if data.limit and wanted_is_lower else -5
        chart.paper.text((chart.left + 4, y + shift), fitted(data.wanted.label, room), "accent")


def _rows(data: DrawCurve) -> tuple[tuple[str, ...], ...]:
    draw, weight = data.draw_axis.show, data.weight_axis.show
    rows = []
    for line in data.lines:
        entries = [(point, line.label) for point in finite(line.points)]
        entries += [(point, f"{line.label}, {data.struck_label}") for point in finite(line.struck)]
        rows += [(draw(x), weight(y), words) for (x, y), words in sorted(entries)]
    rows += [(draw(p.draw), f"{weight(p.low)}–{weight(p.high)}", p.label) for p in data.projections]
    if data.wanted:
        rows.append((draw(data.wanted.draw), weight(data.wanted.weight), data.wanted.label))
    if data.limit:
        rows.append(("", weight(data.limit.weight), data.limit.label))
    return tuple(rows)
