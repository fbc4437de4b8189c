"""Today: what presses, what rests, what comes next. Read once for the page, in a fixed number of queries."""

import datetime as dt
from dataclasses import dataclass, field

from django.db.models import Count, F, QuerySet
from django.utils.html import format_html, format_html_join
from django.utils.safestring import SafeString
from django.utils.translation import gettext as _
from django.utils.translation import ngettext

from workshop.bows.models import Bow
from workshop.bows.models.bow import ON_BENCH, Stage
from workshop.bows.nextstep import step_words
from workshop.bows.selectors.bench import (
    BenchFilter,
    Resting,
    Watched,
    bench,
    bench_rows,
    flaws_watched,
    rests_ending,
)
from workshop.bows.selectors.glance import Glance
from workshop.ledger.models import Shop
from workshop.ledger.roles import allowed
from workshop.ledger.units import UnitsInUse
from workshop.orders.models import Order, Visit
from workshop.orders.selectors.book import Promise, promises
from workshop.staves.models import Felling, MoistureReading, Place, StaveFlaw
from workshop.staves.selectors import due_a_reading, watched_flaws

SOON_DAYS = 7
SHOWN = 20
IN_HAND = (*ON_BENCH, Stage.READY)
# the lists that show their first few; one of them may be asked for whole
LISTS = ("promised", "visits", "rests", "in_hand", "bow_flaws", "stave_flaws")


@dataclass(frozen=True)
class BowInHand:
    """A bow at a glance, and its next step in words."""

    glance: Glance
    step: str


@dataclass(frozen=True)
class DueAt:
    """How many pieces wait for a reading in one place; no place is a place too."""

    place_id: int | None
    place: str
    pieces: int


@dataclass(frozen=True)
class FirstStep:
    """One of the things a new ledger begins with."""

    deed: str  # what one must be allowed to do it, see `ledger.roles`
    url_name: str
    words: str
    why: str
    done: bool


@dataclass(frozen=True)
class Today:
    promises: list[Promise] = field(default_factory=list)
    bows: list[BowInHand] = field(default_factory=list)
    bows_in_hand: int = 0
    rests: list[Resting] = field(default_factory=list)
    visits: list[Visit] = field(default_factory=list)
    bow_flaws: list[Watched] = field(default_factory=list)
    stave_flaws: list[StaveFlaw] = field(default_factory=list)
    due: list[DueAt] = field(default_factory=list)
    first_steps: list[FirstStep] = field(default_factory=list)

    @property
    def in_danger(self) -> int:
        return sum(promise.in_danger for promise in self.promises)

    @property
    def rests_ending(self) -> int:
        return sum(0 <= rest.days_left <= SOON_DAYS for rest in self.rests)

    @property
    def pieces_due(self) -> int:
        return sum(place.pieces for place in self.due)

    @property
    def watched(self) -> int:
        return len(self.bow_flaws) + len(self.stave_flaws)


def todays(*, member, shop: Shop, units: UnitsInUse, today: dt.date, whole: str = "") -> Today:
    """The page for `member`, who sees promises only where he may see orders; `whole` is the list asked for whole."""
    sees_orders = allowed(member, "orders", shop)
    in_hand = bench(BenchFilter()).filter(stage__in=IN_HAND).reverse()  # the furthest on first
    rows = bench_rows(
        in_hand if whole == "in_hand" else in_hand[:SHOWN], shop=shop, today=today, system=units.system
    )
    return Today(
        promises=promises(today) if sees_orders else [],
        bows=[BowInHand(row, step_words(row.step, units)) for row in rows],
        bows_in_hand=in_hand.count(),
        rests=rests_ending(today),
        visits=list(Visit.objects.standing().filter(ended_at=None).select_related("bow", "brought_by")),
        bow_flaws=flaws_watched(),
        stave_flaws=list(watched_flaws()),
        due=_due(due_a_reading(shop=shop, today=today)),
        first_steps=[step for step in _first_steps() if allowed(member, step.deed, shop)],
    )


def _due(pieces: QuerySet) -> list[DueAt]:
    """The pieces due a reading, counted place by place in the order of the walk."""
    places = (
        pieces.values("place_id", name=F("place__name"), walk=F("place__walk"))
        .annotate(pieces=Count("pk"))
        .order_by(F("walk").asc(nulls_last=True), "name")
    )
    return [DueAt(p["place_id"], p["name"] or _("no place written down"), p["pieces"]) for p in places]


def _first_steps() -> list[FirstStep]:
    """What a new ledger wants, in order; nothing once there is a piece read and a bow begun."""
    steps = [
        FirstStep(
            "record",
            "place-add",
            _("Name the places where your wood lies"),
            _("a shed, a loft, a drying box: each leaves wood as dry as its own air"),
            Place.objects.exists(),
        ),
        FirstStep(
            "record",
            "felling-add",
            _("Write down wood that has come in"),
            _("a tree, a plank, a gift: its pieces get their tags there"),
            Felling.objects.exists(),
        ),
        FirstStep(
            "read",
            "meter-round",
            _("Go round with the meter"),
            _("the first reading is what every later one is held against"),
            MoistureReading.objects.exists(),
        ),
        FirstStep(
            "record",
            "bow-add",
            _("Lay out a bow"),
            _("from a piece of the store, or one that was made before this ledger"),
            Bow.objects.exists(),
        ),
        FirstStep(
            "orders",
            "order-add",
            _("Take an order"),
            _("when somebody asks: for whom, what weight, by when"),
            Order.objects.exists(),
        ),
    ]
    return [] if all(step.done for step in steps[:-1]) else steps


def answer(page: Today) -> SafeString:
    """The page in one sentence, without its full stop; empty when nothing presses."""
    promised, rests, visits = page.in_danger, page.rests_ending, len(page.visits)
    watched, due = page.watched, page.pieces_due
    counted = (
        (promised, ngettext("{} promise is in danger", "{} promises are in danger", promised)),
        (rests, ngettext("{} rest ends this week", "{} rests end this week", rests)),
        (visits, ngettext("{} bow is in for a visit", "{} bows are in for a visit", visits)),
        (watched, ngettext("{} flaw is under watch", "{} flaws are under watch", watched)),
        (due, ngettext("{} piece is due a reading", "{} pieces are due a reading", due)),
    )
    said = (format_html(words, format_html("<b>{}</b>", many)) for many, words in counted if many)
    return format_html_join("; ", "{}", ((each,) for each in said))
