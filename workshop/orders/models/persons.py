from django.core.exceptions import ValidationError
from django.db import models
from django.utils.translation import gettext_lazy as _

from workshop.bows.models import Bow
from workshop.bows.models.bow import Hand
from workshop.ledger.models import Entry, Record
from workshop.ledger.models.shop import DrawFrom


class Person(Record):
    """Somebody outside the workshop: payer, archer, guardian, later owner; one person may be all of them."""

    look_deed = "orders"

    name = models.CharField(_("name"), max_length=120, blank=True)
    address = models.TextField(_("address"), max_length=500, blank=True)
    phone = models.CharField(_("telephone"), max_length=60, blank=True)
    mail = models.EmailField(_("mail"), blank=True)
    note = models.TextField(_("note"), blank=True, max_length=4000)
    nameless_at = models.DateTimeField(null=True, editable=False)

    class Meta:
        ordering = ["name", "pk"]
        constraints = [
            models.CheckConstraint(
                condition=~models.Q(name="") | models.Q(nameless_at__isnull=False),
                name="a_person_has_a_name_or_is_nameless",
                violation_error_message=_("A person has a name."),
            )
        ]

    def __str__(self):
        return self.name or str(_("made nameless"))


class ArcherMeasure(Entry):
    """What was measured on an archer, on that day."""

    strike_deed = "orders"

    person = models.ForeignKey(Person, models.PROTECT, related_name="measures")
    draw_m = models.FloatField(_("draw length"), null=True, blank=True)
    draw_from = models.CharField(
        _("draw measured from"), max_length=10, choices=DrawFrom, default=DrawFrom.BACK
    )
    arm_span_m = models.FloatField(_("arm span"), null=True, blank=True)
    hand = models.CharField(_("hand"), max_length=8, choices=Hand, default=Hand.EITHER)
    weight_n = models.FloatField(_("weight the archer shoots now"), null=True, blank=True)
    blanked_at = models.DateTimeField(null=True, editable=False)

    stamps = {**Entry.stamps, "blanked_at": ("note", "as_typed", "draw_m", "arm_span_m", "weight_n", "hand")}

    def clean(self):
        if self.draw_m is None and self.arm_span_m is None and self.weight_n is None:
            raise ValidationError(
                _("Give the draw length, the arm span or the weight shot now."), code="nothing"
            )

    def __str__(self):
        return str(_("archer's measurements"))


class Ownership(Entry):
    """From that day the bow is this person's."""

    strike_deed = "orders"

    bow = models.ForeignKey(Bow, models.PROTECT, related_name="ownerships")
    person = models.ForeignKey(Person, models.PROTECT, related_name="ownerships")

    def __str__(self):
        return str(self.person)
