"""What a year did to the store: what came, what went and why."""

from collections import Counter
from dataclasses import dataclass

from django.db.models import Count, F, Min, Q

from workshop.staves.models import Felling, MoistureReading, OvenDryTest, StateMove, Weighing
from workshop.staves.models.staves import GONE, StaveState


@dataclass(frozen=True)
class TimberYear:
    """Pieces of one timber: how many came in the year and how many left the store, by how they left."""

    timber: str
    came: int = 0
    gone: dict[str, int] | None = None

    def left(self, state: str) -> int:
        return (self.gone or {}).get(state, 0)

    @property
    def used(self) -> int:
        return self.left(StaveState.USED)

    @property
    def culled(self) -> int:
        return self.left(StaveState.CULLED)

    @property
    def lost(self) -> int:
        return self.left(StaveState.LOST)

    @property
    def parted_with(self) -> int:
        return self.left(StaveState.SOLD) + self.left(StaveState.GIVEN)


@dataclass(frozen=True)
class WoodYear:
    timbers: list[TimberYear]
    causes: list[StateMove]  # culled and lost pieces, each with its cause
    readings: int
    cost_minor: int  # of the wood that came, where it is written down
    written_late: int = 0  # pieces of earlier years' wood that were written down in this one

    @property
    def came(self) -> int:
        return sum(timber.came for timber in self.timbers)

    @property
    def culled(self) -> int:
        return sum(timber.culled for timber in self.timbers)

    @property
    def lost(self) -> int:
        return sum(timber.lost for timber in self.timbers)


def wood_year(year: int) -> WoodYear:
    """Seven queries, however much wood there is. A piece that left and came back in the year has not left."""
    came: Counter[str] = Counter()
    cost = 0
    fellings = Felling.objects.filter(happened_on__year=year).annotate(
        name=F("timber__name"), pieces=Count("staves", filter=Q(staves__parent=None))
    )
    for felling in fellings:
        came[felling.name] += felling.pieces
        cost += felling.cost_minor or 0
    late = Felling.objects.filter(made_at__year=year, happened_on__year__lt=year, staves__parent=None)
    moves = StateMove.objects.standing().filter(happened_on__year=year)
    last = {move.stave_id: move for move in moves.select_related("stave__felling__timber")}
    gone = [move for move in last.values() if move.state in GONE]
    left = Counter((move.stave.timber.name, move.state) for move in gone)
    names = sorted({*came, *(name for name, _ in left)})
    timbers = [
        TimberYear(name, came[name], {state: left[name, state] for state in GONE if left[name, state]})
        for name in names
    ]
    return WoodYear(
        timbers=timbers,
        causes=[move for move in gone if move.state in (StaveState.CULLED, StaveState.LOST)],
        readings=sum(
            model.objects.standing().filter(happened_on__year=year).count()
            for model in (MoistureReading, Weighing, OvenDryTest)
        ),
        cost_minor=cost,
        written_late=late.aggregate(pieces=Count("staves"))["pieces"],
    )


def first_wood_year() -> int | None:
    first = Felling.objects.aggregate(first=Min("happened_on"))["first"]
    return first.year if first else None
