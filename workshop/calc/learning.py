"""How far this workshop's own projections have been out, and what that does to the next one.

Every projection made is kept and later joined to what was measured. The ratio of the two, over many bows,
says whether the shop's projections read high and how wide a band really holds eight outcomes in ten.
"""

import math
from collections.abc import Iterable
from dataclasses import dataclass, replace

import numpy as np

from workshop.calc.errors import OutOfRange, require
from workshop.calc.projection import BAND_80, Projection

# A projection's own band counts as much as this many outcomes.
OWN_BAND_COUNTS = 6
# That the projection is right in the mean counts as much as this many outcomes.
NO_BIAS_COUNTS = 3

# Errors are compared as if each had been made at 60 % of the draw; one made nearer is taken to be smaller in
# proportion, but never less than what a scale and a draw mark leave at a tenth.
_USUAL_REST, _LEAST_REST = 0.4, 0.1


@dataclass(frozen=True)
class Outcome:
    """A projection joined to its outcome: weight measured over weight expected, and how far it looked ahead.

    `rest_share` is the share of the draw that was still to go when it was made.
    """

    ratio: float
    rest_share: float


def learn(projection: Projection, last_draw_m: float, past: Iterable[Outcome]) -> Projection:
    """The projection moved and its band widened or narrowed by the shop's past outcomes of the same method.

    The log of each ratio, brought to the same distance, is taken as normal with unknown mean and spread. The
    mean is drawn to nothing as if by `NO_BIAS_COUNTS` outcomes without error, the spread to the projection's
    own band as if by `OWN_BAND_COUNTS`; the band is Student's, so few outcomes leave it wide.

    last_draw_m [m] the furthest point the projection was made from.
    Errors: `OutOfRange` a ratio not above zero or not below ten, a share outside 0 to 1.

    >>> made = Projection("solved_shape", 0.70, 200.0, 190.0, 210.0)
    >>> high = learn(made, 0.42, [Outcome(0.95, 0.4)] * 9)
    >>> round(high.force_n, 1)
    192.5
    """
    past = list(past)
    for each in past:
        require(0 < each.ratio < 10, OutOfRange, "ratio", allowed="above 0, below 10", ratio=each.ratio)
        require(
            0 <= each.rest_share <= 1, OutOfRange, "rest_share", allowed="0 to 1", rest_share=each.rest_share
        )
    if not past:
        return projection
    here = _reach((projection.draw_m - last_draw_m) / projection.draw_m)
    errors = np.array([math.log(each.ratio) / _reach(each.rest_share) for each in past])
    count = len(errors)
    mean = float(errors.sum()) / (count + NO_BIAS_COUNTS)
    own = projection.sd_n / projection.force_n / here
    # The pull toward no bias is one more squared departure, as in any conjugate normal model.
    squares = float(np.sum((errors - mean) ** 2)) + NO_BIAS_COUNTS * mean**2 + OWN_BAND_COUNTS * own**2
    freedom = count + OWN_BAND_COUNTS
    spread = math.sqrt(squares / freedom * (1 + 1 / (count + NO_BIAS_COUNTS)))
    half = student_80(freedom) * spread * here
    middle = math.log(projection.force_n) + mean * here
    return replace(
        projection, force_n=math.exp(middle), low_n=math.exp(middle - half), high_n=math.exp(middle + half)
    )


def student_80(freedom: int) -> float:
    """Half width of Student's 80 % interval, in standard deviations (scipy's value to 1e-3 from seven on).

    Expansion in 1 / freedom: t = z + (z^3 + z) / 4f + (5 z^5 + 16 z^3 + 3 z) / 96 f^2 (Abramowitz & Stegun
    26.7.5).

    >>> round(student_80(10), 3)
    1.372
    """
    require(freedom >= 1, OutOfRange, "freedom", allowed="at least 1", freedom=freedom)
    z = BAND_80
    return z + (z**3 + z) / (4 * freedom) + (5 * z**5 + 16 * z**3 + 3 * z) / (96 * freedom**2)


def _reach(rest_share: float) -> float:
    return max(rest_share, _LEAST_REST) / _USUAL_REST
