"""The planned bow drawn to scale on the bench card: half outline from the centre line, and depth under the back."""

from collections.abc import Callable, Sequence
from dataclasses import dataclass

from workshop.documents.pdf.fonts import width_of
from workshop.documents.pdf.layout import MM, Drawing
from workshop.documents.pdf.text import HAIR, INK, NOTE, SOFT, one_line, put

LENGTH_SCALES = (1, 2, 3, 4, 5, 6, 8, 10, 12, 15, 20, 25, 30)
ACROSS_SCALES = (1, 2, 3, 4, 5, 10, 20)
HALF_ROOM, DEPTH_ROOM = 16 * MM, 16 * MM  # the outlines never stand higher than this
SMALL = NOTE.at(6.5)


@dataclass(frozen=True, kw_only=True)
class Station:
    """One place along a limb: the words for the table, and in metres what the drawing needs.

    `limb` is "A", "B", or empty where both limbs are laid out alike. A width or depth of 0 is not drawn.
    """

    at: str
    width: str = ""
    depth: str = ""
    half_width: str = ""
    limb: str = ""
    at_m: float
    width_m: float = 0
    depth_m: float = 0

    def __post_init__(self):
        if self.limb not in ("A", "B", ""):
            raise ValueError(f"limb: given {self.limb!r}; allowed: 'A', 'B', or '' for both alike")


@dataclass(frozen=True, kw_only=True)
class Layout:
    """A bow laid out from its middle mark: how far each limb and the grip reach to either side [m]."""

    stations: Sequence[Station]
    limb_a_m: float
    limb_b_m: float
    grip_a_m: float = 0
    grip_b_m: float = 0

    def __post_init__(self):
        if not (0 < self.limb_a_m < 3 and 0 < self.limb_b_m < 3):
            raise ValueError(
                f"limbs: given {self.limb_a_m} and {self.limb_b_m} m; allowed: above 0, below 3 m"
            )

    def side(self, limb: str) -> list[Station]:
        """The stations of one limb in order from the middle mark."""
        mine = [station for station in self.stations if station.limb in (limb, "")]
        return sorted(mine, key=lambda station: station.at_m)

    def highest(self) -> tuple[float, float]:
        """The greatest half width and the greatest depth of any station [m]."""
        half = max((station.width_m / 2 for station in self.stations), default=0)
        return half, max((station.depth_m for station in self.stations), default=0)

    def along(self, measure: Callable[[Station], float]) -> list[tuple[float, float]]:
        """(place, value) from the tip of limb A, left and negative, to the tip of limb B, where there is one."""
        left = [(-station.at_m, measure(station)) for station in reversed(self.side("A")) if measure(station)]
        right = [(station.at_m, measure(station)) for station in self.side("B") if measure(station)]
        if left and right and left[-1] == right[0]:
            right = right[1:]
        return left + right


def scales(layout: Layout, width: float) -> tuple[int, int]:
    """Whole-number scales, along and across, at which the bow fits `width` [pt] and the room for its outlines.

    >>> bow = Layout(stations=[Station(at="", at_m=0, width_m=0.036, depth_m=0.028)], limb_a_m=0.9, limb_b_m=0.9)
    >>> scales(bow, 172 * MM)
    (12, 2)
    """
    length = (layout.limb_a_m + layout.limb_b_m) * 1000 * MM
    along = next((scale for scale in LENGTH_SCALES if length / scale <= width), LENGTH_SCALES[-1])
    half, depth = (high * 1000 * MM for high in layout.highest())
    fits = (scale for scale in ACROSS_SCALES if half / scale <= HALF_ROOM and depth / scale <= DEPTH_ROOM)
    return along, next(fits, ACROSS_SCALES[-1])


def bow_outline(layout: Layout, *, width: float, limb_a: str, limb_b: str, middle: str, grip: str) -> Drawing:
    """The two views over one another, stations ticked and named below, the grip hatched."""
    along, across = scales(layout, width)
    to_x, to_y = 1000 * MM / along, 1000 * MM / across
    half_high, depth_high = (high * to_y + 2 * MM for high in layout.highest())

    def paint(canvas, x, top, wide):
        zero = x + (wide - (layout.limb_a_m + layout.limb_b_m) * to_x) / 2 + layout.limb_a_m * to_x
        tips = (zero - layout.limb_a_m * to_x, zero + layout.limb_b_m * to_x)
        centre = top - 6 * MM - half_high
        back = centre - 6 * MM
        foot = back - depth_high
        _station_ticks(canvas, layout, zero, (to_x, to_y), centre, foot)
        grip_edges = (zero - layout.grip_a_m * to_x, zero + layout.grip_b_m * to_x)
        _hatched(canvas, *grip_edges, centre + half_high, centre)
        _hatched(canvas, *grip_edges, back, foot)
        half = [
            (zero + at * to_x, centre + value * to_y) for at, value in layout.along(lambda s: s.width_m / 2)
        ]
        depth = [(zero + at * to_x, back - value * to_y) for at, value in layout.along(lambda s: s.depth_m)]
        for line in (half, depth):
            _polyline(canvas, line, 1.1)
        _polyline(canvas, [(tips[0], back), (tips[1], back)], 0.6)
        _centre_line(canvas, tips, centre)
        mark_top = top - 2 * MM
        _polyline(canvas, [(zero, mark_top), (zero, foot - 1 * MM)], 0.7)
        put(canvas, [middle], SMALL, zero + 1 * MM, mark_top + 1)
        if layout.grip_a_m + layout.grip_b_m:
            put(canvas, [grip], SMALL, grip_edges[0] - 30 * MM, mark_top + 1, width=30 * MM, align="right")
        put(canvas, [limb_a], NOTE, tips[0], mark_top + 2)
        put(canvas, [limb_b], NOTE, tips[1] - 30 * MM, mark_top + 2, width=30 * MM, align="right")

    return Drawing(half_high + depth_high + 22 * MM, paint)


def _polyline(canvas, points: Sequence[tuple[float, float]], weight: float, grey: float = INK) -> None:
    if len(points) < 2:
        return
    path = canvas.beginPath()
    path.moveTo(*points[0])
    for point in points[1:]:
        path.lineTo(*point)
    canvas.setLineWidth(weight)
    canvas.setStrokeGray(grey)
    canvas.drawPath(path)


def _centre_line(canvas, tips: tuple[float, float], y: float) -> None:
    """Long dash, short dash, as a centre line is drawn; it runs a little past the tips."""
    canvas.setDash([9, 2, 2, 2])
    _polyline(canvas, [(tips[0] - 3 * MM, y), (tips[1] + 3 * MM, y)], 0.5, SOFT)
    canvas.setDash()


def _station_ticks(
    canvas, layout: Layout, zero: float, scale: tuple[float, float], centre: float, foot: float
):
    """A hair line at each station through both views; names are left out where they would run together."""
    to_x, to_y = scale
    places = [(zero - station.at_m * to_x, station) for station in reversed(layout.side("A"))]
    places += [(zero + station.at_m * to_x, station) for station in layout.side("B") if station.at_m]
    taken = -1e9
    for x, station in places:
        _polyline(canvas, [(x, centre + station.width_m / 2 * to_y), (x, foot - 1 * MM)], 0.3, HAIR)
        name = one_line(station.at, SMALL, 20 * MM)
        wide = width_of(name[0], SMALL.font, SMALL.size)
        if x - wide / 2 > taken + 1.5 * MM:
            put(canvas, name, SMALL, x - wide / 2, foot - 1.5 * MM)
            taken = x + wide / 2


def _hatched(canvas, left: float, right: float, top: float, foot: float) -> None:
    """A field of slanting hair lines between two strong uprights."""
    if right <= left:
        return
    canvas.saveState()
    path = canvas.beginPath()
    path.rect(left, foot, right - left, top - foot)
    canvas.clipPath(path, stroke=0, fill=0)
    canvas.setLineWidth(0.3)
    canvas.setStrokeGray(HAIR)
    x = left - (top - foot)
    while x < right:
        canvas.line(x, foot, x + (top - foot), top)
        x += 1.5 * MM
    canvas.restoreState()
    for x in (left, right):
        _polyline(canvas, [(x, top), (x, foot)], 0.7)
