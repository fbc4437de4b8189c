"""Which pieces of the store would suit an order line: best first, each with its reasons."""

from dataclasses import dataclass

from django.db.models import OuterRef, Q, Subquery
from django.utils.translation import gettext as _

from workshop.orders.models import OrderLine
from workshop.staves.models import MoistureReading, Stave, StaveFlaw
from workshop.staves.models.staves import IN_STORE, StaveForm, StaveState

# common practice, no source: bow length is about this many draws, and a piece is a few inches longer than its bow
LENGTH_OVER_DRAW = {"compass": 2.3, "stiff": 2.2, "": 2.2}
SPARE_M = 0.05
WORST = {"ring-cut": 3, "shake": 3, "crack": 3, "fungus": 3, "check": 2, "knot": 1, "swirl": 1}


@dataclass(frozen=True)
class Suit:
    """A piece, how well it fits (0 is best) and why, for and against."""

    stave: Stave
    against: int
    fits: tuple[str, ...]
    lacks: tuple[str, ...]


def needed_length_m(line: OrderLine) -> float | None:
    """How long a piece must be: the ordered bow, or what its draw asks (common practice)."""
    if line.length_m:
        return line.length_m + SPARE_M
    if line.wanted_draw_m:
        return line.wanted_draw_m * LENGTH_OVER_DRAW[line.bow_kind] + SPARE_M
    return None


def pieces_that_suit(line: OrderLine, *, units, shop, most: int = 12) -> list[Suit]:
    """Pieces in the store, judged by timber, length, dryness and flaws."""
    last = MoistureReading.objects.standing().filter(stave=OuterRef("pk")).order_by("-pk")
    staves = (
        Stave.objects.filter(
            state__in=IN_STORE, form__in=(StaveForm.STAVE, StaveForm.BILLET, StaveForm.BOARD)
        )
        .select_related("felling__timber", "place")
        .annotate(last_moisture_pct=Subquery(last.values("reading_pct")[:1]))
    )
    words = [w for w in line.timbers.replace(",", " ").split() if len(w) > 2]
    if words:
        wanted = Q()
        for word in words:
            wanted |= Q(felling__timber__name__icontains=word)
        if staves.filter(wanted).exists():
            staves = staves.filter(wanted)
    staves = list(staves[:400])
    flaws: dict[int, list[StaveFlaw]] = {}
    for flaw in StaveFlaw.objects.standing().filter(stave__in=staves):
        flaws.setdefault(flaw.stave_id, []).append(flaw)
    judged = [_judge(s, flaws.get(s.pk, []), line, words, units, shop) for s in staves]
    return sorted(judged, key=lambda suit: (suit.against, suit.stave.pk))[:most]


def _judge(stave, flaws, line, words, units, shop) -> Suit:
    against, fits, lacks = 0, [], []

    def weigh(points: int, good: str, bad: str) -> None:
        nonlocal against
        against += points
        (lacks if points else fits).append(bad if points else good)

    timber = stave.felling.timber
    if words:
        known = any(word.lower() in timber.name.lower() for word in words)
        weigh(0 if known else 20, str(timber), _("%(timber)s, not what was asked") % {"timber": timber})
    need = needed_length_m(line)
    if need is not None:
        billet = stave.form == StaveForm.BILLET
        long_enough = stave.length_m is not None and stave.length_m >= (
            need / 2 + SPARE_M if billet else need
        )
        shown = units.show(stave.length_m, "length")
        good = _("%(length)s long") % {"length": shown} + (_(", to be spliced") if billet else "")
        bad = _("length not measured") if stave.length_m is None else _("only %(length)s long, wanted %(need)s") % {
            "length": shown, "need": units.show(need, "length")}  # fmt: skip
        weigh(0 if long_enough else 30, good, bad)
    high = timber.ready_high_pct or shop.ready_high_pct
    moisture = stave.last_moisture_pct
    if stave.state == StaveState.READY:
        fits.append(_("ready"))
    elif moisture is None:
        weigh(8, "", _("moisture not known"))
    else:
        good, bad = _("dry: %(m).1f %%"), _("still %(m).1f %%, wanted %(high).0f %%")
        values = {"m": moisture, "high": high}
        weigh(0 if moisture <= high else min(15, 2 + int(moisture - high)), good % values, bad % values)
    points = sum(WORST.get(flaw.kind, 1) for flaw in flaws)
    names = ", ".join(sorted({str(flaw.get_kind_display()) for flaw in flaws}))
    weigh(points, _("no flaw written down"), names)
    return Suit(stave, against, tuple(filter(None, fits)), tuple(filter(None, lacks)))
