"""Simulated bows: random lengths, sections and natural bend, weighed with a real scale and real draw marks.

Invented throughout, within what makers make: full-compass and stiff-handled, 26 to 30 in of draw, 28 to 70 lb,
tips from 2 in before the straight line to 2.5 in behind it.
"""

from dataclasses import dataclass, replace

import numpy as np

from workshop.calc.cubic import monotone
from workshop.calc.drawcurve import DrawCurve, draw_curve
from workshop.calc.foresee import stock_bow
from workshop.calc.imperial import INCH_M, POUND_N
from workshop.calc.section import rectangle
from workshop.calc.statics import Bow, Limb, draw_batch

SCALE_NOISE_N = 0.25 * POUND_N
MARKS_OUT_M = 0.003


@dataclass(frozen=True)
class Made:
    """A bow as it is; draws and brace from the axis, the tip's natural bend positive where it follows the string."""

    draw_m: float
    brace_m: float
    stations_m: np.ndarray
    widths_m: np.ndarray
    depths_m: np.ndarray
    offsets_m: np.ndarray
    weight_n: float

    @property
    def limb_m(self) -> float:
        return float(self.stations_m[-1] - self.stations_m[0])

    @property
    def draws_m(self) -> np.ndarray:
        return np.linspace(self.brace_m, self.draw_m, 24)

    @property
    def toward_tip(self) -> np.ndarray:
        return (self.stations_m - self.stations_m[0]) / self.limb_m


def make(random: np.random.Generator) -> Made:
    """One bow at random."""
    draw_m = random.uniform(26, 30) * INCH_M
    if random.random() < 0.5:
        grip_half_m = random.uniform(1.5, 4) * INCH_M
        bow_m = random.uniform(2.0, 2.35) * draw_m + 2 * grip_half_m
    else:
        grip_half_m, bow_m = 0.0, random.uniform(2.3, 2.6) * draw_m
    stations = np.linspace(grip_half_m, bow_m / 2, 7)
    along = np.linspace(0, 1, 7)
    width = random.uniform(0.028, 0.048) * (1 - random.uniform(0.4, 0.8) * along ** random.uniform(0.7, 2.5))
    depth = random.uniform(0.012, 0.018) * (1 - random.uniform(0, 0.45) * along ** random.uniform(0.7, 2))
    tip = np.clip(random.normal(0.3, 1.0), -2, 2.5) * INCH_M
    return Made(
        draw_m,
        random.uniform(5.5, 7) * INCH_M,
        stations,
        width * (1 + 0.03 * random.normal(size=7)),
        depth * (1 + 0.015 * random.normal(size=7)),
        tip * along ** random.uniform(1.5, 3),
        random.uniform(28, 70) * POUND_N,
    )


def solve(
    bows: list[Made], *, more_set_m: np.ndarray | float = 0.0, power: np.ndarray | float = 2.0
) -> tuple[np.ndarray, np.ndarray]:
    """Forces of each bow at its draws for wood of one stiffness, and its greatest strain there (a fraction).

    more_set_m is set at the tips on top of the natural bend, growing along the limb with this power: 2 is an even
    curvature, less than 2 sits nearer the grip.
    """
    more, powers = np.broadcast_to(more_set_m, len(bows)), np.broadcast_to(power, len(bows))
    made = [
        _bow(bow, bow.offsets_m + tip * bow.toward_tip**each)
        for bow, tip, each in zip(bows, more, powers, strict=True)
    ]
    drawn = _drawn(made, bows)
    strains = [
        np.nanmax(np.abs([one.upper.back_strain_pct, one.upper.belly_strain_pct]), axis=(0, 2)) / 100
        for one in drawn
    ]
    return np.array([one.force_n for one in drawn]), np.array(strains)


def stock_shapes(bows: list[Made], tips_m: np.ndarray) -> np.ndarray:
    """Forces a stock taper gives for each bow's length, brace and grip, and the tip's follow as measured."""
    stock = [
        stock_bow(2 * bow.stations_m[-1], stiff_m=2 * bow.stations_m[0], follow_m=tip)
        for bow, tip in zip(bows, tips_m, strict=True)
    ]
    return np.array([one.force_n for one in _drawn(stock, bows)])


def measured(bow: Made, random: np.random.Generator) -> Made:
    """The bow as its maker measures it: width to 0.3 mm, depth to 0.15 mm, the tip's follow to 3 mm."""
    return replace(
        bow,
        widths_m=bow.widths_m + random.normal(0, 0.0003, 7),
        depths_m=bow.depths_m + random.normal(0, 0.00015, 7),
        offsets_m=bow.offsets_m + bow.toward_tip**2 * random.normal(0, 0.003),
    )


def weighed(
    bow: Made, forces_n: np.ndarray, random: np.random.Generator, *, to_share: float = 0.6, step_in: float = 2
) -> DrawCurve:
    """A weigh-in every two inches from 10 in to a share of the draw, with the scale's noise and marks out of place."""
    last = to_share * bow.draw_m
    marks = np.r_[np.arange(10, last / INCH_M - 1, step_in) * INCH_M, last]
    marks = marks[marks > bow.brace_m + 0.02]
    pulled = marks + random.uniform(-MARKS_OUT_M, MARKS_OUT_M, marks.size)
    read = monotone(bow.draws_m, forces_n)(np.minimum(pulled, bow.draw_m)) + random.normal(
        0, SCALE_NOISE_N, marks.size
    )
    return draw_curve(marks, read, braced_draw_m=bow.brace_m, scale_doubt_n=SCALE_NOISE_N)


def _bow(bow: Made, offsets_m: np.ndarray) -> Bow:
    def wood(width: np.ndarray, depth: np.ndarray):
        return rectangle(width, depth).section(modulus_pa=10e9)

    limb = Limb.dimensioned(bow.stations_m, bow.widths_m, bow.depths_m, wood, natural_offset_m=offsets_m)
    return Bow(limb)


def _drawn(solvable: list[Bow], bows: list[Made]) -> list:
    drawn = draw_batch(
        solvable,
        np.array([bow.draws_m for bow in bows]),
        brace_height_m=np.array([bow.brace_m for bow in bows]),
    )
    assert all(one.ok.all() for one in drawn)
    return drawn
