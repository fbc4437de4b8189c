"""How width or depth should run from the grip to the tip: straight, to a strain, or to draw into an arc.

All lengths along the limb are measured from where it leaves the grip, and moments are those of the drawn bow.
Tips carry hardly any moment and would come out as a hair: `least_m` is what is left there for nock and
sideways stiffness.
"""

from dataclasses import dataclass

import numpy as np

from workshop.calc.errors import Mismatch, NoSolution, OutOfRange, require, require_numbers

# Surface strain = factor x M / (E w d^2). A rectangle: half the depth over a second moment of w d^3 / 12.
RECTANGLE = 6.0

# Beyond this turn of the tip [rad] an arc of given length comes no nearer to the archer: tan(a / 2) = a.
_FURTHEST_TURN = 2.331122


@dataclass(frozen=True)
class ArcLimb:
    """A limb that draws into an arc of a circle: its radius and turn, and how stiff it must be along `at_m`.

    `share` is EI at each place over EI where the limb leaves the grip: the distance to the string there over
    the distance to the string at the grip, `root_to_string_m`. `string_sine` is the sine of the angle between
    the string and the grip's line.
    """

    radius_m: float
    tip_angle_rad: float
    root_to_string_m: float
    string_sine: float
    at_m: np.ndarray
    share: np.ndarray

    def root_moment(self, weight_n: float) -> float:
        """Bending moment [N m] where the limb leaves the grip: string tension x distance to the string."""
        return weight_n / (2 * self.string_sine) * self.root_to_string_m

    def widths(self, root_m: float, least_m: float = 0.0) -> np.ndarray:
        """Widths [m] at constant depth: stiffness goes with the width."""
        return np.maximum(root_m * self.share, least_m)

    def depths(self, root_m: float, least_m: float = 0.0) -> np.ndarray:
        """Depths [m] at constant width: stiffness goes with the cube of the depth."""
        return np.maximum(root_m * np.cbrt(self.share), least_m)


def straight(at_m: np.ndarray, limb_m: float, *, root_m: float, tip_m: float) -> np.ndarray:
    """A size falling in a straight line from the grip to the tip [m].

    >>> straight(np.array([0.0, 0.4, 0.8]), 0.8, root_m=0.045, tip_m=0.015).tolist()
    [0.045, 0.03, 0.015]
    """
    at = _along(at_m, limb_m)
    require(root_m > 0 and tip_m > 0, OutOfRange, "size", allowed="above zero", root_m=root_m, tip_m=tip_m)
    return root_m + (tip_m - root_m) * at / limb_m


def depths_for_strain(
    moments_nm: np.ndarray,
    widths_m: np.ndarray,
    *,
    modulus_pa: float,
    strain: float,
    fibre_factor: float = RECTANGLE,
    least_m: float = 0.0,
) -> np.ndarray:
    """Depths [m] that bring every place to one surface strain: d = sqrt(factor M / (E w strain)).

    moments_nm [N m] of the drawn bow, zero or more; widths_m [m]; modulus_pa [Pa]; strain a fraction (0.009
    is 0.9 %); fibre_factor for the section, depth x distance of the furthest fibre x width x depth over the
    second moment (6 for a rectangle, about 9 for a deep D).
    Errors: `OutOfRange`, `Mismatch`. Source: beam theory (beam of uniform strength).

    >>> depths_for_strain([120.0], [0.04], modulus_pa=1e10, strain=0.008).round(6).tolist()
    [0.015]
    """
    require_numbers(least_m=least_m)
    moments, widths = _paired(moments_nm, widths_m, "width")
    _require_wood(modulus_pa, strain, fibre_factor)
    return np.maximum(np.sqrt(fibre_factor * moments / (modulus_pa * widths * strain)), least_m)


def widths_for_strain(
    moments_nm: np.ndarray,
    depths_m: np.ndarray,
    *,
    modulus_pa: float,
    strain: float,
    fibre_factor: float = RECTANGLE,
    least_m: float = 0.0,
) -> np.ndarray:
    """Widths [m] that bring every place to one surface strain: w = factor M / (E strain d^2).

    As `depths_for_strain`, with the depths given.

    >>> widths_for_strain([120.0], [0.015], modulus_pa=1e10, strain=0.008).round(6).tolist()
    [0.04]
    """
    require_numbers(least_m=least_m)
    moments, depths = _paired(moments_nm, depths_m, "depth")
    _require_wood(modulus_pa, strain, fibre_factor)
    return np.maximum(fibre_factor * moments / (modulus_pa * strain * depths**2), least_m)


def surface_strain(depth_m: float, radius_m: float) -> float:
    """Strain at back and belly of a limb with its neutral axis in the middle, bent to a radius: depth / 2 R.

    Klopsteg's rough guides (part 4 of his article on the bowstave): yew bears R / depth of about 45, osage
    35.

    >>> round(100 * surface_strain(1, 45), 4), round(100 * surface_strain(1, 35), 4)
    (1.1111, 1.4286)
    """
    require(
        depth_m > 0 and radius_m > 0, OutOfRange, "size", allowed="above zero", sizes_m=[depth_m, radius_m]
    )
    return depth_m / (2 * radius_m)


def arc_limb(
    at_m: np.ndarray, *, limb_m: float, grip_half_m: float, draw_m: float, string_half_m: float
) -> ArcLimb:
    """How the stiffness must run for the drawn limb to stand in an arc of a circle.

    The bending moment is string tension x distance to the string, so constant curvature wants EI in
    proportion to that distance: at constant depth a width bulged against the straight taper (Nagler, "Bow
    design", part 2). The arc leaves the grip upright; its radius is the one whose tip the string just
    reaches.

    at_m [m] places along the limb, 0 to limb_m; grip_half_m [m] half the part that does not bend; draw_m [m]
    from the axis of the grip; string_half_m [m] half the string.
    Errors: `OutOfRange` sizes; `NoSolution` code `string_too_long` (never tight at that draw) or
    `out_of_reach`.

    >>> limb = arc_limb(np.array([16.0]), limb_m=32, grip_half_m=4, draw_m=28, string_half_m=35.2431)
    >>> round(limb.radius_m, 3), round(float(np.degrees(limb.tip_angle_rad)), 3), limb.share.round(5).tolist()
    (36.239, 50.594, [0.59393])
    """
    at = _along(at_m, limb_m)
    require(grip_half_m >= 0, OutOfRange, "grip", allowed="zero or more", grip_half_m=grip_half_m)
    require(draw_m > 0 and string_half_m > 0, OutOfRange, "draw", allowed="above zero", draw_m=draw_m)

    def place(turn: float, length: float | np.ndarray) -> tuple:
        angle = turn * np.asarray(length) / limb_m
        return limb_m / turn * (1 - np.cos(angle)), grip_half_m + limb_m / turn * np.sin(angle)

    def too_far(turn: float) -> float:
        x, y = place(turn, limb_m)
        return float(np.hypot(draw_m - x, y)) - string_half_m

    given = {"draw_m": draw_m, "string_half_m": string_half_m}
    require(too_far(1e-6) > 0, NoSolution, "string_too_long", allowed="a string that is tight", **given)
    require(too_far(_FURTHEST_TURN) < 0, NoSolution, "out_of_reach", allowed="a nearer draw", **given)
    low, high = 1e-6, _FURTHEST_TURN
    for _ in range(60):
        middle = (low + high) / 2
        low, high = (middle, high) if too_far(middle) > 0 else (low, middle)
    x_tip, y_tip = place(low, limb_m)
    x, y = place(low, np.r_[0.0, at])
    # Distance of each place from the line through tip and hand.
    distance = ((draw_m - x) * y_tip - (draw_m - x_tip) * y) / string_half_m
    return ArcLimb(
        radius_m=limb_m / low,
        tip_angle_rad=low,
        root_to_string_m=float(distance[0]),
        string_sine=float((draw_m - x_tip) / string_half_m),
        at_m=at,
        share=distance[1:] / distance[0],
    )


def _along(at_m: np.ndarray, limb_m: float) -> np.ndarray:
    at = np.asarray(at_m, float)
    require(limb_m > 0, OutOfRange, "limb", allowed="above zero", limb_m=limb_m)
    within = bool(np.all((at >= 0) & (at <= limb_m * (1 + 1e-9))))
    require(within, OutOfRange, "station", allowed=f"0 to {limb_m} m along the limb", at_m=at.tolist())
    return at


def _paired(moments_nm: np.ndarray, sizes_m: np.ndarray, name: str) -> tuple[np.ndarray, np.ndarray]:
    moments, sizes = np.asarray(moments_nm, float), np.asarray(sizes_m, float)
    require(
        moments.shape == sizes.shape,
        Mismatch,
        "stations",
        allowed=f"one {name} to a moment",
        moments=moments.size,
        sizes=sizes.size,
    )
    require(
        bool(np.all(moments >= 0)), OutOfRange, "moment", allowed="zero or more", moments_nm=moments.tolist()
    )
    require(bool(np.all(sizes > 0)), OutOfRange, name, allowed="above zero", sizes_m=sizes.tolist())
    return moments, sizes


def _require_wood(modulus_pa: float, strain: float, fibre_factor: float) -> None:
    require(modulus_pa > 0, OutOfRange, "modulus", allowed="above zero", modulus_pa=modulus_pa)
    require(
        0 < strain < 0.1, OutOfRange, "strain", allowed="a fraction, above 0 and below 0.1", strain=strain
    )
    require(fibre_factor > 0, OutOfRange, "fibre_factor", allowed="above zero", fibre_factor=fibre_factor)
