"""Pieces of wood: how they come, are carried, and step from state to state.

`stave_steps` is sent inside the transaction before a piece steps: a room that holds the wood refuses with a
`ValidationError`.
"""

import datetime as dt
import uuid
from functools import reduce
from operator import or_

from django.core.exceptions import ValidationError
from django.db import transaction
from django.db.models import OuterRef, Q, Subquery
from django.dispatch import Signal, receiver
from django.utils import timezone
from django.utils.translation import gettext as _

from workshop.ledger.dates import show_date
from workshop.ledger.numbers import hold_numbers
from workshop.ledger.services import entry_add, entry_kept, entry_struck, record_add, record_change
from workshop.staves.models import Felling, Place, StateMove, Stave, StaveMove, StaveWork
from workshop.staves.models.readings import Reading
from workshop.staves.models.staves import CAUSE_WANTED, STEPS, PieceWork, StaveForm, StaveState
from workshop.staves.tags import counted_on, next_tag

stave_steps = Signal()  # sender: Stave; stave as it is, state it steps to
MOST_AT_ONCE = 200
MOST_NAMED = 3
# What is dated on a piece; photos are not held to it, for a tree may be photographed as it stands.
WRITTEN_OF_PIECES = (
    *Reading.__subclasses__(),
    StaveWork,
    StaveMove,
    StateMove,
)


@transaction.atomic
def felling_add(
    *,
    by,
    many: int,
    length_m: float | None = None,
    first_tag: str = "",
    form: str = StaveForm.STAVE,
    bark_on: bool = True,
    sealed: bool = False,
    place: Place | None = None,
    **values,
) -> Felling:
    """A tree felled, a purchase, a gift, with all its pieces: all of it or nothing.

    `first_tag` left empty takes the next free tag; the following pieces count on from it.
    """
    felling = record_add(Felling(**values), by=by)
    staves_add(
        felling=felling,
        by=by,
        many=many,
        length_m=length_m,
        first_tag=first_tag,
        form=form,
        bark_on=bark_on,
        sealed=sealed,
        place=place,
    )
    return felling


@transaction.atomic
def felling_change(*, felling: Felling, by, seen: int | None = None, **values) -> Felling:
    """The cost is left as it is where it is not given: not everybody may see it."""
    if values.get("happened_on", felling.happened_on) != felling.happened_on:
        check_nothing_before(felling, values["happened_on"])
    return record_change(felling, by=by, seen=seen, **values)


@transaction.atomic
def staves_add(
    *,
    felling: Felling,
    by,
    many: int,
    first_tag: str = "",
    happened_on: dt.date | None = None,
    happened_to: str = "d",
    place: Place | None = None,
    deed: str = "",
    **values,
) -> list[Stave]:
    """`many` like pieces of one felling, tagged from `first_tag` on and laid in `place`."""
    if not 1 <= many <= MOST_AT_ONCE:
        raise ValidationError({"many": _("From 1 to %(most)s pieces at once.") % {"most": MOST_AT_ONCE}})
    hold_numbers()
    tags = _tags(first_tag or next_tag(timezone.localdate()), many)
    staves = [
        _stave_add(Stave(tag=tag, felling=felling, place=place, **values), by=by, deed=deed) for tag in tags
    ]
    if place is not None:
        on, to = (happened_on, happened_to) if happened_on else (felling.happened_on, felling.happened_to)
        for stave in staves:
            entry_add(StaveMove(stave=stave, place=place, happened_on=on, happened_to=to), by=by)
    return staves


def _tags(first: str, many: int) -> list[str]:
    try:
        tags = counted_on(first, many)
    except ValueError as error:
        raise ValidationError(
            {"first_tag": _("To count on, the first tag must end in a figure, such as 26-014.")}
        ) from error
    if len(tags[-1]) > Stave._meta.get_field("tag").max_length:
        raise ValidationError({"first_tag": _("This tag is too long: at most 24 characters.")})
    return tags


def _stave_add(stave: Stave, *, by, deed: str) -> Stave:
    try:
        return record_add(stave, by=by, deed=deed)
    except ValidationError as error:
        if all(found.code != "unique" for found in error.error_dict.get("tag", ())):
            raise
        free = next_tag(timezone.localdate())
        words = _("Another piece bears the tag %(tag)s.") % {"tag": stave.tag}
        if free:
            words += " " + _("The next free one is %(tag)s.") % {"tag": free}
        raise ValidationError({"first_tag": words}) from error


def stave_change(*, stave: Stave, by, seen: int | None = None, **values) -> Stave:
    return record_change(stave, by=by, seen=seen, **values)


@transaction.atomic
def stave_carry(*, stave: Stave, place: Place, by, **values) -> StaveMove:
    """Carry a piece to another place, on its day. Where it lies now is its latest move's place."""
    check_day(stave, values["happened_on"], values.get("happened_to", "d"))
    move = entry_add(StaveMove(stave=stave, place=place, **values), by=by)
    _lies_where_carried_last(stave, by=by, deed=_("carried"))
    return move


@receiver(entry_struck, sender=StaveMove)
def carry_take_back(*, entry: StaveMove, by, **signal) -> None:
    _lies_where_carried_last(entry.stave, by=by, deed=_("not carried there after all"))


def _lies_where_carried_last(stave: Stave, *, by, deed: str) -> None:
    latest = stave.moves.standing().order_by("-happened_on", "-pk").select_related("place").first()
    record_change(stave, by=by, deed=deed, place=latest.place if latest else None)


@transaction.atomic
def stave_step(
    *, stave: Stave, state: str, by, cause: str = "", happened_on: dt.date | None = None, **values
) -> Stave:
    """Step to another state, with its cause where wood is lost. Only the steps of `STEPS` are allowed."""
    kept = Stave.objects.select_for_update().get(pk=stave.pk)
    if state == kept.state and not values.get("entry_key"):
        return kept
    if entry_kept(StateMove, values.get("entry_key")) is not None:
        return kept
    if state not in STEPS[kept.state]:
        raise ValidationError(
            {
                "state": _("From “%(was)s” a piece does not go to “%(state)s”.")
                % {"was": kept.get_state_display(), "state": StaveState(state).label}
            }
        )
    if kept.state == StaveState.USED and _cut_up(kept):
        words = _(
            "It was cut into %(tags)s, which stand in its place. Strike out the splitting if it never was."
        )
        tags = ", ".join(piece.tag for piece in pieces_of(kept))
        raise ValidationError({"state": words % {"tags": tags}})
    if state in CAUSE_WANTED and not cause.strip():
        raise ValidationError({"cause": _("Say why, so that the year book can count it.")})
    stave_steps.send(Stave, stave=kept, state=state)
    happened_on = happened_on or timezone.localdate()
    check_day(kept, happened_on, values.get("happened_to", "d"))
    entry_add(StateMove(stave=kept, state=state, cause=cause, happened_on=happened_on, **values), by=by)
    return record_change(kept, by=by, deed=cause, state=state)


# Culled or lost, the pieces say themselves that they are none.
NO_PIECES = (StaveState.CULLED, StaveState.LOST)


def pieces_of(stave: Stave) -> list[Stave]:
    """What was cut from it and still is."""
    return list(stave.pieces.exclude(state__in=NO_PIECES))


def used_key(work: StaveWork) -> uuid.UUID:
    """The key of the step that said a piece was used up by this splitting."""
    return uuid.uuid5(work.entry_key, "used")


def _cut_up(stave: Stave) -> bool:
    """Whether its last step was the splitting that used it up, and the pieces are there."""
    last = stave.state_moves.standing().last()
    splits = StaveWork.objects.filter(stave=stave, work=PieceWork.SPLIT)
    return last is not None and last.entry_key in map(used_key, splits) and bool(pieces_of(stave))


def check_day(stave: Stave, happened_on: dt.date, happened_to: str = "d") -> None:
    """Nothing happens to a piece before its tree was felled. A month or a year counts to its end."""
    felling = stave.felling
    if happened_on < earliest_days(felling.happened_on)[happened_to]:
        raise ValidationError(
            {
                "happened_on": _("That is before the wood came in: %(day)s.")
                % {"day": show_date(felling.happened_on, felling.happened_to)}
            }
        )


def check_nothing_before(felling: Felling, day: dt.date) -> None:
    """The day a tree was felled is not moved past what was written of its pieces since.

    The move that first laid a piece down does not hold it: it was dated by the day of felling.
    """
    laid_down = StaveMove.objects.standing().filter(stave=OuterRef("stave")).order_by("pk").values("pk")[:1]
    before = reduce(or_, (Q(happened_to=to, happened_on__lt=on) for to, on in earliest_days(day).items()))
    found = []
    for model in WRITTEN_OF_PIECES:
        entries = model.objects.standing().filter(before, stave__felling=felling)
        if model is StaveMove:
            entries = entries.exclude(pk=Subquery(laid_down))
        found += entries.select_related("stave").order_by("happened_on")[:MOST_NAMED]
    if found:
        found.sort(key=lambda entry: entry.happened_on)
        named = [
            f"{entry.stave.tag}, {show_date(entry.happened_on, entry.happened_to)}"
            for entry in found[:MOST_NAMED]
        ]
        words = _("Readings were written before that day: %(named)s.") % {"named": "; ".join(named)}
        raise ValidationError({"happened_on": words})


def earliest_days(day: dt.date) -> dict[str, dt.date]:
    """From `day` on, the first day an entry may bear, by how exactly its day is known."""
    return {"d": day, "m": day.replace(day=1), "y": day.replace(month=1, day=1)}
