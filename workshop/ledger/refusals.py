"""What a form says beside a field that was left empty or cannot be taken: what is wanted there, in the ledger's words.

The framework's own messages are taken out of every form in this one place. What a field says for itself stays.
"""

from django import forms
from django.core.exceptions import ValidationError
from django.utils.translation import gettext_lazy as _

# What is wanted, by kind of field. A field that knows better says so in a sentence of its own, `wanted`.
_WANTED = (
    (forms.FileField, _("Choose a file here.")),
    (forms.MultipleChoiceField, _("Tick at least one of these.")),
    (forms.ChoiceField, _("Choose one of these.")),
    (forms.FloatField, _("Write a number here, such as 9.5.")),
    (forms.IntegerField, _("Write a whole number here, such as 3.")),
    (forms.BooleanField, _("Tick this first.")),
    (forms.Field, _("Write it here.")),
)
_NOT_WHOLE = _("The page was not sent whole. Open it again, and send it once more.")
_NOT_SHOWN = _("This is not one of the choices. Choose one that is shown.")
_TAKEN = (
    (forms.FloatField, _("This cannot be read as a number. Two that can: 9, 9.5.")),
    (forms.IntegerField, _("This cannot be read as a whole number. Two that can: 3, 40.")),
    (forms.EmailField, _("This is no mail address. One that is: name@example.org.")),
    (forms.URLField, _("This is no address of a page. One that is: http://192.168.1.20:8000/.")),
    (forms.SlugField, _NOT_WHOLE),
    (forms.FileField, _("The file did not come along. Choose it again.")),
    (forms.Field, _("This cannot be read.")),
)
_UNPRINTABLE = _("This holds a character that cannot be printed. Type it again.")
_WORDS = {
    "invalid_choice": _NOT_SHOWN,
    "invalid_list": _NOT_SHOWN,
    "invalid_pk_value": _NOT_SHOWN,
    "min_value": _("This is less than can be here: at least %(limit_value)s."),
    "max_value": _("This is more than can be here: at most %(limit_value)s."),
    "min_length": _("This is too short: at least %(limit_value)s characters; these are %(show_value)s."),
    "max_length": _("This is too long: at most %(limit_value)s characters; these are %(show_value)s."),
    "empty": _("This file is empty."),
    "missing": _("The file did not come along. Choose it again."),
    "null_characters_not_allowed": _UNPRINTABLE,
}


def _by_kind(table, field: forms.Field):
    return next(words for kind, words in table if isinstance(field, kind))


def words_for(field: forms.Field) -> dict:
    """What the field says, by the code of what is amiss with it."""
    if field.widget.is_hidden:
        wanted = taken = _NOT_WHOLE
    else:
        wanted = getattr(field, "wanted", None) or _by_kind(_WANTED, field)
        taken = _by_kind(_TAKEN, field)
    if isinstance(field, forms.FileField):  # its name, not its text
        return {**_WORDS, "required": wanted, "invalid": taken, "max_length": _("Its name is too long.")}
    return {**_WORDS, "required": wanted, "invalid": taken}


def put_words(form: forms.Form) -> None:
    """Put the ledger's words in the place of the framework's, in every field of the form."""
    for field in form.fields.values():
        framework = {}
        for kind in reversed(type(field).__mro__):
            if kind.__module__.startswith("django."):
                framework |= getattr(kind, "default_error_messages", {})
        own = {code: said for code, said in field.error_messages.items() if said is not framework.get(code)}
        field.error_messages = words_for(field) | own


def worded(form: forms.Form, name: str | None, error: ValidationError) -> ValidationError:
    """An error a model found, in the words of the form's field. One that a service raised has its own words."""
    words = form.fields[name].error_messages if name in form.fields else words_for(forms.CharField())
    code = {"blank": "required", "null": "required"}.get(error.code, error.code)
    said = words.get(code)
    return ValidationError(said, code=code, params=error.params) if said else error
