"""The ledger's form fields: measures as a maker writes them, dates as exactly as they are known, plain words.

A form is one deed. It never loses what was typed: a field that cannot be read keeps its text and says beside it
what was read and two examples.
"""

import re
import unicodedata
import uuid
from decimal import Decimal, InvalidOperation

from django import forms
from django.forms.renderers import TemplatesSetting
from django.utils import timezone
from django.utils.translation import gettext as _
from django.utils.translation import gettext_lazy

from workshop.ledger.dates import UnreadableDate, read_date, show_date
from workshop.ledger.models import Shop
from workshop.ledger.refusals import put_words
from workshop.ledger.units import UnitsInUse
from workshop.units import UnitsError, kind_of, show


class Renderer(TemplatesSetting):
    form_template_name = "ledger/forms/form.html"
    field_template_name = "ledger/forms/field.html"


class Words(forms.CharField):
    """Plain text. Control characters are refused; everything else is kept as typed.

    `wanted` is the sentence beside it where it was left empty.
    """

    def __init__(self, *, max_length=200, lines=1, wanted="", **kwargs):
        self.wanted = wanted
        if lines > 1:
            kwargs.setdefault("widget", forms.Textarea(attrs={"rows": lines}))
        super().__init__(max_length=max_length, **kwargs)

    def clean(self, value):
        text = super().clean(value)
        odd = [c for c in text if unicodedata.category(c) in ("Cc", "Cs") and c not in "\n\r\t"]
        if odd:
            raise forms.ValidationError(
                _("This holds a character that cannot be printed. Type it again."), code="control"
            )
        return text.replace("\r\n", "\n")


class QuantityField(forms.CharField):
    """A measure: text in, an SI float out. A bare number takes the unit shown beside the field."""

    widget = forms.TextInput

    def __init__(self, kind: str, **kwargs):
        self.kind = kind
        self.units = UnitsInUse()
        kwargs.setdefault("widget", forms.TextInput(attrs={"inputmode": "decimal", "autocomplete": "off"}))
        super().__init__(**kwargs)

    @property
    def unit(self) -> str:
        return self.units.unit(self.kind)

    @property
    def wanted(self) -> str:
        first, second = kind_of(self.kind).unit(self.unit).examples
        return _("Write a measure here, such as %(a)s or %(b)s.") % {"a": first, "b": second}

    def prepare_value(self, value):
        if isinstance(value, int | float) and not isinstance(value, bool):
            return show(value, self.kind, self.unit, with_unit=False)
        return value

    def to_python(self, value):
        text = super().to_python(value)
        if not text:
            return None
        try:
            return self.units.read(text, self.kind).value
        except UnitsError as error:
            raise forms.ValidationError(quantity_words(error, self.unit), code=error.code) from error

    def get_bound_field(self, form, field_name):
        bound = super().get_bound_field(form, field_name)
        bound.unit = self.unit
        return bound


class GiveOrTakeField(QuantityField):
    """How far off either way: "2 lb", also written "±2 lb" or "+-2"."""

    def to_python(self, value):
        return super().to_python(re.sub(r"^\s*(?:±|\+ ?/? ?[-−])\s*(?=\S)", "", value or ""))


def quantity_words(error: UnitsError, unit: str) -> str:
    """The sentence beside a measure that could not be taken."""
    shown = error.text if len(error.text) <= 40 else error.text[:40] + "…"
    examples = _("Two that can: %(a)s, %(b)s.") % {"a": error.examples[0], "b": error.examples[1]}
    sentences = {
        "too_small": _("“%(text)s” is less than can be believed here (at least %(low)s)."),
        "too_large": _("“%(text)s” is more than can be believed here (at most %(high)s)."),
        "negative": _("“%(text)s” is below zero, which cannot be here."),
        "too_long": _("This is too long to be a measure."),
        "wrong_unit": _("“%(text)s” is in a unit that does not fit here."),
    }
    sentence = sentences.get(error.code, _("“%(text)s” cannot be read as a measure."))
    return sentence % {"text": shown, "low": error.low, "high": error.high} + " " + examples


class WhenField(forms.CharField):
    """When it happened: a day, a month or only a year. Cleans to (date, precision)."""

    wanted = gettext_lazy(
        "Write when it was: a day, a month or only a year, such as 2026-03-14, Mar 2026, 2026."
    )

    def __init__(self, *, future=False, **kwargs):
        self.future = future
        kwargs.setdefault("label", gettext_lazy("When"))
        kwargs.setdefault(
            "help_text", gettext_lazy("a day, a month or only a year: 2026-03-14, Mar 2026, 2026")
        )
        super().__init__(**kwargs)

    def prepare_value(self, value):
        if isinstance(value, tuple):
            return show_date(*value)
        if hasattr(value, "year"):
            return show_date(value)
        return value

    def to_python(self, value):
        text = super().to_python(value)
        if not text:
            return None
        today = timezone.localdate()
        try:
            day, precision = read_date(text, today)
        except UnreadableDate as error:
            raise forms.ValidationError(
                _("“%(text)s” cannot be read as a date. Two that can: 2026-03-14, Mar 2026.")
                % {"text": text[:40]},
                code="unreadable",
            ) from error
        if day > today and not self.future:
            raise forms.ValidationError(
                _("%(day)s has not come yet.") % {"day": show_date(day, precision)}, code="future"
            )
        if not 1800 <= day.year <= 2200:
            raise forms.ValidationError(_("A year between 1800 and 2200."), code="year")
        return day, precision


# "150,-" and "150.–": no cents, as it is written on the Continent
_WHOLE = re.compile(r"[.,] ?[-–—]{1,2}$")
SIGNS = {"EUR": "€", "GBP": "£", "USD": "$", "CHF": "Fr.", "JPY": "¥"}


def _unsigned(text: str) -> str:
    """The amount without the name or the sign of the workshop's own currency; any other stays, and is not read."""
    if not re.search(r"[^\d.,\s\-−–—]", text):
        return text
    code = Shop.objects.values_list("currency", flat=True).first() or ""
    for mark in filter(None, (code, SIGNS.get(code))):
        text = re.sub(rf"^{re.escape(mark)}\s*|\s*{re.escape(mark)}$", "", text, flags=re.IGNORECASE)
    return text


class MoneyField(forms.CharField):
    """An amount in the workshop's currency; cleans to minor units (cents)."""

    wanted = gettext_lazy("Write an amount here, such as 480 or 62.50.")

    def __init__(self, *, minus=False, **kwargs):
        self.minus = minus
        kwargs.setdefault("widget", forms.TextInput(attrs={"inputmode": "decimal", "autocomplete": "off"}))
        super().__init__(**kwargs)

    def prepare_value(self, value):
        return f"{Decimal(value) / 100:.2f}" if isinstance(value, int) else value

    def to_python(self, value):
        text = super().to_python(value)
        if not text:
            return None
        bare = _WHOLE.sub("", _unsigned(text))
        try:
            amount = Decimal(re.sub(r"\s", "", bare).replace(",", ".").replace("\N{MINUS SIGN}", "-"))
            if (
                len(text) > 20
                or not amount.is_finite()
                or "e" in bare.lower()
                or amount != amount.quantize(Decimal("0.01"))
            ):
                raise InvalidOperation
        except InvalidOperation as error:
            raise forms.ValidationError(
                _("“%(text)s” cannot be read as an amount. Two that can: 480, 62.50.") % {"text": text[:40]},
                code="unreadable",
            ) from error
        if amount < 0 and not self.minus:
            raise forms.ValidationError(_("An amount is not below zero."), code="negative")
        if abs(amount) > 1_000_000:
            raise forms.ValidationError(_("An amount is at most 1000000."), code="too_large")
        return int(amount * 100)


class LedgerForm(forms.Form):
    """A form that knows the units in use. `cautions` are printed above it."""

    required_css_class = "required"
    cautions: tuple = ()

    def __init__(self, *args, units: UnitsInUse, **kwargs):
        kwargs.setdefault("label_suffix", "")
        super().__init__(*args, **kwargs)
        self.units = units
        for field in self.fields.values():
            if isinstance(field, QuantityField):
                field.units = units
        put_words(self)

    @property
    def units_in_use(self) -> UnitsInUse:
        """For templates, where `form.units` would be the field of that name."""
        return self.units

    def add_error(self, field, error):
        """What is amiss with a hidden field is said above the form: there is no place beside it."""
        if field in self.fields and self.fields[field].widget.is_hidden:
            self.cleaned_data.pop(field, None)
            field = None
        super().add_error(field, error)

    def as_typed(self) -> dict[str, str]:
        """What was typed into the measure fields, as typed."""
        return {
            name: str(self.data.get(self.add_prefix(name), ""))
            for name, field in self.fields.items()
            if isinstance(field, QuantityField | WhenField) and self.data.get(self.add_prefix(name))
        }

    def values(self) -> dict:
        """The cleaned values for a service: every `WhenField` is spread into its two columns."""
        values = {}
        for name, value in self.cleaned_data.items():
            field = self.fields[name]
            if isinstance(field, WhenField):
                stem = name.removesuffix("_on")
                values[f"{stem}_on"], values[f"{stem}_to"] = value or (None, "d")
            else:
                values[name] = value
        return values


class EntryForm(LedgerForm):
    """A deed that writes an entry: when, a note, and a key that makes a form sent twice one entry."""

    entry_key = forms.UUIDField(widget=forms.HiddenInput)
    happened_on = WhenField()
    note = Words(label=gettext_lazy("Note"), required=False, max_length=4000, lines=2)

    def __init__(self, *args, **kwargs):
        super().__init__(*args, **kwargs)
        self.initial.setdefault("entry_key", uuid.uuid4())
        self.initial.setdefault("happened_on", timezone.localdate())
        last = [name for name in ("happened_on", "note") if name in self.fields]
        self.order_fields([*(name for name in self.fields if name not in last), *last])

    def values(self) -> dict:
        return {**super().values(), "as_typed": self.as_typed()}


class RecordForm(LedgerForm):
    """A deed that changes a record from the version that was seen."""

    version = forms.IntegerField(widget=forms.HiddenInput, required=False)

    def values(self) -> dict:
        """What was not touched stays as it was kept: a measure is shown rounded, and is not kept as it is shown."""
        values = super().values()
        values.pop("version", None)
        for name, field in self.fields.items():
            kept = self.get_initial_for_field(field, name)
            if isinstance(field, QuantityField) and field.prepare_value(kept) == self[name].data:
                values[name] = kept
        return values
