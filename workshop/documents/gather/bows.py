"""What several papers tell of a bow, worded."""

from django.db.models import Prefetch
from django.urls import reverse
from django.utils.translation import gettext as _

from workshop.bows.models import Bow, Piece
from workshop.bows.models.bow import MakeUp, Origin, Part
from workshop.bows.weighing.passes import Weighings
from workshop.documents.desk import Desk, Remark, joined
from workshop.orders.models import Ownership, Person, StartedBow

OF_THE_BOW_ITSELF = (Part.WHOLE, Part.LIMB_A, Part.LIMB_B, Part.LAYER, Part.RISER, Part.BACKING)


def found():
    return Bow.objects.prefetch_related(
        Prefetch("pieces", Piece.objects.select_related("stave__felling__timber")),
        Prefetch("started_for", StartedBow.objects.select_related("line__archer", "line__order__payer")),
        Prefetch("ownerships", Ownership.objects.select_related("person")),
        "deliveries",
        "upper_decisions",
        "bracereadings",
        "dimensions",
    )


def standing(entries) -> list:
    """Those that count, of entries fetched along."""
    return [entry for entry in entries.all() if not entry.is_struck]


def timber_of(bow: Bow) -> str:
    """Its timbers, each once from the back on, and how it is made up: `Yew, self`."""
    pieces = [piece for piece in standing(bow.pieces) if piece.part in OF_THE_BOW_ITSELF]
    pieces.sort(key=lambda piece: (piece.part != Part.BACKING, piece.layer or 0))
    names = joined(*dict.fromkeys(material_of(piece) for piece in pieces)) or bow.timber_words
    return joined(names, make_up_of(bow)) if names else ""


def make_up_of(bow: Bow) -> str:
    return "" if bow.make_up == MakeUp.UNKNOWN else bow.get_make_up_display()


def material_of(piece: Piece) -> str:
    return piece.stave.timber.name if piece.stave else piece.material


def length_of(bow: Bow, desk: Desk) -> str:
    length = desk.show(bow.length_m, "length")
    return _("%(length)s nock to nock") % {"length": length} if length else ""


def brace_m_of(bow: Bow, known: Weighings) -> float | None:
    """The brace height it is to be strung to: as it was last weighed at full brace, as last read, as planned."""
    weighed = (one.weigh_in for one in reversed(known.passes) if one.counts and one.weigh_in.strung == "full")
    heights = [head.brace_m for head in weighed][:1]
    heights += [each.brace_m for each in reversed(standing(bow.bracereadings)) if each.brace_m][:1]
    return next((height for height in heights if height), bow.brace_m)


def string_of(bow: Bow, known: Weighings) -> str:
    """The string the bow was weighed with; before that, the one planned."""
    heads = (one.weigh_in for one in reversed(known.passes) if one.counts and not one.is_long)
    return next((head.bowstring for head in heads if head.bowstring), bow.bowstring)


def archer_of(bow: Bow) -> Person | None:
    """Whose bow it is: its last owner; before that, the archer it was started for, or who ordered it."""
    owners = standing(bow.ownerships)
    if owners:
        return owners[-1].person
    lines = [started.line for started in standing(bow.started_for)]
    return (lines[-1].archer or lines[-1].order.payer) if lines else None


def maker_of(bow: Bow, desk: Desk) -> tuple[str, str]:
    """Who made it, and the address to ask at. Another maker's bow bears his name, and ours as who weighed it."""
    shop = desk.shop
    if bow.origin in (Origin.OTHER, Origin.BOUGHT):
        looked_after = _("looked after by %(shop)s") % {"shop": shop.name}
        return bow.maker or _("another maker"), joined(looked_after, _in_one_line(shop.address))
    return shop.name, _in_one_line(shop.address) or shop.contact


def _in_one_line(address: str) -> str:
    return joined(*(line.strip(" ,") for line in address.splitlines()))


def remarks_on_bow(bow: Bow, *, brace: str, string: str, timber: str):
    """What a paper about a bow would have to leave out."""
    if not brace:
        reason = _("None was read or planned, so the paper leaves it out.")
        yield Remark(_("No brace height"), reason, *_mended("brace-add", bow, _("Read the brace height")))
    if not string:
        reason = _("Which string belongs to the bow is not written down.")
        yield Remark(_("No string"), reason, *_mended("bow-plan", bow, _("Write it into the plan")))
    if not timber:
        reason = _("No piece and no timber is named for this bow.")
        yield Remark(_("No timber"), reason, *_mended("piece-add", bow, _("Name its wood")))


def _mended(url_name: str, bow: Bow, link: str) -> tuple[str, str]:
    return reverse(url_name, args=[bow.pk]), link
