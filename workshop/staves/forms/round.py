"""The meter round: what holds for all of it, and one field for each piece."""

from django import forms
from django.utils import timezone
from django.utils.translation import gettext_lazy as _

from workshop.ledger.forms import EntryForm, LedgerForm, QuantityField, WhenField, Words
from workshop.staves.forms.fields import WoodTemperatureField
from workshop.staves.forms.readings import meters
from workshop.staves.forms.wood import places


class RoundForm(LedgerForm):
    """What all readings of a round share."""

    place = places(label=_("Only this place"))
    wood_c = WoodTemperatureField(label=_("Temperature of the wood"))
    meter = meters()
    meter_scale = Words(label=_("The meter's scale, in your words"), required=False, max_length=80)
    happened_on = WhenField(required=False)

    def __init__(self, *args, **kwargs):
        super().__init__(*args, **kwargs)
        self.initial.setdefault("happened_on", timezone.localdate())
        self.fields["place"].empty_label = _("all places")


class RoundRowForm(EntryForm):
    """One piece: the meter reads. What the whole round shares comes along unseen."""

    reading_pct = QuantityField("moisture", label=_("The meter reads"))
    wood_c = WoodTemperatureField(widget=forms.HiddenInput)
    meter = meters(retired=True)  # the round may have been opened while it was still in use
    meter_scale = Words(required=False, max_length=80, widget=forms.HiddenInput)
    happened_on = WhenField(widget=forms.HiddenInput)
    note = None

    def __init__(self, *args, **kwargs):
        super().__init__(*args, **kwargs)
        self.fields["meter"].widget = forms.HiddenInput()
