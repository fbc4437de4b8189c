"""Forms about persons: one for each deed, and how somebody new is written in beside a list."""

from django import forms
from django.utils.translation import gettext as _now
from django.utils.translation import gettext_lazy as _

from workshop.bows.models.bow import Hand
from workshop.ledger.forms import EntryForm, LedgerForm, QuantityField, RecordForm, Words
from workshop.ledger.models.shop import DrawFrom
from workshop.orders.models import Person


def persons():
    return Person.objects.filter(nameless_at=None)


NOBODY, SOMEBODY_NEW = _("nobody, or somebody new:"), _("somebody new:")


def somebody(label, *, empty=NOBODY):
    """A list of the persons in the book; `new_somebody` stands beside it."""
    field = forms.ModelChoiceField(persons(), label=label, required=False, empty_label=empty)
    field.may = "" if empty == NOBODY else _("from the list")
    return field


def new_somebody():
    field = Words(label=_("Name of somebody new"), max_length=120, required=False)
    field.may = _("not in the list")
    return field


class WrittenIn(LedgerForm):
    """A form whose lists of persons each have a field `new_...` beside them, for somebody not in the book yet."""

    written_in: tuple[str, ...] = ()

    def clean(self):
        found = super().clean()
        for name in self.written_in:
            new = (found.get(f"new_{name}") or "").strip()
            if new and found.get(name):
                self.add_error(
                    name,
                    _now("Choose somebody from the list, or write in somebody new: one of the two."),
                )
            elif new and persons().filter(name__iexact=new).exists():
                self.add_error(
                    f"new_{name}",
                    _now(
                        "%(name)s is in the book: choose from the list. Is it another of that name, "
                        "add what tells the two apart."
                    )
                    % {"name": new},
                )
        return found


class PersonForm(RecordForm):
    name = Words(label=_("Name"), wanted=_("Write a name here."), max_length=120)
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
