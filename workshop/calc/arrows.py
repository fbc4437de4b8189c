"""Arrow spine: the two conventions, what they say of a shaft's stiffness, and a first spine for a bow.

Wood shafts: 2 lb hung in the middle of a 26 in span; the rating in pounds is 26 over the deflection in
inches. ASTM F2031: 1.94 lb hung in the middle of a 28 in span; the deflection in inches is the spine.
"""

import math
from dataclasses import dataclass

from workshop.calc.errors import OutOfRange, require, require_numbers
from workshop.calc.imperial import INCH_M, POUND_N

WOOD_SPAN_M, WOOD_LOAD_N = 26 * INCH_M, 2 * POUND_N
ASTM_SPAN_M, ASTM_LOAD_N = 28 * INCH_M, 1.94 * POUND_N

# First bending mode of a slender free rod: (beta L)^2, with cos x cosh x = 1.
_FREE_ROD = 22.3733

# How many times a shaft bends to and fro while the string drives it; see `first_spine`.
CYCLES = 1.005


@dataclass(frozen=True)
class FirstSpine:
    """A first shaft to try: stiffness with a range, and the same as a wood rating [lb]. Our own reckoning."""

    stiffness_nm2: float
    low_nm2: float
    high_nm2: float

    @property
    def rating_lb(self) -> float:
        """Wood rating in pounds."""
        return wood_rating(self.stiffness_nm2)

    @property
    def range_lb(self) -> tuple[float, float]:
        """Range of the wood rating in pounds."""
        return wood_rating(self.low_nm2), wood_rating(self.high_nm2)


def stiffness_from_deflection(deflection_m: float, span_m: float, load_n: float) -> float:
    """Bending stiffness of a shaft on two supports [N m^2]: EI = P L^3 / 48 d.

    >>> round(stiffness_from_deflection(0.65 * INCH_M, WOOD_SPAN_M, WOOD_LOAD_N), 6)
    3.233325
    """
    for name, value in (("deflection_m", deflection_m), ("span_m", span_m), ("load_n", load_n)):
        require(
            math.isfinite(value) and value > 0, OutOfRange, "spine", allowed="above zero", **{name: value}
        )
    return load_n * span_m**3 / (48 * deflection_m)


def stiffness_from_wood(rating_lb: float) -> float:
    """Bending stiffness of a shaft of this wood rating [N m^2]: in proportion to the pounds.

    >>> round(stiffness_from_wood(40), 6)
    3.233325
    """
    require(rating_lb > 0, OutOfRange, "spine", allowed="above zero", rating_lb=rating_lb)
    return stiffness_from_deflection(26 / rating_lb * INCH_M, WOOD_SPAN_M, WOOD_LOAD_N)


def stiffness_from_astm(deflection_in: float) -> float:
    """Bending stiffness of a shaft of this ASTM spine [N m^2].

    >>> round(wood_rating(stiffness_from_astm(0.500)), 3)
    62.998
    """
    return stiffness_from_deflection(deflection_in * INCH_M, ASTM_SPAN_M, ASTM_LOAD_N)


def wood_rating(stiffness_nm2: float) -> float:
    """Wood rating [lb]: 26 over the deflection in inches of 2 lb on 26 in.

    Source: 26 in centres and 2 lb in Rheingans & Nagler (*Archery: The Technical Side*, 1947); rating by a
    shaft maker's published letter.

    >>> round(wood_rating(4.041656), 3)
    50.0
    """
    require(stiffness_nm2 > 0, OutOfRange, "stiffness", allowed="above zero", stiffness_nm2=stiffness_nm2)
    return 26 * INCH_M * 48 * stiffness_nm2 / (WOOD_LOAD_N * WOOD_SPAN_M**3)


def astm_spine(stiffness_nm2: float) -> float:
    """ASTM F2031 spine [in]: deflection of 1.94 lb on 28 in.

    >>> round(astm_spine(stiffness_from_wood(50)), 5)
    0.62998
    """
    require(stiffness_nm2 > 0, OutOfRange, "stiffness", allowed="above zero", stiffness_nm2=stiffness_nm2)
    return ASTM_LOAD_N * ASTM_SPAN_M**3 / (48 * stiffness_nm2) / INCH_M


def modulus_of_dowel(stiffness_nm2: float, diameter_m: float) -> float:
    """Modulus of a round shaft [Pa]: E = EI / (pi d^4 / 64).

    >>> round(modulus_of_dowel(stiffness_from_wood(40), 11 / 32 * INCH_M) / 6894.757293168, -2)
    1643800.0
    """
    require_numbers(stiffness_nm2=stiffness_nm2)
    require(diameter_m > 0, OutOfRange, "diameter", allowed="above zero", diameter_m=diameter_m)
    return stiffness_nm2 / (math.pi * diameter_m**4 / 64)


def wood_quality(deflection_in: float, mass_gr: float) -> float:
    """Arrow wood judged by one figure whatever the bar's size: N = D W^2 / 1000; the lower the better.

    D [in] under 2 lb on 26 in, W [grains] of a 28 in square bar; a round dowel's figure is the square's over
    0.95.
    Source: Rheingans & Nagler (1947): Sitka spruce 35 exceptional, 39 good, 43 average, 60 poor. That N is
    D W^2 / 1000 is our inference: it is the only product that does not depend on size, and it fits their
    scale.

    >>> round(wood_quality(0.26, 380), 1)
    37.5
    """
    require(deflection_in > 0, OutOfRange, "deflection", allowed="above zero", deflection_in=deflection_in)
    require(mass_gr > 0, OutOfRange, "mass", allowed="above zero", mass_gr=mass_gr)
    return deflection_in * mass_gr**2 / 1000


def first_spine(
    energy_j: float, stroke_m: float, arrow_m: float, *, efficiency: float = 0.70, spread_pct: float = 15.0
) -> FirstSpine:
    """A first spine for a bow: our own reckoning, to be tried, never a maker's chart.

    Reasoning. A shaft loosed from a bow that is not cut to centre has to bend round the grip and back while
    the string drives it: what must fit is the time of its bending to the time of the drive. A free rod of
    length L and mass m bends in 2 pi L^2 / 22.37 x sqrt(m / (EI L)) a cycle. A string that pulls less and
    less as it comes home drives over the stroke s in about a quarter of a swing, (pi / 2) s / v, and m v^2 =
    2 efficiency E. The mass drops out, and n bends during the drive want

        EI = 32 (n / 22.37)^2 efficiency E L^3 / s^2.

    n = 1.005 is set once, so that what archers try first comes out (common practice, no source: as many pounds
    of spine as of draw) for a straight bow drawn to 28 in, storing 0.9 ft lb a pound over 20.5 in, with the shaft of
    29 in that goes with that draw. The
    formula then says how the shaft goes with the bow: stiffer for more energy, much stiffer for a longer
    shaft. Grip width, point and fletching are not in it; a wider grip and a heavier point want a softer and a
    stiffer shaft than this.

    energy_j [J] stored at the archer's draw; stroke_m [m] draw less brace; arrow_m [m] nock to the back of
    the point; efficiency a fraction; spread_pct [%] of the range.
    Errors: `OutOfRange`.

    >>> spine = first_spine(0.9 * 45 * 1.3558179, 20.5 * INCH_M, 29 * INCH_M)
    >>> round(spine.rating_lb), [round(each) for each in spine.range_lb]
    (45, [38, 52])
    """
    for name, value in (("energy_j", energy_j), ("stroke_m", stroke_m), ("arrow_m", arrow_m)):
        require(
            math.isfinite(value) and value > 0, OutOfRange, "spine", allowed="above zero", **{name: value}
        )
    require(
        0 < efficiency <= 1, OutOfRange, "efficiency", allowed="above 0, at most 1", efficiency=efficiency
    )
    require(0 <= spread_pct < 100, OutOfRange, "spread", allowed="0 to below 100", spread_pct=spread_pct)
    stiffness = 32 * (CYCLES / _FREE_ROD) ** 2 * efficiency * energy_j * arrow_m**3 / stroke_m**2
    spread = spread_pct / 100
    return FirstSpine(stiffness, stiffness * (1 - spread), stiffness * (1 + spread))
