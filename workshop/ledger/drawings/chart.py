"""What every chart has: two axes on a sheet, and the key under it."""

from collections.abc import Callable
from dataclasses import dataclass

from .paper import LINE, WIDTH, Paper, Point, fitted, width_of, wrapped
from .scales import Scale, Ticks

RIGHT = WIDTH - 14
SAMPLE = 46  # width of the samples that stand before the words of a key


@dataclass(frozen=True)
class KeyEntry:
    """Words and the sample they explain; `sample` draws itself around the middle of its line."""

    words: str
    sample: Callable[[Paper, Point], None]


def write_key(paper: Paper, top: float, entries: list[KeyEntry]) -> float:
    """The key from `top` down, one entry a line, long ones wrapped; answers where it ends."""
    y = top
    for entry in entries:
        entry.sample(paper, (SAMPLE / 2 - 2, y + LINE / 2))
        for line in wrapped(entry.words, WIDTH - SAMPLE - 4):
            paper.text((SAMPLE, y + LINE - 4.5), line)
            y += LINE
        y += 3
    return y


def line_sample(ink: str, dash: str = "", mark: str | None = None, weight: float = 1.5):
    """A stretch of line with its mark."""

    def draw(paper: Paper, at: Point) -> None:
        x, y = at
        paper.line((x - 18, y), (x + 18, y), ink, dash, weight)
        if mark:
            paper.mark(mark, at, ink)

    return draw


def mark_sample(mark: str, ink: str):
    return lambda paper, at: paper.mark(mark, at, ink)


def hatch_sample(paper: Paper, at: Point) -> None:
    x, y = at
    paper.hatch(x - 18, y - 6, x + 18, y + 6)


def letter_sample(letter: str, ink: str = "ink"):
    return lambda paper, at: paper.text((at[0], at[1] + 5), letter, ink, "middle")


def upright_sample(ink: str, dash: str = ""):
    return lambda paper, at: paper.line((at[0], at[1] - 8), (at[0], at[1] + 8), ink, dash, 1.2)


class Chart:
    """Axes drawn on a sheet between `top` and `bottom`; `x` and `y` turn values into places."""

    def __init__(
        self,
        paper: Paper,
        x: Ticks,
        y: Ticks,
        *,
        y_label: str,
        x_label: str = "",
        top: float = 0,
        height: float = 210,
        left: float | None = None,
    ) -> None:
        self.paper = paper
        self.left = margin_for(y) if left is None else left
        self.top, self.floor = top + LINE + 6, top + LINE + 6 + height
        self.x = Scale(x.low, x.high, self.left, RIGHT)
        self.y = Scale(y.low, y.high, self.floor, self.top)
        paper.text((2, top + 14), fitted(y_label, WIDTH - 4), "faint")
        self._draw_y(y)
        self.bottom = self._draw_x(x, x_label)

    def at(self, x: float, y: float) -> Point:
        return self.x(x), self.y(y)

    def across(self, y: float, ink: str, dash: str = "", weight: float = 1.5) -> None:
        """A line right across at one value."""
        self.paper.line((self.left, self.y(y)), (RIGHT, self.y(y)), ink, dash, weight)

    def upright(self, x: float, ink: str, dash: str = "", weight: float = 1.5) -> None:
        self.paper.line((self.x(x), self.floor), (self.x(x), self.top), ink, dash, weight)

    def _draw_y(self, ticks: Ticks) -> None:
        for value, label in ticks.marks:
            place = self.y(value)
            self.paper.line((self.left, place), (RIGHT, place), "grid", weight=0.8)
            self.paper.text((self.left - 6, place + 5), fitted(label, self.left - 6), "faint", "end")

    def _draw_x(self, ticks: Ticks, x_label: str) -> float:
        """Ticks, as many of their labels as stand clear of each other, and the axis' own label below."""
        self.paper.line((self.left, self.floor), (RIGHT, self.floor), "ink", weight=1)
        taken_to = 0.0
        for value, label in ticks.marks:
            place, half = self.x(value), width_of(label) / 2
            self.paper.line((place, self.floor), (place, self.floor + 4), "ink", weight=1)
            centre = min(max(place, half), WIDTH - half)
            if centre - half >= taken_to:
                self.paper.text((centre, self.floor + 19), label, "faint", "middle")
                taken_to = centre + half + 5
        bottom = self.floor + 24
        if x_label:
            self.paper.text((RIGHT, bottom + 14), fitted(x_label, RIGHT), "faint", "end")
            bottom += LINE
        return bottom


def write_letters(paper: Paper, marks: list[tuple[Point, str, str]], top: float) -> float:
    """Each mark's letter (place, letter, ink) in a row from `top` down, tied to it by a fine line.

    Letters that would touch move to the right, and into another row where the sheet ends. Answers its end.
    """
    row, taken_to = 0, 0.0
    for (x, y), letter, ink in sorted(marks):
        half = width_of(letter) / 2 + 2
        if taken_to + 2 * half > WIDTH:
            row, taken_to = row + 1, 0.0
        centre = min(max(x, taken_to + half), WIDTH - half)
        taken_to = centre + half
        base = top + LINE * (row + 1) - 4
        paper.line((x, y), (centre, base - 12), "faint", weight=0.8)
        paper.text((centre, base), letter, ink, "middle")
    return top + (LINE * (row + 1) if marks else 0)


def margin_for(*axes: Ticks) -> float:
    """Room at the left for the widest figure, within reason."""
    # Figures stand wider than the mean letter.
    widest = max((width_of(label) for ticks in axes for _, label in ticks.marks), default=0)
    return min(max(24, widest * 1.1 + 9), 96)
