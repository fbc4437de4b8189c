"""Everything of one bow for its page: its whole life, in a constant number of queries."""

import datetime as dt
from collections.abc import Sequence
from dataclasses import dataclass

from django.db.models import Prefetch, prefetch_related_objects

from workshop.bows.models import (
    BenchTime,
    Bow,
    BowNote,
    BowPhoto,
    BraceReading,
    Dimension,
    MassReading,
    ShotsFired,
    Speed,
    StageMove,
    StageTick,
    UpperDecision,
    WorkDone,
)
from workshop.bows.selectors.glance import Glance, glance, glanced, signed, standing
from workshop.bows.weighing.selectors import weighings_of
from workshop.bows.wish import WishChange, wish_changes

_ENTRIES = {
    "workdones": WorkDone,
    "bracereadings": BraceReading,
    "dimensions": Dimension,
    "massreadings": MassReading,
    "shotsfireds": ShotsFired,
    "speeds": Speed,
    "benchtimes": BenchTime,
    "bownotes": BowNote,
    "photos": BowPhoto,
    "stage_moves": StageMove,
    "ticks": StageTick,
    "upper_decisions": UpperDecision,
}


def _life() -> tuple:
    """What rooms further on keep of a bow, read by name. Its papers they show themselves."""
    people = {"visits": "brought_by", "deliveries": "to", "ownerships": "person"}
    return tuple(
        Prefetch(name, signed(Bow._meta.get_field(name).related_model).select_related(person))
        for name, person in people.items()
    )


@dataclass(frozen=True)
class BowSheet:
    """A bow at a glance, and all that is written of it."""

    glance: Glance
    wishes: Sequence[WishChange]
    dimensions: Sequence[Dimension]  # measured, the latest at each station of each limb
    planned: Sequence[Dimension]
    mass: MassReading | None
    owner: object | None  # the last entry of whose the bow is
    minutes: int

    @property
    def bow(self) -> Bow:
        return self.glance.bow


def bow_sheet(bow: Bow, *, shop, today: dt.date, system: str) -> BowSheet:
    """All of the bow, prefetched."""
    entries = (Prefetch(name, signed(model)) for name, model in _ENTRIES.items())
    taken = {*_ENTRIES, "visits"}
    rest = (each for each in glanced() if each not in taken)
    prefetch_related_objects([bow], *entries, *rest, *_life())
    seen = glance(bow, weighings_of(bow), shop=shop, today=today, system=system)
    dimensions = standing(bow.dimensions.all())
    return BowSheet(
        glance=seen,
        wishes=[change for line in seen.lines for change in wish_changes(bow, line)],
        dimensions=_latest(each for each in dimensions if not each.planned),
        planned=_latest(each for each in dimensions if each.planned),
        mass=_last(bow.massreadings.all()),
        owner=_last(bow.ownerships.all()),
        minutes=sum(each.minutes for each in standing(bow.benchtimes.all())),
    )


def _last(entries):
    return next(reversed(standing(entries)), None)


def _latest(dimensions) -> list[Dimension]:
    """The last word on each station (to the millimetre) of each limb, from the middle outward."""
    latest = {(each.limb, round(each.station_m, 3)): each for each in dimensions}
    return [latest[key] for key in sorted(latest)]
