"""The draw curve as a drawing: the points weighed, the curve through them, the energy under it hatched."""

from collections.abc import Sequence
from dataclasses import dataclass

from workshop.documents.pdf.fonts import width_of
from workshop.documents.pdf.layout import MM, Drawing
from workshop.documents.pdf.text import HAIR, INK, NOTE, STRONG, one_line, put

HIGH = 72 * MM
LEFT_ROOM, FOOT_ROOM, HEAD_ROOM, RIGHT_ROOM = 15 * MM, 12 * MM, 8 * MM, 8 * MM
HATCH = 2.2 * MM


@dataclass(frozen=True, kw_only=True)
class Tick:
    """A mark on an axis: where it stands in SI, and what is written there in the maker's units."""

    at: float
    said: str


@dataclass(frozen=True, kw_only=True)
class Axis:
    """One axis: its name with the unit, and its ticks in rising order; the first and last are its ends."""

    name: str
    ticks: tuple[Tick, ...]

    def __post_init__(self):
        places = [tick.at for tick in self.ticks]
        if len(places) < 2 or places != sorted(set(places)):
            raise ValueError(f"ticks of {self.name!r}: given {places}; allowed: two or more, rising")

    def place(self, value: float) -> float:
        """Where `value` stands between the ends, 0 to 1.

        >>> Axis(name="draw", ticks=(Tick(at=0.2, said="8 in"), Tick(at=0.7, said="28 in"))).place(0.45)
        0.5
        """
        first, last = self.ticks[0].at, self.ticks[-1].at
        return (value - first) / (last - first)


def curve_chart(
    line: Sequence[tuple[float, float]],
    points: Sequence[tuple[float, float]],
    *,
    across: Axis,
    up: Axis,
    last: str,
    hatched: str = "",
) -> Drawing:
    """`line` and `points` are (draw_m, force_n); `last` is written at the last point, `hatched` in the hatching."""

    def paint(canvas, x, top, width):
        left, foot = x + LEFT_ROOM, top - HIGH + FOOT_ROOM
        wide, high = width - LEFT_ROOM - RIGHT_ROOM, HIGH - FOOT_ROOM - HEAD_ROOM

        def at(point: tuple[float, float]) -> tuple[float, float]:
            return left + across.place(point[0]) * wide, foot + up.place(point[1]) * high

        _hatch_under(canvas, [at(point) for point in line], foot)
        _axes(canvas, across, up, (left, foot, wide, high))
        _stroke(canvas, [at(point) for point in line])
        for point in points:
            _dot(canvas, *at(point))
        if points:
            px, py = at(points[-1])
            said = one_line(last, STRONG, 70 * MM)
            put(canvas, said, STRONG, px - 71 * MM, py + STRONG.leading + 1, width=70 * MM, align="right")
        if hatched and line:
            _in_the_hatching(canvas, hatched, at(line[-1])[0], foot)

    return Drawing(HIGH, paint)


def _axes(canvas, across: Axis, up: Axis, field: tuple[float, float, float, float]) -> None:
    left, foot, wide, high = field
    canvas.setLineWidth(0.25)
    canvas.setStrokeGray(HAIR)
    for tick in up.ticks:
        y = foot + up.place(tick.at) * high
        canvas.line(left - 1.5 * MM, y, left + wide, y)
        said = one_line(tick.said, NOTE, 13 * MM)
        put(canvas, said, NOTE, left - 15 * MM, y + NOTE.leading / 2, width=13 * MM, align="right")
    for tick in across.ticks:
        x = left + across.place(tick.at) * wide
        canvas.line(x, foot - 1.5 * MM, x, foot)
        said = one_line(tick.said, NOTE, 16 * MM)
        put(canvas, said, NOTE, x - 8 * MM, foot - 2 * MM, width=16 * MM, align="centre")
    canvas.setLineWidth(0.8)
    canvas.setStrokeGray(INK)
    canvas.line(left, foot, left + wide, foot)
    put(canvas, one_line(up.name, NOTE, wide), NOTE, left - LEFT_ROOM, foot + high + HEAD_ROOM)
    put(canvas, one_line(across.name, NOTE, wide), NOTE, left, foot - 6.5 * MM, width=wide, align="right")


def _path(canvas, points: Sequence[tuple[float, float]]):
    path = canvas.beginPath()
    path.moveTo(*points[0])
    for point in points[1:]:
        path.lineTo(*point)
    return path


def _stroke(canvas, points: Sequence[tuple[float, float]]) -> None:
    if len(points) > 1:
        canvas.setLineWidth(1.4)
        canvas.setLineJoin(1)
        canvas.setStrokeGray(INK)
        canvas.drawPath(_path(canvas, points))


def _hatch_under(canvas, points: Sequence[tuple[float, float]], foot: float) -> None:
    """Slanting lines between the curve and the axis: the energy put into the bow."""
    if len(points) < 2:
        return
    canvas.saveState()
    path = _path(canvas, [(points[0][0], foot), *points, (points[-1][0], foot)])
    path.close()
    canvas.clipPath(path, stroke=0, fill=0)
    canvas.setLineWidth(0.3)
    canvas.setStrokeGray(HAIR)
    high = max(y for _, y in points) - foot
    x = points[0][0] - high
    while x < points[-1][0]:
        canvas.line(x, foot, x + high, foot + high)
        x += HATCH
    canvas.restoreState()


def _dot(canvas, x: float, y: float) -> None:
    canvas.setLineWidth(1)
    canvas.setStrokeGray(INK)
    canvas.setFillGray(1)
    canvas.circle(x, y, 2.1, stroke=1, fill=1)


def _in_the_hatching(canvas, said: str, right: float, foot: float) -> None:
    line = one_line(said, NOTE, 70 * MM)
    wide = width_of(line[0], NOTE.font, NOTE.size) + 3 * MM
    x, top = right - wide - 6 * MM, foot + 11 * MM
    canvas.setFillGray(1)
    canvas.rect(x, top - NOTE.leading - 2, wide, NOTE.leading + 4, stroke=0, fill=1)
    put(canvas, line, NOTE, x, top, width=wide, align="centre")
