"""The clock of the invented workshop: entries of its past are signed at the hour they were made."""

import datetime as dt
import zoneinfo
from collections.abc import Iterator
from contextlib import contextmanager

from django.utils import timezone

OPENS = dt.time(8, 10)
BETWEEN_ENTRIES = dt.timedelta(seconds=40)


class Clock:
    """Stands at an hour of a day and goes on a little with each deed, but never past the present."""

    def __init__(self, zone: str):
        self.zone, self.present = zoneinfo.ZoneInfo(zone), timezone.now()
        self.moment = self.present

    def open(self, day: dt.date) -> None:
        """A day begins."""
        self.moment = dt.datetime.combine(day, OPENS, self.zone).astimezone(dt.UTC)

    def tick(self) -> None:
        self.moment += BETWEEN_ENTRIES

    def now(self) -> dt.datetime:
        return min(self.moment, self.present)

    @contextmanager
    def running(self) -> Iterator[None]:
        """While it runs Django asks this clock. Only for filling an empty ledger, before anything is served."""
        real = timezone.now
        timezone.now = self.now
        try:
            with timezone.override(self.zone):
                yield
        finally:
            timezone.now = real
