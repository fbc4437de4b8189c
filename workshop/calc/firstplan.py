"""A first plan for a bow from its draw, weight, timber and length: sizes that draw into an arc of a circle.

In an arc the strain is known at once (half the depth over the radius), the radius follows from the lengths,
and the stiffness from the weight; so depth and width come out in closed form. It is a beginning to solve,
compare and change, not a bow: natural bend, two unlike limbs and the tiller wanted are not in it.
"""

from dataclasses import dataclass

import numpy as np

from workshop.calc.bowstring import string_length
from workshop.calc.errors import OutOfRange, require, require_numbers
from workshop.calc.tapers import arc_limb

# Which sizes carry the taper, and how: stiffness goes with width, with the cube of depth, or with both
# together.
TAPERS = {"width": (1.0, 0.0), "depth": (0.0, 1 / 3), "both": (1 / 4, 1 / 4)}


@dataclass(frozen=True)
class Shape:
    """A section: second moment over width x depth^3, and the furthest fibre's distance over the depth."""

    second_moment: float
    furthest_fibre: float


RECTANGLE = Shape(1 / 12, 1 / 2)
# Flat for two fifths of its depth at the back, half an ellipse for three fifths at the belly: 0.742900 of the
# rectangle's second moment, neutral axis 0.445912 of the depth from the back (closed form, mechanics of
# sections).
DEEP_D = Shape(0.742900 / 12, 1 - 0.445912)


@dataclass(frozen=True)
class FirstPlan:
    """Width and depth at each station from the middle mark, alike on both limbs, and the arc's radius.

    `ok` is false when the tips' least size makes up more than the last fifth of the limb (`why`:
    `least_size`): then the bow will be stiffer there than an arc wants.
    """

    stations_m: np.ndarray
    widths_m: np.ndarray
    depths_m: np.ndarray
    radius_m: float
    ok: bool
    why: str


def first_plan(
    *,
    bow_m: float,
    stiff_m: float,
    draw_m: float,
    brace_m: float,
    weight_n: float,
    modulus_pa: float,
    strain: float,
    taper: str = "width",
    shape: Shape = RECTANGLE,
    least_width_m: float = 0.010,
    least_depth_m: float = 0.006,
    places: int = 9,
) -> FirstPlan:
    """Sizes for a straight bow of this weight at this draw, strained so far where it leaves the grip.

    depth = strain x radius / furthest fibre; stiffness at the grip = moment x radius; width = stiffness /
    (modulus x second moment x depth^3); toward the tip both fall as `taper` says so that the stiffness goes
    with the distance to the string.

    bow_m [m] nock to nock; stiff_m [m] what does not bend in the middle; draw_m, brace_m [m] from the limb's
    axis; weight_n [N]; modulus_pa [Pa]; strain a fraction, the maker's for that timber; taper one of width (a
    flat limb of even depth), depth, both (a longbow narrowing and thinning together); least_width_m and
    least_depth_m [m] are left at the tips, as far as the limb has them at the grip; places along each limb.
    Errors: `OutOfRange`; `NoSolution` when the draw is out of such a bow's reach.

    >>> lengths = {"bow_m": 1.73, "stiff_m": 0.20, "draw_m": 0.68, "brace_m": 0.17}
    >>> plan = first_plan(**lengths, weight_n=200.0, modulus_pa=11e9, strain=0.008)
    >>> [round(1000 * float(each), 1) for each in (plan.depths_m[0], plan.widths_m[0], plan.widths_m[4])]
    [13.3, 52.7, 31.3]
    """
    require_numbers(least_width_m=least_width_m, least_depth_m=least_depth_m)
    require(taper in TAPERS, OutOfRange, "taper", allowed=", ".join(TAPERS), taper=taper)
    require(places >= 2, OutOfRange, "places", allowed="at least two", places=places)
    for name, value in (("weight_n", weight_n), ("modulus_pa", modulus_pa)):
        require(value > 0, OutOfRange, name.split("_")[0], allowed="above zero", **{name: value})
    require(
        draw_m > brace_m,
        OutOfRange,
        "draw",
        allowed="more than the brace height",
        draw_m=draw_m,
        brace_m=brace_m,
    )
    require(
        0 < strain < 0.1, OutOfRange, "strain", allowed="a fraction, above 0 and below 0.1", strain=strain
    )
    string_m = string_length(bow_m, brace_m, grip_m=stiff_m)
    limb_m = (bow_m - stiff_m) / 2
    along = np.linspace(0, limb_m, places)
    arc = arc_limb(along, limb_m=limb_m, grip_half_m=stiff_m / 2, draw_m=draw_m, string_half_m=string_m / 2)
    depth = strain * arc.radius_m / shape.furthest_fibre
    width = arc.root_moment(weight_n) * arc.radius_m / (modulus_pa * shape.second_moment * depth**3)
    by_width, by_depth = (np.maximum(arc.share, 0) ** power for power in TAPERS[taper])
    least_width_m, least_depth_m = min(least_width_m, width), min(least_depth_m, depth)
    widths, depths = np.maximum(width * by_width, least_width_m), np.maximum(depth * by_depth, least_depth_m)
    at_least = (width * by_width < least_width_m) | (depth * by_depth < least_depth_m)
    fits = not bool(np.any(at_least & (along < 0.8 * limb_m)))
    return FirstPlan(stiff_m / 2 + along, widths, depths, arc.radius_m, fits, "" if fits else "least_size")
