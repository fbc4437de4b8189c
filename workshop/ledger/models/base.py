"""What every row of the ledger is: an entry, written once and struck at most once, or a record with its history."""

import uuid

from django.conf import settings
from django.db import models
from django.utils import timezone
from django.utils.translation import gettext_lazy as _


class LedgerError(RuntimeError):
    """Code tried to do what a ledger does not allow. Never a user's fault."""


class LedgerQuerySet(models.QuerySet):
    """Reads freely; writes to many rows at once, and deletions, are refused outside the ledger's own services."""

    def standing(self):
        """Entries that count: not struck."""
        return self.filter(struck_at=None)

    def _refuse(self, *args, **kwargs):
        raise LedgerError("A ledger's rows are written one by one, through services, and never deleted.")

    update = delete = bulk_create = bulk_update = _refuse


class Row(models.Model):
    objects = LedgerQuerySet.as_manager()

    class Meta:
        abstract = True

    def clean_fields(self, exclude=None):
        """A row this one points to is not asked for again where it was read already: no row is ever deleted, and
        the database holds to its foreign keys."""
        read = (
            field.name
            for field in self._meta.concrete_fields
            if field.is_relation and field.is_cached(self) and getattr(self, field.attname) is not None
        )
        super().clean_fields({*(exclude or ()), *read})

    def delete(self, *args, **kwargs):
        raise LedgerError(f"{self._meta.label} is never deleted; strike it or change its state.")


class Precision(models.TextChoices):
    DAY = "d", _("day")
    MONTH = "m", _("month")
    YEAR = "y", _("year")


class Happened(models.Model):
    """When a thing happened, as exactly as it is known: a day, a month or only a year (its first day is stored)."""

    happened_on = models.DateField(_("when"))
    happened_to = models.CharField(max_length=1, choices=Precision, default=Precision.DAY)

    class Meta:
        abstract = True


class Entry(Happened, Row):
    """A signed line of the ledger. Written once; a slip is struck and stays visible.

    `stamps` names what else may be filled later, once: {marker column: (columns filled with it)}. The database
    holds to it (see `workshop.ledger.guards`).
    """

    entry_key = models.UUIDField(unique=True, default=uuid.uuid4)
    entered_at = models.DateTimeField(default=timezone.now, editable=False)
    entered_by = models.ForeignKey(settings.AUTH_USER_MODEL, models.PROTECT, related_name="+", editable=False)
    as_typed = models.JSONField(default=dict, blank=True)
    note = models.TextField(_("note"), blank=True, max_length=4000)

    struck_at = models.DateTimeField(null=True, editable=False)
    struck_by = models.ForeignKey(
        settings.AUTH_USER_MODEL, models.PROTECT, related_name="+", null=True, editable=False
    )
    struck_reason = models.CharField(max_length=300, blank=True, editable=False)

    stamps = {"struck_at": ("struck_by_id", "struck_reason")}
    # False for a step that a record has followed: it is taken back by another step, not by striking it.
    strikable = True

    class Meta:
        abstract = True
        ordering = ["pk"]

    @property
    def is_struck(self) -> bool:
        return self.struck_at is not None

    def typed(self, name: str) -> str:
        """The text as it was typed into the field `name`, or an empty string."""
        return self.as_typed.get(name, "")

    def told(self, units) -> str:
        """The entry in a line, its measures in the reader's units; one without measures says what it is."""
        return str(self)

    def as_written(self, name: str, otherwise: str) -> str:
        """A measure in the maker's own writing, for a label that knows no reader; `otherwise` where none is kept."""
        return self.typed(name) or otherwise


class Record(Row):
    """A thing that is edited over years: it carries a version, and every change of it can be read.

    Whoever may look at it reads what changed in it: `look_deed` says who. Prices among the changes are for those who
    may see money.
    """

    look_deed = "look"

    version = models.PositiveIntegerField(default=1, editable=False)
    made_at = models.DateTimeField(default=timezone.now, editable=False)
    made_by = models.ForeignKey(
        settings.AUTH_USER_MODEL, models.PROTECT, related_name="+", null=True, editable=False
    )

    class Meta:
        abstract = True

    @property
    def ledger_label(self) -> str:
        return self._meta.label_lower


class Change(Row):
    """One change of one record: what it was, what it became, by whom. `fields` holds texts for people."""

    record = models.CharField(max_length=60)
    record_id = models.BigIntegerField()
    version = models.PositiveIntegerField()
    at = models.DateTimeField(default=timezone.now)
    by = models.ForeignKey(settings.AUTH_USER_MODEL, models.PROTECT, related_name="+", null=True)
    deed = models.CharField(max_length=200, blank=True)
    fields = models.JSONField(default=list)
    blanked_at = models.DateTimeField(null=True)

    stamps = {"blanked_at": ("fields", "deed")}

    class Meta:
        ordering = ["pk"]
        indexes = [models.Index(fields=["record", "record_id"])]
        constraints = [
            models.UniqueConstraint(fields=["record", "record_id", "version"], name="one_change_per_version"),
        ]

    def __str__(self):
        return f"{self.record} {self.record_id}, version {self.version}"
