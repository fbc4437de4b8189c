"""A sheet to draw on: lines, marks, hatching and words become one SVG.

The sheet is 360 units wide, about a phone's width, so that a unit is a pixel there and text of 15 stays
readable; `drawings.css` makes the text smaller where the sheet is shown wider. Nothing here carries a style
attribute: the page's security policy would drop it. Classes name what a thing is (`ink`, `faint`, `accent`,
`hatch`), and attributes hold enough to be read without the style sheet.

No word is made in this package: all that a person reads comes in with the data, already in his language.
"""

import math
import unicodedata
from collections.abc import Iterable, Sequence
from dataclasses import dataclass

from django.utils.html import conditional_escape, format_html, mark_safe
from django.utils.safestring import SafeString

WIDTH = 360
TEXT = 15
LINE = 19  # from one line of text to the next
LETTER = 0.56  # a letter's mean width as a share of its height, on the generous side

DASHED, DOTTED, DASH_DOT = "7 4", "1.5 4", "9 3 1.5 3"

Point = tuple[float, float]


@dataclass(frozen=True)
class Drawing:
    """A drawing and the table behind it: the same figures in `rows`, under `columns`."""

    svg: SafeString
    columns: tuple[str, ...]
    rows: tuple[tuple[str, ...], ...]

    def __html__(self) -> str:
        return self.svg


def plain(value: float) -> str:
    """A figure without needless noughts.

    >>> plain(12.0), plain(0.25), plain(1 / 3), plain(-0.0)
    ('12', '0.25', '0.333', '0')
    """
    return f"{round(value, 3) + 0.0:.10g}"


def width_of(words: str) -> float:
    """About how wide the words will stand, in units of the sheet."""
    return len(words) * TEXT * LETTER


def fitted(words: str, width: float) -> str:
    """The words, cut short where they would not fit.

    >>> fitted("seasoned in the long shed", 100)
    'seasoned i…'
    """
    words = cleaned(words)
    room = max(1, int(width / (TEXT * LETTER)))
    return words if len(words) <= room else words[: room - 1].rstrip() + "…"


def wrapped(words: str, width: float, most: int = 3) -> list[str]:
    """The words on as many lines as they need, at most `most`.

    >>> wrapped("heartwood oak from the long shed", 120)
    ['heartwood oak', 'from the long', 'shed']
    """
    lines = [""]
    for word in cleaned(words).split(" "):  # a no-break space keeps a figure and its unit together
        longer = f"{lines[-1]} {word}".strip()
        if lines[-1] and width_of(longer) > width and len(lines) < most:
            lines.append(word)
        else:
            lines[-1] = longer
    return [fitted(line, width) for line in lines]


def cleaned(words: object) -> str:
    """Text of any kind, also one translated late, without the control characters no document may hold."""
    return "".join(sign for sign in str(words) if unicodedata.category(sign) not in ("Cc", "Cs"))


def lettered(number: int) -> str:
    """a to z, then aa, ab...

    >>> lettered(0), lettered(25), lettered(26)
    ('a', 'z', 'aa')
    """
    return (lettered(number // 26 - 1) if number >= 26 else "") + chr(ord("a") + number % 26)


class Paper:
    """Collects what is drawn and writes it out once."""

    def __init__(self) -> None:
        self._parts: list[str] = []

    def line(self, start: Point, end: Point, ink: str = "ink", dash: str = "", weight: float = 1.5) -> None:
        self.path([start, end], ink, dash, weight)

    def path(
        self,
        points: Iterable[Point],
        ink: str = "ink",
        dash: str = "",
        weight: float = 1.5,
        closed: bool = False,
    ) -> None:
        """A line through the points."""
        trace = _trace(points)
        if trace:
            self._stroke(trace + ("Z" if closed else ""), ink, dash, weight)

    def hatch(self, left: float, top: float, right: float, bottom: float, spacing: float = 7) -> None:
        """Slanting lines in a rectangle, one by one: a pattern needs a name, and names clash on a page."""
        strokes = []
        for offset in range(math.ceil((right - left + bottom - top) / spacing)):
            reach = (offset + 0.5) * spacing
            # From the left or lower edge up to the right, at 45 degrees.
            x1, y1 = left + max(0, reach - (bottom - top)), min(bottom, top + reach)
            x2, y2 = min(right, left + reach), top + max(0, reach - (right - left))
            if x2 > x1:
                strokes.append(_trace([(x1, y1), (x2, y2)]))
        if strokes:
            self._stroke("".join(strokes), "hatch", "", 1)

    def bars(self, pairs: Iterable[tuple[Point, Point]]) -> None:
        """Many short lines of hatching at once."""
        strokes = "".join(_trace(pair) for pair in pairs)
        if strokes:
            self._stroke(strokes, "hatch", "", 1)

    def mark(self, kind: str, at: Point, ink: str = "ink", size: float = 3.5) -> None:
        """One of `MARKS` at a place, or the cross of a struck entry."""
        x, y = at
        if kind == "dot":
            self._parts.append(
                f'<circle class="{ink}" cx="{_n(x)}" cy="{_n(y)}" r="{_n(size)}" fill="currentColor"/>'
            )
            return
        if kind == "cross":
            strokes = _trace([(x - size, y - size), (x + size, y + size)])
            strokes += _trace([(x - size, y + size), (x + size, y - size)])
            self._stroke(strokes, ink, "", 1.5)
            return
        corners = {
            "square": [(-1, -1), (1, -1), (1, 1), (-1, 1)],
            "diamond": [(0, -1.35), (1.35, 0), (0, 1.35), (-1.35, 0)],
        }
        if kind == "ring":
            shape = f'<circle cx="{_n(x)}" cy="{_n(y)}" r="{_n(size)}"'
        else:
            shape = f'<path d="{_trace((x + dx * size, y + dy * size) for dx, dy in corners[kind])}Z"'
        self._parts.append(
            f'{shape} class="hollow {ink}" fill="none" stroke="currentColor" stroke-width="1.5"/>'
        )

    def text(self, at: Point, words: object, ink: str = "ink", anchor: str = "start") -> None:
        self._parts.append(
            format_html(
                '<text class="{}" x="{}" y="{}" text-anchor="{}" fill="currentColor">{}</text>',
                ink,
                _n(at[0]),
                _n(at[1]),
                anchor,
                cleaned(words),
            )
        )

    def finished(
        self,
        title: object,
        description: object,
        height: float,
        *,
        width: float = WIDTH,
        kind: str = "drawing",
    ) -> SafeString:
        """The whole SVG, named and described for those who do not see it."""
        return format_html(
            '<svg xmlns="http://www.w3.org/2000/svg" class="{}" viewBox="0 0 {} {}" role="img" '
            'font-size="{}" fill="none"><title>{}</title>{}{}</svg>',
            kind,
            _n(width),
            _n(height),
            TEXT,
            cleaned(title),
            format_html("<desc>{}</desc>", cleaned(description)) if description else "",
            mark_safe("".join(self._parts)),  # every part was escaped as it was drawn
        )

    def _stroke(self, trace: str, ink: str, dash: str, weight: float) -> None:
        dashes = f' stroke-dasharray="{dash}"' if dash else ""
        self._parts.append(
            f'<path class="{conditional_escape(ink)}" d="{trace}" stroke="currentColor" '
            f'stroke-width="{_n(weight)}" stroke-linejoin="round"{dashes}/>'
        )


MARKS = ("dot", "ring", "square", "diamond")


def _trace(points: Iterable[Point]) -> str:
    return "".join(f"{'L' if i else 'M'}{_n(x)} {_n(y)}" for i, (x, y) in enumerate(points))


def _n(value: float) -> str:
    """A place on the sheet, to a tenth of a unit.

    >>> _n(3.0), _n(2.04), _n(-0.01)
    ('3', '2', '0')
    """
    return f"{round(value, 1) + 0.0:.10g}"


def finite(points: Iterable[Sequence[float]]) -> list[Point]:
    """The points that can be drawn: an answer may hold gaps where the arithmetic had none to give."""
    return [(float(x), float(y)) for x, y in points if math.isfinite(x) and math.isfinite(y)]
