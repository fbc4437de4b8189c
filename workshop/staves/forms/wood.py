"""Forms about wood, timbers and places themselves."""

from django import forms
from django.utils import timezone
from django.utils.translation import gettext as _now
from django.utils.translation import gettext_lazy as _

from workshop.calc.errors import OutOfRange
from workshop.calc.timber import OWN_RANGES, check_own
from workshop.ledger.dates import last_day, show_date
from workshop.ledger.forms import (
    EntryForm,
    LedgerForm,
    MoneyField,
    QuantityField,
    RecordForm,
    WhenField,
    Words,
)
from workshop.staves.forms.fields import DRIEST_AIR_PCT, BelievedField
from workshop.staves.models import Place, Timber
from workshop.staves.models.staves import CameBy, StaveForm
from workshop.staves.models.timber import Porosity
from workshop.staves.published import QUANTITY_KINDS
from workshop.staves.services.pieces import MOST_AT_ONCE

FELLING_CAUTIONS = (
    _("Felling needs the owner's leave, whatever licence the law asks for, and training."),
    _("Some timbers may only be traded with papers of origin: write down which you have."),
)


PLACE = _("Place")


def places(required=False, label=PLACE):
    return forms.ModelChoiceField(
        Place.objects.filter(in_use=True), required=required, label=label, empty_label=_("not said")
    )


class WoodForm(LedgerForm):
    """How wood came in."""

    timber = forms.ModelChoiceField(Timber.objects.own_first(), label=_("Timber"), empty_label=_("choose"))
    came_by = forms.ChoiceField(choices=CameBy, label=_("How it came"), widget=forms.RadioSelect)
    happened_on = WhenField()
    where = Words(label=_("Where it grew or was bought"), required=False)
    giver = Words(label=_("From whom"), required=False, max_length=120)
    papers = Words(label=_("Leave, licence or papers of origin"), required=False, max_length=300)
    cost_minor = MoneyField(label=_("Cost of it all"), required=False)
    note = Words(label=_("Note"), required=False, max_length=4000, lines=2)
    cautions = FELLING_CAUTIONS

    def __init__(self, *args, see_money=False, **kwargs):
        super().__init__(*args, **kwargs)
        if not see_money:
            del self.fields["cost_minor"]


class ManyPieces(LedgerForm):
    """Many pieces in one go: how many, how long, the first tag."""

    many = forms.IntegerField(label=_("How many pieces"), min_value=1, max_value=MOST_AT_ONCE, initial=1)
    length_m = QuantityField("length", label=_("Length of each"), required=False)
    first_tag = Words(
        label=_("First tag"),
        max_length=24,
        required=False,
        help_text=_("the next pieces count on from it; left empty, the next free tag is taken"),
    )
    form = forms.ChoiceField(
        choices=StaveForm, label=_("What they are"), initial=StaveForm.STAVE, widget=forms.RadioSelect
    )


class NewPieces(ManyPieces):
    bark_on = forms.BooleanField(label=_("Bark on"), required=False, initial=True)
    sealed = forms.BooleanField(label=_("Ends sealed"), required=False)
    place = places()


class FellingAddForm(WoodForm, NewPieces):
    field_order = [
        "timber", "came_by", "happened_on", "many", "length_m", "first_tag", "form", "bark_on", "sealed", "place",
        "where", "giver", "papers", "cost_minor", "note",
    ]  # fmt: skip


class FellingChangeForm(WoodForm, RecordForm):
    pass


class PiecesAddForm(NewPieces):
    """More pieces of a felling that is written down already."""

    happened_on = WhenField()


class SplitForm(EntryForm, ManyPieces):
    used_up = forms.BooleanField(
        label=_("The piece itself is used up by it"),
        required=False,
        initial=True,
        help_text=_("leave it unticked where only a strip or an offcut was taken"),
    )


class StaveChangeForm(RecordForm):
    tag = Words(label=_("Tag"), wanted=_("Write a tag here, such as 26-014."), max_length=24)
    form = forms.ChoiceField(choices=StaveForm, label=_("What it is"), widget=forms.RadioSelect)
    length_m = QuantityField("length", label=_("Length"), required=False)
    bark_on = forms.BooleanField(label=_("Bark on"), required=False)
    sealed = forms.BooleanField(label=_("Ends sealed"), required=False)
    note = Words(label=_("Note"), required=False, max_length=4000, lines=3)


class TimberForm(RecordForm):
    name = Words(label=_("Name"), wanted=_("Write a name here."), max_length=80)
    botanical = Words(label=_("Botanical name"), max_length=80, required=False)
    kind = forms.ChoiceField(choices=Porosity, label=_("Kind of wood"), widget=forms.RadioSelect)
    ready_low_pct = QuantityField(
        "moisture",
        label=_("Bench-ready from"),
        required=False,
        help_text=_("the drier end; empty: as the workshop"),
    )
    ready_high_pct = QuantityField("moisture", label=_("Bench-ready to"), required=False)
    strain_word_pct = QuantityField(
        "percent", label=_("Say so when strain passes"), required=False, help_text=_("empty: as the workshop")
    )
    note = Words(label=_("Note"), required=False, max_length=4000, lines=3)


class TimberValueForm(EntryForm):
    """A figure of the maker's own for one of the quantities that are kept."""

    value = QuantityField("percent", label=_("Your figure"))
    source = Words(label=_("Where it is from"), wanted=_("Write where the figure is from."), max_length=200)

    def __init__(self, *args, quantity, **kwargs):
        super().__init__(*args, **kwargs)
        self.quantity = quantity
        self.fields["value"].kind = QUANTITY_KINDS[quantity]

    def clean_value(self) -> float:
        """What no formula could carry on from is refused here, before it breaks a page."""
        value = self.cleaned_data["value"]
        try:
            check_own(self.quantity, value)
        except OutOfRange as error:
            low, high, given = (
                self.units.show(each, QUANTITY_KINDS[self.quantity])
                for each in (*OWN_RANGES[self.quantity], value)
            )
            words = _now(
                "%(given)s is beyond what can be reckoned with: it lies between %(low)s and %(high)s."
            )
            said = words % {"given": given, "low": low, "high": high}
            raise forms.ValidationError(said, code=error.code) from error
        return value


class PlaceForm(RecordForm):
    name = Words(label=_("Name of the place"), wanted=_("Write a name here."), max_length=80)
    walk = forms.IntegerField(
        label=_("Order on the walk"),
        min_value=0,
        max_value=9999,
        initial=0,
        help_text=_("the meter round goes along the places in this order"),
    )
    note = Words(label=_("Note"), required=False, max_length=1000, lines=2)
    in_use = forms.BooleanField(label=_("In use"), required=False, initial=True)


class ClimateForm(EntryForm):
    temperature_c = QuantityField("temperature", label=_("Temperature"))
    humidity_pct = BelievedField("humidity", low=DRIEST_AIR_PCT, high=100.0, label=_("Humidity"))


class StoreFilterForm(forms.Form):
    """How the list is narrowed; what cannot be read narrows nothing."""

    q = forms.CharField(required=False, max_length=80, label=_("Tag, giver, note"))
    state = forms.ChoiceField(required=False, label=_("State"))
    timber = forms.ModelChoiceField(
        Timber.objects.own_first(), required=False, label=_("Timber"), empty_label=_("any")
    )
    place = forms.ModelChoiceField(
        Place.objects.all(), required=False, label=_("Place"), empty_label=_("any")
    )
    form = forms.ChoiceField(
        required=False, label=_("What it is"), choices=[("", _("any")), *StaveForm.choices]
    )


class PlannedMoveForm(LedgerForm):
    """A move only thought of: when would the piece be dry then?"""

    to = places(label=_("If it were carried to"))
    on = WhenField(label=_("On"), future=True, help_text="", required=False)

    def clean_on(self):
        """A day that is past is no plan; of a month or a year that has begun, what is left of it is."""
        said, today = self.cleaned_data["on"], timezone.localdate()
        if said is None:
            return None
        if last_day(*said) < today:
            raise forms.ValidationError(
                _now("%(day)s is past: a move is thought of from today on. Left empty, it is today."),
                code="past",
                params={"day": show_date(*said)},
            )
        return max(said[0], today), said[1]

    def clean(self):
        cleaned = super().clean()
        if cleaned.get("on") and not cleaned.get("to") and "to" not in self.errors:
            self.add_error("to", _("Choose the place as well: a day alone moves nothing."))
        return cleaned
