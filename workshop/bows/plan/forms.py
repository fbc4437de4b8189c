"""Forms of the plan page: the stations of both limbs, a first plan, what if."""

import uuid
from dataclasses import dataclass

from django import forms
from django.utils.translation import gettext as _now
from django.utils.translation import gettext_lazy as _

from workshop.bows.forms.dimensions import SAME_PLACE_M
from workshop.bows.models.bow import BowKind, Section
from workshop.bows.plan.facts import LIMBS, WhatIf
from workshop.ledger.forms import LedgerForm, QuantityField, RecordForm
from workshop.ledger.models.shop import DrawFrom
from workshop.staves.models import Timber

SPARE = 2  # empty rows beneath those that are written
FIRST_ROWS = 6  # of a limb nothing is planned of yet
MOST_ROWS = 40
MOST_OTHERS = 4
PAST_TIP_M = 0.05  # wood left beyond the nock


@dataclass(frozen=True)
class LimbRows:
    """One limb's rows for the page."""

    limb: str
    rows: list


class StationsForm(LedgerForm):
    """Station, width and depth along both limbs in one go. A row left empty is not there."""

    entry_key = forms.UUIDField(widget=forms.HiddenInput)
    alike = forms.BooleanField(
        label=_("Limb B is like limb A, and has no sizes of its own"),
        required=False,
    )

    COLUMNS = (
        ("station", "place", _("Out of the middle")),
        ("width", "depth", _("Width")),
        ("depth", "depth", _("Depth")),
    )

    def __init__(self, *args, sizes=None, half_m=None, **kwargs):
        super().__init__(*args, **kwargs)
        self.half_m = half_m
        self.initial.setdefault("entry_key", uuid.uuid4())
        self.initial.setdefault("alike", bool(sizes) and sizes["A"] == sizes["B"])
        self.counts, self.shown = {}, {}
        for limb in LIMBS:
            written = (sizes or {}).get(limb, [])
            self.counts[limb] = (
                self._sent(limb) if self.is_bound else min(max(len(written) + SPARE, FIRST_ROWS), MOST_ROWS)
            )
            for row in range(self.counts[limb]):
                values = written[row] if row < len(written) else (None, None, None)
                for column, value in zip(self.COLUMNS, values, strict=True):
                    self._add_field(limb, row, column, value)

    def _add_field(self, limb: str, row: int, column: tuple, value: float | None) -> None:
        name, kind, label = column
        field = QuantityField(kind, label=label, required=False)
        field.units = self.units
        if value is not None:
            field.initial = field.prepare_value(value)
            self.shown[f"{limb}_{name}_{row}"] = field.initial, value
        self.fields[f"{limb}_{name}_{row}"] = field

    def _kept(self, name: str, read: float | None) -> float | None:
        """What was read; where the text is as it was shown, the very value it stood for and not its rounding."""
        text, value = self.shown.get(name, (None, None))
        return value if text is not None and self.data.get(name, "").strip() == text else read

    def _sent(self, limb: str) -> int:
        """How many rows came back with the form."""
        return next((n for n in range(MOST_ROWS) if f"{limb}_station_{n}" not in self.data), MOST_ROWS)

    def limbs(self) -> list[LimbRows]:
        """The bound fields, limb by limb and row by row."""
        return [
            LimbRows(
                limb,
                [[self[f"{limb}_{name}_{row}"] for name, *_rest in self.COLUMNS] for row in range(count)],
            )
            for limb, count in self.counts.items()
        ]

    def clean(self):
        cleaned = super().clean()
        self.stations = {}
        for limb in LIMBS:
            if limb == "B" and cleaned.get("alike"):
                self._forgive("B")
                self.stations["B"] = [dict(each) for each in self.stations["A"]]
            else:
                self.stations[limb] = self._limb(limb, cleaned)
        return cleaned

    def _forgive(self, limb: str) -> None:
        """What stands under a limb that does not count is not judged."""
        for name in [name for name in self.errors if name.startswith(f"{limb}_")]:
            del self._errors[name]

    def _limb(self, limb: str, cleaned: dict) -> list[dict]:
        stations, wrong = [], any(name.startswith(f"{limb}_") for name in self.errors)
        for row in range(self.counts[limb]):
            names = [f"{limb}_{name}_{row}" for name, *_rest in self.COLUMNS]
            at, width, depth = (self._kept(name, cleaned.get(name)) for name in names)
            if not any(self.data.get(name, "").strip() for name in names):
                continue
            for name, value in zip(names, (at, width, depth), strict=True):
                if value is None and name not in self.errors:
                    self.add_error(name, forms.ValidationError(_now("This one is missing."), code="missing"))
                    wrong = True
            if at is not None:
                wrong |= self._out_of_place(names[0], at, stations)
            typed = {
                f"{col[0]}_m": self.data.get(name, "") for col, name in zip(self.COLUMNS, names, strict=True)
            }
            stations.append({"station_m": at, "width_m": width, "depth_m": depth, "as_typed": typed})
        if len(stations) < 2 and not wrong:
            words = _now("%(n)s given: a limb wants two stations at least.") % {"n": len(stations)}
            beside = (
                f"{limb}_station_{min(len(stations), self.counts[limb] - 1)}" if self.counts[limb] else None
            )
            self.add_error(beside, forms.ValidationError(words, code="one_station"))
        return stations

    def _out_of_place(self, name: str, at: float, before: list[dict]) -> bool:
        last = before[-1]["station_m"] if before else None
        if last is not None and at < last + SAME_PLACE_M:
            words = _now(
                "%(at)s does not lie beyond the station before it, %(last)s: they run from the middle outward."
            )
            said = words % {"at": self.units.show(at, "place"), "last": self.units.show(last, "place")}
            self.add_error(name, forms.ValidationError(said, code="stations_order"))
        elif self.half_m is not None and at > self.half_m + PAST_TIP_M:
            words = _now("%(at)s lies beyond the tip: the nock is at %(half)s.")
            said = words % {"at": self.units.show(at, "place"), "half": self.units.show(self.half_m, "place")}
            self.add_error(name, forms.ValidationError(said, code="beyond_tip"))
        else:
            return False
        return True

    def depth_field(self, limb: str, at_m: float) -> str | None:
        """The depth field of the station nearest to a place, where an error about the depth belongs."""
        near = [(abs((s["station_m"] or 0.0) - at_m), n) for n, s in enumerate(self.stations.get(limb, []))]
        typed = [
            row
            for row in range(self.counts[limb])
            if any(self.data.get(f"{limb}_{name}_{row}", "").strip() for name, *_rest in self.COLUMNS)
        ]
        return f"{limb}_depth_{typed[min(near)[1]]}" if near and typed else None


LAYOUTS = [
    ("width", _("an arc of a circle by width: a flat limb of even depth")),
    ("depth", _("an arc of a circle by depth")),
    ("both", _("an arc of a circle by width and depth together")),
    ("straight", _("a straight taper: width falling evenly to the tip, even depth; the tips stay stiffer")),
    ("strain-width", _("strained alike all along, by width: depth falling by a fifth; the tips bend more")),
    ("strain-depth", _("strained alike all along, by depth: width falling evenly; the tips bend more")),
]


# Far beyond what wood bends without staying bent, and far below what makes a bow. Common practice, no source.
LEAST_STRAIN, MOST_STRAIN = 0.003, 0.02


class BeginForm(RecordForm):
    """A first plan from draw, weight, timber and kind."""

    kind = forms.ChoiceField(label=_("Kind"), choices=BowKind, widget=forms.RadioSelect)
    wanted_n = QuantityField("force", label=_("Weight wanted"))
    wanted_draw_m = QuantityField("draw", label=_("At a draw of"))
    draw_from = forms.ChoiceField(label=_("Draw measured from"), choices=DrawFrom, widget=forms.RadioSelect)
    timber = forms.ModelChoiceField(
        label=_("Timber"), queryset=Timber.objects.none(), help_text=_("no piece of wood is named yet")
    )
    length_m = QuantityField("length", label=_("Bow length, nock to nock"))
    brace_m = QuantityField("brace", label=_("Brace height, belly of grip to string"))
    grip_depth_m = QuantityField(
        "depth",
        label=_("Grip depth, back to pivot point"),
        required=False,
        help_text=_("for a stiff handle; a bow that bends through the grip has that of its limb"),
    )
    section = forms.ChoiceField(
        label=_("Section"), required=False, choices=[("", _("as is usual for the kind")), *Section.choices]
    )
    taper = forms.ChoiceField(
        label=_("It is laid out as"),
        choices=LAYOUTS,
        widget=forms.RadioSelect,
        help_text=_("the intended curve written on the bow is proposed"),
    )
    strain = QuantityField(
        "strain",
        label=_("Strained at most"),
        help_text=_("between the last marks before the tip it may come out a little more"),
    )

    field_order = ["timber", "kind", "wanted_n", "wanted_draw_m", "draw_from", "length_m"]

    def __init__(self, *args, ask_timber: bool, **kwargs):
        super().__init__(*args, **kwargs)
        self.fields["grip_depth_m"].may = _now("unless the handle is stiff")
        if ask_timber:
            self.fields["timber"].queryset = Timber.objects.all()
        else:
            del self.fields["timber"]

    def clean(self):
        cleaned = super().clean()
        for name, words in (
            ("wanted_n", _now("A weight of zero: it is above zero.")),
            ("brace_m", _now("A brace height of zero: it is above zero.")),
            ("strain", _now("A strain of zero or less: it is above zero.")),
        ):
            if cleaned.get(name) is not None and cleaned[name] <= 0:
                self.add_error(name, forms.ValidationError(words, code="zero"))
        strain = cleaned.get("strain")
        if strain and "strain" not in self.errors and not LEAST_STRAIN <= strain <= MOST_STRAIN:
            words = _now("No wooden bow is strained so: from 0.3 % to 2 %.")
            self.add_error("strain", forms.ValidationError(words, code="strain"))
        stiff = cleaned.get("kind") == BowKind.STIFF
        if stiff and cleaned.get("grip_depth_m") is None and "grip_depth_m" not in self.errors:
            words = _now(
                "A stiff handle wants its depth: without it the draw cannot be told from the limb’s axis."
            )
            self.add_error("grip_depth_m", forms.ValidationError(words, code="grip_depth"))
        return cleaned


class LongStringForm(LedgerForm):
    """A long string to hang the bow on the tree with. Sent in the address; nothing is kept."""

    long_string = QuantityField("length", label=_("Long string, nock to nock"))


OTHERS = (
    ("wider", _("wider limbs, by")),
    ("shorter", _("a shorter bow, by")),
    ("piked", _("off each tip")),
    ("timber", _("another timber")),
    ("reflex", _("a reflex of")),
    ("nocking", _("a nocking point above the hand by")),
)


class WhatIfForm(LedgerForm):
    """What the reader supposes, and up to four other plans to compare. Sent in the address; nothing is kept."""

    arrow = QuantityField("arrow_mass", label=_("Arrow"), required=False)
    moisture = QuantityField("moisture", label=_("Moisture of the wood"), required=False)
    modulus = QuantityField("modulus", label=_("Stiffness of the wood"), required=False)
    follow = QuantityField(
        "offset",
        label=_("Tips unstrung"),
        required=False,
        help_text=_("toward the belly above zero, reflex below"),
    )
    others = forms.MultipleChoiceField(
        label=_("Compare with"), choices=OTHERS, required=False, widget=forms.CheckboxSelectMultiple
    )
    wider = QuantityField("percent", label=_("wider limbs, by"), required=False)
    shorter = QuantityField("place", label=_("a shorter bow, by"), required=False)
    piked = QuantityField("depth", label=_("off each tip"), required=False)
    reflex = QuantityField("depth", label=_("a reflex of"), required=False)
    nocking = QuantityField("depth", label=_("a nocking point above the hand by"), required=False)
    timber = forms.ModelChoiceField(label=_("another timber"), queryset=Timber.objects.none(), required=False)

    def __init__(self, *args, timbers, **kwargs):
        super().__init__(*args, **kwargs)
        self.timbers = {str(each.pk): each for each in timbers}
        for name in ("arrow", "moisture", "modulus", "follow"):
            self.fields[name].may = _now("if other")
        self.fields["timber"] = forms.ChoiceField(
            label=_("another timber"), required=False,
            choices=[("", _now("which")), *((pk, each.name) for pk, each in self.timbers.items())],
        )  # fmt: skip

    def clean(self):
        cleaned = super().clean()
        others = cleaned.get("others") or []
        if len(others) > MOST_OTHERS:
            words = _now("%(n)s chosen: four at the most stand under one another.") % {"n": len(others)}
            self.add_error("others", forms.ValidationError(words, code="many"))
        for name in others:
            if not cleaned.get(name) and name not in self.errors:
                self.add_error(name, forms.ValidationError(_now("Say how much, or which."), code="missing"))
        return cleaned

    def what_if(self) -> WhatIf:
        read = self.cleaned_data
        return WhatIf(read.get("moisture"), read.get("modulus"), read.get("follow"), read.get("arrow"))

    def choices(self) -> list:
        """Each kind of other plan: the box that takes it up, and the field that says how much or which."""
        boxes = {str(box.data["value"]): box for box in self["others"]}
        return [(boxes[name], self[name]) for name, _label in OTHERS]

    def supposed(self) -> list:
        return [self[name] for name in ("arrow", "moisture", "modulus", "follow")]
