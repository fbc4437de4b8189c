"""Forms about orders: one for each deed."""

from django import forms
from django.utils.translation import gettext_lazy as _

from workshop.bows.models import Bow
from workshop.bows.models.bow import BowKind, Hand
from workshop.ledger.forms import (
    EntryForm,
    LedgerForm,
    MoneyField,
    QuantityField,
    RecordForm,
    WhenField,
    Words,
)
from workshop.ledger.models.shop import DrawFrom
from workshop.orders.models import Person
from workshop.orders.models.orders import LineKind, OrderState, PaidBy


def persons():
    return Person.objects.filter(nameless_at=None)


class OrderForm(RecordForm):
    """An order. A payer not yet in the book is written in beside the list."""

    number = Words(label=_("Number"), max_length=24)
    payer = forms.ModelChoiceField(
        persons(), label=_("Who pays"), required=False, empty_label=_("somebody new:")
    )
    new_payer = Words(label=_("Name of somebody new"), max_length=120, required=False)
    happened_on = WhenField(label=_("Asked"))
    promised_on = WhenField(label=_("Promised for"), future=True, required=False)
    deposit_minor = MoneyField(label=_("Deposit agreed"), required=False)
    note = Words(label=_("Note"), max_length=4000, lines=2, required=False)

    def __init__(self, *args, money=True, **kwargs):
        super().__init__(*args, **kwargs)
        if not money:
            del self.fields["deposit_minor"]

    def clean(self):
        found = super().clean()
        if not self.errors and bool(found.get("payer")) == bool(found.get("new_payer")):
            self.add_error(
                "payer", _("Choose who pays, or write in the name of somebody new: one of the two.")
            )
        asked, promised = found.get("happened_on"), found.get("promised_on")
        if asked and promised and promised[0] < asked[0]:
            self.add_error("promised_on", _("This is before the order was asked."))
        return found


class LineForm(RecordForm):
    """What is ordered. The measures may stay open until the archer was measured."""

    kind = forms.ChoiceField(
        label=_("What"), choices=LineKind, widget=forms.RadioSelect, initial=LineKind.BOW
    )
    words = Words(label=_("In words"), max_length=300, required=False)
    quantity = forms.IntegerField(label=_("How many"), min_value=1, max_value=999, initial=1)
    price_minor = MoneyField(label=_("Price, each"), required=False)
    archer = forms.ModelChoiceField(persons(), label=_("Archer"), required=False)
    guardian = forms.ModelChoiceField(
        persons(), label=_("Guardian, where the archer is a minor"), required=False
    )
    repairs = forms.ModelChoiceField(Bow.objects.all(), label=_("Bow to repair"), required=False)
    wanted_n = QuantityField("force", label=_("Draw weight"), required=False)
    wanted_draw_m = QuantityField("draw", label=_("At a draw of"), required=False)
    draw_from = forms.ChoiceField(label=_("Draw measured from"), choices=DrawFrom)
    tolerance_n = QuantityField(
        "force",
        label=_("Tolerance, more or less"),
        required=False,
        help_text=_("plus or minus 2 lb is usual"),
    )
    tolerance_pct = QuantityField("percent", label=_("or tolerance in percent"), required=False)
    hand = forms.ChoiceField(label=_("Hand"), choices=Hand)
    bow_kind = forms.ChoiceField(
        label=_("Kind of bow"), choices=[("", _("open")), *BowKind.choices], required=False
    )
    length_m = QuantityField("length", label=_("Bow length, nock to nock"), required=False)
    timbers = Words(label=_("Timbers"), required=False)
    grip = Words(label=_("Grip"), max_length=120, required=False)
    nocks = Words(label=_("Nocks"), max_length=120, required=False)
    bowstring = Words(label=_("String"), max_length=120, required=False)
    use = Words(label=_("Use"), max_length=120, required=False)
    class_rule = Words(label=_("Class rule"), max_length=120, required=False)

    def __init__(self, *args, money=True, **kwargs):
        super().__init__(*args, **kwargs)
        if not money:
            del self.fields["price_minor"]


class WithdrawLineForm(RecordForm):
    withdrawn = forms.BooleanField(label=_("This line is withdrawn"), required=False)


class StepForm(RecordForm):
    """Steps an order may take from where it stands."""

    state = forms.ChoiceField(label=_("The order is now"), widget=forms.RadioSelect)
    note = Words(label=_("Note"), max_length=300, required=False)

    def __init__(self, *args, steps, **kwargs):
        super().__init__(*args, **kwargs)
        self.fields["state"].choices = [(s, OrderState(s).label) for s in steps]


class PaymentForm(EntryForm):
    amount_minor = MoneyField(label=_("Amount"), minus=True, help_text=_("money given back is below zero"))
    paid_by = forms.ChoiceField(label=_("How"), choices=PaidBy)


class StartForm(LedgerForm):
    """Start a bow for a line: the order's wishes are copied in, the number counts on."""

    number = Words(label=_("Number of the bow"), max_length=24)
    kind = forms.ChoiceField(label=_("Kind of bow"), choices=BowKind)
    note = Words(label=_("Note"), max_length=300, required=False)


class JoinForm(LedgerForm):
    bow = forms.ModelChoiceField(Bow.objects.none(), label=_("Bow"))
    note = Words(label=_("Note"), max_length=300, required=False)

    def __init__(self, *args, bows, **kwargs):
        super().__init__(*args, **kwargs)
        self.fields["bow"].queryset = bows


class DeliverForm(EntryForm):
    to = forms.ModelChoiceField(persons(), label=_("Handed to"))
    despite = forms.BooleanField(
        label=_("It leaves without its tag or care sheet; the note says why"), required=False
    )

    def __init__(self, *args, missing=True, **kwargs):
        super().__init__(*args, **kwargs)
        if not missing:
            del self.fields["despite"]


class VisitForm(EntryForm):
    brought_by = forms.ModelChoiceField(persons(), label=_("Brought by"), required=False)
    complaint = Words(label=_("What they say"), max_length=300, required=False)
    finding = Words(label=_("What you find"), max_length=2000, lines=3, required=False)

    def clean(self):
        found = super().clean()
        if not self.errors and not found.get("complaint") and not found.get("finding"):
            self.add_error("complaint", _("Say what they say, or what you find."))
        return found


class VisitEndForm(LedgerForm):
    ended_on = WhenField(label=_("It left on"))
    outcome = Words(label=_("What was done"), max_length=300)
