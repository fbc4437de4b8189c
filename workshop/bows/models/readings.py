"""What is measured on a bow and done to it."""

from django.core.exceptions import ValidationError
from django.db import models
from django.utils.translation import gettext_lazy as _

from workshop.bows.models.bow import Bow, Stage
from workshop.calc.errors import CalcError
from workshop.calc.widths import Lines, check_lines
from workshop.ledger.models import Entry
from workshop.photos.models import Photo
from workshop.staves.models.readings import FlawKind


class Limb(models.TextChoices):
    A = "A", _("limb A")
    B = "B", _("limb B")
    BOTH = "both", _("both limbs")
    GRIP = "grip", _("grip")


class BowEntry(Entry):
    bow = models.ForeignKey(Bow, models.PROTECT, related_name="%(class)ss")

    class Meta(Entry.Meta):
        abstract = True


class Deed(models.TextChoices):
    SCRAPED = "scraped", _("scraped")
    PIKED = "piked", _("piked")
    STEAMED = "steamed", _("steamed")
    HEATED = "heat-treated", _("heat-treated")
    REFLEXED = "reflexed", _("reflexed")
    BACKED = "backed", _("backed")
    GLUED = "glued", _("glued")
    UNTWISTED = "untwisted", _("twist corrected")
    NOCKED = "nocked", _("nocked")
    SANDED = "sanded", _("sanded")
    FINISHED = "finished", _("finished (oil, varnish)")
    GRIPPED = "gripped", _("grip wrapped, plate set")
    REPAIRED = "repaired", _("repaired")


# common practice, no source: a rest before the next pull, in days, offered and never forced
USUAL_REST_DAYS: dict[str, int] = {
    Deed.STEAMED: 7, Deed.HEATED: 5, Deed.REFLEXED: 7, Deed.BACKED: 30, Deed.GLUED: 2, Deed.UNTWISTED: 5,
}  # fmt: skip
NEW_ZERO = (Deed.STEAMED, Deed.HEATED, Deed.REFLEXED, Deed.BACKED, Deed.UNTWISTED)
# work that leaves earlier weigh-ins standing; all other work makes them out of date for a rating
LEAVES_WEIGHT = (Deed.GRIPPED,)


class WorkDone(BowEntry):
    """Work on the bow as it is done: what, which limb, from where to where."""

    deed = models.CharField(_("work"), max_length=14, choices=Deed)
    limb = models.CharField(_("where"), max_length=4, choices=Limb, default=Limb.BOTH)
    from_m = models.FloatField(_("from, out of the middle"), null=True, blank=True)
    to_m = models.FloatField(_("to"), null=True, blank=True)
    rest_until = models.DateField(_("rest until"), null=True, blank=True)
    new_zero = models.BooleanField(_("a new zero for set"), default=False)

    class Meta(BowEntry.Meta):
        indexes = [models.Index(fields=["rest_until"])]

    def clean(self):
        if self.from_m is not None and self.to_m is not None and self.to_m < self.from_m:
            raise ValidationError({"to_m": _("The end lies nearer the middle than the beginning.")})

    def __str__(self):
        return f"{self.get_deed_display()}, {self.get_limb_display()}"

    @property
    def spoils_ratings(self) -> bool:
        return self.deed not in LEAVES_WEIGHT


class SetReading(BowEntry):
    """How far a tip stands off the straight line of the back: toward the belly (string follow) above zero."""

    limb = models.CharField(_("limb"), max_length=4, choices=Limb, default=Limb.BOTH)
    follow_m = models.FloatField(_("tip off the straight edge, string follow above zero, reflex below"))
    rested = models.BooleanField(
        _("rested"), default=False, help_text=_("not read at once after unstringing")
    )
    is_zero = models.BooleanField(_("this is the zero"), default=False)

    def __str__(self):
        return self.as_written("follow_m", f"{self.follow_m * 1000:.0f} mm")

    def told(self, units):
        return f"{self.get_limb_display()} {units.show(self.follow_m, 'offset')}"


class BraceReading(BowEntry):
    """Brace height and how far each limb stands from the string."""

    brace_m = models.FloatField(_("brace height, belly of grip to string"), null=True, blank=True)
    string_a_m = models.FloatField(_("string to limb A"), null=True, blank=True)
    string_b_m = models.FloatField(_("string to limb B"), null=True, blank=True)
    at_m = models.FloatField(_("measured out of the middle at"), null=True, blank=True)
    seen = models.CharField(_("what the tiller looks like"), max_length=300, blank=True)

    def clean(self):
        if self.brace_m is None and self.string_a_m is None and self.string_b_m is None and not self.seen:
            raise ValidationError(_("Give the brace height, the two limbs, or what you saw."), code="nothing")

    def __str__(self):
        return str(_("brace and tiller"))


class Dimension(BowEntry):
    """Width and depth at a station from the middle mark: planned, or as measured."""

    planned = models.BooleanField(_("planned, not measured"), default=False)
    limb = models.CharField(_("limb"), max_length=4, choices=[("A", _("limb A")), ("B", _("limb B"))])
    station_m = models.FloatField(_("station, from the middle mark"))
    width_m = models.FloatField(_("width"))
    depth_m = models.FloatField(_("depth"))

    class Meta(BowEntry.Meta):
        constraints = [
            models.CheckConstraint(
                condition=models.Q(station_m__gte=0, width_m__gt=0, depth_m__gt=0),
                name="dimension_above_zero",
            )
        ]

    def __str__(self):
        sizes = (
            self.as_written(name, f"{getattr(self, name) * 1000:.1f} mm") for name in ("width_m", "depth_m")
        )
        at = self.as_written("station_m", f"{self.station_m * 1000:.0f} mm")
        return f"{self.limb} {at}: {' × '.join(sizes)}"

    def told(self, units):
        at, width, depth = (
            units.show(getattr(self, name), kind)
            for name, kind in (("station_m", "place"), ("width_m", "depth"), ("depth_m", "depth"))
        )
        return f"{self.limb} {at}: {width} × {depth}"


class SectionOutline(BowEntry):
    """A section taken with callipers: `lines` of [height above the belly, width] in metres, belly first."""

    lines = models.JSONField(_("heights above the belly, and widths"))
    was = models.CharField(_("section before"), max_length=10, blank=True, editable=False)

    def clean(self):
        try:
            check_lines(self.as_lines)
        except CalcError as error:
            raise ValidationError({"lines": str(error)}, code=error.code) from error

    @property
    def as_lines(self) -> Lines:
        return tuple((float(height), float(width)) for height, width in self.lines)

    def __str__(self):
        return str(_("outline of the section"))


class MassReading(BowEntry):
    mass_kg = models.FloatField(_("weight of the bow itself"))

    def __str__(self):
        return self.as_written("mass_kg", f"{self.mass_kg * 1000:.0f} g")

    def told(self, units):
        return units.show(self.mass_kg, "mass")


class ShotsFired(BowEntry):
    shots = models.PositiveIntegerField(_("arrows shot"))

    def __str__(self):
        return str(self.shots)


class Speed(BowEntry):
    """One arrow through the chronograph."""

    arrow_kg = models.FloatField(_("arrow"))
    speed_m_s = models.FloatField(_("speed"))
    draw_m = models.FloatField(_("drawn to"), null=True, blank=True)

    def __str__(self):
        return self.as_written("speed_m_s", f"{self.speed_m_s:.1f} m/s")

    def told(self, units):
        return units.show(self.speed_m_s, "speed")


class BenchTime(BowEntry):
    """Time spent, by the stage it was spent in."""

    stage = models.CharField(_("stage"), max_length=12, choices=Stage)
    minutes = models.PositiveIntegerField(_("minutes"))

    def __str__(self):
        return _("%(n)s minutes") % {"n": self.minutes}


class BowFace(models.TextChoices):
    BACK = "back", _("back")
    BELLY = "belly", _("belly")
    SIDE = "side", _("side")
    THROUGH = "through", _("right through")


# what may let a limb go; a knot or a pin is known since the lay-out
WEAKENS = (FlawKind.CHRYSAL, FlawKind.CRACK, FlawKind.SPLINTER, FlawKind.GLUE)


class BowFlaw(BowEntry):
    """A flaw with place and face, watched until it is settled."""

    kind = models.CharField(_("flaw"), max_length=10, choices=FlawKind)
    limb = models.CharField(_("where"), max_length=4, choices=Limb)
    face = models.CharField(_("face"), max_length=8, choices=BowFace)
    at_m = models.FloatField(_("out of the middle"), null=True, blank=True)
    size = models.CharField(_("how big, how deep"), max_length=80, blank=True)
    watched = models.BooleanField(_("keep an eye on it"), default=True)
    settled_at = models.DateTimeField(null=True, editable=False)
    settled_word = models.CharField(max_length=200, blank=True, editable=False)

    stamps = {**Entry.stamps, "settled_at": ("settled_word",)}

    def __str__(self):
        return f"{self.get_kind_display()}, {self.get_limb_display()}"


class FlawLook(Entry):
    """A look at a watched flaw."""

    flaw = models.ForeignKey(BowFlaw, models.PROTECT, related_name="looks")
    seen = models.CharField(
        _("it is"),
        max_length=8,
        choices=[("same", _("the same")), ("grown", _("grown")), ("gone", _("gone"))],
    )

    def __str__(self):
        return self.get_seen_display()


class BowPhoto(Photo):
    bow = models.ForeignKey(Bow, models.PROTECT, related_name="photos")


class BowNote(BowEntry):
    """A plain note, where nothing else fits."""

    def clean(self):
        if not self.note.strip():
            raise ValidationError({"note": _("A note needs words.")})

    def __str__(self):
        return self.note[:60]
