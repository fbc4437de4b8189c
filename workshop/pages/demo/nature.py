"""How wood and bows behave in the invented workshop, so that all its figures hang together.

Wood follows the air of its place: each day it closes a part of the distance to the equilibrium moisture of that
day's climate. A bow's curve is solved by the statics from limbs of its length and kind; it is heavier before wood
comes off, and takes set as the cube of the furthest draw. The rates are invented.
"""

import datetime as dt
import math
from dataclasses import dataclass
from functools import cache

import numpy as np

from workshop.calc.cubic import monotone
from workshop.calc.meter import corrected
from workshop.calc.moisture import equilibrium
from workshop.calc.statics import Bow, Limb, draw

WARMEST_DAY = 201  # 20 July
INCH_M = 0.0254
BACK_TO_AXIS_M = 0.015


@dataclass(frozen=True)
class Air:
    """The air of a place over the year: its mean, and how far midsummer stands off it."""

    warm_c: float
    warmer_c: float
    damp_pct: float
    drier_pct: float

    def on(self, day: dt.date) -> tuple[float, float]:
        """Temperature [°C] and humidity [%] of a day."""
        season = math.cos(2 * math.pi * (day.timetuple().tm_yday - WARMEST_DAY) / 365.25)
        return self.warm_c + self.warmer_c * season, self.damp_pct - self.drier_pct * season

    def brings_to_pct(self, day: dt.date) -> float:
        return _equilibrium(*(round(value, 1) for value in self.on(day)))


@cache
def _equilibrium(temperature_c: float, humidity_pct: float) -> float:
    return equilibrium(temperature_c, humidity_pct).moisture_pct


class Drying:
    """One piece of wood as it dries. `days` is how long it takes to close two thirds of the distance."""

    def __init__(self, moisture_pct: float, since: dt.date, air: Air, days: float):
        self.moisture_pct, self.day, self.air, self.days = moisture_pct, since, air, days

    def until(self, day: dt.date) -> float:
        """Its moisture on a later day."""
        while self.day < day:
            self.day += dt.timedelta(days=1)
            away = self.air.brings_to_pct(self.day) - self.moisture_pct
            self.moisture_pct += away * (1 - math.exp(-1 / self.days))
        return self.moisture_pct


def meter_reads(moisture_pct: float, wood_c: float, timber_code: str) -> float:
    """What a pin meter on the Douglas-fir scale shows, to the half percent, on wood of that moisture."""
    near = [each / 2 for each in range(max(11, int(2 * moisture_pct) - 14), int(2 * moisture_pct) + 15)]

    def off(reading: float) -> float:
        told = corrected(reading, wood_c, timber_code=timber_code)
        return abs(told.moisture_pct - moisture_pct)

    return min(near, key=off)


@dataclass(frozen=True)
class Behaviour:
    """How a bow of one kind, length, brace and draw behaves: the share of its full weight at each draw."""

    braced: object
    long: object
    brace_m: float

    def share(self, draw_m: float, *, long: bool = False) -> float:
        curve = self.long if long else self.braced
        return float(curve(min(max(draw_m, curve.x[0]), curve.x[-1])))


@cache
def behaviour(stiff: bool, length_m: float, brace_m: float, draw_m: float) -> Behaviour:
    """Solved once for each shape of bow; draws count from the back, to two inches past the full draw."""
    half, root = length_m / 2, 0.11 if stiff else 0.0
    stations = np.linspace(root, half, 7)
    out = (stations - root) / (half - root)
    limb = Limb.measured(stations, 60 * (1 - 0.86 * out**1.3))
    axis = np.arange(brace_m + 0.02, draw_m + 2 * INCH_M, INCH_M)
    braced = draw(Bow(limb), axis, brace_height_m=brace_m)
    slack = np.arange(0.15, draw_m - 4 * INCH_M, INCH_M)
    long = draw(Bow(limb), slack, long_string_m=length_m + 0.03)
    full = float(np.interp(draw_m - BACK_TO_AXIS_M, axis, braced.force_n))
    drawn = long.ok
    return Behaviour(
        monotone([brace_m + BACK_TO_AXIS_M, *(axis + BACK_TO_AXIS_M)], [0.0, *(braced.force_n / full)]),
        monotone(slack[drawn] + BACK_TO_AXIS_M, long.force_n[drawn] / full),
        brace_m,
    )


def set_m(furthest_m: float, full_draw_m: float, full_set_m: float) -> float:
    """What a bow has lost after being drawn so far: little at first, most in the last inches."""
    return full_set_m * (furthest_m / full_draw_m) ** 3
