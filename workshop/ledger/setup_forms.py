"""The form an empty ledger asks for: the workshop, its owner, and the code from the terminal."""

from django import forms
from django.utils.translation import gettext_lazy

from workshop.ledger.forms import LedgerForm, Words
from workshop.ledger.models import Shop
from workshop.ledger.models.shop import DrawFrom
from workshop.ledger.people_forms import NewPassword, SignInName
from workshop.ledger.shop_forms import Currency
from workshop.ledger.zones import machine_zone, zones


class SetUpForm(LedgerForm):
    code = Words(
        label=gettext_lazy("Code from the terminal"),
        wanted=gettext_lazy("Write the code here that the terminal shows."),
        max_length=40,
        help_text=gettext_lazy("The terminal the ledger was started in shows it; it works once."),
        widget=forms.TextInput(attrs={"autocomplete": "off", "autocapitalize": "characters"}),
    )
    shop_name = Words(
        label=gettext_lazy("Name of the workshop"), wanted=gettext_lazy("Write a name here."), max_length=120
    )
    owner_name = Words(
        label=gettext_lazy("Your name"),
        wanted=gettext_lazy("Write your name here."),
        max_length=80,
        help_text=gettext_lazy("as it signs the entries"),
    )
    username = SignInName()
    password = NewPassword()
    units = forms.ChoiceField(
        label=gettext_lazy("The workshop measures in"),
        choices=Shop._meta.get_field("units").choices,
        widget=forms.RadioSelect,
        initial="imperial",
    )
    draw_from = forms.ChoiceField(
        label=gettext_lazy("Draw is measured from"),
        choices=DrawFrom.choices,
        widget=forms.RadioSelect,
        initial=DrawFrom.BACK,
    )
    currency = Currency(initial="EUR")
    time_zone = forms.ChoiceField(label=gettext_lazy("Time zone"), choices=zones, initial=machine_zone)

    def shop(self) -> Shop:
        said = self.cleaned_data
        return Shop(
            name=said["shop_name"], **{k: said[k] for k in ("units", "draw_from", "currency", "time_zone")}
        )
