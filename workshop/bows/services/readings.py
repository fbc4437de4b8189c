"""What is measured on a bow and done to it. Each is an entry; none is dated before the bow was started."""

import datetime as dt
import uuid
from collections.abc import Sequence
from typing import TypeVar

from django.core.exceptions import ValidationError
from django.db import transaction
from django.utils import timezone
from django.utils.translation import gettext as _

from workshop.bows.models import (
    BenchTime,
    Bow,
    BowFlaw,
    BowNote,
    BowPhoto,
    BraceReading,
    Dimension,
    FlawLook,
    MassReading,
    SetReading,
    ShotsFired,
    Speed,
    WorkDone,
)
from workshop.bows.models.readings import NEW_ZERO, USUAL_REST_DAYS, WEAKENS, Limb
from workshop.bows.services.believable import check_brace, check_drawn, check_mass, check_on_limb, check_time
from workshop.bows.services.days import check_day
from workshop.ledger.models import Entry
from workshop.ledger.services import entries_add, entry_add, entry_stamp
from workshop.photos.images import Prepared
from workshop.photos.services import photo_add

E = TypeVar("E", bound=Entry)


def _add(entry: E, *, by) -> E:
    check_day(entry.bow, entry.happened_on, entry.happened_to)
    return entry_add(entry, by=by)


def work_add(
    *,
    bow: Bow,
    by,
    deed: str,
    happened_on: dt.date,
    rest_days: int | None = None,
    new_zero: bool | None = None,
    **values,
) -> WorkDone:
    """Work as it is done. Rest and new zero are the usual ones of the work unless said otherwise; 0 days: no rest."""
    days = USUAL_REST_DAYS.get(deed, 0) if rest_days is None else rest_days
    work = WorkDone(
        bow=bow,
        deed=deed,
        happened_on=happened_on,
        rest_until=happened_on + dt.timedelta(days=days) if days else None,
        new_zero=deed in NEW_ZERO if new_zero is None else new_zero,
        **values,
    )
    return _add(work, by=by)


@transaction.atomic
def set_add(
    *,
    bow: Bow,
    by,
    entry_key: uuid.UUID | None = None,
    as_typed: dict | None = None,
    follow_a_m: float | None = None,
    follow_b_m: float | None = None,
    follow_m: float | None = None,
    **values,
) -> list[SetReading]:
    """Both tips off the straight edge, or one figure for the whole bow."""
    given = {
        "follow_a_m": (Limb.A, follow_a_m),
        "follow_b_m": (Limb.B, follow_b_m),
        "follow_m": (Limb.BOTH, follow_m),
    }
    given = {name: (limb, follow) for name, (limb, follow) in given.items() if follow is not None}
    if not given:
        raise ValidationError({"follow_a_m": _("Give at least one tip, or both as one.")})
    if "follow_m" in given and len(given) > 1:
        raise ValidationError({"follow_m": _("Give the tips one by one, or both as one.")})
    key, typed = entry_key or uuid.uuid4(), as_typed or {}
    return [
        _add(
            SetReading(
                bow=bow,
                limb=limb,
                follow_m=follow,
                entry_key=uuid.uuid5(key, limb),
                as_typed={"follow_m": typed[name]} if name in typed else {},
                **values,
            ),
            by=by,
        )
        for name, (limb, follow) in given.items()
    ]


def brace_add(*, bow: Bow, by, **values) -> BraceReading:
    check_brace(*(values.get(name) for name in ("brace_m", "string_a_m", "string_b_m")))
    check_on_limb(bow, "at_m", values.get("at_m"))
    return _add(BraceReading(bow=bow, **values), by=by)


def dimensions_add(
    *,
    bow: Bow,
    by,
    limb: str,
    stations: Sequence[dict],
    happened_on: dt.date,
    happened_to: str = "d",
    entry_key: uuid.UUID | None = None,
    note: str = "",
    planned: bool = False,
) -> list[Dimension]:
    """Width and depth at several stations of one limb, or of both where they are alike: all or none."""
    if not stations:
        raise ValidationError(_("Give width and depth at one station at least."), code="nothing")
    check_day(bow, happened_on, happened_to)
    half = bow.length_m / 2 if bow.length_m else None
    beyond = [each for each in stations if half is not None and each["station_m"] > half + 0.05]
    if beyond:
        raise ValidationError(_("A station lies beyond the tip: they are counted from the middle mark."))
    key = entry_key or uuid.uuid4()
    limbs = (Limb.A, Limb.B) if limb == Limb.BOTH else (limb,)
    entries = (
        Dimension(
            bow=bow,
            limb=side,
            planned=planned,
            happened_on=happened_on,
            happened_to=happened_to,
            entry_key=uuid.uuid5(key, f"{side} {number}"),
            note=note,
            **station,
        )
        for side in limbs
        for number, station in enumerate(stations)
    )
    return entries_add(entries, by=by)


def flaw_add(*, bow: Bow, by, **values) -> BowFlaw:
    """A flaw that weakens a limb is watched whether it was ticked or not."""
    check_on_limb(bow, "at_m", values.get("at_m"))
    if values["kind"] in WEAKENS:
        values["watched"] = True
    return _add(BowFlaw(bow=bow, **values), by=by)


def flaw_look(*, flaw: BowFlaw, by, **values) -> FlawLook:
    """A look at a flaw that is watched."""
    return entry_add(FlawLook(flaw=flaw, **values), by=by)


def flaw_settle(*, flaw: BowFlaw, by, word: str) -> BowFlaw:
    """The flaw needs no more watching; in words, what became of it. Settled twice is settled once."""
    flaw.refresh_from_db()
    if flaw.settled_at is not None:
        return flaw
    signed = _("%(word)s (%(who)s)") % {"word": word[:110], "who": by.name}
    return entry_stamp(flaw, "settled_at", settled_at=timezone.now(), settled_word=signed[:200])


def shots_add(*, bow: Bow, by, shots: int, **values) -> ShotsFired:
    if shots < 1:
        raise ValidationError({"shots": _("At least one arrow.")})
    return _add(ShotsFired(bow=bow, shots=shots, **values), by=by)


def mass_add(*, bow: Bow, by, **values) -> MassReading:
    check_mass(values["mass_kg"])
    return _add(MassReading(bow=bow, **values), by=by)


def time_add(*, bow: Bow, by, seconds: float, **values) -> BenchTime:
    """Time at the bench, to the minute."""
    check_time(seconds, values.get("happened_to", "d"))
    return _add(BenchTime(bow=bow, minutes=max(1, round(seconds / 60)), **values), by=by)


def speed_add(*, bow: Bow, by, **values) -> Speed:
    check_drawn(bow, values.get("draw_m"))
    return _add(Speed(bow=bow, **values), by=by)


def note_add(*, bow: Bow, by, **values) -> BowNote:
    return _add(BowNote(bow=bow, **values), by=by)


def bow_photo_add(*, bow: Bow, by, picture: Prepared, **values) -> BowPhoto:
    return photo_add(BowPhoto(bow=bow, **values), picture, by=by)
