"""Plain text on paper: cleaned, broken into lines, fitted into a box. Printed as typed: no markup."""

import unicodedata
from collections.abc import Iterator, Sequence
from dataclasses import dataclass, replace

from workshop.documents.pdf.fonts import BOLD, PLAIN, width_of

INK, SOFT, HAIR = 0.12, 0.36, 0.62  # greys a black-and-white laser still prints as a clean line
BASELINE = 0.74  # of the line distance, so that a small label and a larger text beside it stand on one line


@dataclass(frozen=True)
class Style:
    """How a text is set: weight, size and line distance [pt], grey of the ink (0 black)."""

    font: str = PLAIN
    size: float = 9.5
    leading: float = 13.5
    grey: float = INK

    def at(self, size: float) -> "Style":
        """The same hand at another size."""
        return replace(self, size=size, leading=size * self.leading / self.size)


TEXT = Style()
STRONG = Style(font=BOLD)
LABEL = Style(size=8, leading=13.5, grey=SOFT)
HEADING = Style(font=BOLD, size=8.5, leading=13.5)
NOTE = Style(size=7.5, leading=10.5, grey=SOFT)
TITLE = Style(size=23, leading=28)
FIGURE = Style(font=BOLD, size=23, leading=28)


def clean(text: str) -> str:
    """The text as it can be printed: composed letters, line breaks kept, no control characters.

    >>> clean("yew\\tstave\\r\\nfrom the hill\\x00")
    'yew stave\\nfrom the hill'
    """
    text = unicodedata.normalize("NFC", text).replace("\r\n", "\n").replace("\r", "\n").replace("\t", " ")
    return "".join(c for c in text if c == "\n" or unicodedata.category(c) not in ("Cc", "Cs"))


def wrap(text: str, style: Style, width: float) -> list[str]:
    """Break `text` into lines no wider than `width` [pt]: at spaces, and inside a word too wide by itself.

    >>> wrap("one two", TEXT, 30)
    ['one', 'two']
    """
    return [line for paragraph in clean(text).split("\n") for line in _lines(paragraph, style, width)]


def _lines(paragraph: str, style: Style, width: float) -> Iterator[str]:
    line = ""
    for word in paragraph.split(" "):
        joined = f"{line} {word}" if line else word
        if width_of(joined, style.font, style.size) <= width:
            line = joined
            continue
        if line:
            yield line
        *full, line = _pieces(word, style, width)
        yield from full
    yield line


def _pieces(word: str, style: Style, width: float) -> list[str]:
    """A word cut so that every piece fits; at least one letter a piece, however narrow the column."""
    pieces, start = [], 0
    for end in range(1, len(word) + 1):
        if end - start > 1 and width_of(word[start:end], style.font, style.size) > width:
            pieces.append(word[start : end - 1])
            start = end - 1
    return [*pieces, word[start:]]


def fit(
    text: str, style: Style, width: float, height: float, *, smallest: float, lines: int = 99
) -> tuple[Style, list[str]]:
    """The largest size, from the style's own down to `smallest` [pt], at which `text` fits the box.

    What does not fit even at the smallest is cut and ends in an ellipsis: nothing runs over an edge.
    """
    size = style.size
    while True:
        at = style.at(size)
        broken = wrap(text, at, width)
        if len(broken) <= min(lines, _room(at, height)) and all(
            width_of(line, at.font, at.size) <= width for line in broken
        ):
            return at, broken
        if size <= smallest:
            return at, shorten(broken, at, width, max(1, min(lines, _room(at, height))))
        size = max(smallest, size - 0.5)


def _room(style: Style, height: float) -> int:
    return int(height / style.leading + 1e-6)


def shorten(lines: Sequence[str], style: Style, width: float, count: int) -> list[str]:
    """The first `count` lines, the last of them ending in an ellipsis where more was to come."""
    if len(lines) <= count:
        return list(lines)
    last = lines[count - 1]
    while last and width_of(last + "…", style.font, style.size) > width:
        last = last[:-1]
    return [*lines[: count - 1], last.rstrip() + "…"]


def one_line(text: str, style: Style, width: float) -> list[str]:
    """The text as a single line no wider than `width` [pt], ending in an ellipsis where it was longer."""
    return shorten(wrap(text, style, width), style, width, 1)


def put(canvas, lines: Sequence[str], style: Style, x: float, top: float, *, width: float = 0, align="left"):
    """Draw lines downward from `top`, aligned "left", "right" or "centre" in `width`. Returns the foot."""
    canvas.setFillGray(style.grey)
    canvas.setFont(style.font, style.size)
    y = top - BASELINE * style.leading
    for line in lines:
        if align == "right":
            canvas.drawRightString(x + width, y, line)
        elif align == "centre":
            canvas.drawCentredString(x + width / 2, y, line)
        else:
            canvas.drawString(x, y, line)
        y -= style.leading
    return top - style.leading * len(lines)
