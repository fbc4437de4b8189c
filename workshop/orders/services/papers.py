"""Papers as they leave: kept once with their bytes, handed out again as they were."""

import hashlib

from django.db import models, transaction
from django.utils import timezone

from workshop.bows.models import Bow
from workshop.ledger.numbers import hold_numbers
from workshop.ledger.services import entry_add, entry_kept
from workshop.orders.models import IssuedPaper, Order
from workshop.staves.models import Stave

ABOUT = {Bow: "bow", Stave: "stave", Order: "order"}


@transaction.atomic
def paper_issue(
    *, kind: str, subject: Bow | Stave | Order, facts: dict, pdf: bytes, by, entry_key=None, **values
) -> IssuedPaper:
    """Keep a paper about `subject`: what stands on it, its bytes and their checksum, under the next number.

    Whoever calls this has made `facts` and `pdf`. The same `entry_key` twice is one paper.
    """
    if kept := entry_kept(IssuedPaper, entry_key):
        return kept
    hold_numbers()
    paper = IssuedPaper(
        number=_next_number(),
        kind=kind,
        facts=facts,
        pdf=pdf,
        sha256=hashlib.sha256(pdf).hexdigest(),
        **{ABOUT[type(subject)]: subject, "happened_on": timezone.localdate(), **values},
    )
    if entry_key:
        paper.entry_key = entry_key
    return entry_add(paper, by=by)


def _next_number() -> int:
    return (IssuedPaper.objects.aggregate(last=models.Max("number"))["last"] or 0) + 1


def paper_is_whole(paper: IssuedPaper) -> bool:
    """Whether the bytes kept are still those that were issued."""
    return hashlib.sha256(bytes(paper.pdf)).hexdigest() == paper.sha256
