"""Bows: started, changed, put together from their pieces, and told which limb is the upper."""

from django.core.exceptions import ValidationError
from django.db import transaction
from django.utils import timezone
from django.utils.translation import gettext as _

from workshop.bows.models import Bow, Piece, StageMove, UpperDecision
from workshop.bows.models.bow import SOLID, Part, Stage
from workshop.ledger.numbers import hold_numbers, next_of_year
from workshop.ledger.services import entry_add, record_add, record_change


def next_bow_number() -> str:
    return next_of_year(Bow, "number", timezone.localdate())


@transaction.atomic
def bow_start(*, by, number: str = "", started_on=None, started_to: str = "d", **values) -> Bow:
    """A bow, laid out; without a number it takes the next. An old notebook's bow may have been started any year."""
    hold_numbers()
    started_on = started_on or timezone.localdate()
    bow = record_add(
        Bow(
            number=number.strip() or next_bow_number(),
            maker=values.pop("maker", "") or by.name,
            started_on=started_on,
            started_to=started_to,
            **values,
        ),
        by=by,
    )
    first = StageMove(bow=bow, stage=Stage.LAID_OUT, happened_on=started_on, happened_to=started_to)
    entry_add(first, by=by)
    return bow


def bow_change(*, bow: Bow, by, seen: int | None = None, **values) -> Bow:
    return record_change(bow, by=by, seen=seen, **values)


@transaction.atomic
def piece_add(*, bow: Bow, by, **values) -> Piece:
    """Put a piece into the bow. A solid stave makes one bow; what is left of a broken one may be used again."""
    piece = Piece(bow=bow, **values)
    if piece.stave is None and not piece.material:
        raise ValidationError({"material": _("Name the piece of wood by its tag, or the material in words.")})
    if piece.part == Part.LAYER and piece.layer is None:
        raise ValidationError({"layer": _("Say which layer it is, counted from the back.")})
    if piece.stave is not None and piece.part in SOLID:
        _check_free(piece)
    return entry_add(piece, by=by)


def _check_free(piece: Piece) -> None:
    """A solid piece of wood stands in one bow at a time, unless that bow has ended."""
    taken = (
        Piece.objects.standing()
        .filter(stave=piece.stave, part__in=SOLID)
        .exclude(bow__stage__in=(Stage.BROKEN, Stage.GIVEN_UP))
        .exclude(entry_key=piece.entry_key)
        .select_related("bow")
        .first()
    )
    if taken is not None:
        raise ValidationError(
            {
                "stave": _("%(tag)s is in bow %(bow)s already.")
                % {"tag": piece.stave.tag, "bow": taken.bow.number}
            }
        )


def upper_decide(*, bow: Bow, limb: str, by, **values) -> UpperDecision:
    """Decide which limb is the upper; deciding again is turning the bow end for end."""
    return entry_add(UpperDecision(bow=bow, limb=limb, **values), by=by)
