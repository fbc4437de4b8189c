"""Forms for what is measured on a piece, and for what happens to it."""

import math

from django import forms
from django.utils.translation import gettext_lazy as _

from workshop.ledger.forms import EntryForm, LedgerForm, QuantityField, Words
from workshop.ledger.models import Instrument
from workshop.ledger.models.instruments import InstrumentKind
from workshop.staves.forms.fields import WoodTemperatureField
from workshop.staves.forms.wood import places
from workshop.staves.models.readings import End, Face, FlawKind
from workshop.staves.models.staves import CAUSE_WANTED, IN_STORE, STEPS, PieceWork, StaveState

DUST = _("Dust of yew and several other woods is poisonous or sensitising: extraction, mask, gloves.")


def meters(*, retired: bool = False):
    known = Instrument.objects.filter(kind=InstrumentKind.METER)
    return forms.ModelChoiceField(
        known if retired else known.filter(in_use=True),
        required=False,
        label=_("Meter"),
        empty_label=_("not said"),
    )


class MoistureForm(EntryForm):
    reading_pct = QuantityField("moisture", label=_("The meter reads"))
    wood_c = WoodTemperatureField(
        label=_("Temperature of the wood"),
        help_text=_("cold wood reads too dry; the reading is kept as read and the correction shown"),
    )
    meter = meters()
    meter_scale = Words(
        label=_("The meter's scale, in your words"),
        required=False,
        max_length=80,
        help_text=_("what the meter is set to, such as Douglas-fir, or the timber's own name"),
    )
    depth_m = QuantityField("depth", label=_("Pins driven in"), required=False)


class WeighingForm(EntryForm):
    mass_kg = QuantityField("mass", label=_("Weight of the piece"))


class OvenDryForm(EntryForm):
    wet_kg = QuantityField("slice_mass", label=_("The slice, as cut"))
    dry_kg = QuantityField(
        "slice_mass",
        label=_("The slice, oven-dry"),
        help_text=_("dried at about 103 °C until it loses no more; in a well aired oven, and watched"),
    )
    piece_kg = QuantityField(
        "mass",
        label=_("The piece itself, after cutting the slice"),
        required=False,
        help_text=_("tells its dry weight, and so the moisture at each weighing"),
    )


class RingForm(EntryForm):
    end = forms.ChoiceField(choices=End, label=_("At which end"), widget=forms.RadioSelect)
    rings = forms.IntegerField(label=_("Rings counted"), min_value=1, max_value=2000)
    distance_m = QuantityField("depth", label=_("Over a distance of"))
    latewood_pct = QuantityField(
        "percent",
        label=_("Late wood"),
        required=False,
        help_text=_("the dense, dark share of a ring"),
    )


class SizesForm(EntryForm):
    """Width and depth at up to four stations, counted from the butt."""

    ROWS = range(1, 5)

    def __init__(self, *args, **kwargs):
        rows = {}
        for n in self.ROWS:
            rows[f"station_{n}"] = QuantityField("place", label=_("From the butt"))
            rows[f"width_{n}"] = QuantityField("depth", label=_("Width"))
            rows[f"depth_{n}"] = QuantityField("depth", label=_("Depth"))
        for name, field in rows.items():
            field.required = name.endswith("_1")
        self.base_fields = {**rows, **type(self).base_fields}
        super().__init__(*args, **kwargs)

    def stations(self):
        """The fields station by station, to be laid out side by side."""
        return [[self[f"{name}_{n}"] for name in ("station", "width", "depth")] for n in self.ROWS]

    def clean(self):
        cleaned = super().clean()
        for n in self.ROWS:
            names = [f"station_{n}", f"width_{n}", f"depth_{n}"]
            given = [cleaned.get(name) is not None or name in self.errors for name in names]
            for name, has in zip(names, given, strict=True):
                if any(given) and not has:
                    self.add_error(name, _("This station lacks it."))
        return cleaned

    def values(self) -> dict:
        values, rows = super().values(), []
        typed = values.pop("as_typed")
        for n in self.ROWS:
            columns = {f"{name}_m": f"{name}_{n}" for name in ("station", "width", "depth")}
            row = {column: values.pop(name) for column, name in columns.items()}
            if row["station_m"] is not None:
                rows.append({**row, "as_typed": {c: typed[name] for c, name in columns.items()}})
        return {**values, "rows": rows}


class ShapeForm(EntryForm):
    natural_bend_m = QuantityField(
        "offset",
        label=_("Bend, in the middle, off a straight edge"),
        required=False,
        help_text=_("toward the back (reflex) above zero, toward the belly (deflex) below"),
    )
    sideways_m = QuantityField("offset", label=_("Sideways bend"), required=False)
    twist_deg = QuantityField("angle", label=_("Twist, end to end"), required=False)
    sapwood_m = QuantityField("depth", label=_("Sapwood, how thick"), required=False)

    def values(self) -> dict:
        values = super().values()
        if values["twist_deg"] is not None:
            values["twist_deg"] = math.degrees(values["twist_deg"])
        return values

    def clean(self):
        cleaned = super().clean()
        names = ("natural_bend_m", "sideways_m", "twist_deg", "sapwood_m")
        if not self.errors and all(cleaned.get(name) is None for name in names):
            raise forms.ValidationError(_("Give at least one of bend, sideways bend, twist and sapwood."))
        return cleaned


class BendForm(EntryForm):
    span_m = QuantityField("length", label=_("Between the supports"))
    width_m = QuantityField("depth", label=_("Width of the offcut"))
    depth_m = QuantityField("depth", label=_("Depth of the offcut"))
    load_n = QuantityField("force", label=_("Load in the middle"))
    deflection_m = QuantityField("depth", label=_("It sinks by"))
    moisture_pct = QuantityField("moisture", label=_("Moisture of the offcut"), required=False)


class FlawForm(EntryForm):
    kind = forms.ChoiceField(choices=FlawKind, label=_("Flaw"))
    face = forms.ChoiceField(choices=Face, label=_("Face"), widget=forms.RadioSelect)
    from_m = QuantityField("place", label=_("Where, from the butt"))
    to_m = QuantityField("place", label=_("To"), required=False, help_text=_("where it has a length"))
    size = Words(label=_("How big, how deep"), required=False, max_length=80)
    watched = forms.BooleanField(label=_("Keep an eye on it"), required=False)


class SettleForm(LedgerForm):
    word = Words(label=_("What became of it"), wanted=_("Write what became of it."), max_length=100)


class WorkForm(EntryForm):
    work = forms.ChoiceField(
        choices=[(w.value, w.label) for w in PieceWork if w != PieceWork.SPLIT],
        label=_("Work done"),
        widget=forms.RadioSelect,
        help_text=_("work that takes bark or wood off starts the weighings anew"),
    )
    length_m = QuantityField("length", label=_("Length now"), required=False, help_text=_("where it changed"))
    cautions = (DUST,)


class CarryForm(EntryForm):
    place = places(required=True, label=_("To which place"))


class StepForm(EntryForm):
    """A step to one of the states that are allowed from here, for this person."""

    state = forms.ChoiceField(label=_("State"), widget=forms.RadioSelect)
    cause = Words(
        label=_("Why"),
        required=False,
        max_length=200,
        help_text=_("wanted when a piece is culled or lost: the flaw, the accident"),
    )

    def __init__(self, *args, stave, may_cull, **kwargs):
        super().__init__(*args, **kwargs)
        allowed = STEPS[stave.state]
        if not may_cull:
            allowed = [state for state in allowed if {state, stave.state} <= set(IN_STORE)]
        self.fields["state"].choices = [(state, StaveState(state).label) for state in allowed]

    def clean(self):
        cleaned = super().clean()
        if cleaned.get("state") in CAUSE_WANTED and not cleaned.get("cause"):
            self.add_error("cause", _("Say why, so that the year book can count it."))
        return cleaned
