"""The form that takes a photo: what cannot be taken is refused beside the field, by name."""

from django import forms
from django.utils import timezone
from django.utils.translation import gettext as _
from django.utils.translation import gettext_lazy

from workshop.ledger.forms import EntryForm, WhenField, Words
from workshop.photos.images import KINDS_TAKEN, MAX_BYTES, MAX_PIXELS, PictureRefused, Prepared, prepare


def refusal_words(code: str) -> str:
    """The sentence beside a picture that could not be taken."""
    kinds = ", ".join(KINDS_TAKEN)
    sentences = {
        "too_large": _("This file is too large: at most %(mb)s MB.") % {"mb": MAX_BYTES // 2**20},
        "not_a_picture": _("This file is not a picture, whatever its name says. Taken are %(kinds)s.")
        % {"kinds": kinds},
        "kind_not_taken": _("This kind of picture is not taken; %(kinds)s are.") % {"kinds": kinds},
        "too_many_pixels": _("This picture is too big when unpacked: at most %(mp)s megapixels.")
        % {"mp": MAX_PIXELS // 10**6},
        "truncated": _("This picture is cut short or damaged. Send it again."),
    }
    return sentences.get(code, _("This picture could not be taken."))


class PictureField(forms.FileField):
    """An upload; cleans to a `Prepared` picture."""

    wanted = gettext_lazy("Choose a photo here.")
    widget = forms.FileInput(attrs={"accept": "image/jpeg,image/png,image/webp"})
    default_error_messages = {"empty": gettext_lazy("This file is empty.")}

    def clean(self, data, initial=None) -> Prepared | None:
        upload = super().clean(data, initial)
        if not upload:
            return None
        if upload.size > MAX_BYTES:
            raise forms.ValidationError(refusal_words("too_large"), code="too_large")
        try:
            return prepare(upload.read())
        except PictureRefused as refused:
            raise forms.ValidationError(refusal_words(refused.code), code=refused.code) from refused


class PhotoForm(EntryForm):
    """A photo with what it shows. The day may be left to the camera's own clock."""

    picture = PictureField(label=gettext_lazy("Photo"))
    caption = Words(
        label=gettext_lazy("What it shows"),
        wanted=gettext_lazy("Write what the photo shows."),
        max_length=200,
    )
    happened_on = WhenField(
        required=False, help_text=gettext_lazy("left empty: the day the camera says, else today")
    )

    def __init__(self, *args, **kwargs):
        super().__init__(*args, **kwargs)
        self.initial["happened_on"] = None

    def clean(self):
        cleaned = super().clean()
        picture = cleaned.get("picture")
        if "happened_on" in cleaned and not cleaned["happened_on"]:
            today = timezone.localdate()
            taken = picture.taken.date() if picture and picture.taken else today
            cleaned["happened_on"] = (min(taken, today), "d")
        return cleaned
