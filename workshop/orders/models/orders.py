from django.db import models
from django.db.models.functions import Lower
from django.utils.translation import gettext_lazy as _

from workshop.bows.models import Bow
from workshop.bows.models.bow import BowKind, Hand
from workshop.bows.models.classrules import RulesChosen
from workshop.ledger.models import Entry, Record
from workshop.ledger.models.base import Happened
from workshop.ledger.models.naming import OneBearer
from workshop.ledger.models.shop import DrawFrom
from workshop.orders.models.persons import Person


class OrderState(models.TextChoices):
    ASKED = "asked", _("asked")
    ACCEPTED = "accepted", _("accepted")
    IN_WORK = "in-work", _("in work")
    READY = "ready", _("ready")
    DELIVERED = "delivered", _("delivered")
    WITHDRAWN = "withdrawn", _("withdrawn")


OPEN = (OrderState.ASKED, OrderState.ACCEPTED, OrderState.IN_WORK, OrderState.READY)
STEPS: dict[str, tuple[str, ...]] = {
    OrderState.ASKED: (OrderState.ACCEPTED, OrderState.WITHDRAWN),
    OrderState.ACCEPTED: (OrderState.IN_WORK, OrderState.READY, OrderState.ASKED, OrderState.WITHDRAWN),
    OrderState.IN_WORK: (OrderState.READY, OrderState.ACCEPTED, OrderState.WITHDRAWN),
    OrderState.READY: (OrderState.DELIVERED, OrderState.IN_WORK, OrderState.WITHDRAWN),
    OrderState.DELIVERED: (OrderState.READY,),
    OrderState.WITHDRAWN: (OrderState.ASKED,),
}


class Order(Happened, Record):
    """What somebody asked for; `happened_on` is the day it was asked."""

    look_deed = "orders"

    number = models.CharField(_("number"), max_length=24)
    payer = models.ForeignKey(Person, models.PROTECT, related_name="orders", verbose_name=_("who pays"))
    promised_on = models.DateField(_("promised for"), null=True, blank=True)
    promised_to = models.CharField(max_length=1, default="d")
    deposit_minor = models.PositiveIntegerField(_("deposit agreed"), null=True, blank=True)
    state = models.CharField(
        _("state"), max_length=10, choices=OrderState, default=OrderState.ASKED, editable=False
    )
    note = models.TextField(_("note"), blank=True, max_length=4000)

    class Meta:
        ordering = ["-pk"]
        constraints = [
            OneBearer(
                Lower("number"),
                name="one_order_per_number",
                violation_error_message=_("Another order has this number."),
            ),
            models.CheckConstraint(
                condition=models.Q(state__in=OrderState.values), name="order_state_is_known"
            ),
        ]

    def __str__(self):
        return self.number

    @property
    def is_open(self) -> bool:
        return self.state in OPEN


class OrderMove(Entry):
    strikable = False

    strike_deed = "orders"

    order = models.ForeignKey(Order, models.PROTECT, related_name="moves")
    was = models.CharField(max_length=10, choices=OrderState, blank=True)
    state = models.CharField(_("state"), max_length=10, choices=OrderState)

    def __str__(self):
        return self.get_state_display()


class LineKind(models.TextChoices):
    BOW = "bow", _("a bow")
    REPAIR = "repair", _("a repair")
    GOODS = "goods", _("strings, arrows, a course, other goods")


class OrderLine(Record):
    """One thing ordered. A bow line carries the whole specification."""

    look_deed = "orders"

    order = models.ForeignKey(Order, models.PROTECT, related_name="lines")
    kind = models.CharField(_("what"), max_length=8, choices=LineKind, default=LineKind.BOW)
    words = models.CharField(_("in words"), max_length=300, blank=True)
    quantity = models.PositiveIntegerField(_("how many"), default=1)
    price_minor = models.PositiveIntegerField(_("price, each"), null=True, blank=True)
    withdrawn = models.BooleanField(_("withdrawn"), default=False)

    archer = models.ForeignKey(
        Person, models.PROTECT, related_name="shoots", null=True, blank=True, verbose_name=_("archer")
    )
    guardian = models.ForeignKey(
        Person,
        models.PROTECT,
        related_name="guards",
        null=True,
        blank=True,
        verbose_name=_("guardian, for a minor"),
    )
    repairs = models.ForeignKey(
        Bow,
        models.PROTECT,
        related_name="repair_lines",
        null=True,
        blank=True,
        verbose_name=_("bow to repair"),
    )
    wanted_n = models.FloatField(_("draw weight"), null=True, blank=True)
    wanted_draw_m = models.FloatField(_("at a draw of"), null=True, blank=True)
    draw_from = models.CharField(
        _("draw measured from"), max_length=10, choices=DrawFrom, default=DrawFrom.BACK
    )
    tolerance_n = models.FloatField(_("tolerance, in weight"), null=True, blank=True)
    tolerance_pct = models.FloatField(_("or in percent"), null=True, blank=True)
    hand = models.CharField(_("hand"), max_length=8, choices=Hand, default=Hand.EITHER)
    bow_kind = models.CharField(_("kind of bow"), max_length=10, choices=BowKind, blank=True)
    length_m = models.FloatField(_("bow length"), null=True, blank=True)
    timbers = models.CharField(_("timbers"), max_length=200, blank=True)
    grip = models.CharField(_("grip"), max_length=120, blank=True)
    nocks = models.CharField(_("nocks"), max_length=120, blank=True)
    bowstring = models.CharField(_("string"), max_length=120, blank=True)
    use = models.CharField(_("use"), max_length=120, blank=True)
    class_rules = RulesChosen(_("class rules"))
    class_rule = models.CharField(_("class rule in words"), max_length=120, blank=True)

    class Meta:
        ordering = ["pk"]
        constraints = [
            models.CheckConstraint(
                condition=models.Q(tolerance_n=None) | models.Q(tolerance_pct=None),
                name="one_kind_of_tolerance",
            ),
            models.CheckConstraint(condition=models.Q(quantity__gt=0), name="a_line_orders_something"),
        ]

    def __str__(self):
        return self.words or self.get_kind_display()

    @property
    def is_asked(self) -> bool:
        """Whether it is wanted still: neither the line nor its order is withdrawn."""
        return not self.withdrawn and self.order.state != OrderState.WITHDRAWN

    @property
    def allowed_off_n(self) -> float | None:
        """The tolerance as a weight, however it was agreed."""
        if self.tolerance_n is not None:
            return self.tolerance_n
        if self.tolerance_pct is not None and self.wanted_n is not None:
            return self.wanted_n * self.tolerance_pct / 100
        return None


class StartedBow(Entry):
    """A bow started for a line. Any number may be; the one handed over has a `Delivery`."""

    strike_deed = "orders"

    line = models.ForeignKey(OrderLine, models.PROTECT, related_name="started")
    bow = models.ForeignKey(Bow, models.PROTECT, related_name="started_for")

    class Meta(Entry.Meta):
        constraints = [
            models.UniqueConstraint(
                fields=["bow"],
                condition=models.Q(struck_at=None),
                name="a_bow_is_started_for_one_line",
                violation_error_message=_("This bow was started for another line; strike that out first."),
            )
        ]

    def __str__(self):
        return str(self.bow)


class Delivery(Entry):
    """The bow went out, to whom, with its papers. At most one for a line."""

    strike_deed = "orders"

    line = models.ForeignKey(OrderLine, models.PROTECT, related_name="deliveries", null=True, blank=True)
    bow = models.ForeignKey(Bow, models.PROTECT, related_name="deliveries", null=True, blank=True)
    to = models.ForeignKey(Person, models.PROTECT, related_name="received", verbose_name=_("handed to"))

    class Meta(Entry.Meta):
        constraints = [
            models.UniqueConstraint(
                fields=["line"],
                condition=models.Q(struck_at=None, line__isnull=False),
                name="one_bow_delivered_per_line",
                violation_error_message=_("A bow was delivered for this line already."),
            )
        ]

    def __str__(self):
        return str(self.bow or self.line)


class PaidBy(models.TextChoices):
    CASH = "cash", _("cash")
    BANK = "bank", _("bank")
    CARD = "card", _("card")
    KIND = "kind", _("in kind")


class Payment(Entry):
    """Money that came in; money given back is below zero."""

    strike_deed = "money"

    order = models.ForeignKey(Order, models.PROTECT, related_name="payments")
    amount_minor = models.IntegerField(_("amount"))
    paid_by = models.CharField(_("how"), max_length=6, choices=PaidBy, default=PaidBy.BANK)

    class Meta(Entry.Meta):
        constraints = [
            models.CheckConstraint(condition=~models.Q(amount_minor=0), name="a_payment_is_not_nothing")
        ]

    def __str__(self):
        return f"{self.amount_minor / 100:.2f}"
