from django.db import models
from django.db.models.functions import Lower
from django.utils.translation import gettext_lazy as _

from workshop.ledger.models import Entry, Record
from workshop.ledger.models.base import Happened
from workshop.ledger.models.naming import OneBearer
from workshop.staves.models.places import Place
from workshop.staves.models.timber import Timber


class CameBy(models.TextChoices):
    TREE = "tree", _("a tree felled")
    LOG = "log", _("a log")
    PURCHASE = "purchase", _("bought")
    GIFT = "gift", _("a gift")
    SWAP = "swap", _("a swap")
    CUSTOMER = "customer", _("the customer's own wood")


class Felling(Happened, Record):
    """How wood came into the shop: a tree, a log, a purchase, a gift. From it come the staves."""

    timber = models.ForeignKey(Timber, models.PROTECT, related_name="fellings", verbose_name=_("timber"))
    came_by = models.CharField(_("how it came"), max_length=10, choices=CameBy)
    where = models.CharField(_("where it grew or was bought"), max_length=200, blank=True)
    giver = models.CharField(_("from whom"), max_length=120, blank=True)
    papers = models.CharField(_("leave, licence or papers of origin"), max_length=300, blank=True)
    cost_minor = models.IntegerField(_("cost"), null=True, blank=True)
    note = models.TextField(_("note"), blank=True, max_length=4000)

    class Meta:
        ordering = ["-pk"]

    def __str__(self):
        return f"{self.timber}, {self.get_came_by_display()}, {self.happened_on.year}"


class StaveForm(models.TextChoices):
    LOG = "log", _("log")
    STAVE = "stave", _("stave")
    BILLET = "billet", _("billet")
    BOARD = "board", _("board")
    LAMINATION = "lamination", _("lamination")
    STRIP = "strip", _("backing strip")


class StaveState(models.TextChoices):
    SEASONING = "seasoning", _("seasoning")
    READY = "ready", _("ready")
    BENCH = "bench", _("at the bench")
    USED = "used", _("used up")
    CULLED = "culled", _("culled")
    SOLD = "sold", _("sold")
    GIVEN = "given", _("given away")
    LOST = "lost", _("lost")


IN_STORE = (StaveState.SEASONING, StaveState.READY)
GONE = (StaveState.USED, StaveState.CULLED, StaveState.SOLD, StaveState.GIVEN, StaveState.LOST)
# Allowed steps; a step back from "gone" is a correction and is recorded like any other.
STEPS: dict[str, tuple[str, ...]] = {
    StaveState.SEASONING: (StaveState.READY, StaveState.BENCH, *GONE),
    StaveState.READY: (StaveState.SEASONING, StaveState.BENCH, *GONE),
    StaveState.BENCH: (StaveState.SEASONING, StaveState.READY, *GONE),
    **dict.fromkeys(GONE, (StaveState.SEASONING,)),
}
CAUSE_WANTED = (StaveState.CULLED, StaveState.LOST)


class Stave(Record):
    """One piece of wood, with the tag that is written on it."""

    tag = models.CharField(_("tag"), max_length=24)
    form = models.CharField(_("what it is"), max_length=12, choices=StaveForm, default=StaveForm.STAVE)
    felling = models.ForeignKey(Felling, models.PROTECT, related_name="staves")
    parent = models.ForeignKey(
        "self", models.PROTECT, related_name="pieces", null=True, blank=True, verbose_name=_("cut from")
    )
    length_m = models.FloatField(_("length"), null=True, blank=True)
    bark_on = models.BooleanField(_("bark on"), default=True)
    sealed = models.BooleanField(_("ends sealed"), default=False)
    place = models.ForeignKey(
        Place, models.PROTECT, related_name="staves", null=True, blank=True, verbose_name=_("place")
    )
    state = models.CharField(
        _("state"), max_length=10, choices=StaveState, default=StaveState.SEASONING, editable=False
    )
    note = models.TextField(_("note"), blank=True, max_length=4000)

    class Meta:
        ordering = ["pk"]
        constraints = [
            OneBearer(
                Lower("tag"),
                name="one_stave_per_tag",
                violation_error_message=_("Another piece bears this tag."),
            ),
            models.CheckConstraint(
                condition=models.Q(state__in=StaveState.values), name="stave_state_is_known"
            ),
            models.CheckConstraint(
                condition=models.Q(length_m=None) | models.Q(length_m__gt=0),
                name="stave_has_a_length_above_zero",
            ),
        ]
        indexes = [models.Index(fields=["state", "place"])]

    def __str__(self):
        return self.tag

    @property
    def timber(self) -> Timber:
        """The timber; queries unless `felling__timber` was fetched along."""
        return self.felling.timber


class StateMove(Entry):
    """A step from one state to another, with its cause."""

    strikable = False

    stave = models.ForeignKey(Stave, models.PROTECT, related_name="state_moves")
    state = models.CharField(_("state"), max_length=10, choices=StaveState)
    cause = models.CharField(_("cause"), max_length=200, blank=True)

    def __str__(self):
        return self.get_state_display()


class StaveMove(Entry):
    """The piece was carried to a place."""

    stave = models.ForeignKey(Stave, models.PROTECT, related_name="moves")
    place = models.ForeignKey(Place, models.PROTECT, related_name="arrivals")

    class Meta(Entry.Meta):
        indexes = [models.Index(fields=["stave", "happened_on"])]

    def __str__(self):
        return str(self.place)


class PieceWork(models.TextChoices):
    DEBARKED = "debarked", _("bark taken off")
    SEALED = "sealed", _("ends sealed")
    RING = "ring", _("taken down to one ring")
    ROUGHED = "roughed", _("roughed out")
    CUT = "cut", _("cut to length, sawn, planed")
    SPLIT = "split", _("split or sawn into pieces")
    STEAMED = "steamed", _("steamed, straightened")


class StaveWork(Entry):
    """Work on a piece before it is a bow. Work that takes bark or wood off starts the weighings anew.

    `changed` holds what the record said before and after it, `{column: [was, became]}`, so that a slip can be
    taken back whole.
    """

    TAKES_WOOD = (PieceWork.DEBARKED, PieceWork.RING, PieceWork.ROUGHED, PieceWork.CUT, PieceWork.SPLIT)

    stave = models.ForeignKey(Stave, models.PROTECT, related_name="works")
    work = models.CharField(_("work"), max_length=12, choices=PieceWork)
    changed = models.JSONField(default=dict, blank=True, editable=False)

    def __str__(self):
        return self.get_work_display()

    @property
    def starts_a_series(self) -> bool:
        return self.work in self.TAKES_WOOD
