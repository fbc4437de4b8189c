import zoneinfo

from django.core.exceptions import ValidationError
from django.core.validators import MaxValueValidator, MinValueValidator, RegexValidator
from django.db import models
from django.utils.translation import gettext_lazy as _

from workshop.ledger.models.base import Entry, Record


class DrawFrom(models.TextChoices):
    BACK = "back", _("the back of the bow")
    BELLY = "belly", _("the belly of the grip")
    AXIS = "axis", _("the axis of the limb")
    TRADE = "trade", _("the pivot of the grip plus 1 3/4 in (trade standard)")


class Paper(models.TextChoices):
    A4 = "A4", _("A4")
    LETTER = "Letter", _("Letter")


def check_time_zone(value: str) -> None:
    if value not in zoneinfo.available_timezones():
        raise ValidationError(_("No time zone has this name. Two that do: Europe/London, America/Denver."))


class Shop(Record):
    """The workshop itself: one row."""

    look_deed = "settings"

    name = models.CharField(_("name of the workshop"), max_length=120)
    address = models.TextField(_("address"), max_length=500, blank=True)
    contact = models.CharField(_("telephone, mail"), max_length=200, blank=True)
    mark = models.CharField(_("maker's mark"), max_length=12, blank=True)
    time_zone = models.CharField(_("time zone"), max_length=60, default="UTC", validators=[check_time_zone])
    currency = models.CharField(
        _("currency"), max_length=3, default="EUR", validators=[RegexValidator(r"^[A-Z]{3}$")]
    )
    language = models.CharField(_("language"), max_length=10, default="en")
    units = models.CharField(
        _("units"),
        max_length=10,
        default="imperial",
        choices=[("imperial", _("inches and pounds")), ("metric", _("centimetres and kilograms"))],
    )
    draw_from = models.CharField(
        _("draw is measured from"), max_length=10, choices=DrawFrom, default=DrawFrom.BACK
    )
    paper = models.CharField(_("paper"), max_length=10, choices=Paper, default=Paper.A4)
    label_width_m = models.FloatField(_("label width"), default=0.062, validators=[MinValueValidator(0.02)])
    label_height_m = models.FloatField(
        _("label height"), default=0.029, validators=[MinValueValidator(0.012)]
    )
    address_of_ledger = models.URLField(_("address of this ledger, for the codes on papers"), blank=True)
    allowance_n = models.FloatField(_("weight that finishing takes"), default=13.345)  # 3 lb, common practice
    allowance_pct = models.FloatField(_("and in percent"), default=0.0, validators=[MinValueValidator(0)])
    ready_low_pct = models.FloatField(_("bench-ready from"), default=8.0)
    ready_high_pct = models.FloatField(_("bench-ready to"), default=10.0)
    reading_due_days = models.PositiveIntegerField(
        _("a piece is due a reading after"), default=42, validators=[MaxValueValidator(3650)]
    )
    shots_wanted = models.PositiveIntegerField(_("arrows to shoot a bow in"), default=150)
    makers_see_money = models.BooleanField(_("makers see prices and payments"), default=False)
    lightest_arrow_gpp = models.FloatField(_("lightest arrow, grains per pound"), default=9.0)
    strain_word_pct = models.FloatField(_("say so when strain passes"), default=1.0)

    class Meta:
        constraints = [models.CheckConstraint(condition=models.Q(pk=1), name="one_workshop")]

    def __str__(self):
        return self.name


class Terms(Entry):
    """Terms and warranty that hold from a day on; older versions stay, for the papers that carried them."""

    strike_deed = "settings"

    text = models.TextField(_("terms and warranty"), max_length=6000)

    def __str__(self):
        return self.happened_on.isoformat()
