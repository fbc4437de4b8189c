"""A curve as small as a word, for the rows of a list."""

from collections.abc import Sequence

from django.utils.safestring import SafeString

from .paper import Paper, finite

_WIDE, _HIGH, _EDGE = 96.0, 24.0, 4.0


def sparkline(values: Sequence[float], title: str) -> SafeString:
    """The values in their order; `title` says the same in words ("14, 12, 10 %: falling").

    >>> "M4 20L92 4" in sparkline([8, 12], "8, 12 %: rising")
    True
    """
    known = finite(enumerate(values))
    paper = Paper()
    if known:
        low, high = min(y for _, y in known), max(y for _, y in known)
        across = (_WIDE - 2 * _EDGE) / max(len(values) - 1, 1)
        tall = (_HIGH - 2 * _EDGE) / (high - low) if high > low else 0
        # Values that never change lie in the middle, not on the floor.
        base = _HIGH - _EDGE if tall else _HIGH / 2
        places = [(_EDGE + x * across, base - (y - low) * tall) for x, y in known]
        paper.path(places, "ink")
        paper.mark("dot", places[-1], "accent", 2.5)
    return paper.finished(title, "", _HIGH, kind="sparkline", width=_WIDE)
