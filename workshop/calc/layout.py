"""Laying a bow out on the stave: how long, and where the marks stand.

Stations are measured from the middle mark, so that cutting the tips moves none of them: above zero toward the
upper tip, below zero toward the lower.
"""

from dataclasses import dataclass

from workshop.calc.errors import Mismatch, OutOfRange, require, require_numbers
from workshop.calc.imperial import INCH_M

STEP_INCHES_M = 6 * INCH_M
STEP_METRIC_M = 0.150
# Common practice, no source: 1 in above the middle and 2 to 3 in below.
GRIP_ABOVE_M = 1 * INCH_M
GRIP_BELOW_M = 2.5 * INCH_M
FADE_M = 2 * INCH_M
# Common practice, no source: a bow that bends through the grip, nock to nock over draw.
FULL_COMPASS_TIMES_DRAW = (2.3, 2.6)

# Two marks nearer to each other than this are one pencil line; the one with the better name stays.
ONE_MARK_M = 0.003


@dataclass(frozen=True)
class Station:
    """One mark: where [m from the middle mark, above zero is the upper limb] and what it is.

    `mark` is one of middle, grip, fade, step, nock.
    """

    at_m: float
    mark: str

    @property
    def limb(self) -> str:
        """`upper`, `lower` or, at the middle mark, `both`."""
        return "both" if self.at_m == 0 else "upper" if self.at_m > 0 else "lower"


@dataclass(frozen=True)
class Lengths:
    """Bow length nock to nock by the rules of thumb [m]."""

    least_m: float
    most_m: float
    rule: str


def stations(
    bow_m: float,
    *,
    grip_above_m: float = GRIP_ABOVE_M,
    grip_below_m: float = GRIP_BELOW_M,
    fade_m: float = FADE_M,
    step_m: float = STEP_INCHES_M,
) -> list[Station]:
    """Marks for laying out, from the lower nock to the upper.

    The middle mark, both ends of the grip, the ends of the fades, every `step_m` from the middle, and the
    nocks. A step that falls within 3 mm of another mark is left to that mark; one inside the grip is kept,
    the maker measures there too.

    bow_m [m] nock to nock along the back; grip_above_m, grip_below_m [m] from the middle mark, zero or more;
    fade_m [m] beyond each end of the grip, zero when the bow bends through the grip; step_m [m] at least 10
    mm.
    Errors: `OutOfRange` a size; `Mismatch` grip and fades leave no limb.
    Common practice, no source.

    >>> [(round(each.at_m / INCH_M, 2), each.mark) for each in stations(36 * INCH_M, step_m=6 * INCH_M)]
    [(-18.0, 'nock'), (-12.0, 'step'), (-6.0, 'step'), (-4.5, 'fade'), (-2.5, 'grip'), (0.0, 'middle'),
     (1.0, 'grip'), (3.0, 'fade'), (6.0, 'step'), (12.0, 'step'), (18.0, 'nock')]
    """
    require(bow_m > 0, OutOfRange, "bow_length", allowed="above zero", bow_m=bow_m)
    require(step_m >= 0.010, OutOfRange, "step", allowed="at least 10 mm", step_m=step_m)
    for name, size in (("grip_above", grip_above_m), ("grip_below", grip_below_m), ("fade", fade_m)):
        require(size >= 0, OutOfRange, name, allowed="zero or more", **{f"{name}_m": size})
    half = bow_m / 2
    longest = max(grip_above_m, grip_below_m) + fade_m
    require(
        longest < half - step_m / 10,
        Mismatch,
        "grip_and_fades",
        allowed=f"below half the bow, {half:.4g} m",
        grip_and_fade_m=longest,
    )
    made = [Station(0.0, "middle"), Station(-half, "nock"), Station(half, "nock")]
    for side, grip in ((1, grip_above_m), (-1, grip_below_m)):
        named = [(grip, "grip")] if grip else []
        named += [(grip + fade_m, "fade")] if fade_m else []
        made += [Station(side * at, mark) for at, mark in named]
    taken = [each.at_m for each in made]
    for count in range(1, int(half / step_m) + 1):
        for at in (count * step_m, -count * step_m):
            if all(abs(at - other) >= ONE_MARK_M for other in taken):
                made.append(Station(at, "step"))
    return sorted(made, key=lambda each: each.at_m)


def limb_lengths(
    bow_m: float, *, grip_above_m: float = GRIP_ABOVE_M, grip_below_m: float = GRIP_BELOW_M
) -> tuple[float, float]:
    """Upper and lower limb from the end of the grip to the nock [m]; the lower is the shorter.

    >>> upper, lower = limb_lengths(72 * INCH_M)
    >>> round(upper / INCH_M, 9), round(lower / INCH_M, 9)
    (35.0, 33.5)
    """
    require_numbers(bow_m=bow_m, grip_above_m=grip_above_m, grip_below_m=grip_below_m)
    return bow_m / 2 - grip_above_m, bow_m / 2 - grip_below_m


def draw_from_arm_span(span_m: float) -> float:
    """A first guess at an archer's draw [m]: the span of both arms over 2.5.

    Common practice, no source.

    >>> round(draw_from_arm_span(1.78), 3)
    0.712
    """
    require(span_m > 0, OutOfRange, "arm_span", allowed="above zero", span_m=span_m)
    return span_m / 2.5


def full_compass_length(draw_m: float) -> Lengths:
    """Length of a bow that bends through the grip: 2.3 to 2.6 times the draw, nock to nock.

    Common practice, no source.

    >>> lengths = full_compass_length(28 * INCH_M)
    >>> round(lengths.least_m / INCH_M, 1), round(lengths.most_m / INCH_M, 1)
    (64.4, 72.8)
    """
    require(draw_m > 0, OutOfRange, "draw", allowed="above zero", draw_m=draw_m)
    least, most = (times * draw_m for times in FULL_COMPASS_TIMES_DRAW)
    return Lengths(least, most, "full_compass")


def stiff_handled_length(draw_m: float, *, grip_m: float, fade_m: float = FADE_M) -> Lengths:
    """Least length of a stiff-handled bow: about twice the draw, and the grip and both fades besides.

    grip_m [m] the whole grip; fade_m [m] each fade. `most_m` is the full-compass bow's upper limit with the
    same addition. Common practice, no source.

    >>> round(stiff_handled_length(28 * INCH_M, grip_m=4 * INCH_M).least_m / INCH_M, 1)
    64.0
    """
    require(draw_m > 0, OutOfRange, "draw", allowed="above zero", draw_m=draw_m)
    require(
        grip_m >= 0 and fade_m >= 0, OutOfRange, "grip", allowed="zero or more", grip_m=grip_m, fade_m=fade_m
    )
    stiff = grip_m + 2 * fade_m
    return Lengths(2 * draw_m + stiff, FULL_COMPASS_TIMES_DRAW[1] * draw_m + stiff, "stiff_handled")
