"""Boxes that know their height and can be cut between pages; a paper is a list of them laid down one column.

A box answers three questions: how high it is at a width, how to draw itself below a top edge, and how to
divide when only so much room is left. All lengths in points, y upward as in PDF.
"""

from collections.abc import Callable, Sequence
from dataclasses import dataclass
from typing import Protocol

from workshop.documents.pdf.text import HAIR, TEXT, Style, fit, put, shorten, wrap

MM = 72 / 25.4
Paint = Callable[[object, float, float, float], None]  # canvas, x, top, width


class Box(Protocol):
    def height(self, width: float) -> float: ...

    def draw(self, canvas, x: float, top: float, width: float) -> None: ...

    def split(self, width: float, room: float) -> "tuple[Box, Box] | None":
        """What fits in `room` and the rest; None where nothing does."""


class Unsplit:
    def split(self, width: float, room: float):
        return None


@dataclass(frozen=True)
class Text:
    """A text of any length; long words are broken, line breaks kept. `most` cuts it to so many lines."""

    text: str
    style: Style = TEXT
    align: str = "left"
    most: int = 0

    def _lines(self, width: float) -> list[str]:
        lines = wrap(self.text, self.style, width) if self.text else []
        return shorten(lines, self.style, width, self.most) if self.most else lines

    def height(self, width: float) -> float:
        return len(self._lines(width)) * self.style.leading

    def draw(self, canvas, x, top, width):
        put(canvas, self._lines(width), self.style, x, top, width=width, align=self.align)

    def split(self, width: float, room: float):
        lines = self._lines(width)
        fits = int(room / self.style.leading + 1e-6)
        fits -= len(lines) - fits == 1  # no line goes alone onto the next page
        if not 0 < fits < len(lines):
            return None
        # A broken line is kept as a line of its own, so that the rest breaks where the whole would have.
        return (
            Text("\n".join(lines[:fits]), self.style, self.align),
            Text("\n".join(lines[fits:]), self.style, self.align),
        )


@dataclass(frozen=True)
class OneLine(Unsplit):
    """A figure or number on a line of its own, smaller where the column is narrow: broken in two it is another."""

    text: str
    style: Style = TEXT
    smallest: float = 5

    def _set(self, width: float) -> tuple[Style, list[str]]:
        return fit(self.text, self.style, width, self.style.leading, smallest=self.smallest, lines=1)

    def height(self, width: float) -> float:
        return self._set(width)[0].leading

    def draw(self, canvas, x, top, width):
        style, lines = self._set(width)
        put(canvas, lines, style, x, top)


@dataclass(frozen=True)
class Space(Unsplit):
    high: float

    def height(self, width: float) -> float:
        return self.high

    def draw(self, canvas, x, top, width):
        pass


@dataclass(frozen=True)
class Rule(Unsplit):
    """A line across the column with air above and below."""

    weight: float = 0.4
    above: float = 5
    below: float = 5

    def height(self, width: float) -> float:
        return self.above + self.below

    def draw(self, canvas, x, top, width):
        canvas.setLineWidth(self.weight)
        canvas.setStrokeGray(HAIR)
        canvas.line(x, top - self.above, x + width, top - self.above)


@dataclass(frozen=True)
class Drawing(Unsplit):
    """Something painted in a box of fixed height; it is never cut."""

    high: float
    paint: Paint

    def height(self, width: float) -> float:
        return self.high

    def draw(self, canvas, x, top, width):
        self.paint(canvas, x, top, width)


@dataclass(frozen=True)
class Stack:
    """Boxes one under the other."""

    boxes: Sequence[Box]

    def height(self, width: float) -> float:
        return sum(box.height(width) for box in self.boxes)

    def draw(self, canvas, x, top, width):
        for box in self.boxes:
            box.draw(canvas, x, top, width)
            top -= box.height(width)

    def split(self, width: float, room: float):
        for index, box in enumerate(self.boxes):
            high = box.height(width)
            if high <= room:
                room -= high
                continue
            cut = box.split(width, room)
            first = [*self.boxes[:index], *(cut[:1] if cut else ())]
            rest = [*(cut[1:] if cut else (box,)), *self.boxes[index + 1 :]]
            # An opening rule belongs to what follows it, a closing one to what it closes: neither stands alone.
            bare = any(all(isinstance(box, Rule | Space) for box in part) for part in (first, rest))
            return None if bare else (Stack(first), Stack(rest))
        return None


class Whole(Stack):
    """Boxes kept on one page where a page can hold them."""


@dataclass(frozen=True)
class Row:
    """Boxes side by side. `widths` in points; one of them None takes what is left."""

    cells: Sequence[Box]
    widths: Sequence[float | None]
    gap: float = 4 * MM

    def _columns(self, width: float) -> list[tuple[float, float]]:
        taken = sum(each or 0 for each in self.widths) + self.gap * (len(self.widths) - 1)
        columns, x = [], 0.0
        for each in self.widths:
            wide = width - taken if each is None else each
            columns.append((x, wide))
            x += wide + self.gap
        return columns

    def height(self, width: float) -> float:
        return max(
            cell.height(wide) for cell, (_, wide) in zip(self.cells, self._columns(width), strict=True)
        )

    def draw(self, canvas, x, top, width):
        for cell, (left, wide) in zip(self.cells, self._columns(width), strict=True):
            cell.draw(canvas, x + left, top, wide)

    def split(self, width: float, room: float):
        first, rest = [], []
        for cell, (_, wide) in zip(self.cells, self._columns(width), strict=True):
            cut = (cell, Text("")) if cell.height(wide) <= room else cell.split(wide, room)
            if cut is None:
                return None
            first.append(cut[0])
            rest.append(cut[1])
        return Row(first, self.widths, self.gap), Row(rest, self.widths, self.gap)


def pages_of(story: Sequence[Box], width: float, height: float) -> list[list[tuple[Box, float]]]:
    """Lay the boxes down pages of `height` [pt], dividing what does not fit.

    Each page is a list of (box, height of its top edge above the foot of the column).
    """
    queue, pages, page, room = list(reversed(story)), [], [], height
    while queue:
        box = queue.pop()
        high = box.height(width)
        if high <= room + 1e-6:
            page.append((box, room))
            room -= high
            continue
        cut = None if page and isinstance(box, Whole) else box.split(width, room)
        if cut is None and not page:
            raise ValueError(f"a box {high:.0f} pt high does not fit a page of {height:.0f} pt")
        if cut:
            page.append((cut[0], room))
        queue.append(cut[1] if cut else box)
        pages.append(page)
        page, room = [], height
    return [*pages, page]
