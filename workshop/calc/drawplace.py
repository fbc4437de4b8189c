"""From where a draw is measured, and how one place is carried to another.

    back    the back of the grip, nearest the target (traditional)
    trade   the pivot point of the grip and 1 3/4 in on (AMO/ATA)
    axis    the axis of the limb at the middle of the bow, where the statics measures
    belly   the pivot point itself, the deepest part of the grip; brace height is measured from here

A draw is carried over only with the bow's own depths; without them it stays what it was.
"""

from workshop.calc.errors import Mismatch, OutOfRange, require
from workshop.calc.imperial import INCH_M

TRADE_BEYOND_PIVOT_M = 1.75 * INCH_M

PLACES = ("back", "trade", "axis", "belly")


def carry(
    draw_m: float,
    from_place: str,
    to_place: str,
    *,
    grip_depth_m: float | None = None,
    limb_depth_m: float | None = None,
) -> float:
    """The same draw measured from another place [m].

    Each place lies so far in front of the pivot point: back, the grip's depth; trade, 1 3/4 in; axis, the
    grip's depth less half the limb's; belly, nothing. A draw is longer by as much as its place lies further
    in front.

    draw_m [m] above zero; grip_depth_m [m] back to pivot point; limb_depth_m [m] of the limb beside the grip:
    where it is not given the bow is taken to bend through a grip as deep as the limb.
    Errors: `OutOfRange` an unknown place, a depth not above zero, a draw that would not be above zero;
    `Mismatch` code `grip_depth` when the depth is needed and not known.
    Source: AMO Field Publication FP-3 (2000): draw length is the distance to the pivot point plus 1 3/4 in.

    >>> round(carry(26.25 * INCH_M, "belly", "trade") / INCH_M, 9)
    28.0
    >>> round(carry(28 * INCH_M, "trade", "back", grip_depth_m=1.25 * INCH_M) / INCH_M, 9)
    27.5
    """
    for place in (from_place, to_place):
        require(place in PLACES, OutOfRange, "place", allowed=", ".join(PLACES), place=place)
    if from_place == to_place:
        return draw_m
    ahead = [_before_pivot(place, grip_depth_m, limb_depth_m) for place in (from_place, to_place)]
    carried = draw_m - ahead[0] + ahead[1]
    require(
        draw_m > 0 and carried > 0, OutOfRange, "draw", allowed="above zero", draw_m=draw_m, carried_m=carried
    )
    return carried


def _before_pivot(place: str, grip_depth_m: float | None, limb_depth_m: float | None) -> float:
    if place == "belly":
        return 0.0
    if place == "trade":
        return TRADE_BEYOND_PIVOT_M
    require(grip_depth_m is not None, Mismatch, "grip_depth", allowed="the bow's own grip depth", place=place)
    require(grip_depth_m > 0, OutOfRange, "grip_depth", allowed="above zero", grip_depth_m=grip_depth_m)
    if place == "back":
        return grip_depth_m
    limb = grip_depth_m if limb_depth_m is None else limb_depth_m
    require(limb > 0, OutOfRange, "limb_depth", allowed="above zero", limb_depth_m=limb_depth_m)
    return grip_depth_m - limb / 2
