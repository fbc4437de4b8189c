"""The bench as a list, and what of it belongs on today's page. Each takes a constant number of queries."""

import datetime as dt
from collections.abc import Sequence
from dataclasses import dataclass

from django.db.models import Case, IntegerField, Q, QuerySet, Value, When

from workshop.bows.models import Bow, BowFlaw, FlawLook, Piece, WorkDone
from workshop.bows.models.bow import ENDED, ON_BENCH, SOLID, Stage
from workshop.bows.selectors.glance import Glance, glances, signed, standing
from workshop.staves.models import Stave
from workshop.staves.models.staves import StaveState

IN_SHOP = (*ON_BENCH, Stage.READY, Stage.STOCK)
DELIVERED, ENDINGS, ALL = "out", "ended", "all"
_GROUPS = {"": IN_SHOP, DELIVERED: (Stage.DELIVERED,), ENDINGS: ENDED, ALL: tuple(Stage)}


@dataclass(frozen=True)
class BenchFilter:
    """How the list is narrowed: `stage` is one stage or a group (`out`, `ended`, `all`); empty: in the shop."""

    stage: str = ""
    kind: str = ""
    text: str = ""


def bench(wanted: BenchFilter) -> QuerySet[Bow]:
    """Bows in order of stage, the latest first within each."""
    rank = Case(
        *(When(stage=stage, then=Value(n)) for n, stage in enumerate(Stage)), output_field=IntegerField()
    )
    stages = Q(stage__in=_GROUPS.get(wanted.stage, (wanted.stage,)))
    bows = Bow.objects.filter(stages if wanted.stage else stages | Q(pk__in=_in_for_a_visit()))
    if wanted.kind:
        bows = bows.filter(kind=wanted.kind)
    if wanted.text:
        text = wanted.text
        pieces = Piece.objects.standing().filter(
            Q(stave__tag__icontains=text)
            | Q(stave__felling__timber__name__icontains=text)
            | Q(material__icontains=text)
        )
        bows = bows.filter(
            Q(number__icontains=text)
            | Q(maker__icontains=text)
            | Q(timber_words__icontains=text)
            | Q(pk__in=pieces.values("bow"))
        )
    return bows.order_by(rank, "-pk")


def _in_for_a_visit() -> QuerySet:
    """Bows that came back and have not left again."""
    here = Bow.objects.filter(visits__isnull=False, visits__ended_at=None, visits__struck_at=None)
    return here.values("pk")


def bench_rows(bows: Sequence[Bow], *, shop, today: dt.date, system: str = "imperial") -> list[Glance]:
    """The bows of a page, each at a glance."""
    bows = list(bows)
    found = glances(bows, shop=shop, today=today, system=system)
    return [found[bow.pk] for bow in bows]


def bows_on_bench(*, shop, today: dt.date, system: str = "imperial") -> list[Glance]:
    """Every bow that is worked on, in order of stage, with its next step."""
    bows = bench(BenchFilter()).filter(stage__in=ON_BENCH)
    return bench_rows(bows, shop=shop, today=today, system=system)


@dataclass(frozen=True)
class Resting:
    """A bow that rests after `work`, or while the glue of a piece cures, and until when."""

    bow: Bow
    work: WorkDone | Piece
    until: dt.date
    days_left: int

    @property
    def is_over(self) -> bool:
        return self.days_left <= 0


JUST_OVER = dt.timedelta(days=7)


def rests_ending(today: dt.date) -> list[Resting]:
    """Rests that run and those that ended within the week, the nearest end first; of each bow its longest."""
    longest = _longest_rests(today, since=today - JUST_OVER)
    found = [Resting(each.bow, each, until, (until - today).days) for each, until in longest.values()]
    return sorted(found, key=lambda each: each.until)


def days_of_rest(today: dt.date) -> dict[int, int]:
    """How many days each bow that rests, by its pk, has still to rest: after work, or while its glue cures."""
    longest = _longest_rests(today, since=today + dt.timedelta(days=1))
    return {bow: (until - today).days for bow, (_each, until) in longest.items()}


def _longest_rests(today: dt.date, *, since: dt.date) -> dict[int, tuple[WorkDone | Piece, dt.date]]:
    """What each bow rests from longest, of what rests until `since` or later."""

    def of_bows(model, **wanted):
        entries = signed(model).standing().filter(happened_on__lte=today, **wanted)
        return entries.exclude(bow__stage__in=ENDED).select_related("bow")

    works = of_bows(WorkDone, rest_until__gte=since)
    glued = of_bows(Piece, cured_on__gte=since).select_related("stave")
    rests = [(work, work.rest_until) for work in works] + [(piece, piece.cured_on) for piece in glued]
    return {each.bow_id: (each, until) for each, until in sorted(rests, key=lambda rest: rest[1])}


@dataclass(frozen=True)
class Watched:
    """A flaw under watch, and the last look at it."""

    bow: Bow
    flaw: BowFlaw
    look: FlawLook | None


def flaws_watched() -> list[Watched]:
    """Flaws not settled on bows that are not ended, the longest not looked at first."""
    flaws = (
        signed(BowFlaw)
        .standing()
        .filter(watched=True, settled_at=None)
        .exclude(bow__stage__in=ENDED)
        .select_related("bow")
        .prefetch_related("looks")
    )
    found = []
    for flaw in flaws:
        looks = standing(flaw.looks.all())
        found.append(Watched(flaw.bow, flaw, looks[-1] if looks else None))
    return sorted(found, key=lambda each: (each.look or each.flaw).happened_on)


def pieces_at_hand(limit: int = 200) -> list[Stave]:
    """Pieces a bow can be made of now: ready ones, those at the bench that no bow holds, and what is left of
    bows that have ended."""
    held = Piece.objects.standing().filter(part__in=SOLID).exclude(bow__stage__in=ENDED)
    staves = (
        Stave.objects.filter(state__in=(StaveState.READY, StaveState.BENCH))
        .exclude(pk__in=held.exclude(stave=None).values("stave"))
        .select_related("felling__timber")
        .order_by("-state", "tag")
    )
    return list(staves[:limit])
