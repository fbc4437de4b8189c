"""Diaries of the invented workshop, read and played in the order of days.

A line is `days ago, deed, figures`: `633  tiller 14 low`. `692y` is known to the year only (the bow's own `year`).
"""

import datetime as dt
import shlex
from collections.abc import Callable, Iterator
from dataclasses import dataclass, field
from itertools import groupby

from workshop.pages.demo.clock import Clock

Deed = Callable[[dt.date], object]


@dataclass(frozen=True)
class Line:
    ago: int
    year_only: bool
    verb: str
    figures: list[str]


def lines(text: str) -> Iterator[Line]:
    """The lines of a diary.

    >>> [(line.ago, line.verb, line.figures) for line in lines('633 tiller 14 low\\n9 culled "a shake"')]
    [(633, 'tiller', ['14', 'low']), (9, 'culled', ['a shake'])]
    """
    for row in filter(str.strip, text.splitlines()):
        ago, verb, *figures = shlex.split(row)
        yield Line(int(ago.removesuffix("y")), ago.endswith("y"), verb, figures)


@dataclass
class Diary:
    """Deeds by the day; those of one day stay in the order they were put in."""

    today: dt.date
    deeds: list[tuple[dt.date, int, Deed]] = field(default_factory=list)

    def put(self, ago: int, deed: Deed) -> None:
        self.deeds.append((self.day(ago), len(self.deeds), deed))

    def day(self, ago: int) -> dt.date:
        return self.today - dt.timedelta(days=ago)

    def play(self, clock: Clock, tell: Callable[[dt.date], None] = lambda day: None) -> None:
        """Every deed on its day, from the first on; each new day is told."""
        for day, deeds in groupby(sorted(self.deeds, key=lambda each: each[:2]), key=lambda each: each[0]):
            tell(day)
            clock.open(day)
            for _, _, deed in deeds:
                clock.tick()
                deed(day)
