"""Tags, which count on: `26-014`, `26-015`, …"""

import datetime as dt
import re

from workshop.ledger.numbers import next_of_year
from workshop.staves.models import Stave

_TAIL = re.compile(r"[0-9]+$")
_YEARLY = re.compile(r"[0-9]{2}-[0-9]+")


def counted_on(first: str, many: int) -> list[str]:
    """`many` tags from `first` on; `ValueError` where more than one is wanted and it ends in no figure.

    >>> counted_on("26-014", 3), counted_on("A 9", 2), counted_on("gift", 1)
    (['26-014', '26-015', '26-016'], ['A 9', 'A 10'], ['gift'])
    """
    tail = _TAIL.search(first)
    if tail is None:
        if many == 1:
            return [first]
        raise ValueError(first)
    stem, figures = first[: tail.start()], tail.group()
    return [f"{stem}{int(figures) + n:0{len(figures)}d}" for n in range(many)]


def next_tag(today: dt.date) -> str:
    """The tag to propose: the one after the newest piece's; tags that begin with the year begin anew with it."""
    newest = Stave.objects.filter(parent=None).order_by("-pk").values_list("tag", flat=True).first()
    if newest is None or _YEARLY.fullmatch(newest):
        return next_of_year(Stave, "tag", today, figures=3)
    if not _TAIL.search(newest):
        return ""
    return _free(counted_on(newest, 2)[1])


def next_piece_tag(stave: Stave) -> str:
    """The tag to propose for a piece cut from `stave`: `26-014/1`, `26-014/2`, …"""
    return _free(f"{stave.tag}/{stave.pieces.count() + 1}")


def _free(tag: str) -> str:
    while Stave.objects.filter(tag__iexact=tag).exists():
        tag = counted_on(tag, 2)[1]
    return tag
