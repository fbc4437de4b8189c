"""Finding a thing by what stands on it: a tag, a number, a name, a timber.

What is typed exactly goes straight to its page; otherwise there is a short list for each kind of thing. Exact
numbers are looked up through their indexes, so the ledger may hold thousands.
"""

import re
import unicodedata
from dataclasses import dataclass
from itertools import product

from django.db.models import BooleanField, ExpressionWrapper, Model, Prefetch, Q, QuerySet, Value
from django.db.models.functions import Lower
from django.urls import reverse
from django.utils.http import urlencode
from django.utils.translation import ngettext

from workshop.bows.models import Bow, Piece
from workshop.bows.selectors.glance import timbers_of
from workshop.ledger.models import Shop
from workshop.ledger.roles import allowed
from workshop.orders.models import IssuedPaper, Order, Person
from workshop.orders.selectors.book import order_book
from workshop.orders.selectors.persons import persons
from workshop.staves.models import Stave, Timber
from workshop.staves.selectors import StoreFilter, store
from workshop.staves.selectors.store import ALL

MOST_LETTERS = 80
SHOWN = 8
WORDS = 6
HIGHEST_PAPER = 2**31 - 1
# "bow 26-07" where an order bears the same number
KINDS = {"stave": "stave", "piece": "stave", "bow": "bow", "order": "order", "paper": "paper"}
# what the line about a thing shows beside its own number
WOOD = Prefetch("pieces", Piece.objects.select_related("stave__felling__timber"))
ALONG = {
    "bow": lambda bows: bows.prefetch_related(WOOD),
    "stave": lambda staves: staves.select_related("felling__timber", "place"),
    "order": lambda orders: orders.select_related("payer"),
}
# figures a tag or number is counted with here: `26-1` may stand on the wood as `26-001`
WIDEST_FIGURE, MOST_FIGURES = 4, 3
_FIGURES = re.compile(r"([0-9]+)")
_KIND = re.compile(r"(stave|piece|bow|order|paper)\s+(\S.*)", re.IGNORECASE)


@dataclass(frozen=True)
class Found:
    """The things of one kind: the first few, how many there are, and where all of them are listed."""

    kind: str
    things: list[Model]
    many: int
    all_at: str

    @property
    def more(self) -> int:
        return self.many - len(self.things)

    @property
    def name(self) -> str:
        names = {
            "stave": ngettext("piece of wood", "pieces of wood", self.many),
            "bow": ngettext("bow", "bows", self.many),
            "timber": ngettext("timber", "timbers", self.many),
            "order": ngettext("order", "orders", self.many),
            "person": ngettext("person", "persons", self.many),
        }
        return names[self.kind]


def tidy(text: str) -> str:
    """What was typed, on one line and without what cannot be printed."""
    printable = "".join(" " if unicodedata.category(c)[0] == "C" else c for c in text[: 4 * MOST_LETTERS])
    return " ".join(printable.split())[:MOST_LETTERS].strip()


def exact(text: str, *, member, shop: Shop) -> list[tuple[str, Model]]:
    """The pieces, bows, orders and the issued paper that bear just this tag or number.

    At most one of each kind bears it as it was typed; where nothing does, it may have been typed without the zeros
    it is written with.
    """
    kind, bare = None, text
    if named := _KIND.fullmatch(text):
        kind, bare = KINDS[named.group(1).lower()], named.group(2)
    lookups = {"stave": (Stave, "tag"), "bow": (Bow, "number")}
    if allowed(member, "orders", shop):
        lookups["order"] = (Order, "number")
    same: list[tuple[str, Model]] = []
    for name, (model, field) in lookups.items():
        if kind in (None, name):
            same += [(name, thing) for thing in ALONG[name](_bearing(model, field, bare))[:SHOWN]]
    same = [each for each in same if each[1].as_typed] or same
    if kind in (None, "paper") and "order" in lookups:
        same += [("paper", paper) for paper in _papers(bare)]
    return named_wood(same)


def _bearing(model: type[Model], field: str, text: str) -> QuerySet:
    """What bears this tag or number, as it was typed (`as_typed`) or with more zeros.

    Lower on both sides: the index of the tags is folded by the database, not by Python.
    """
    typed = ExpressionWrapper(Q(folded=Lower(Value(text))), output_field=BooleanField())
    wanted = [Lower(Value(each)) for each in spellings(text)]
    return model.objects.annotate(folded=Lower(field), as_typed=typed).filter(folded__in=wanted)


def spellings(text: str) -> list[str]:
    """The text as it stands, then with zeros set before its figures as a tag might carry them.

    >>> spellings("W 7"), len(spellings("26-14/1"))
    (['W 7', 'W 07', 'W 007', 'W 0007'], 36)
    """
    parts = _FIGURES.split(text)  # every second one is a figure
    if not 1 <= len(parts) // 2 <= MOST_FIGURES:
        return [text]
    widths = [range(len(part), max(len(part), WIDEST_FIGURE) + 1) for part in parts[1::2]]
    return ["".join(_padded(parts, width)) for width in product(*widths)]


def _padded(parts: list[str], widths: tuple[int, ...]) -> list[str]:
    return [part.zfill(widths[n // 2]) if n % 2 else part for n, part in enumerate(parts)]


def named_wood(things: list[tuple[str, Model]]) -> list[tuple[str, Model]]:
    """The things, of which each bow knows the timbers it is made of."""
    for kind, thing in things:
        if kind == "bow":
            thing.timbers = timbers_of(thing)
    return things


def _papers(text: str) -> QuerySet[IssuedPaper]:
    """The issued paper of this number, with what it is about and without its bytes."""
    digits = text.removeprefix("#").removeprefix("No.").strip()
    number = int(digits) if digits.isascii() and digits.isdigit() and len(digits) <= 10 else -1
    papers = IssuedPaper.objects.defer("pdf", "facts").select_related("bow", "stave", "order")
    return papers.filter(number=number) if 0 < number <= HIGHEST_PAPER else papers.none()


def find(text: str, *, member, shop: Shop) -> list[Found]:
    """Short lists of all that holds what was typed, kind by kind; kinds with nothing are left out."""
    sees_orders = allowed(member, "orders", shop)
    kinds: list[tuple[str, QuerySet, str]] = [
        ("stave", store(StoreFilter(state=ALL, text=text)), _at("wood", q=text, state=ALL)),
        ("bow", _bows(text, names=sees_orders), ""),
        ("timber", Timber.objects.filter(Q(name__icontains=text) | Q(botanical__icontains=text)), ""),
    ]
    if sees_orders:
        kinds += [
            ("order", order_book(text=text), _at("order-book", text=text, state="")),
            ("person", persons(text), _at("persons", text=text)),
        ]
    found = [Found(kind, list(things[:SHOWN]), things.count(), at) for kind, things, at in kinds]
    named_wood([(each.kind, thing) for each in found for thing in each.things])
    return [each for each in found if each.many]


def _at(url_name: str, **query: str) -> str:
    return f"{reverse(url_name)}?{urlencode(query)}"


def _bows(text: str, *, names: bool) -> QuerySet[Bow]:
    """Bows every word of `text` is written on: number, timber, maker, pieces; whom they are for where `names`."""
    bows = Bow.objects.all()
    for word in text.split()[:WORDS]:
        pieces = Piece.objects.standing().filter(
            Q(stave__tag__icontains=word)
            | Q(stave__felling__timber__name__icontains=word)
            | Q(material__icontains=word)
        )
        written = (
            Q(number__icontains=word)
            | Q(timber_words__icontains=word)
            | Q(maker__icontains=word)
            | Q(pk__in=pieces.values("bow"))
        )
        if names:
            people = Person.objects.filter(name__icontains=word)
            written |= Q(started_for__struck_at=None, started_for__line__archer__in=people)
            written |= Q(started_for__struck_at=None, started_for__line__order__payer__in=people)
            written |= Q(ownerships__struck_at=None, ownerships__person__in=people)
        bows = bows.filter(written)
    return ALONG["bow"](bows.distinct())
