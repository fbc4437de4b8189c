"""What a maker wants to know at the end of the year: wood to bows, failures, hours, set. Constant queries each.

`year` narrows to what happened in it; None is all the years. A date known only to the year counts in that year.
"""

from collections import Counter, defaultdict
from collections.abc import Sequence
from dataclasses import dataclass

from django.db.models import Prefetch, Sum, prefetch_related_objects

from workshop.bows.models import BenchTime, Bow, BowFlaw, Piece, SetReading, StageMove, WorkDone
from workshop.bows.models.bow import ENDED, ON_BENCH, SOLID, Stage
from workshop.bows.selectors.glance import drawn_of, standing, timbers_of
from workshop.bows.sets import SetPoint, set_now, set_points
from workshop.bows.weighing.selectors import weighings_of_bows


def _in(year: int | None, name: str = "happened_on") -> dict:
    return {} if year is None else {f"{name}__year": year}


def _pieces() -> Prefetch:
    return Prefetch("pieces", Piece.objects.select_related("stave__felling__timber"))


@dataclass(frozen=True)
class WoodToBows:
    """Of one timber: solid pieces begun on, and what became of the bows they went into."""

    timber: str
    pieces: int
    finished: int
    ended: int
    at_work: int


def staves_to_bows(year: int | None = None) -> list[WoodToBows]:
    """How many pieces were begun on in that year and how many of them became bows, timber by timber."""
    pieces = (
        Piece.objects.standing()
        .filter(part__in=SOLID, stave__isnull=False, **_in(year))
        .select_related("stave__felling__timber", "bow")
    )
    counts: dict[str, Counter] = defaultdict(Counter)
    for piece in pieces:
        stage = piece.bow.stage
        fate = "ended" if stage in ENDED else "at_work" if stage in ON_BENCH else "finished"
        counts[piece.stave.felling.timber.name][fate] += 1
    return [
        WoodToBows(timber, sum(fates.values()), fates["finished"], fates["ended"], fates["at_work"])
        for timber, fates in sorted(counts.items())
    ]


@dataclass(frozen=True)
class Failure:
    """A bow that broke or was given up: in which stage, at which furthest draw, why, where."""

    bow: Bow
    move: StageMove
    timber: str
    draw_m: float | None
    flaws: Sequence[BowFlaw]

    @property
    def was(self) -> str:
        return self.move.get_was_display()


def failures(year: int | None = None) -> list[Failure]:
    """Where and why bows failed, the latest first. A bow taken up again since is no failure."""
    ends = StageMove.objects.standing().filter(stage__in=ENDED, bow__stage__in=ENDED).select_related("bow")
    last = {move.bow_id: move for move in ends}  # in order of entry: the latest end of each bow
    last = {pk: move for pk, move in last.items() if year in (None, move.happened_on.year)}
    bows = [move.bow for move in last.values()]
    prefetch_related_objects(bows, _pieces(), "bowflaws")
    weighed = weighings_of_bows(bows)
    found = []
    for bow, move in zip(bows, last.values(), strict=True):
        draws = [each.draw_m for each in drawn_of(weighed[bow.pk])]
        flaws = standing(bow.bowflaws.all())
        found.append(Failure(bow, move, timbers_of(bow), max(draws, default=None), flaws))
    return sorted(found, key=lambda failure: -failure.move.pk)


@dataclass(frozen=True)
class StageHours:
    """Time written down for a stage, and on how many bows."""

    stage: str
    minutes: int
    bows: int

    @property
    def name(self) -> str:
        return str(Stage(self.stage).label)

    @property
    def seconds(self) -> float:
        return self.minutes * 60.0


def hours_by_stage(year: int | None = None) -> list[StageHours]:
    """Bench time by the stage it was spent in, in the order of the stages."""
    times = BenchTime.objects.standing().filter(**_in(year)).order_by()
    spent = times.values("stage", "bow").annotate(sum=Sum("minutes"))
    minutes, bows = Counter(), Counter()
    for row in spent:
        minutes[row["stage"]] += row["sum"]
        bows[row["stage"]] += 1
    return [StageHours(stage, minutes[stage], bows[stage]) for stage in Stage.values if stage in minutes]


@dataclass(frozen=True)
class BowSet:
    """The last set of one bow, with the furthest draw it had seen."""

    bow: Bow
    timber: str
    point: SetPoint

    @property
    def set_m(self) -> float:
        return self.point.set_m


@dataclass(frozen=True)
class TimberSet:
    timber: str
    bows: Sequence[BowSet]

    @property
    def least_m(self) -> float:
        return min(each.set_m for each in self.bows)

    @property
    def greatest_m(self) -> float:
        return max(each.set_m for each in self.bows)

    @property
    def mean_m(self) -> float:
        return sum(each.set_m for each in self.bows) / len(self.bows)


def set_by_timber(year: int | None = None) -> list[TimberSet]:
    """The last set of every bow read in that year, by timber; of a bow's limbs the greater."""
    readings = SetReading.objects.standing().filter(**_in(year))
    bows = list(Bow.objects.filter(pk__in=readings.values("bow")))
    prefetch_related_objects(bows, _pieces(), "setreadings")
    weighed = weighings_of_bows(bows)
    found: dict[str, list[BowSet]] = defaultdict(list)
    for bow in bows:
        if point := _last_set(bow, weighed[bow.pk].works, drawn_of(weighed[bow.pk]), year):
            found[timbers_of(bow)].append(BowSet(bow, timbers_of(bow), point))
    return [TimberSet(timber, sets) for timber, sets in sorted(found.items())]


def _last_set(bow: Bow, works: Sequence[WorkDone], drawn, year: int | None) -> SetPoint | None:
    """The set as the bow's own page has it: the last one read, of two limbs the greater.

    A zero is the beginning of a set, not one; `year` leaves out what was read after it.
    """
    points = set_points(standing(bow.setreadings.all()), works, drawn)
    now = set_now([p for p in points if year is None or p.reading.happened_on.year <= year])
    return None if now is None or now.is_zero else now.greatest
