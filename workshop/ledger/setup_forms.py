"""The form an empty ledger asks for: the workshop, its owner, and the code from the terminal."""

import zoneinfo
from pathlib import Path

from django import forms
from django.utils.translation import gettext as _
from django.utils.translation import gettext_lazy

from workshop.ledger.forms import LedgerForm, Words
from workshop.ledger.models import Member, Shop
from workshop.ledger.models.shop import DrawFrom


def zones() -> list[tuple[str, str]]:
    """Time zones named for a place, and UTC."""
    names = {name for name in zoneinfo.available_timezones() if "/" in name and not name.startswith("Etc/")}
    return [(name, name.replace("_", " ")) for name in sorted(names | {"UTC"})]


def machine_zone() -> str:
    """The zone this machine's clock is set to, where it says so; else UTC."""
    name = str(Path("/etc/localtime").resolve()).partition("zoneinfo/")[2]
    return name if name in dict(zones()) else "UTC"


class SignInName(Words):
    """Letters, figures and . - _ so that it can be typed on any keyboard; kept in small letters."""

    def __init__(self, **kwargs):
        super().__init__(
            max_length=60,
            label=gettext_lazy("Sign-in name"),
            widget=forms.TextInput(attrs={"autocomplete": "username", "autocapitalize": "none"}),
            **kwargs,
        )

    def clean(self, value):
        name = super().clean(value).lower()
        if not all(c.isalnum() or c in ".-_" for c in name):
            raise forms.ValidationError(
                _("A sign-in name is letters, figures, dots and dashes, like wilma or j.penhale."),
                code="name",
            )
        return name


class NewPassword(forms.CharField):
    def __init__(self, **kwargs):
        kwargs.setdefault("label", gettext_lazy("Password"))
        kwargs.setdefault(
            "help_text", gettext_lazy("at least eight letters and figures, and not a common one")
        )
        super().__init__(
            max_length=200,
            strip=False,
            widget=forms.PasswordInput(attrs={"autocomplete": "new-password"}, render_value=False),
            **kwargs,
        )


class SetUpForm(LedgerForm):
    code = Words(
        label=gettext_lazy("Code from the terminal"),
        max_length=40,
        help_text=gettext_lazy("The terminal the ledger was started in shows it; it works once."),
        widget=forms.TextInput(attrs={"autocomplete": "off", "autocapitalize": "characters"}),
    )
    shop_name = Words(label=gettext_lazy("Name of the workshop"), max_length=120)
    owner_name = Words(
        label=gettext_lazy("Your name"), max_length=80, help_text=gettext_lazy("as it signs the entries")
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
    currency = Words(
        label=gettext_lazy("Currency"),
        max_length=3,
        initial="EUR",
        help_text=gettext_lazy("EUR, GBP, USD, …"),
    )
    time_zone = forms.ChoiceField(label=gettext_lazy("Time zone"), choices=zones, initial=machine_zone)

    def clean_currency(self):
        code = self.cleaned_data["currency"].upper()
        if not (len(code) == 3 and code.isascii() and code.isalpha()):
            raise forms.ValidationError(_("Three letters, like EUR, GBP or USD."), code="currency")
        return code

    def shop(self) -> Shop:
        said = self.cleaned_data
        return Shop(
            name=said["shop_name"], **{k: said[k] for k in ("units", "draw_from", "currency", "time_zone")}
        )

    def owner(self) -> Member:
        return Member(username=self.cleaned_data["username"], name=self.cleaned_data["owner_name"])
