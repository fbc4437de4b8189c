"""Forms for the workshop's own settings, its terms and its instruments, in the maker's words."""

from django import forms
from django.core.exceptions import ValidationError
from django.utils.translation import gettext as _
from django.utils.translation import gettext_lazy

from workshop.ledger.forms import EntryForm, QuantityField, RecordForm, WhenField, Words
from workshop.ledger.models import Shop
from workshop.ledger.models.instruments import InstrumentKind
from workshop.ledger.models.shop import DrawFrom, Paper
from workshop.ledger.zones import zones


class Currency(Words):
    """The three letters money is written with."""

    def __init__(self, **kwargs):
        kwargs.setdefault("label", gettext_lazy("Currency"))
        kwargs.setdefault("wanted", gettext_lazy("Write three letters here, like EUR, GBP or USD."))
        super().__init__(max_length=3, help_text=gettext_lazy("three letters: EUR, GBP, USD"), **kwargs)

    def clean(self, value):
        code = super().clean(value).upper()
        if not (len(code) == 3 and code.isascii() and code.isalpha()):
            raise ValidationError(_("Three letters, like EUR, GBP or USD."), code="currency")
        return code


def _radio(label, choices, **kwargs):
    return forms.ChoiceField(label=label, choices=choices, widget=forms.RadioSelect, **kwargs)


class ShopForm(RecordForm):
    """Every setting of the workshop. `GROUPS` says under which heading each stands."""

    GROUPS = (
        (
            gettext_lazy("On every paper"),
            (
                "name",
                "address",
                "contact",
                "mark",
                "paper",
                "label_width_m",
                "label_height_m",
                "address_of_ledger",
            ),
        ),
        (gettext_lazy("How you measure"), ("units", "draw_from", "currency", "time_zone")),
        (gettext_lazy("Wood"), ("ready_low_pct", "ready_high_pct", "reading_due_days")),
        (
            gettext_lazy("At the tillering tree"),
            ("allowance_n", "allowance_pct", "strain_word_pct", "shots_wanted", "lightest_arrow_gpp"),
        ),
        (gettext_lazy("Money"), ("makers_see_money",)),
    )

    name = Words(
        label=gettext_lazy("Name of the workshop"), wanted=gettext_lazy("Write a name here."), max_length=120
    )
    address = Words(label=gettext_lazy("Address"), max_length=500, lines=3, required=False)
    contact = Words(label=gettext_lazy("Telephone, mail"), required=False)
    mark = Words(
        label=gettext_lazy("Maker’s mark"),
        max_length=12,
        required=False,
        help_text=gettext_lazy("a few letters or signs, as you burn or write them on the bow"),
    )
    paper = _radio(gettext_lazy("Paper"), Paper.choices)
    label_width_m = QuantityField("label", label=gettext_lazy("Labels are wide"))
    label_height_m = QuantityField("label", label=gettext_lazy("and high"))
    address_of_ledger = forms.URLField(
        label=gettext_lazy("Address of this ledger, for the codes on papers"),
        required=False,
        max_length=200,
        assume_scheme="http",
        help_text=gettext_lazy("as a phone in the shop reaches it, like http://192.168.1.20:8000"),
    )
    units = _radio(gettext_lazy("The workshop measures in"), Shop._meta.get_field("units").choices)
    draw_from = _radio(gettext_lazy("Draw is measured from"), DrawFrom.choices)
    currency = Currency()
    time_zone = forms.ChoiceField(label=gettext_lazy("Time zone"), choices=zones)
    ready_low_pct = QuantityField("moisture", label=gettext_lazy("Wood is ready for the bench from"))
    ready_high_pct = QuantityField("moisture", label=gettext_lazy("Wood is ready for the bench up to"))
    reading_due_days = forms.IntegerField(
        label=gettext_lazy("A seasoning piece is due a reading after so many days"),
        min_value=1,
        max_value=3650,
    )
    allowance_n = QuantityField(
        "force",
        label=gettext_lazy("Shooting in and finishing take off the weight"),
        help_text=gettext_lazy(
            "so much more than ordered is left on when tillering ends; 3 lb is common practice"
        ),
    )
    allowance_pct = QuantityField("percent", label=gettext_lazy("and of the ordered weight"))
    strain_word_pct = QuantityField(
        "percent", label=gettext_lazy("Say so when the strain of back or belly passes")
    )
    shots_wanted = forms.IntegerField(
        label=gettext_lazy("Arrows to shoot a bow in"), min_value=0, max_value=10_000
    )
    lightest_arrow_gpp = forms.FloatField(
        label=gettext_lazy("Lightest arrow, in grains for each pound of weight"), min_value=1, max_value=30
    )
    makers_see_money = forms.BooleanField(
        label=gettext_lazy("Makers see prices and payments too"), required=False
    )

    def groups(self):
        """(heading, its fields) in the order they are shown."""
        return [(heading, [self[name] for name in names]) for heading, names in self.GROUPS]

    def clean(self):
        said = super().clean()
        low, high = said.get("ready_low_pct"), said.get("ready_high_pct")
        if low is not None and high is not None and low >= high:
            self.add_error("ready_high_pct", _("This must be more than the moisture it is ready from."))
        return said

    @classmethod
    def initial_of(cls, shop: Shop) -> dict:
        return {name: getattr(shop, name) for name in cls.base_fields}


for _name in ("address", "contact", "mark", "address_of_ledger"):
    ShopForm.base_fields[_name].may = gettext_lazy("if there is one")


class TermsForm(EntryForm):
    happened_on = WhenField(label=gettext_lazy("They hold from"), future=True)
    text = Words(
        label=gettext_lazy("Terms and warranty"),
        wanted=gettext_lazy("Write the terms here."),
        max_length=6000,
        lines=14,
    )


class InstrumentForm(RecordForm):
    kind = _radio(gettext_lazy("It is a"), InstrumentKind.choices)
    name = Words(
        label=gettext_lazy("Name"),
        wanted=gettext_lazy("Write a name here."),
        max_length=80,
        help_text=gettext_lazy("as you call it in the shop"),
    )
    doubt_n = QuantityField(
        "doubt",
        label=gettext_lazy("A bow scale may be wrong by"),
        required=False,
        help_text=gettext_lazy("its smallest mark, or what a check has shown"),
    )
    meter_scale = Words(
        label=gettext_lazy("A moisture meter is set to"),
        max_length=80,
        required=False,
        help_text=gettext_lazy("the wood group or number its dial shows, in your words"),
    )
    calibrated_at_c = QuantityField(
        "temperature", label=gettext_lazy("and shows true in wood of"), initial=20.0
    )
    in_use = forms.BooleanField(label=gettext_lazy("In use"), required=False, initial=True)


class InstrumentCheckForm(EntryForm):
    against = Words(
        label=gettext_lazy("Checked against"),
        wanted=gettext_lazy("Write what it was checked against."),
        max_length=120,
        help_text=gettext_lazy("a stone of 20 lb, a gauge block"),
    )
    read = Words(label=gettext_lazy("It read"), wanted=gettext_lazy("Write what it read."), max_length=60)
