"""A section taken with callipers: its widths at some heights above the belly, carried to other sizes."""

import itertools

import numpy as np
from numpy.typing import ArrayLike

from workshop.calc.errors import OutOfOrder, OutOfRange, TooFew, require
from workshop.calc.outline import Linear
from workshop.calc.section import Outline

Lines = tuple[tuple[float, float], ...]  # (height above the belly, width) [m], from the belly up to the back


def check_lines(lines: Lines) -> None:
    """Refuse what is no section.

    Errors: `TooFew` code `outline_lines` for fewer than two; `OutOfRange` code `outline_belly` where the first height
    is not 0, `outline_width` for a width below zero, or of zero between belly and back or at both; `OutOfOrder` code
    `outline_heights` where the heights do not rise.

    >>> check_lines(((0, 0.010), (0.012, 0.030)))
    >>> check_lines(((0, 0.010),))
    Traceback (most recent call last):
    workshop.calc.errors.TooFew: outline_lines: given lines 1; allowed: two or more
    """
    require(len(lines) >= 2, TooFew, "outline_lines", lines=len(lines), allowed="two or more")
    heights, widths = zip(*lines, strict=True)
    require(heights[0] == 0, OutOfRange, "outline_belly", height_m=heights[0], allowed="0, the belly, first")
    rising = all(later > earlier for earlier, later in itertools.pairwise(heights))
    require(rising, OutOfOrder, "outline_heights", heights_m=heights, allowed="rising from belly to back")
    wide = min(widths) >= 0 and max(widths) > 0 and all(width > 0 for width in widths[1:-1])
    require(
        wide, OutOfRange, "outline_width", widths_m=widths, allowed="above 0; 0 at the belly or the back only"
    )


def by_widths(lines: Lines, width_m: ArrayLike, depth_m: ArrayLike) -> Outline:
    """The section measured, made so wide at its widest and so deep; width straight from one height to the next.

    Sizes may be floats or arrays over stations. What leans to one side is reckoned as if it stood even: only the
    width at each height counts in bending about the axis parallel to the back. Chords cut a round belly short: a
    half-oval taken at five even heights is 14 % less stiff than it is, with the lower heights closer 4 %.
    Errors: those of `check_lines`; `OutOfRange` a size of zero or less.

    >>> trapeze = by_widths(((0, 0.020), (0.015, 0.030)), 0.030, 0.015)
    >>> round(trapeze.section(1.0).second_moment_m4 * 1e12, 6)
    6937.5
    """
    check_lines(lines)
    width, depth = np.broadcast_arrays(np.asarray(width_m, float), np.asarray(depth_m, float))
    for size_m in (width, depth):
        above = bool(np.all(np.isfinite(size_m) & (size_m > 0)))
        require(above, OutOfRange, "size", size_m=size_m.tolist(), allowed="above 0")
    heights, widths = (np.array(column, float) for column in zip(*lines, strict=True))
    from_back, share = 1 - heights[::-1] / heights[-1], widths[::-1] / widths.max()
    pieces = tuple(
        Linear(top * depth, end * depth, upper * width, lower * width)
        for (top, end), (upper, lower) in zip(
            itertools.pairwise(from_back), itertools.pairwise(share), strict=True
        )
    )
    return Outline(pieces, float(depth) if depth.ndim == 0 else depth)
