"""Work on a piece before it is a bow: bark off, ends sealed, cut shorter, split. The record follows it, and goes back
when the work is struck out.
"""

import datetime as dt
import uuid

from django.core.exceptions import ValidationError
from django.db import transaction
from django.dispatch import receiver
from django.utils.translation import gettext as _

from workshop.ledger.services import entry_add, entry_kept, entry_struck, record_change
from workshop.staves.models import Stave, StaveWork
from workshop.staves.models.staves import GONE, PieceWork, StaveState
from workshop.staves.services.pieces import check_day, pieces_of, stave_step, staves_add, used_key
from workshop.staves.tags import next_piece_tag


@transaction.atomic
def stave_work_add(*, stave: Stave, by, length_m: float | None = None, **values) -> StaveWork:
    """Work on a piece; the record follows: bark off, ends sealed, a new length."""
    kept = entry_kept(StaveWork, values.get("entry_key"))
    if kept is not None:
        return kept
    check_day(stave, values["happened_on"], values.get("happened_to", "d"))
    stave = Stave.objects.select_for_update().get(pk=stave.pk)
    if length_m and stave.length_m and length_m > stave.length_m:
        raise ValidationError(
            {
                "length_m": ValidationError(
                    _("Work does not make a piece longer: it was %(length)s."),
                    params={"length": (stave.length_m, "length")},
                )
            }
        )
    became = {}
    if values["work"] == PieceWork.DEBARKED:
        became["bark_on"] = False
    if values["work"] == PieceWork.SEALED:
        became["sealed"] = True
    if length_m:
        became["length_m"] = length_m
    changed = {name: [getattr(stave, name), value] for name, value in became.items()}
    work = entry_add(StaveWork(stave=stave, changed=changed, **values), by=by)
    record_change(stave, by=by, deed=str(work.get_work_display()), **became)
    return work


@receiver(entry_struck, sender=StaveWork)
def work_take_back(*, entry: StaveWork, by, **signal) -> None:
    """What the record followed is put back, unless later work or somebody's hand has changed it since."""
    stave = Stave.objects.select_for_update().get(pk=entry.stave_id)
    if entry.work == PieceWork.SPLIT:
        _split_take_back(entry, stave, by=by)
        return
    works = list(stave.works.all())
    since = {name for work in works if work.pk > entry.pk and not work.is_struck for name in work.changed}
    before = {
        name: _before(entry, name, works)
        for name, (_was, became) in entry.changed.items()
        if name not in since and getattr(stave, name) == became
    }
    record_change(stave, by=by, deed=_("struck out: %(work)s") % {"work": entry}, **before)


def _before(work: StaveWork, name: str, works: list[StaveWork]):
    """What the record said before `work`; earlier work that has been struck out meanwhile is passed over."""
    was, _became = work.changed[name]
    for earlier in reversed(works):
        if earlier.pk < work.pk and earlier.is_struck and earlier.changed.get(name, [None, None])[1] == was:
            was = earlier.changed[name][0]
    return was


@transaction.atomic
def stave_split(
    *,
    stave: Stave,
    by,
    many: int,
    happened_on: dt.date,
    happened_to: str = "d",
    first_tag: str = "",
    used_up: bool = True,
    note: str = "",
    as_typed: dict | None = None,
    entry_key=None,
    **values,
) -> list[Stave]:
    """Split, saw or cut pieces from a piece. They lie where it lay; it is used up unless `used_up` is False."""
    if entry_kept(StaveWork, entry_key) is not None:  # the form came twice
        return list(stave.pieces.all())
    stave = Stave.objects.select_for_update().get(pk=stave.pk)
    if stave.state in GONE:
        raise ValidationError(
            _(
                "%(tag)s is %(state)s: nothing can be cut from it. If it is here, first take it back to the store."
            )
            % {"tag": stave.tag, "state": stave.get_state_display()}
        )
    when = {"happened_on": happened_on, "happened_to": happened_to}
    check_day(stave, happened_on, happened_to)
    length_m = values.get("length_m")
    if length_m and stave.length_m and length_m > stave.length_m:
        raise ValidationError({"length_m": _("The pieces are longer than the piece they are cut from.")})
    work = StaveWork(
        stave=stave,
        work=PieceWork.SPLIT,
        note=note,
        as_typed=as_typed or {},
        entry_key=entry_key or uuid.uuid4(),
        **when,
    )
    entry_add(work, by=by)
    # split along its length a piece keeps its ends, and what seals them
    sealed = stave.sealed and length_m in (None, stave.length_m)
    pieces = staves_add(
        sealed=sealed,
        felling=stave.felling,
        parent=stave,
        by=by,
        many=many,
        first_tag=first_tag or next_piece_tag(stave),
        place=stave.place,
        deed=_("cut from %(tag)s") % {"tag": stave.tag},
        **when,
        **values,
    )
    if used_up:
        stave_step(
            stave=stave,
            state=StaveState.USED,
            cause=_("cut into %(first)s to %(last)s") % {"first": pieces[0].tag, "last": pieces[-1].tag}
            if many > 1
            else _("cut into %(tag)s") % {"tag": pieces[0].tag},
            entry_key=used_key(work),
            by=by,
            **when,
        )
    return pieces


def _split_take_back(work: StaveWork, stave: Stave, *, by) -> None:
    """A splitting stands as long as its pieces do; without them the piece is whole again."""
    pieces = pieces_of(stave)
    if pieces:
        raise ValidationError(
            _(
                "These pieces were cut from it: %(tags)s. If they never were, cull them first and say so; then the "
                "splitting can be struck out."
            )
            % {"tags": ", ".join(piece.tag for piece in pieces)}
        )
    moves = list(stave.state_moves.standing())
    if moves and moves[-1].entry_key == used_key(work):
        before = moves[-2].state if len(moves) > 1 else StaveState.SEASONING
        for state in (StaveState.SEASONING, before):
            stave = stave_step(stave=stave, state=state, cause=_("not split after all"), by=by)
