"""What the air of a place brings wood to."""

import datetime as dt
from collections import defaultdict
from collections.abc import Sequence
from dataclasses import dataclass
from statistics import fmean

from workshop.calc.errors import CalcError
from workshop.calc.moisture import equilibrium
from workshop.staves.models import ClimateReading

LATELY_DAYS = 92  # a season: wood follows no faster


@dataclass(frozen=True)
class PlaceMoisture:
    """The mean of the equilibrium moistures of a place's readings, how many they are, and from when to when."""

    pct: float
    readings: int
    since: dt.date
    until: dt.date
    ok: bool


@dataclass(frozen=True)
class PlaceYear:
    """What a place that was read in every month of a year brings wood to, month by month, January first."""

    months_pct: tuple[float, ...]

    @property
    def driest(self) -> int:
        """The month, 1 to 12."""
        return 1 + self.months_pct.index(min(self.months_pct))

    @property
    def dampest(self) -> int:
        return 1 + self.months_pct.index(max(self.months_pct))


def equilibrium_of(reading: ClimateReading) -> float | None:
    """Equilibrium moisture of one climate reading (Wood Handbook eq. 4-5); None beyond the equation."""
    try:
        return equilibrium(reading.temperature_c, reading.humidity_pct).moisture_pct
    except CalcError:
        return None


def place_moisture(
    readings: Sequence[ClimateReading], since: dt.date | None = None, until: dt.date | None = None
) -> PlaceMoisture | None:
    """What a place brought wood to between two days, from its standing readings of that time.

    Where none was read in that time the nearest reading before it, else the first after it, has to do (`ok` False).
    """
    known = sorted(
        (r.happened_on, pct) for r in readings if not r.is_struck and (pct := equilibrium_of(r)) is not None
    )
    if not known:
        return None
    within = [(on, pct) for on, pct in known if (not since or on >= since) and (not until or on <= until)]
    if not within:
        before = [pair for pair in known if since and pair[0] < since]
        nearest = before[-1] if before else known[0]
        return PlaceMoisture(nearest[1], 1, nearest[0], nearest[0], ok=False)
    mean = sum(pct for _, pct in within) / len(within)
    return PlaceMoisture(mean, len(within), within[0][0], within[-1][0], ok=True)


def place_moisture_now(readings: Sequence[ClimateReading], today: dt.date) -> PlaceMoisture | None:
    """The equilibrium of the last season, else of the newest reading there is."""
    return place_moisture(readings, today - dt.timedelta(days=LATELY_DAYS), today)


def place_year(readings: Sequence[ClimateReading]) -> PlaceYear | None:
    """The seasons of a place, where every month of the year has a standing reading, of whichever year."""
    months = defaultdict(list)
    for reading in readings:
        pct = equilibrium_of(reading)
        if pct is not None and not reading.is_struck:
            months[reading.happened_on.month].append(pct)
    return PlaceYear(tuple(fmean(months[month]) for month in range(1, 13))) if len(months) == 12 else None
