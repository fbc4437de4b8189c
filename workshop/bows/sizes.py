"""Widths and depths along a limb: which of them cannot be, by those beside them."""

from collections.abc import Sequence

# So many times both neighbours, or so small a part of them, is no limb: common practice, no source.
MOST_OF_NEIGHBOURS, LEAST_OF_NEIGHBOURS = 2.0, 1 / 3


def out_of_line(sizes_m: Sequence[float]) -> set[int]:
    """Which are far more, or far less, than both beside them: a slip of the figure, most often.

    >>> out_of_line([0.013, 0.152, 0.012]), out_of_line([0.040, 0.013, 0.012])
    ({1}, set())
    """
    threes = enumerate(zip(sizes_m, sizes_m[1:], sizes_m[2:], strict=False), 1)
    return {
        number
        for number, (before, here, after) in threes
        if here > MOST_OF_NEIGHBOURS * max(before, after) or here < LEAST_OF_NEIGHBOURS * min(before, after)
    }
