"""What is to be known before a bow leaves the workshop, or a paper of it does."""

import datetime as dt
from collections.abc import Sequence
from dataclasses import dataclass

from workshop.bows.models import Bow, BowFlaw
from workshop.bows.nextstep import Halt, halts_told
from workshop.bows.selectors.glance import halts_of, watched_of
from workshop.bows.weighing.changes import Change
from workshop.bows.weighing.passes import Weighings
from workshop.bows.weighing.selectors import rating_of, weighings_of
from workshop.bows.weighing.sentences import Sentence, change_sentence
from workshop.ledger.units import UnitsInUse

_OF_FLAWS = ("flaw_grown", "flaw_found")  # said with the flaw itself


@dataclass(frozen=True)
class Leaving:
    halts: Sequence[Halt]  # what stands before any further pull
    watched: Sequence[BowFlaw]
    change: Change | None  # of its weight, since it was rated
    changed: Sentence | None


def leaving(bow: Bow, *, shop, units: UnitsInUse, today: dt.date, known: Weighings | None = None) -> Leaving:
    """Of one bow that is to go out, or to be told of on paper."""
    known = known or weighings_of(bow)
    steps = halts_of(bow, known, shop=shop, today=today)
    change = rating_of(bow, known).change
    return Leaving(
        halts=halts_told([step for step in steps if step.code not in _OF_FLAWS], units),
        watched=watched_of(bow),
        change=change,
        changed=change_sentence(change, units) if change else None,
    )
