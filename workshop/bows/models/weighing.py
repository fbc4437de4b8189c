from django.db import models
from django.utils.translation import gettext_lazy as _

from workshop.bows.models.bow import Bow
from workshop.ledger.dates import show_date
from workshop.ledger.models import Entry, Instrument
from workshop.ledger.models.shop import DrawFrom


class Strung(models.TextChoices):
    LONG = "long", _("long string")
    LOW = "low", _("low brace")
    FULL = "full", _("full brace")


class Purpose(models.TextChoices):
    TILLERING = "tillering", _("while tillering")
    SERIES = "series", _("full series")
    FINAL = "final", _("final weigh-in")


class WeighIn(Entry):
    """The bow on the scale: how it was strung and measured. Its points are entries of their own."""

    bow = models.ForeignKey(Bow, models.PROTECT, related_name="weigh_ins")
    purpose = models.CharField(_("what for"), max_length=10, choices=Purpose, default=Purpose.TILLERING)
    strung = models.CharField(_("string"), max_length=5, choices=Strung, default=Strung.FULL)
    bowstring = models.CharField(_("which string"), max_length=120, blank=True)
    brace_m = models.FloatField(_("brace height"), null=True, blank=True)
    draw_from = models.CharField(_("draw measured from"), max_length=10, choices=DrawFrom)
    grip_depth_m = models.FloatField(_("grip depth, back to pivot point"), null=True, blank=True)
    scale = models.ForeignKey(
        Instrument, models.PROTECT, related_name="+", null=True, blank=True, verbose_name=_("scale")
    )
    moisture_pct = models.FloatField(_("moisture of the bow"), null=True, blank=True)
    temperature_c = models.FloatField(_("temperature"), null=True, blank=True)
    humidity_pct = models.FloatField(_("humidity"), null=True, blank=True)
    # the draw wanted of the bow then, as this weigh-in measures: an order may be changed later
    wanted_draw_m = models.FloatField(_("draw wanted then"), null=True, editable=False)

    class Meta(Entry.Meta):
        indexes = [models.Index(fields=["bow", "purpose"])]

    def __str__(self):
        return f"{self.get_purpose_display()}, {show_date(self.happened_on, self.happened_to)}"


class WeighPoint(Entry):
    """One draw and its weight, entered after the bow was let down."""

    weigh_in = models.ForeignKey(WeighIn, models.PROTECT, related_name="points")
    draw_m = models.FloatField(_("draw"))
    force_n = models.FloatField(_("weight"))

    class Meta(Entry.Meta):
        constraints = [
            models.CheckConstraint(
                condition=models.Q(draw_m__gt=0, force_n__gte=0), name="a_point_has_a_draw_and_a_weight"
            )
        ]

    def __str__(self):
        return self._line(
            self.as_written("force_n", f"{self.force_n:.1f} N"),
            self.as_written("draw_m", f"{self.draw_m * 1000:.0f} mm"),
        )

    def told(self, units):
        return self._line(units.show(self.force_n, "force"), units.show(self.draw_m, "draw"))

    def _line(self, force: str, draw: str) -> str:
        return _("%(force)s at %(draw)s") % {"force": force, "draw": draw}


class WordNoted(Entry):
    """A word of a weigh-in (dying wood, past the limit of pull, ...) that was read and passed over."""

    weigh_in = models.ForeignKey(WeighIn, models.PROTECT, related_name="noted")
    point = models.ForeignKey(WeighPoint, models.PROTECT, related_name="noted", null=True, blank=True)
    code = models.CharField(max_length=40)

    def __str__(self):
        return self.code


class Expectation(Entry):
    """A forecast as it was shown before a pull or a promise, later joined to what came of it."""

    strikable = False

    bow = models.ForeignKey(Bow, models.PROTECT, related_name="expectations")
    what = models.CharField(max_length=40)  # e.g. "weight", with the draw in `at_draw_m`
    at_draw_m = models.FloatField(null=True, blank=True)
    method = models.CharField(max_length=40)
    inputs = models.JSONField(default=dict)
    value = models.FloatField()
    low = models.FloatField()
    high = models.FloatField()
    outcome_at = models.DateTimeField(null=True, editable=False)
    outcome = models.FloatField(null=True, editable=False)
    outcome_point = models.ForeignKey(
        WeighPoint, models.PROTECT, related_name="expected_by", null=True, editable=False
    )

    stamps = {**Entry.stamps, "outcome_at": ("outcome", "outcome_point_id")}

    class Meta(Entry.Meta):
        indexes = [models.Index(fields=["bow", "what", "method"])]

    def __str__(self):
        return f"{self.what} ({self.method})"
