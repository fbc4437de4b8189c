from django.db import models
from django.utils.translation import gettext_lazy as _

from workshop.bows.models import Bow
from workshop.ledger.models import Entry
from workshop.orders.models.orders import Order
from workshop.staves.models import Stave


class PaperKind(models.TextChoices):
    STAVE_TAG = "stave-tag", _("stave tag")
    BENCH_CARD = "bench-card", _("bench card")
    ORDER_SHEET = "order-sheet", _("order sheet")
    RATING_TAG = "rating-tag", _("rating tag")
    PLAIN_TAG = "plain-tag", _("tag without a weight")
    CARE_SHEET = "care-sheet", _("care sheet")
    CURVE_SHEET = "curve-sheet", _("draw-curve sheet")


class IssuedPaper(Entry):
    """A paper as it left: its facts frozen, its bytes, their checksum. A reprint streams the same bytes.

    When a person is made nameless the facts and bytes go; number, day and checksum stay.
    """

    strike_deed = "orders"

    number = models.PositiveIntegerField(unique=True, editable=False)
    kind = models.CharField(_("paper"), max_length=12, choices=PaperKind)
    bow = models.ForeignKey(Bow, models.PROTECT, related_name="papers", null=True, blank=True)
    stave = models.ForeignKey(Stave, models.PROTECT, related_name="papers", null=True, blank=True)
    order = models.ForeignKey(Order, models.PROTECT, related_name="papers", null=True, blank=True)
    facts = models.JSONField(default=dict)
    pdf = models.BinaryField()
    sha256 = models.CharField(max_length=64)
    removed_at = models.DateTimeField(null=True, editable=False)

    stamps = {**Entry.stamps, "removed_at": ("facts", "pdf", "as_typed", "note")}

    class Meta(Entry.Meta):
        constraints = [
            models.CheckConstraint(
                condition=models.Q(bow__isnull=False)
                | models.Q(stave__isnull=False)
                | models.Q(order__isnull=False),
                name="a_paper_is_about_something",
            )
        ]

    def __str__(self):
        return f"{self.get_kind_display()} {self.number}"
