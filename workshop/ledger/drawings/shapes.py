"""The shape of a bow: unstrung, braced, drawn, one over the other as on the tillering tree."""

from collections.abc import Sequence
from dataclasses import dataclass

from .chart import KeyEntry, line_sample, write_key
from .paper import DASH_DOT, DASHED, DOTTED, LINE, WIDTH, Drawing, Paper, Point, finite, fitted, plain

_EDGE = 10
MOST_ROWS = 18  # of one shape, in the table behind the drawing: a hand marks no more along a bow
_STYLES = (("faint", DASHED), ("ink", DASH_DOT), ("ink", ""), ("accent", DOTTED), ("accent", ""))


@dataclass(frozen=True)
class Shape:
    """One shape: `points` from the left tip to the right, `string` from nock to nock where strung.

    x runs along the bow to the right, y toward the archer, both in the same unit.
    """

    label: str
    points: Sequence[Point] = ()
    string: Sequence[Point] = ()


@dataclass(frozen=True)
class BowShape:
    title: str
    description: str
    columns: tuple[str, str, str]
    left_label: str
    right_label: str
    shapes: Sequence[Shape] = ()


def bow_shape(data: BowShape) -> Drawing:
    """Back up, as it hangs on the tree: the tips come down as it is drawn. One scale both ways."""
    paper = Paper()
    half = WIDTH / 2 - 6
    paper.text((2, 14), fitted(data.left_label, half), "faint")
    paper.text((WIDTH - 2, 14), fitted(data.right_label, half), "faint", "end")
    top = LINE + 8.0
    places = [p for shape in data.shapes for part in (shape.points, shape.string) for p in finite(part)]
    if not places:
        return Drawing(paper.finished(data.title, data.description, top), data.columns, ())
    left, right = min(x for x, _ in places), max(x for x, _ in places)
    back, deepest = min(y for _, y in places), max(y for _, y in places)
    # A shape that is all height or a single point still gets a scale.
    scale = min((WIDTH - 2 * _EDGE) / (right - left or 1), 420 / (deepest - back or 1))
    indent = (WIDTH - scale * (right - left)) / 2
    key = []
    for number, shape in enumerate(data.shapes):
        ink, dash = _STYLES[number % len(_STYLES)]

        def laid(points: Sequence[Point]) -> list[Point]:
            return [(indent + (x - left) * scale, top + (y - back) * scale) for x, y in finite(points)]

        paper.path(laid(shape.points), ink, dash, 2.2)
        paper.path(laid(shape.string), ink, dash, 0.9)
        key.append(KeyEntry(shape.label, line_sample(ink, dash, weight=2.2)))
    bottom = write_key(paper, top + (deepest - back) * scale + 12, key)
    return Drawing(paper.finished(data.title, data.description, bottom), data.columns, _rows(data))


def _rows(data: BowShape) -> tuple[tuple[str, ...], ...]:
    """Not every point that is drawn: as many as a hand would mark, both ends among them."""
    rows = []
    for shape in data.shapes:
        points = finite(shape.points)
        every = max(1, round(len(points) / MOST_ROWS))
        kept = [point for n, point in enumerate(points) if n % every == 0 or n == len(points) - 1]
        rows += [(shape.label, plain(x), plain(y)) for x, y in dict.fromkeys(kept)]
    return tuple(rows)
