from django.db import models
from django.utils.translation import gettext_lazy as _

from workshop.bows.models import Bow
from workshop.ledger.models import Entry
from workshop.orders.models.persons import Person


class Visit(Entry):
    """A bow came back: who brought it, and what was found."""

    strike_deed = "orders"

    bow = models.ForeignKey(Bow, models.PROTECT, related_name="visits")
    brought_by = models.ForeignKey(
        Person, models.PROTECT, related_name="visits", null=True, blank=True, verbose_name=_("brought by")
    )
    complaint = models.CharField(_("what they say"), max_length=300, blank=True)
    finding = models.TextField(_("what you find"), max_length=2000, blank=True)
    found_at = models.DateTimeField(null=True, editable=False)  # written later than the visit
    ended_at = models.DateTimeField(null=True, editable=False)
    ended_on = models.DateField(null=True, editable=False)
    outcome = models.CharField(max_length=300, blank=True, editable=False)

    stamps = {**Entry.stamps, "found_at": ("finding",), "ended_at": ("ended_on", "outcome")}

    def __str__(self):
        return self.complaint or str(_("visit"))
