from django.db import models
from django.db.models.functions import Lower
from django.utils.translation import gettext_lazy as _

from workshop.ledger.models import Entry, LedgerQuerySet, Record
from workshop.ledger.models.naming import OneBearer


class Porosity(models.TextChoices):
    RING = "ring-porous", _("ring-porous")
    SEMI = "semi-ring-porous", _("semi-ring-porous")
    DIFFUSE = "diffuse-porous", _("diffuse-porous")
    SOFTWOOD = "softwood", _("softwood")
    OTHER = "other", _("other")


class TimberQuerySet(LedgerQuerySet):
    def own_first(self):
        """As they are offered for a choice: those wood has come in of most often first, the others by name."""
        return self.annotate(came=models.Count("fellings")).order_by("-came", "name")


class Timber(Record):
    """A kind of wood. The published figures come from `shared/timbers.csv` by `code`; a maker's own timber has none."""

    objects = TimberQuerySet.as_manager()

    code = models.CharField(max_length=40, blank=True, editable=False)
    name = models.CharField(_("timber"), max_length=80)
    botanical = models.CharField(_("botanical name"), max_length=80, blank=True)
    kind = models.CharField(_("kind of wood"), max_length=20, choices=Porosity, default=Porosity.OTHER)
    ready_low_pct = models.FloatField(_("bench-ready from"), null=True, blank=True)
    ready_high_pct = models.FloatField(_("bench-ready to"), null=True, blank=True)
    strain_word_pct = models.FloatField(_("say so when strain passes"), null=True, blank=True)
    note = models.TextField(_("note"), blank=True, max_length=4000)

    class Meta:
        ordering = ["name"]
        constraints = [
            OneBearer(
                Lower("name"),
                name="one_timber_per_name",
                violation_error_message=_("Another timber bears this name."),
            ),
            models.UniqueConstraint(
                fields=["code"], condition=~models.Q(code=""), name="one_timber_per_code"
            ),
        ]

    def __str__(self):
        return self.name


class TimberQuantity(models.TextChoices):
    DENSITY_12 = "density_12_kg_m3", _("density at 12 % moisture")
    MOE_12 = "moe_12_pa", _("stiffness (MOE) at 12 % moisture")
    MOR_12 = "mor_12_pa", _("bending strength (MOR) at 12 % moisture")
    SHRINK_R = "shrinkage_radial_pct", _("radial shrinkage, green to oven-dry")
    SHRINK_T = "shrinkage_tangential_pct", _("tangential shrinkage, green to oven-dry")
    FSP = "fibre_saturation_pct", _("fibre saturation")


class TimberValue(Entry):
    """A figure the maker measured, or trusts more than the published one, with where it is from."""

    timber = models.ForeignKey(Timber, models.PROTECT, related_name="own_values")
    quantity = models.CharField(_("what"), max_length=30, choices=TimberQuantity)
    value = models.FloatField(_("value"))
    source = models.CharField(_("where it is from"), max_length=200)

    def __str__(self):
        return self.get_quantity_display()
