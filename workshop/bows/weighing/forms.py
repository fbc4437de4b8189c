"""The forms of a weigh-in: how the bow is strung and measured, one point, a word passed over."""

from django import forms
from django.utils import timezone
from django.utils.translation import gettext as _
from django.utils.translation import gettext_lazy

from workshop.bows.braced import strung_at
from workshop.bows.models import Bow, BraceReading, WeighIn
from workshop.bows.models.bow import Stage
from workshop.bows.models.weighing import Purpose, Strung
from workshop.ledger.forms import EntryForm, LedgerForm, QuantityField, WhenField, Words
from workshop.ledger.models import Instrument
from workshop.ledger.models.instruments import InstrumentKind
from workshop.ledger.models.shop import DrawFrom

# common practice, no source
CAUTIONS = (
    gettext_lazy("Pull by the rope from well aside; nobody in line with the limbs. Eye protection on."),
    gettext_lazy("At a new draw a bow can break, or jump the cradle."),
    gettext_lazy("Pull, read, let down, then write."),
)
# of the last weigh-in, what the next one most likely has in common with it
CARRIED_ON = ("strung", "bowstring", "brace_m", "draw_from", "grip_depth_m", "scale")


def on_the_pad(**kwargs) -> forms.TextInput:
    """A field the number pad writes into; without JavaScript the device's own number keys."""
    return forms.TextInput(attrs={"inputmode": "decimal", "autocomplete": "off", "data-pad": "", **kwargs})


def _some_weight(newton):
    if newton == 0:
        raise forms.ValidationError(_("A drawn bow weighs something. Two that can be read: 38, 38.5 lb."))


def _draw() -> QuantityField:
    errors = {"required": gettext_lazy("How far was it drawn?")}
    return QuantityField("draw", label=gettext_lazy("Drawn to"), widget=on_the_pad(), error_messages=errors)


def _weight() -> QuantityField:
    errors = {"required": gettext_lazy("Which weight did you read?")}
    return QuantityField(
        "force",
        label=gettext_lazy("Weight"),
        widget=on_the_pad(autofocus=True),
        validators=[_some_weight],
        error_messages=errors,
    )


class PointForm(LedgerForm):
    """One draw and its weight, written after letting down."""

    entry_key = forms.UUIDField(widget=forms.HiddenInput)
    draw_m, force_n = _draw(), _weight()

    def values(self) -> dict:
        return {**super().values(), "as_typed": self.as_typed()}


class AtForm(LedgerForm):
    """A draw between those weighed, of which the weight is asked."""

    at = QuantityField("draw", label=gettext_lazy("What does it weigh at"), widget=on_the_pad())


# Fibre saturation: no bow that was dry enough to bend is wetter. Common practice, no source.
WETTEST_BOW_PCT = 30.0


class WeighInForm(EntryForm):
    """How the bow is strung and measured; with a draw and a weight it is the one figure, written at once."""

    BEGIN = ("series", "final")

    draw_m, force_n = _draw(), _weight()
    purpose = forms.ChoiceField(
        label=gettext_lazy("What for"), choices=Purpose.choices, widget=forms.RadioSelect
    )
    strung = forms.ChoiceField(
        label=gettext_lazy("Strung with"), choices=Strung.choices, widget=forms.RadioSelect
    )
    bowstring = Words(label=gettext_lazy("Which string"), required=False, max_length=120)
    brace_m = QuantityField(
        "brace",
        label=gettext_lazy("Brace height"),
        required=False,
        help_text=gettext_lazy("belly of the grip to string"),
    )
    draw_from = forms.ChoiceField(
        label=gettext_lazy("Draw measured from"), choices=DrawFrom.choices, widget=forms.RadioSelect
    )
    grip_depth_m = QuantityField(
        "depth",
        label=gettext_lazy("Grip depth"),
        required=False,
        help_text=gettext_lazy("back to pivot point; draws are converted with it, and without it not at all"),
    )
    scale = forms.ModelChoiceField(
        label=gettext_lazy("Scale"), queryset=Instrument.objects.none(), required=False
    )
    moisture_pct = QuantityField("moisture", label=gettext_lazy("Moisture of the bow"), required=False)
    temperature_c = QuantityField("temperature", label=gettext_lazy("Temperature"), required=False)
    humidity_pct = QuantityField("humidity", label=gettext_lazy("Humidity"), required=False)

    def __init__(self, *args, **kwargs):
        super().__init__(*args, **kwargs)
        self.fields["scale"].queryset = Instrument.objects.filter(kind=InstrumentKind.SCALE, in_use=True)
        if self.begins:
            del self.fields["draw_m"], self.fields["force_n"], self.fields["purpose"]

    def clean_moisture_pct(self):
        moisture = self.cleaned_data["moisture_pct"]
        if moisture is not None and moisture > WETTEST_BOW_PCT:
            words = _("A bow is never so wet: %(most)s %% at the most.") % {"most": f"{WETTEST_BOW_PCT:g}"}
            raise forms.ValidationError(words, code="too_wet")
        return moisture

    @property
    def begins(self) -> str:
        """What was begun without a figure: the full series, the final weigh-in, or nothing."""
        deed = self.data.get("begin", "")
        return deed if deed in self.BEGIN else ""

    def values(self) -> dict:
        """What was begun takes no figure along, whatever stands in the field."""
        values = super().values()
        return {**values, "purpose": self.begins, "draw_m": None, "force_n": None} if self.begins else values


class NotedForm(EntryForm):
    """A word of the weigh-in read and passed over."""

    code = forms.SlugField(max_length=40, widget=forms.HiddenInput)
    point = forms.IntegerField(required=False, widget=forms.HiddenInput)
    happened_on = WhenField(required=False)

    def clean_happened_on(self):
        return self.cleaned_data["happened_on"] or (timezone.localdate(), "d")


UNSTRUNG = (
    Stage.LAID_OUT,
    Stage.ROUGHING,
    Stage.TILLERING,
)  # never weighed yet, it goes on the long string first


def only_scale() -> Instrument | None:
    """The shop's scale, where it has just one."""
    scales = list(Instrument.objects.filter(kind=InstrumentKind.SCALE, in_use=True)[:2])
    return scales[0] if len(scales) == 1 else None


def head_of(bow: Bow, last: WeighIn | None, brace: BraceReading | None = None) -> dict:
    """How the next weigh-in is most likely strung and measured: as the last one was, or as the bow is planned; and
    braced as it was read since (`brace`)."""
    if last is not None:
        head = {name: getattr(last, name) for name in CARRIED_ON}
        if head["scale"] is not None and not head["scale"].in_use:
            head["scale"] = None
    else:
        strung = Strung.LONG if bow.stage in UNSTRUNG else Strung.FULL
        head = {"strung": strung, "bowstring": bow.bowstring, "brace_m": bow.brace_m, "scale": only_scale()}
        head |= {"draw_from": bow.draw_from, "grip_depth_m": None}
    if brace is not None:
        if head["strung"] == Strung.LONG:
            head["bowstring"] = bow.bowstring
        head |= {"brace_m": brace.brace_m, "strung": strung_at(bow, brace.brace_m)}
    head["grip_depth_m"] = head["grip_depth_m"] or bow.grip_depth_m
    return {**head, "purpose": Purpose.TILLERING}
