"""Where a draw is measured from, and the way from one convention to another by the bow's own grip.

All conventions measure to the arrow's nock on the string, along the arrow:

- `back`: from the back of the bow at the grip;
- `belly`: from the belly of the grip, its deepest point, the pivot of the hand;
- `trade`: from that pivot plus 1 3/4 in (AMO Field Publication FP-3, 2000);
- `axis`: from the limb's axis at the grip, where the statics measure.

The brace height is measured from the belly of the grip to the string.
"""

from dataclasses import dataclass

from workshop.calc.errors import OutOfRange, TooFew, require, require_numbers
from workshop.calc.imperial import INCH_M

STANDARD_BEYOND_PIVOT_M = 1.75 * INCH_M
FROM = ("back", "belly", "trade", "axis")


@dataclass(frozen=True)
class GripDepth:
    """Depth of the grip from back to belly at the pivot, and of the limb's axis from the back.

    Without its own figure the axis lies half way. A depth is needed for every step but that between belly and
    trade standard; without one nothing else is converted.
    """

    depth_m: float | None = None
    axis_from_back_m: float | None = None

    def __post_init__(self) -> None:
        if self.depth_m is None:
            alone = self.axis_from_back_m is None
            require(
                alone, TooFew, "grip_depth", axis_from_back_m=self.axis_from_back_m, allowed="depth as well"
            )
            return
        require(self.depth_m > 0, OutOfRange, "grip_depth", depth_m=self.depth_m, allowed="above 0")
        within = 0 <= self._axis_m <= self.depth_m
        require(within, OutOfRange, "axis", axis_from_back_m=self.axis_from_back_m, allowed="within the grip")

    def convert(self, draw_m: float, *, given: str, wanted: str) -> float:
        """A draw measured from `given` as it would be measured from `wanted`.

        Raises OutOfRange for a convention not in `FROM` or a draw that would not be above zero, TooFew where an
        unknown grip depth is needed.

        >>> GripDepth().convert(26.25 * 0.0254, given="belly", wanted="trade") / 0.0254
        28.0
        >>> round(GripDepth(depth_m=0.050).convert(0.70, given="back", wanted="axis"), 3)
        0.675
        """
        for name in (given, wanted):
            require(name in FROM, OutOfRange, "measured_from", measured_from=name, allowed=", ".join(FROM))
        if given == wanted:
            return draw_m
        converted = draw_m - self._beyond_belly_m(given) + self._beyond_belly_m(wanted)
        above = draw_m > 0 and converted > 0
        require(
            above, OutOfRange, "draw", draw_m=draw_m, converted_m=converted, allowed="above zero from both"
        )
        return converted

    def brace_on_axis(self, brace_height_m: float) -> float:
        """The brace height from the belly as the statics take it, from the limb's axis.

        >>> round(GripDepth(depth_m=0.050, axis_from_back_m=0.020).brace_on_axis(0.160), 3)
        0.19
        """
        require_numbers(brace_height_m=brace_height_m)
        return brace_height_m + self._beyond_belly_m("axis")

    def brace_from_belly(self, on_axis_m: float) -> float:
        """The other way: what a rule laid on the belly of the grip would read."""
        require_numbers(on_axis_m=on_axis_m)
        return on_axis_m - self._beyond_belly_m("axis")

    @property
    def _axis_m(self) -> float:
        return self.depth_m / 2 if self.axis_from_back_m is None else self.axis_from_back_m

    def _beyond_belly_m(self, name: str) -> float:
        """How much longer a draw reads from here than from the belly."""
        if name == "belly":
            return 0.0
        if name == "trade":
            return STANDARD_BEYOND_PIVOT_M
        known = self.depth_m is not None
        require(
            known, TooFew, "grip_depth", measured_from=name, allowed="the grip's depth from back to belly"
        )
        return self.depth_m if name == "back" else self.depth_m - self._axis_m


def on_limb_axis_m(
    draw_m: float, place: str, *, limb_depth_m: float, grip_depth_m: float | None = None
) -> float:
    """A draw or a brace height measured from `place` as the statics take it, from the limb's axis [m].

    limb_depth_m [m] of the limb where it begins to bend: its axis lies half of that beneath the back, flush with the
    grip's; grip_depth_m [m] back to belly, which every place but the back needs.
    Errors: `TooFew` without it; `OutOfRange`.

    >>> round(on_limb_axis_m(0.711, "back", limb_depth_m=0.016), 3)
    0.703
    >>> round(on_limb_axis_m(0.160, "belly", limb_depth_m=0.016, grip_depth_m=0.045), 3)
    0.197
    """
    require_numbers(draw_m=draw_m, limb_depth_m=limb_depth_m)
    if place == "back":  # the limb's own depth says enough
        return draw_m - limb_depth_m / 2
    grip = GripDepth() if grip_depth_m is None else GripDepth(grip_depth_m, limb_depth_m / 2)
    return grip.convert(draw_m, given=place, wanted="axis")
