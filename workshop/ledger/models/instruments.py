from django.db import models
from django.utils.translation import gettext_lazy as _

from workshop.ledger.models.base import Entry, Record


class InstrumentKind(models.TextChoices):
    SCALE = "scale", _("bow scale")
    BALANCE = "balance", _("balance for wood")
    METER = "meter", _("moisture meter")
    CALLIPERS = "callipers", _("callipers, rule")
    CHRONOGRAPH = "chronograph", _("chronograph")


class Instrument(Record):
    """A scale, meter or rule, so that a reading can say what it was read with."""

    look_deed = "record"

    kind = models.CharField(_("kind"), max_length=12, choices=InstrumentKind)
    name = models.CharField(_("name"), max_length=80)
    meter_scale = models.CharField(_("scale the meter is set to, in your words"), max_length=80, blank=True)
    calibrated_at_c = models.FloatField(_("meter calibrated at"), default=20.0)
    doubt_n = models.FloatField(_("doubt of the scale"), null=True, blank=True)
    in_use = models.BooleanField(_("in use"), default=True)

    class Meta:
        ordering = ["kind", "name"]

    def __str__(self):
        return self.name


class InstrumentCheck(Entry):
    """A check against something known: a stone of 20 lb, a resistor, a gauge block."""

    instrument = models.ForeignKey(Instrument, models.PROTECT, related_name="instrument_checks")
    against = models.CharField(_("checked against"), max_length=120)
    read = models.CharField(_("it read"), max_length=60)

    def __str__(self):
        return f"{self.against}: {self.read}"
