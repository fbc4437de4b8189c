"""Forms from the start of a bow to its hand-over, and when it comes back."""

import uuid

from django import forms
from django.utils.translation import gettext as _now
from django.utils.translation import gettext_lazy as _

from workshop.bows.forms.bow import StavesField
from workshop.bows.models import Bow
from workshop.bows.models.bow import BowKind, MakeUp
from workshop.ledger.forms import EntryForm, LedgerForm, WhenField, Words
from workshop.orders.forms.persons import SOMEBODY_NEW, WrittenIn, new_somebody, somebody


class StartForm(LedgerForm):
    """Start a bow for a line: the order's wishes are copied in, its wood goes to the bench with it."""

    entry_key = forms.UUIDField(widget=forms.HiddenInput)
    number = Words(
        label=_("Number of the bow"), wanted=_("Write a number here, such as 26-07."), max_length=24
    )
    kind = forms.ChoiceField(label=_("Kind of bow"), choices=BowKind, widget=forms.RadioSelect)
    make_up = forms.ChoiceField(label=_("Make-up"), choices=MakeUp, initial=MakeUp.SELF)
    staves = StavesField(
        label=_("Pieces of wood, by their tags"),
        required=False,
        max_length=400,
        help_text=_("parted by commas; a piece can also be added later, on the bow's page"),
    )
    note = Words(label=_("Note"), max_length=300, required=False)

    def __init__(self, *args, **kwargs):
        super().__init__(*args, **kwargs)
        self.initial.setdefault("entry_key", uuid.uuid4())
        self.initial["kind"] = self.initial.get("kind") or BowKind.STIFF


class BowChoice(forms.ModelChoiceField):
    """A bow with what it is to be, so that one is not taken for another."""

    units = None

    def label_from_instance(self, bow):
        said = [bow.number, str(bow.get_stage_display()), bow.timber_words]
        if bow.wanted_n is not None:
            said.append(_now("meant for %(weight)s") % {"weight": self.units.show(bow.wanted_n, "force")})
        return ", ".join(filter(None, said))


class JoinForm(LedgerForm):
    bow = BowChoice(Bow.objects.none(), label=_("Bow"), empty_label=_("choose"))
    note = Words(label=_("Note"), max_length=300, required=False)

    def __init__(self, *args, bows, **kwargs):
        super().__init__(*args, **kwargs)
        self.fields["bow"].units = self.units
        self.fields["bow"].queryset = bows


class DeliverForm(WrittenIn, EntryForm):
    written_in = ("to",)

    to = somebody(_("Handed to"), empty=SOMEBODY_NEW)
    new_to = new_somebody()
    despite = forms.BooleanField(
        label=_("It leaves without its tag or care sheet; the note says why"), required=False
    )
    field_order = ["to", "new_to", "happened_on", "despite", "note"]

    def __init__(self, *args, missing=True, **kwargs):
        super().__init__(*args, **kwargs)
        if not missing:
            del self.fields["despite"]
        self.order_fields(self.field_order)

    def clean(self):
        found = super().clean()
        if not self.errors and not found.get("to") and not found.get("new_to"):
            self.add_error("to", _now("Say to whom it is handed."))
        return found


class VisitForm(WrittenIn, EntryForm):
    written_in = ("brought_by",)

    brought_by = somebody(_("Brought by"))
    new_brought_by = new_somebody()
    owner_now = forms.BooleanField(label=_("The bow is theirs now"), required=False)
    complaint = Words(label=_("What they say"), max_length=300, required=False)
    finding = Words(label=_("What you find"), max_length=2000, lines=3, required=False)

    def clean(self):
        found = super().clean()
        if not self.errors and not found.get("complaint") and not found.get("finding"):
            self.add_error("complaint", _now("Say what they say, or what you find."))
        if found.get("owner_now") and not found.get("brought_by") and not found.get("new_brought_by"):
            self.add_error("brought_by", _now("Say whose it is now."))
        return found


class VisitFindForm(LedgerForm):
    finding = Words(
        label=_("What you find"),
        wanted=_("Write what you find; “nothing” is a finding too."),
        max_length=2000,
        lines=3,
    )


class VisitEndForm(LedgerForm):
    ended_on = WhenField(label=_("It left on"))
    outcome = Words(label=_("What was done"), wanted=_("Write what was done."), max_length=300)
