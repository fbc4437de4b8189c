"""Diaries of the invented workshop, read and played in the order of days.

A line is `days ago, deed, figures`: `633  tiller 14 low`. `692y` is known to the year only (the bow's own `year`).
"""

import datetime as dt
import shlex
from collections.abc import Callable, Iterator
from dataclasses import dataclass, field

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

    def play(self, clock: Clock) -> None:
        for day, _, deed in sorted(self.deeds, key=lambda each: each[:2]):
            if day != getattr(self, "_open", None):
                clock.open(day)
                self._open = day
            clock.tick()
            deed(day)
