"""Forms about an order: what was asked when, how it stands, and its money."""

from django import forms
from django.utils.translation import gettext_lazy as _

from workshop.ledger.dates import last_day
from workshop.ledger.forms import EntryForm, MoneyField, RecordForm, WhenField, Words
from workshop.orders.forms.persons import SOMEBODY_NEW, WrittenIn, new_somebody, somebody
from workshop.orders.models.orders import OrderState, PaidBy


class OrderForm(WrittenIn, RecordForm):
    """An order. A payer not yet in the book is written in beside the list."""

    written_in = ("payer",)

    number = Words(label=_("Number"), wanted=_("Write a number here, such as 26-009."), max_length=24)
    payer = somebody(_("Who pays"), empty=SOMEBODY_NEW)
    new_payer = new_somebody()
    happened_on = WhenField(label=_("Asked"))
    promised_on = WhenField(
        label=_("Promised for"),
        future=True,
        required=False,
        help_text=_("a day, or a month: Sep 2027 is kept by its last day"),
    )
    deposit_minor = MoneyField(label=_("Deposit agreed"), required=False)
    note = Words(label=_("Note"), max_length=4000, lines=2, required=False)

    def __init__(self, *args, money=True, **kwargs):
        super().__init__(*args, **kwargs)
        if not money:
            del self.fields["deposit_minor"]

    def clean(self):
        found = super().clean()
        if not self.errors and not found.get("payer") and not found.get("new_payer"):
            self.add_error("payer", _("Choose who pays, or write in the name of somebody new."))
        asked, promised = found.get("happened_on"), found.get("promised_on")
        if asked and promised and last_day(*promised) < asked[0]:
            self.add_error("promised_on", _("This is before the order was asked."))
        return found


class StepForm(RecordForm):
    """Steps an order may take from where it stands."""

    state = forms.ChoiceField(label=_("The order is now"), widget=forms.RadioSelect)
    note = Words(label=_("Note"), max_length=300, required=False)

    def __init__(self, *args, steps, **kwargs):
        super().__init__(*args, **kwargs)
        self.fields["state"].choices = [(s, OrderState(s).label) for s in steps]


class PaymentForm(EntryForm):
    amount_minor = MoneyField(label=_("Amount"))
    paid_by = forms.ChoiceField(label=_("How"), choices=PaidBy, initial=PaidBy.BANK, widget=forms.RadioSelect)

    def __init__(self, *args, currency: str, **kwargs):
        super().__init__(*args, **kwargs)
        self.fields["amount_minor"].help_text = currency


class RefundForm(PaymentForm):
    """Money given back: written as it is handed out, kept below zero."""

    def values(self) -> dict:
        values = super().values()
        return {**values, "amount_minor": -(values["amount_minor"] or 0)}
