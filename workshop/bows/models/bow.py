from django.db import models
from django.db.models.functions import Lower
from django.utils.translation import gettext_lazy as _

from workshop.bows.models.classrules import RulesChosen
from workshop.ledger.models import Entry, Record
from workshop.ledger.models.naming import OneBearer
from workshop.ledger.models.shop import DrawFrom
from workshop.staves.models import Stave


class BowKind(models.TextChoices):
    COMPASS = "compass", _("full-compass (bends through the grip)")
    STIFF = "stiff", _("stiff-handled")


class MakeUp(models.TextChoices):
    SELF = "self", _("self")
    BACKED = "backed", _("backed")
    LAMINATED = "laminated", _("laminated")
    SPLICED = "spliced", _("spliced")
    TAKE_DOWN = "take-down", _("take-down")
    UNKNOWN = "unknown", _("not known")


class Origin(models.TextChoices):
    HERE = "here", _("made here")
    NOTEBOOK = "notebook", _("from an old notebook")
    OTHER = "other", _("another maker's, here for repair")
    BOUGHT = "bought", _("bought in")


class Section(models.TextChoices):
    DEEP_D = "d", _("deep D")
    FLAT = "flat", _("flat")
    OVAL = "oval", _("oval")
    HALF_OVAL = "half-oval", _("half-oval, the back flat")
    TRAPEZOID = "trapezoid", _("trapezoid")
    CROWNED = "crowned", _("crowned back")
    MEASURED = "measured", _("as measured, its widths written down")


class Curve(models.TextChoices):
    ARC = "arc", _("arc of a circle")
    ELLIPSE = "elliptical", _("elliptical")
    STIFF_TIPS = "stiff-tips", _("stiffer tips")


class Stage(models.TextChoices):
    LAID_OUT = "laid-out", _("laid out")
    ROUGHING = "roughing", _("roughing")
    TILLERING = "tillering", _("tillering")
    SHOOTING_IN = "shooting-in", _("shooting in")
    FINISHING = "finishing", _("finishing")
    READY = "ready", _("ready")
    DELIVERED = "delivered", _("delivered")
    STOCK = "stock", _("kept for stock")
    BROKEN = "broken", _("broken")
    GIVEN_UP = "given-up", _("given up")


ON_BENCH = (Stage.LAID_OUT, Stage.ROUGHING, Stage.TILLERING, Stage.SHOOTING_IN, Stage.FINISHING)
FINISHED = (Stage.READY, Stage.STOCK, Stage.DELIVERED)
ENDED = (Stage.BROKEN, Stage.GIVEN_UP)
CAUSE_WANTED = ENDED


class Hand(models.TextChoices):
    EITHER = "either", _("either hand")
    RIGHT = "right", _("right-handed archer")
    LEFT = "left", _("left-handed archer")


class Bow(Record):
    """One bow, with its plan and what was wanted of it. The order's wish is copied in when the bow is started."""

    number = models.CharField(_("number"), max_length=24)
    kind = models.CharField(_("kind"), max_length=10, choices=BowKind, default=BowKind.STIFF)
    make_up = models.CharField(_("make-up"), max_length=12, choices=MakeUp, default=MakeUp.SELF)
    origin = models.CharField(_("where it is from"), max_length=10, choices=Origin, default=Origin.HERE)
    maker = models.CharField(_("made by"), max_length=80, blank=True)
    started_on = models.DateField(_("started"), null=True, blank=True)
    started_to = models.CharField(max_length=1, default="d")
    stage = models.CharField(_("stage"), max_length=12, choices=Stage, default=Stage.LAID_OUT, editable=False)
    timber_words = models.CharField(_("timber, where no piece is known"), max_length=120, blank=True)

    # plan
    length_m = models.FloatField(_("bow length, nock to nock"), null=True, blank=True)
    grip_m = models.FloatField(_("grip length"), null=True, blank=True)
    grip_above_m = models.FloatField(_("of it above the middle"), null=True, blank=True)
    fade_m = models.FloatField(_("each fade"), null=True, blank=True)
    section = models.CharField(_("section"), max_length=10, choices=Section, blank=True)
    curve = models.CharField(_("intended curve"), max_length=12, choices=Curve, default=Curve.ARC)
    brace_m = models.FloatField(_("brace height, belly of grip to string"), null=True, blank=True)
    grip_depth_m = models.FloatField(_("grip depth, back to pivot point"), null=True, blank=True)
    hand = models.CharField(_("hand"), max_length=8, choices=Hand, default=Hand.EITHER)
    nocks = models.CharField(_("nocks"), max_length=120, blank=True)
    bowstring = models.CharField(_("string"), max_length=120, blank=True)
    low_stretch_fit = models.BooleanField(_("nocks made for low-stretch string"), default=False)

    # wanted: as ordered, or as intended for stock
    wanted_n = models.FloatField(_("weight wanted"), null=True, blank=True)
    wanted_draw_m = models.FloatField(_("at a draw of"), null=True, blank=True)
    draw_from = models.CharField(
        _("draw measured from"), max_length=10, choices=DrawFrom, default=DrawFrom.BACK
    )
    tolerance_n = models.FloatField(_("tolerance, more or less"), null=True, blank=True)
    class_rules = RulesChosen(_("class rules"))
    as_ordered = models.JSONField(default=dict, blank=True, editable=False)

    note = models.TextField(_("note"), blank=True, max_length=4000)

    class Meta:
        ordering = ["-pk"]
        constraints = [
            OneBearer(
                Lower("number"),
                name="one_bow_per_number",
                violation_error_message=_("Another bow bears this number."),
            ),
            models.CheckConstraint(condition=models.Q(stage__in=Stage.values), name="bow_stage_is_known"),
            models.CheckConstraint(
                condition=models.Q(wanted_n=None) | models.Q(wanted_n__gt=0), name="wanted_weight_above_zero"
            ),
        ]
        indexes = [models.Index(fields=["stage"])]

    def __str__(self):
        return self.number

    @property
    def is_on_bench(self) -> bool:
        return self.stage in ON_BENCH


class Part(models.TextChoices):
    WHOLE = "whole", _("the whole bow")
    LIMB_A = "limb-a", _("limb A")
    LIMB_B = "limb-b", _("limb B")
    LAYER = "layer", _("layer, counted from the back")
    RISER = "riser", _("riser")
    BACKING = "backing", _("backing")
    NOCK = "nock", _("nocks")
    OVERLAY = "overlay", _("tip overlays")
    GRIP = "grip", _("grip wrap, arrow plate")


SOLID = (Part.WHOLE, Part.LIMB_A, Part.LIMB_B)


class Piece(Entry):
    """What a bow is made of: a piece of wood from the store, or only its material in words."""

    bow = models.ForeignKey(Bow, models.PROTECT, related_name="pieces")
    stave = models.ForeignKey(
        Stave, models.PROTECT, related_name="in_bows", null=True, blank=True, verbose_name=_("piece of wood")
    )
    part = models.CharField(_("part"), max_length=8, choices=Part, default=Part.WHOLE)
    layer = models.PositiveSmallIntegerField(_("layer, 1 is the back"), null=True, blank=True)
    material = models.CharField(_("material"), max_length=120, blank=True)
    depth_m = models.FloatField(_("depth of the layer"), null=True, blank=True)
    glue = models.CharField(_("glue and batch"), max_length=120, blank=True)
    cured_on = models.DateField(_("glue cured on"), null=True, blank=True)

    class Meta(Entry.Meta):
        constraints = [
            models.UniqueConstraint(
                fields=["stave", "part"],
                condition=models.Q(struck_at=None, part__in=["whole"]),
                name="a_solid_stave_makes_one_bow",
                violation_error_message=_("This piece of wood is a whole bow already."),
            )
        ]

    def __str__(self):
        what = self.stave.tag if self.stave_id else self.material
        return f"{self.get_part_display()}: {what}"


class UpperDecision(Entry):
    """Which limb is the upper, decided late and reversible by turning the bow end for end."""

    bow = models.ForeignKey(Bow, models.PROTECT, related_name="upper_decisions")
    limb = models.CharField(_("upper limb"), max_length=1, choices=[("A", _("limb A")), ("B", _("limb B"))])
    mark = models.CharField(_("how it is marked"), max_length=120, blank=True)

    def __str__(self):
        return self.get_limb_display()


class StageMove(Entry):
    """A step to a stage, forward or back; an end has its cause and place."""

    strikable = False

    bow = models.ForeignKey(Bow, models.PROTECT, related_name="stage_moves")
    was = models.CharField(max_length=12, choices=Stage, blank=True)
    stage = models.CharField(_("stage"), max_length=12, choices=Stage)
    cause = models.CharField(_("cause"), max_length=200, blank=True)
    where = models.CharField(_("where on the bow"), max_length=200, blank=True)

    def __str__(self):
        return self.get_stage_display()


class StageTick(Entry):
    """A line of a stage's check list, looked at."""

    bow = models.ForeignKey(Bow, models.PROTECT, related_name="ticks")
    stage = models.CharField(max_length=12, choices=Stage)
    line = models.CharField(max_length=40)

    def __str__(self):
        return self.line
