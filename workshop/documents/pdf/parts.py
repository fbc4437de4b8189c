"""The parts every paper is made of: masthead, title, hanging headings, facts, lists and tables."""

from collections.abc import Sequence

from workshop.documents.pdf import fonts, qr
from workshop.documents.pdf.layout import MM, Box, Drawing, Row, Rule, Space, Stack, Text, Whole
from workshop.documents.pdf.press import Workshop
from workshop.documents.pdf.text import (
    FIGURE,
    HEADING,
    INK,
    LABEL,
    SOFT,
    STRONG,
    TEXT,
    TITLE,
    Style,
    fit,
    put,
)

LABEL_COLUMN = 34 * MM
LONGEST_FIGURE = 40  # letters; what is longer is a sentence and set as one
REACH = Style(size=8, leading=10.5)


def masthead(workshop: Workshop) -> Box:
    """The workshop's mark, name and address over a strong line."""
    name = Stack([Space(1 * MM), Text(workshop.name, Style(font=fonts.BOLD, size=12, leading=15))])
    reach = Stack([Text(workshop.address, REACH, "right"), Text(workshop.contact, REACH, "right")])
    cells, widths = [name, reach], [None, 62 * MM]
    if workshop.mark:
        cells, widths = [Drawing(10 * MM, _mark(workshop.mark)), *cells], [10 * MM, *widths]
    return Stack([Row(cells, widths), Rule(1.2, above=2.5 * MM, below=4 * MM)])


def _mark(mark: str):
    def paint(canvas, x, top, width):
        canvas.setLineWidth(1)
        canvas.setStrokeGray(INK)
        canvas.rect(x + 0.5, top - width + 0.5, width - 1, width - 1)
        style, lines = fit(mark, Style(fonts.BOLD, 15, 17), width - 2 * MM, 17, smallest=4, lines=1)
        put(canvas, lines, style, x, top - (width - style.leading) / 2, width=width, align="centre")

    return paint


def heading(title: str, about: str, *, code: str = "") -> Box:
    """What the paper is and which thing it is about; the QR code of that thing at the right."""
    said = Stack([Text(title, TITLE), Text(about, Style(size=11, leading=15)), Space(4 * MM)])
    if not code:
        return said
    size = max(21, qr.smallest_mm(code)) * MM
    return Row([said, qr.square(code, size)], [None, size])


def section(title: str, *boxes: Box) -> list[Box]:
    """A part of the paper: a hair line, the heading hanging at the left, the boxes in the column beside."""
    labels = (title, *[""] * (len(boxes) - 1))
    first, *rest = (
        Row([Text(label, HEADING), box], [LABEL_COLUMN, None])
        for label, box in zip(labels, boxes, strict=True)
    )
    return ruled(first, *rest)


def ruled(first: Box, *rest: Box) -> list[Box]:
    """Boxes under a hair line, which stays with the first of them."""
    return [Stack([Rule(above=2.2 * MM, below=1.4 * MM), first]), *rest]


def fact(label: str, value: str, style: Style = TEXT) -> Box:
    """One fact: its name small at the left, the value beside it; nothing at all where there is no value."""
    if not value:
        return Space(0)
    return Row([Text(label, LABEL), Text(value, style)], [LABEL_COLUMN, None])


def figure(label: str, value: str, beside: str = "") -> Box:
    """The answer of a paper: one large figure, with the words that belong to it underneath."""
    style = FIGURE if len(value) <= LONGEST_FIGURE else STRONG
    name = Text(label, Style(size=8, leading=style.leading, grey=SOFT))
    said = Stack([Text(value, style), Text(beside, TEXT), Space(1.5 * MM)])
    return Row([name, said], [LABEL_COLUMN, None])


def listed(points: Sequence[str], *, sign: str = "–", style: Style = TEXT) -> Box:
    """Points one under the other, each behind its sign."""
    return Stack([Row([Text(sign, style), Text(point, style)], [3.5 * MM, None], 1 * MM) for point in points])


def table(
    head: Sequence[str], rows: Sequence[Sequence[str]], widths: Sequence[float | None], right: int = 99
) -> list[Box]:
    """Rows of texts under small headings; columns from number `right` on are set to the right edge."""
    gap = 3 * MM

    def line(cells: Sequence[str], style: Style) -> Box:
        boxes = [Text(cell, style, "right" if n >= right else "left") for n, cell in enumerate(cells)]
        return Row(boxes, widths, gap)

    top = [line(head, LABEL), Rule(0.8, above=1.5, below=1.5)]
    body = [Stack([line(row, TEXT), Rule(0.3, above=1.5, below=1.5)]) for row in rows]
    return [Whole([*top, *body[:1]]), *body[1:]]
