"""Bows: started, changed, planned, and told which limb is the upper."""

import datetime as dt
from collections.abc import Sequence

from django.core.exceptions import ValidationError
from django.db import transaction
from django.utils import timezone
from django.utils.translation import gettext as _

from workshop.bows.grip import grip_of
from workshop.bows.models import Bow, StageMove, UpperDecision
from workshop.bows.models.bow import FINISHED, Origin, Stage
from workshop.bows.services.days import check_day
from workshop.bows.services.pieces import parts_for, piece_add, pieces_use_up
from workshop.calc.errors import CalcError
from workshop.calc.layout import stations
from workshop.ledger.numbers import hold_numbers, next_of_year
from workshop.ledger.services import entry_add, entry_kept, record_add, record_change
from workshop.staves.models import Stave


def next_bow_number() -> str:
    return next_of_year(Bow, "number", timezone.localdate())


@transaction.atomic
def bow_start(
    *,
    by,
    number: str = "",
    started_on: dt.date | None = None,
    started_to: str = "d",
    stage: str = Stage.LAID_OUT,
    staves: Sequence[Stave] = (),
    entry_key=None,
    **values,
) -> Bow:
    """A bow, laid out; without a number it takes the next. A form that came twice (`entry_key`) starts one bow.

    `staves` are its pieces of wood in the order the make-up asks for (see `parts_for`). A bow made here begins
    today unless told otherwise; of another one the year may not be known. One that was begun before it was
    written down enters at the `stage` it has reached.
    """
    if kept := entry_kept(StageMove, entry_key):
        return kept.bow
    hold_numbers()
    number = number.strip() or next_bow_number()
    _check_number(number)
    today = timezone.localdate()
    if values.get("origin", Origin.HERE) == Origin.HERE:
        started_on = started_on or today
        values["maker"] = values.get("maker") or by.name
    _check_plan(Bow(**values))
    bow = Bow(number=number, started_on=started_on, started_to=started_to, stage=stage, **values)
    record_add(bow, by=by)
    when = {"happened_on": started_on or today, "happened_to": started_to if started_on else "d"}
    first = StageMove(bow=bow, stage=stage, **when, **({"entry_key": entry_key} if entry_key else {}))
    entry_add(first, by=by)
    _pieces_put(bow, staves, by=by, **when)
    if stage in FINISHED:
        pieces_use_up(bow=bow, by=by, **when)
    return bow


def _pieces_put(bow: Bow, staves: Sequence[Stave], *, by, **when) -> None:
    """The bow's first pieces; what stands against one of them is said beside the field `staves`."""
    try:
        for stave, part, layer in parts_for(bow.make_up, staves):
            piece_add(bow=bow, stave=stave, part=part, layer=layer, by=by, **when)
    except ValidationError as error:
        messages = error.message_dict if hasattr(error, "error_dict") else {}
        if "happened_on" in messages:
            raise ValidationError({"started_on": messages["happened_on"]}) from error
        raise ValidationError({"staves": error.messages}) from error


def bow_change(*, bow: Bow, by, seen: int | None = None, **values) -> Bow:
    """Change what the bow is or what is planned of it."""
    if "number" in values:
        values["number"] = values["number"].strip()
        _check_number(values["number"], but=bow)
    planned = Bow(**{name: getattr(bow, name) for name in _LAID_OUT_BY})
    for name in _LAID_OUT_BY:
        setattr(planned, name, values.get(name, getattr(bow, name)))
    _check_plan(planned)
    return record_change(bow, by=by, seen=seen, **values)


_LAID_OUT_BY = ("length_m", "grip_m", "grip_above_m", "fade_m")


def _check_number(number: str, but: Bow | None = None) -> None:
    others = Bow.objects.filter(number__iexact=number)
    if others.exclude(pk=but.pk if but else None).exists():
        raise ValidationError({"number": _("Another bow bears the number %(number)s.") % {"number": number}})


def _check_plan(bow: Bow) -> None:
    """Grip and fades must leave limbs, and the grip holds what stands above the middle."""
    grip, above = bow.grip_m, bow.grip_above_m
    if grip is not None and above is not None and above > grip:
        raise ValidationError({"grip_above_m": _("More of the grip above the middle than the grip is long.")})
    if not bow.length_m or grip is None:
        return
    held = grip_of(bow)
    try:
        stations(bow.length_m, grip_above_m=held.above_m, grip_below_m=held.below_m, fade_m=held.fade_m)
    except CalcError as error:
        raise ValidationError(
            {"grip_m": _("Grip and fades leave no limb on a bow of this length.")}
        ) from error


def upper_decide(*, bow: Bow, limb: str, by, **values) -> UpperDecision:
    """Decide which limb is the upper; deciding again is turning the bow end for end."""
    check_day(bow, values["happened_on"], values.get("happened_to", "d"))
    return entry_add(UpperDecision(bow=bow, limb=limb, **values), by=by)
