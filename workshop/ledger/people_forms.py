"""Forms for the people inside: the owner's for others, and each one's own."""

from django import forms
from django.utils.translation import gettext as _
from django.utils.translation import gettext_lazy

from workshop.ledger.forms import LedgerForm, RecordForm, Words
from workshop.ledger.models.member import Role, UnitSystem

ROLES = [
    (
        Role.HELPER,
        gettext_lazy("helper: readings, work, photos, weigh-ins, stages; sees no contact and no price"),
    ),
    (Role.MAKER, gettext_lazy("maker: all of wood, bench, orders and papers")),
    (Role.OWNER, gettext_lazy("owner: everything, also settings, people and backup")),
]


class SignInName(Words):
    """Letters, figures and . - _ so that it can be typed on any keyboard; kept in small letters."""

    def __init__(self, **kwargs):
        kwargs.setdefault("label", gettext_lazy("Sign-in name"))
        kwargs.setdefault(
            "widget", forms.TextInput(attrs={"autocomplete": "username", "autocapitalize": "none"})
        )
        kwargs.setdefault("wanted", gettext_lazy("Write a sign-in name here, like wilma or j.penhale."))
        super().__init__(max_length=60, **kwargs)

    def clean(self, value):
        name = super().clean(value).lower()
        if not all(c.isalnum() or c in ".-_" for c in name):
            raise forms.ValidationError(
                _("A sign-in name is letters, figures, dots and dashes, like wilma or j.penhale."),
                code="name",
            )
        return name


class NewPassword(forms.CharField):
    may = gettext_lazy("if wanted")
    wanted = gettext_lazy("Write a password here.")

    def __init__(self, **kwargs):
        kwargs.setdefault("label", gettext_lazy("Password"))
        kwargs.setdefault(
            "help_text", gettext_lazy("at least eight letters and figures, and not a common one")
        )
        super().__init__(
            max_length=200,
            strip=False,
            widget=forms.PasswordInput(attrs={"autocomplete": "new-password"}),
            **kwargs,
        )


class MemberAddForm(LedgerForm):
    name = Words(
        label=gettext_lazy("Name"),
        wanted=gettext_lazy("Write a name here."),
        max_length=80,
        help_text=gettext_lazy("as it signs the entries"),
    )
    username = SignInName(widget=forms.TextInput(attrs={"autocomplete": "off", "autocapitalize": "none"}))
    role = forms.ChoiceField(
        label=gettext_lazy("In the workshop"), choices=ROLES, widget=forms.RadioSelect, initial=Role.HELPER
    )
    password = NewPassword()


class MemberChangeForm(RecordForm):
    name = Words(
        label=gettext_lazy("Name"),
        wanted=gettext_lazy("Write a name here."),
        max_length=80,
        help_text=gettext_lazy("as it signs the entries"),
    )
    role = forms.ChoiceField(label=gettext_lazy("In the workshop"), choices=ROLES, widget=forms.RadioSelect)
    is_active = forms.BooleanField(label=gettext_lazy("May sign in"), required=False)
    password = NewPassword(
        label=gettext_lazy("A new password"),
        required=False,
        help_text=gettext_lazy("only where it was forgotten; left empty, the one that holds stays"),
    )


class OwnAccountForm(LedgerForm):
    units = forms.ChoiceField(
        label=gettext_lazy("Show and read measures in"),
        choices=UnitSystem.choices,
        widget=forms.RadioSelect,
        required=False,
    )
    now = forms.CharField(
        label=gettext_lazy("Password now"),
        required=False,
        strip=False,
        max_length=200,
        widget=forms.PasswordInput(attrs={"autocomplete": "current-password"}),
        help_text=gettext_lazy("only to change it"),
    )
    password = NewPassword(label=gettext_lazy("New password"), required=False)
    now.may = NewPassword.may

    def clean(self):
        said = super().clean()
        if said.get("now") and not said.get("password") and "password" not in self.errors:
            self.add_error("password", _("Say the new password too."))
        return said
