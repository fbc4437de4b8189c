"""Which pieces of the store would suit an order line: best first, each with its reasons. A fixed number of queries."""

import datetime as dt
from collections import Counter, defaultdict
from collections.abc import Sequence
from dataclasses import dataclass, field

from django.db.models import Case, IntegerField, Q, Value, When
from django.utils.translation import gettext as _
from django.utils.translation import ngettext

from workshop.bows.models import Piece
from workshop.bows.models.bow import ENDED, SOLID, BowKind, MakeUp
from workshop.calc.layout import (
    FADE_M,
    FULL_COMPASS_TIMES_DRAW,
    GRIP_ABOVE_M,
    GRIP_BELOW_M,
    full_compass_length,
    stiff_handled_length,
)
from workshop.ledger.figures import Source
from workshop.ledger.units import UnitsInUse
from workshop.orders.models import OrderLine
from workshop.orders.timberwords import asked_timbers
from workshop.staves.models import ShapeReading, Stave, StaveFlaw, Timber
from workshop.staves.models.readings import Face, FlawKind
from workshop.staves.models.staves import IN_STORE, StaveForm, StaveState
from workshop.staves.readiness import band_of
from workshop.staves.selectors import store_rows
from workshop.staves.selectors.store import StoreRow

SPARE_M = 0.05  # a piece is a few inches longer than its bow (common practice, no source)
SPLICE_M = 0.1  # each billet gives so much to the splice
# how much a flaw speaks against a piece, 0 to 3 (common practice, no source); through or on the back counts double
WORST: dict[str, int] = {
    FlawKind.RING_CUT: 3, FlawKind.SHAKE: 3, FlawKind.CRACK: 3, FlawKind.FUNGUS: 3, FlawKind.CHECK: 2,
    FlawKind.SPLINTER: 2, FlawKind.PIN: 0,
}  # fmt: skip
# from here on a bend or twist is spoken of (common practice, no source)
BEND_M, SIDEWAYS_M, TWIST_DEG = 0.012, 0.05, 15.0
FORMS = (StaveForm.STAVE, StaveForm.BILLET, StaveForm.BOARD)
# pieces judged, the likeliest first; a larger store is narrowed by timber and length before
MOST_JUDGED = 300


@dataclass
class Suit:
    """A piece and why it suits or not. `against` adds up what speaks against it; 0 is best."""

    stave: Stave
    against: int = 0
    fits: list[str] = field(default_factory=list)
    lacks: list[str] = field(default_factory=list)
    tags: tuple[str, ...] = ()  # of what a bow is begun from: the piece, and of a billet its sister

    def is_for(self, words: str) -> None:
        self.fits.append(words)

    def is_against(self, points: int, words: str) -> None:
        self.against += points
        self.lacks.append(words)

    @property
    def make_up(self) -> str:
        return MakeUp.SPLICED if len(self.tags) == 2 else MakeUp.SELF


@dataclass(frozen=True)
class Suits:
    need_m: float | None
    best: Sequence[Suit]
    judged: int
    wanted: Sequence[Timber]  # the timbers that were asked, as far as their names are known
    none_of_it: bool  # none of what was asked lies in the store; what is shown is other timber


def needed_length_m(line: OrderLine) -> float | None:
    """How long a piece must be: the ordered bow, or the shortest its draw asks by the plan's own rules."""
    if line.length_m:
        return line.length_m + SPARE_M
    if not line.wanted_draw_m:
        return None
    if line.bow_kind == BowKind.COMPASS:
        return full_compass_length(line.wanted_draw_m).least_m + SPARE_M
    grip_m = GRIP_ABOVE_M + GRIP_BELOW_M
    return stiff_handled_length(line.wanted_draw_m, grip_m=grip_m).least_m + SPARE_M


def need_source(line: OrderLine, units: UnitsInUse) -> Source:
    """Where the length a piece must have is from."""
    practice, spare = (
        _("common practice, no source"),
        (_("A piece is longer by"), units.show(SPARE_M, "place")),
    )
    if line.length_m:
        asked = (_("Bow length asked"), units.show(line.length_m, "length"))
        return Source(_("The bow as it is asked, and a little for the ends."), (asked, spare), practice)
    draw = (_("Draw"), units.show(line.wanted_draw_m, "draw"))
    if line.bow_kind == BowKind.COMPASS:
        words = _("A bow that bends through its grip is at least %(n)s times its draw long, nock to nock.")
        return Source(words % {"n": f"{FULL_COMPASS_TIMES_DRAW[0]:g}"}, (draw, spare), practice)
    stiff = (_("Grip and both fades"), units.show(GRIP_ABOVE_M + GRIP_BELOW_M + 2 * FADE_M, "place"))
    words = _("A bow with a stiff handle is at least twice its draw long, and its grip and fades besides.")
    return Source(words, (draw, stiff, spare), practice)


def pieces_that_suit(line: OrderLine, *, units, shop, today: dt.date, most: int = 12) -> Suits:
    """Pieces in the store judged by timber, length, dryness, shape and flaws."""
    need = needed_length_m(line)
    wanted = asked_timbers(line.timbers)
    staves = _candidates(need)
    of_it = staves.filter(felling__timber__in=wanted)
    none_of_it = bool(line.timbers.strip()) and not of_it.exists()
    rows = store_rows(
        (staves if none_of_it else of_it if wanted else staves)[:MOST_JUDGED], shop=shop, today=today
    )
    flaws, shapes = _flaws(rows), _shapes(rows)
    judged = []
    for row in rows:
        suit = Suit(row.stave, tags=(row.stave.tag,))
        _timber(suit, none_of_it)
        _length(suit, need, units)
        _dryness(suit, row, shop, units, today)
        _shape(suit, shapes.get(row.stave.pk), units)
        _flaw(suit, flaws.get(row.stave.pk, []), need, units)
        judged.append(suit)
    _pair(judged)
    best = sorted(judged, key=lambda suit: (suit.against, suit.stave.pk))[:most]
    return Suits(need, best, len(judged), wanted, none_of_it)


def _candidates(need: float | None):
    """What lies in the store and no bow holds, the likeliest first: long enough, ready."""
    held = Piece.objects.standing().filter(part__in=SOLID, stave__isnull=False).exclude(bow__stage__in=ENDED)
    enough = Q(pk__isnull=False)
    if need:
        enough = Q(length_m__gte=need) | Q(length_m__gte=need / 2 + SPLICE_M, form=StaveForm.BILLET)
    rank = Case(
        When(enough & Q(state=StaveState.READY), then=Value(0)),
        When(enough, then=Value(1)),
        When(length_m=None, then=Value(2)),
        default=Value(3),
        output_field=IntegerField(),
    )
    return (
        Stave.objects.filter(state__in=IN_STORE, form__in=FORMS)
        .exclude(pk__in=held.values("stave"))
        .select_related("felling__timber", "place")
        .order_by(rank, "pk")
    )


def _flaws(rows: Sequence[StoreRow]) -> dict[int, list[StaveFlaw]]:
    found = defaultdict(list)
    for flaw in StaveFlaw.objects.standing().filter(stave__in=[row.stave.pk for row in rows]):
        found[flaw.stave_id].append(flaw)
    return found


def _shapes(rows: Sequence[StoreRow]) -> dict[int, dict[str, float]]:
    """The last word on each piece's bend, sideways bend and twist."""
    found: dict[int, dict[str, float]] = defaultdict(dict)
    for shape in (
        ShapeReading.objects.standing().filter(stave__in=[row.stave.pk for row in rows]).order_by("pk")
    ):
        for name in ("natural_bend_m", "sideways_m", "twist_deg"):
            if (value := getattr(shape, name)) is not None:
                found[shape.stave_id][name] = value
    return found


def _pair(judged: Sequence[Suit]) -> None:
    """Two billets of one felling make a bow: each goes with the sister that suits best, and is no better than she."""
    billets = [suit for suit in judged if suit.stave.form == StaveForm.BILLET]
    own = {suit.stave.pk: (suit.against, tuple(suit.lacks)) for suit in billets}
    for suit in billets:
        stave = suit.stave
        others = [each.stave for each in billets if each.stave.felling_id == stave.felling_id]
        others = [each for each in others if each.pk != stave.pk]
        if not others:
            suit.is_against(15, _("a billet without a sister to splice it to"))
            continue
        sister = min(others, key=lambda each: (own[each.pk][0], abs(each.pk - stave.pk), each.pk))
        against, lacks = own[sister.pk]
        suit.tags = (stave.tag, sister.tag)
        suit.is_for(_("to be spliced with its sister %(tag)s") % {"tag": sister.tag})
        suit.against = max(suit.against, against)
        suit.lacks += [_("sister %(tag)s: %(what)s") % {"tag": sister.tag, "what": lack} for lack in lacks]


def _timber(suit: Suit, none_of_it: bool) -> None:
    name = str(suit.stave.timber)
    if none_of_it:
        suit.is_against(20, _("%(timber)s, not what was asked") % {"timber": name})
    else:
        suit.is_for(name)


def _length(suit: Suit, need: float | None, units) -> None:
    stave = suit.stave
    if need is None:
        return
    if stave.length_m is None:
        suit.is_against(12, _("length not measured"))
        return
    least = need / 2 + SPLICE_M if stave.form == StaveForm.BILLET else need
    shown = {"length": units.show(stave.length_m, "length"), "need": units.show(least, "length")}
    if stave.length_m < least:
        suit.is_against(30, _("only %(length)s long, wanted %(need)s") % shown)
    else:
        suit.is_for(_("%(length)s long") % shown)


def _dryness(suit: Suit, row: StoreRow, shop, units, today: dt.date) -> None:
    """As the store judges it (`staves.readiness`), with the figure and how old it is."""
    latest, found = row.track.latest, row.readiness
    if latest is None:
        suit.is_against(8, _("nothing says how dry it is"))
        return
    days = (today - latest.on).days
    read = (
        ngettext("read %(n)s day ago", "read %(n)s days ago", days) % {"n": days} if days else _("read today")
    )
    pct = units.show(latest.pct, "percent")
    if found.ok:
        suit.is_for(_("dry enough: %(pct)s, %(read)s") % {"pct": pct, "read": read})
        return
    away = max(0.0, latest.pct - band_of(row.stave.timber, shop).high_pct)
    points = min(15, 2 + round(away))
    said = pct if found.code == "old_reading" else f"{pct}, {read}"  # that reason tells how old it is
    suit.is_against(points, f"{said}: {found.why}")


def _shape(suit: Suit, shape: dict[str, float] | None, units) -> None:
    bend, sideways, twist = (
        (shape or {}).get(name, 0.0) for name in ("natural_bend_m", "sideways_m", "twist_deg")
    )
    if bend >= BEND_M:
        suit.is_for(_("lies %(bend)s toward the back") % {"bend": units.show(bend, "offset")})
    elif bend <= -BEND_M:
        suit.is_against(3, _("lies %(bend)s toward the belly") % {"bend": units.show(-bend, "offset")})
    if abs(sideways) >= SIDEWAYS_M:
        suit.is_against(3, _("%(bend)s sideways") % {"bend": units.show(abs(sideways), "offset")})
    if abs(twist) >= TWIST_DEG:
        suit.is_against(4, _("twisted by %(twist).0f degrees") % {"twist": abs(twist)})


def _flaw(suit: Suit, flaws: list[StaveFlaw], need: float | None, units) -> None:
    """Flaws that cannot be kept out: the bow is laid where the fewest come to lie in it."""
    if not flaws:
        suit.is_for(_("no flaw written down"))
        return
    inside = flaws
    if need and suit.stave.length_m and suit.stave.form != StaveForm.BILLET:
        start, inside = clear_length(flaws, suit.stave.length_m, need)
        if not inside:
            place = {"from": units.show(start, "length"), "to": units.show(start + need, "length")}
            suit.is_for(_("clear of flaws from %(from)s to %(to)s out of the butt") % place)
            return
    told = Counter(f"{flaw.get_kind_display()} ({flaw.get_face_display()})" for flaw in inside)
    words = ", ".join(f"{n} × {name}" if n > 1 else name for name, n in told.items())
    suit.is_against(sum(map(weight_of, inside)), words)


def weight_of(flaw: StaveFlaw) -> int:
    double = flaw.face in (Face.BACK, Face.THROUGH)
    return WORST.get(flaw.kind, 1) * (2 if double else 1)


def clear_length(flaws: Sequence[StaveFlaw], length_m: float, need_m: float) -> tuple[float, list[StaveFlaw]]:
    """Where along the piece a bow of that need lies with the least flaws in it: (from the butt, flaws inside).

    Only where it begins just past a flaw, or at the butt, can be best.
    """
    most = max(0.0, length_m - need_m)
    starts = [0.0, *(end for flaw in flaws if (end := _end(flaw)) <= most)]
    laid = [(start, [f for f in flaws if _end(f) > start and f.from_m < start + need_m]) for start in starts]
    return min(laid, key=lambda each: (sum(map(weight_of, each[1])), len(each[1]), each[0]))


def _end(flaw: StaveFlaw) -> float:
    return flaw.from_m if flaw.to_m is None else flaw.to_m
