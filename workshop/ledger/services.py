"""The only place where rows of the ledger are written.

    entry_add       sign an entry and keep it; the same key twice is the same entry
    entry_strike    draw a line through an entry
    entry_stamp     fill what an entry leaves open for later, once
    record_add      make a record
    record_change   change a record from the version that was seen, and keep what it was

Each is one transaction and checks with `full_clean` first.

`entry_struck` is sent inside the transaction that strikes an entry: a room that wrote more along with the entry
takes it back there, or refuses with a `ValidationError`.
"""

from collections.abc import Iterable
from typing import TypeVar

from django.core.exceptions import PermissionDenied, ValidationError
from django.db import models, transaction
from django.dispatch import Signal
from django.utils import timezone
from django.utils.translation import gettext as _

from workshop.ledger.models.base import Change, Entry, LedgerError, Record
from workshop.ledger.roles import may_strike
from workshop.ledger.wording import told

E = TypeVar("E", bound=Entry)
R = TypeVar("R", bound=Record)
entry_struck = Signal()  # sender: the kind of entry; entry, by


class Stale(ValidationError):
    """Somebody changed the record since it was read. `changes`, up to its `version` now, are not yet seen."""

    def __init__(self, version: int, changes: list[Change]):
        self.version, self.changes = version, changes
        who = changes[-1].by if changes else None
        super().__init__(
            _(
                "%(who)s changed this while you were writing. What you typed is kept: look at it and save again."
            )
            % {"who": who or _("Somebody")},
            code="stale",
        )


@transaction.atomic
def entry_add(entry: E, *, by) -> E:
    """Sign `entry` with `by` and keep it. An entry whose key is already kept is returned as it was kept."""
    kept = entry_kept(type(entry), entry.entry_key)
    return _write(entry, by=by) if kept is None else kept


def _write(entry: E, *, by) -> E:
    """Sign an entry whose key was looked for, and keep it."""
    entry.entered_by = by
    entry.entered_at = timezone.now()
    entry.full_clean(exclude={"entry_key"})
    entry.save(force_insert=True)
    return entry


def entry_kept(model: type[E], key) -> E | None:
    """The entry already kept under `key`: a service that does more than add it asks first, when a form comes twice."""
    return model.objects.filter(entry_key=key).first() if key else None


@transaction.atomic
def entries_add(entries: Iterable[E], *, by) -> list[E]:
    """Keep several entries of one kind, all or none, asking once which of their keys are kept already."""
    entries = list(entries)
    if not entries:
        return []
    keys = [entry.entry_key for entry in entries]
    kept = {each.entry_key: each for each in type(entries[0]).objects.filter(entry_key__in=keys)}
    for entry in entries:
        if entry.entry_key not in kept:
            kept[entry.entry_key] = _write(entry, by=by)
    return [kept[key] for key in keys]


@transaction.atomic
def entry_strike(entry: E, *, by, reason: str = "") -> E:
    """Draw a line through `entry`, and take back what was written along with it. Struck twice is struck once.

    A reason nobody gave is not made up.
    """
    entry = type(entry).objects.select_for_update().get(pk=entry.pk)
    if entry.is_struck:
        return entry
    if not entry.strikable:
        raise PermissionDenied(_("This is taken back by another step, not by striking it out."))
    if not may_strike(by, entry, timezone.localdate()):
        raise PermissionDenied(_("A helper strikes out their own entries, on the day they were made."))
    entry = entry_stamp(
        entry,
        "struck_at",
        struck_at=timezone.now(),
        struck_by=by,
        struck_reason=reason[:300],
    )
    entry_struck.send(type(entry), entry=entry, by=by)
    return entry


@transaction.atomic
def entry_stamp(entry: E, stamp: str, **values) -> E:
    """Fill the columns of `stamp` (see `Entry.stamps`), which must still be empty."""
    if stamp not in type(entry).stamps:
        raise LedgerError(f"{entry._meta.label} has no stamp {stamp}")
    if getattr(entry, stamp) is not None:
        raise LedgerError(f"{entry._meta.label} {entry.pk}: {stamp} is filled already")
    for name, value in values.items():
        setattr(entry, name, value)
    entry.save(update_fields=list(values))
    return entry


@transaction.atomic
def record_add(record: R, *, by, deed: str = "") -> R:
    """Make a record; its first history line says by whom."""
    record.made_by, record.made_at = by, timezone.now()
    record.version = 1
    record.full_clean()
    record.save(force_insert=True)
    Change(
        record=record.ledger_label,
        record_id=record.pk,
        version=1,
        at=record.made_at,
        by=by,
        deed=deed or _("made"),
    ).save()
    return record


@transaction.atomic
def record_change(record: R, *, by, seen: int | None = None, deed: str = "", **values) -> R:
    """Set `values` on the record, provided it is still at version `seen`, and keep what they were.

    `seen=None` is for changes that do not rest on a form somebody has been reading.
    """
    kept = type(record)._default_manager.select_for_update().get(pk=record.pk)
    if seen is not None and kept.version != seen:
        raise Stale(kept.version, list(history(kept).filter(version__gt=seen)))
    fields = []
    for name, value in values.items():
        field = kept._meta.get_field(name)
        was = getattr(kept, name)
        if was == value:
            continue
        setattr(kept, name, value)
        fields.append(told(kept, field, was, value))
    if not fields:
        return kept
    kept.full_clean()
    kept.version += 1
    kept.save(update_fields=[*(f["field"] for f in fields), "version"])
    Change(
        record=kept.ledger_label,
        record_id=kept.pk,
        version=kept.version,
        at=timezone.now(),
        by=by,
        deed=deed,
        fields=fields,
    ).save()
    return kept


def history(record: Record) -> models.QuerySet[Change]:
    """Every change of the record, oldest first, with who made it."""
    return Change.objects.filter(record=record.ledger_label, record_id=record.pk).select_related("by")


@transaction.atomic
def history_blank(record: Record) -> int:
    """Blank the texts of a record's history (for making a person nameless); when and by whom stays."""
    lines = list(history(record).filter(blanked_at=None))
    for line in lines:
        line.fields, line.deed, line.blanked_at = [], "", timezone.now()
        line.save(update_fields=["fields", "deed", "blanked_at"])
    return len(lines)
