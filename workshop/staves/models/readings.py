"""What is measured on a piece. Raw figures only; corrections are computed when they are shown."""

from django.core.exceptions import ValidationError
from django.db import models
from django.utils.translation import gettext_lazy as _

from workshop.ledger.models import Entry, Instrument
from workshop.photos.models import Photo
from workshop.staves.models.staves import Stave


class End(models.TextChoices):
    BUTT = "butt", _("butt end")
    TOP = "top", _("top end")


class Face(models.TextChoices):
    BACK = "back", _("back")
    BELLY = "belly", _("belly")
    LEFT = "left", _("left side")
    RIGHT = "right", _("right side")
    THROUGH = "through", _("right through")


class Reading(Entry):
    stave = models.ForeignKey(Stave, models.PROTECT, related_name="%(class)ss")

    class Meta(Entry.Meta):
        abstract = True
        indexes = [models.Index(fields=["stave", "happened_on"])]


class MoistureReading(Reading):
    """What the pin meter said, and how warm the wood was; how the meter was set then, for it may be set anew."""

    reading_pct = models.FloatField(_("the meter reads"))
    wood_c = models.FloatField(_("wood temperature"), null=True, blank=True)
    meter = models.ForeignKey(
        Instrument, models.PROTECT, related_name="+", null=True, blank=True, verbose_name=_("meter")
    )
    meter_scale = models.CharField(_("the meter's scale, in your words"), max_length=80, blank=True)
    calibrated_at_c = models.FloatField(_("the meter shows true in wood of"), default=20.0)
    depth_m = models.FloatField(_("pins driven in"), null=True, blank=True)

    class Meta(Reading.Meta):
        constraints = [
            models.CheckConstraint(
                condition=models.Q(reading_pct__gte=0, reading_pct__lte=250),
                name="meter_reading_is_believable",
            )
        ]

    def __str__(self):
        return f"{self.reading_pct:g} %"


class Weighing(Reading):
    """The whole piece on the scales."""

    mass_kg = models.FloatField(_("weight of the piece"))

    class Meta(Reading.Meta):
        constraints = [models.CheckConstraint(condition=models.Q(mass_kg__gt=0), name="weighing_above_zero")]

    def __str__(self):
        return self.as_written("mass_kg", f"{self.mass_kg:.2f} kg")

    def told(self, units):
        return units.show(self.mass_kg, "mass")


class OvenDryTest(Reading):
    """A slice weighed wet and oven-dry: true moisture. With the piece weighed that day it calibrates its series."""

    wet_kg = models.FloatField(_("slice, as cut"))
    dry_kg = models.FloatField(_("slice, oven-dry"))
    piece_kg = models.FloatField(_("the piece itself, after cutting the slice"), null=True, blank=True)

    class Meta(Reading.Meta):
        constraints = [
            models.CheckConstraint(
                condition=models.Q(dry_kg__gt=0, wet_kg__gte=models.F("dry_kg")), name="a_slice_dries_lighter"
            )
        ]

    def __str__(self):
        return f"{self.wet_kg * 1000:g} g → {self.dry_kg * 1000:g} g"


class RingCount(Reading):
    """Rings counted over a distance at one end."""

    end = models.CharField(_("end"), max_length=5, choices=End)
    rings = models.PositiveIntegerField(_("rings counted"))
    distance_m = models.FloatField(_("over"))
    latewood_pct = models.FloatField(_("late wood"), null=True, blank=True)

    class Meta(Reading.Meta):
        constraints = [
            models.CheckConstraint(
                condition=models.Q(rings__gt=0, distance_m__gt=0), name="rings_over_a_distance"
            )
        ]

    def __str__(self):
        return _("%(n)s rings") % {"n": self.rings}


class StaveSize(Reading):
    """Width and depth at a station, from the butt end."""

    station_m = models.FloatField(_("station, from the butt"))
    width_m = models.FloatField(_("width"))
    depth_m = models.FloatField(_("depth, back to belly"))

    def __str__(self):
        return f"{self.station_m * 1000:.0f} mm: {self.width_m * 1000:.1f} × {self.depth_m * 1000:.1f}"


class ShapeReading(Reading):
    """How the piece lies: bend toward the back (reflex, above zero) or belly (deflex), sideways, twist, sapwood."""

    natural_bend_m = models.FloatField(_("bend, toward the back above zero"), null=True, blank=True)
    sideways_m = models.FloatField(_("sideways bend"), null=True, blank=True)
    twist_deg = models.FloatField(_("twist, end to end"), null=True, blank=True)
    sapwood_m = models.FloatField(_("sapwood"), null=True, blank=True)

    def clean(self):
        if all(v is None for v in (self.natural_bend_m, self.sideways_m, self.twist_deg, self.sapwood_m)):
            raise ValidationError(
                _("Give at least one of bend, sideways bend, twist and sapwood."), code="nothing"
            )

    def __str__(self):
        return str(_("shape"))


class BendTest(Reading):
    """An offcut on two supports, loaded in the middle: its own stiffness."""

    span_m = models.FloatField(_("between supports"))
    width_m = models.FloatField(_("width of the offcut"))
    depth_m = models.FloatField(_("depth of the offcut"))
    load_n = models.FloatField(_("load in the middle"))
    deflection_m = models.FloatField(_("it sinks by"))
    moisture_pct = models.FloatField(_("moisture of the offcut"), null=True, blank=True)

    class Meta(Reading.Meta):
        constraints = [
            models.CheckConstraint(
                condition=models.Q(
                    span_m__gt=0, width_m__gt=0, depth_m__gt=0, load_n__gt=0, deflection_m__gt=0
                ),
                name="bend_test_above_zero",
            )
        ]

    def __str__(self):
        return str(_("bend test"))


class FlawKind(models.TextChoices):
    KNOT = "knot", _("knot")
    PIN = "pin", _("pin knot")
    CHECK = "check", _("drying check")
    RING_CUT = "ring-cut", _("ring cut through")
    HOLE = "hole", _("insect hole")
    SWIRL = "swirl", _("swirl")
    SHAKE = "shake", _("shake")
    FUNGUS = "fungus", _("fungus")
    SPLINTER = "splinter", _("lifting splinter")
    CHRYSAL = "chrysal", _("chrysal")
    CRACK = "crack", _("crack")
    GLUE = "glue", _("glue line opening")
    OTHER = "other", _("other")


class StaveFlaw(Reading):
    """A flaw along the piece, and on which face."""

    kind = models.CharField(_("flaw"), max_length=10, choices=FlawKind)
    face = models.CharField(_("face"), max_length=8, choices=Face)
    from_m = models.FloatField(_("from the butt"))
    to_m = models.FloatField(_("to"), null=True, blank=True)
    size = models.CharField(_("how big, how deep"), max_length=80, blank=True)
    watched = models.BooleanField(_("keep an eye on it"), default=False)
    settled_at = models.DateTimeField(null=True, editable=False)
    settled_word = models.CharField(max_length=200, blank=True, editable=False)

    stamps = {**Entry.stamps, "settled_at": ("settled_word",)}

    def __str__(self):
        return self.get_kind_display()


class StavePhoto(Photo):
    stave = models.ForeignKey(Stave, models.PROTECT, related_name="photos")
