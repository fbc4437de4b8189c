from django.db import models
from django.db.models.functions import Lower
from django.utils.translation import gettext_lazy as _

from workshop.ledger.models import Entry, Record
from workshop.ledger.models.naming import OneBearer


class Place(Record):
    """Where wood lies: a shed, a loft, a drying box. Its order is the order of a walk along the racks."""

    name = models.CharField(_("place"), max_length=80)
    walk = models.PositiveIntegerField(_("order on the walk"), default=0)
    note = models.TextField(_("note"), blank=True, max_length=1000)
    in_use = models.BooleanField(_("in use"), default=True)

    class Meta:
        ordering = ["walk", "name"]
        constraints = [
            OneBearer(
                Lower("name"),
                name="one_place_per_name",
                violation_error_message=_("Another place bears this name."),
            )
        ]

    def __str__(self):
        return self.name


class ClimateReading(Entry):
    """Temperature and humidity of a place."""

    place = models.ForeignKey(Place, models.PROTECT, related_name="climate_readings")
    temperature_c = models.FloatField(_("temperature"))
    humidity_pct = models.FloatField(_("humidity"))

    class Meta(Entry.Meta):
        constraints = [
            models.CheckConstraint(
                condition=models.Q(humidity_pct__gte=0, humidity_pct__lte=100),
                name="humidity_is_a_percentage",
            )
        ]

    def __str__(self):
        return f"{self.place}: {self.temperature_c:.0f} °C, {self.humidity_pct:.0f} %"

    def told(self, units):
        air = units.show(self.temperature_c, "temperature"), units.show(self.humidity_pct, "humidity")
        return f"{self.place}: {', '.join(air)}"
