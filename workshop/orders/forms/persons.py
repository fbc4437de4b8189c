"""Forms about persons: one for each deed."""

from django import forms
from django.utils.translation import gettext_lazy as _

from workshop.bows.models.bow import Hand
from workshop.ledger.forms import EntryForm, LedgerForm, QuantityField, RecordForm, Words
from workshop.ledger.models.shop import DrawFrom


class PersonForm(RecordForm):
    name = Words(label=_("Name"), max_length=120)
    address = Words(label=_("Address"), max_length=500, lines=3, required=False)
    phone = Words(label=_("Telephone"), max_length=60, required=False)
    mail = forms.EmailField(label=_("Mail"), required=False, max_length=254)
    note = Words(label=_("Note"), max_length=4000, lines=2, required=False)


class MeasureForm(EntryForm):
    """An archer's measurements. Arm span / 2.5 is a first guess at the draw (common practice)."""

    draw_m = QuantityField("draw", label=_("Draw length"), required=False)
    draw_from = forms.ChoiceField(label=_("Measured from"), choices=DrawFrom)
    arm_span_m = QuantityField(
        "length",
        label=_("Arm span"),
        required=False,
        help_text=_(
            "where the draw is not known: the span divided by 2.5 is a first guess (common practice)"
        ),
    )
    hand = forms.ChoiceField(label=_("Hand"), choices=Hand)
    weight_n = QuantityField("force", label=_("Weight shot now"), required=False)

    def clean(self):
        found = super().clean()
        measures = ("draw_m", "arm_span_m", "weight_n")
        if not self.errors.keys() & set(measures) and all(found.get(name) is None for name in measures):
            self.add_error("draw_m", _("Give the draw length, the arm span or the weight shot now."))
        return found


class NamelessForm(LedgerForm):
    sure = forms.BooleanField(label=_("Blank the name, address, measurements and papers of this person"))
