"""What a bow is made of: pieces of wood taken to the bench, and used up when the bow is finished."""

import uuid
from collections.abc import Sequence

from django.core.exceptions import ValidationError
from django.db import transaction
from django.dispatch import receiver
from django.utils.translation import gettext as _

from workshop.bows.models import Bow, Piece
from workshop.bows.models.bow import ENDED, SOLID, MakeUp, Part
from workshop.bows.services.days import check_day
from workshop.ledger.services import entry_add, entry_kept, entry_struck
from workshop.staves.models import Stave
from workshop.staves.models.staves import IN_STORE, StaveState
from workshop.staves.services import stave_step, stave_steps

# the parts that the pieces make, in the order they are named; laminations are counted from the back
_PARTS: dict[str, tuple[str, ...]] = {
    MakeUp.SELF: (Part.WHOLE,),
    MakeUp.BACKED: (Part.WHOLE, Part.BACKING),
    MakeUp.SPLICED: (Part.LIMB_A, Part.LIMB_B),
    MakeUp.TAKE_DOWN: (Part.LIMB_A, Part.LIMB_B, Part.RISER),
}


def parts_for(make_up: str, staves: Sequence[Stave]) -> list[tuple[Stave, str, int | None]]:
    """Which part each of the pieces makes, by the make-up: (piece, part, layer)."""
    if make_up == MakeUp.LAMINATED:
        return [(stave, Part.LAYER, layer) for layer, stave in enumerate(staves, start=1)]
    parts = _PARTS.get(make_up) or ((Part.WHOLE,) if len(staves) == 1 else (Part.LIMB_A, Part.LIMB_B))
    if len(staves) > len(parts):
        names = ", ".join(str(Part(part).label) for part in parts)
        raise ValidationError(
            _("For this make-up name at most %(n)s: %(names)s. The rest is added on the bow’s page.")
            % {"n": len(parts), "names": names}
        )
    return [(stave, part, None) for stave, part in zip(staves, parts, strict=False)]


@transaction.atomic
def piece_add(*, bow: Bow, by, **values) -> Piece:
    """Put a piece into the bow and take it to the bench.

    A solid stave makes one bow; what is left of a broken one may be used again.
    """
    if kept := entry_kept(Piece, values.get("entry_key")):
        return kept
    piece = Piece(bow=bow, **values)
    check_day(bow, piece.happened_on, piece.happened_to)
    if piece.stave is None and not piece.material:
        raise ValidationError({"material": _("Name the piece of wood by its tag, or the material in words.")})
    if piece.part == Part.LAYER and piece.layer is None:
        raise ValidationError({"layer": _("Say which layer it is, counted from the back.")})
    if piece.stave is not None:
        _check_free(piece)
        _take_to_bench(piece, by=by)
    return entry_add(piece, by=by)


def _check_free(piece: Piece) -> None:
    """A solid piece of wood stands in one bow at a time, unless that bow has ended."""
    if piece.part not in SOLID:
        return
    taken = _stands_in(piece.stave)
    if taken is not None:
        raise ValidationError(
            {
                "stave": _("%(tag)s is in bow %(bow)s already.")
                % {"tag": piece.stave.tag, "bow": taken.bow.number}
            }
        )


def _stands_in(stave: Stave) -> Piece | None:
    """The solid part of a bow, one that has not ended, which this wood is."""
    standing = Piece.objects.standing().filter(stave=stave, part__in=SOLID)
    return standing.exclude(bow__stage__in=ENDED).select_related("bow").first()


@receiver(stave_steps, sender=Stave)
def wood_is_held(*, stave: Stave, state: str, **signal) -> None:
    """Wood that is a bow, or becomes one, lies in no store and is not sold as wood. It may fail, though."""
    if state not in (*IN_STORE, StaveState.SOLD, StaveState.GIVEN):
        return
    held = _stands_in(stave)
    if held is not None:
        raise ValidationError(
            {
                "state": _(
                    "%(tag)s is in bow %(bow)s. Strike it out there, or say first what became of the bow."
                )
                % {"tag": stave.tag, "bow": held.bow.number}
            }
        )


def _take_to_bench(piece: Piece, *, by) -> None:
    """From the store to the bench. What is used up may only be the sound part of a bow that has ended."""
    stave = Stave.objects.select_related("felling").get(pk=piece.stave_id)
    if stave.state == StaveState.BENCH or (stave.state == StaveState.USED and _is_left_of_a_bow(stave)):
        return
    if stave.state not in IN_STORE:
        raise ValidationError(
            {
                "stave": _("%(tag)s is no longer there: %(state)s.")
                % {"tag": stave, "state": stave.get_state_display()}
            }
        )
    when = {"happened_on": piece.happened_on, "happened_to": piece.happened_to}
    cause = _("for bow %(number)s") % {"number": piece.bow.number}
    key = _bench_key(piece)
    stave_step(stave=stave, state=StaveState.BENCH, cause=cause, by=by, entry_key=key, **when)


def _bench_key(piece: Piece) -> uuid.UUID:
    """The key of the step that took the wood to the bench for this piece."""
    return uuid.uuid5(piece.entry_key, "bench")


@receiver(entry_struck, sender=Piece)
def piece_take_back(*, entry: Piece, by, **signal) -> None:
    """Wood that is in no bow after all goes back to what it was, if a bow took it and nothing else became of it."""
    stave = entry.stave
    if stave is None or stave.in_bows.standing().exists():
        return
    taken = {_bench_key(piece) for piece in stave.in_bows.all()}
    moves = list(stave.state_moves.standing())
    used_up = [move.state for move in moves[-1:]] == [StaveState.USED] and not stave.pieces.exists()
    if used_up:
        moves.pop()
    if not moves or moves[-1].entry_key not in taken:
        return
    before = moves[-2].state if len(moves) > 1 else StaveState.SEASONING
    for state in (StaveState.SEASONING, before) if used_up else (before,):
        cause = _("not in bow %(number)s after all") % {"number": entry.bow.number}
        stave = stave_step(stave=stave, state=state, cause=cause, by=by)


def _is_left_of_a_bow(stave: Stave) -> bool:
    return Piece.objects.standing().filter(stave=stave, bow__stage__in=ENDED).exists()


@transaction.atomic
def pieces_use_up(*, bow: Bow, by, **when) -> None:
    """The bow is finished: the wood it was made of is no longer at the bench."""
    cause = _("became bow %(number)s") % {"number": bow.number}
    staves = Stave.objects.filter(in_bows__bow=bow, in_bows__struck_at=None, state=StaveState.BENCH)
    for stave in staves.select_related("felling").distinct():
        stave_step(stave=stave, state=StaveState.USED, cause=cause, by=by, **when)
