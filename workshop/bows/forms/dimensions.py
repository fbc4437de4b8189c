"""One form for a walk along a limb with the callipers: many stations, each with width and depth."""

from django import forms
from django.utils.translation import gettext as _now
from django.utils.translation import gettext_lazy as _

from workshop.bows.models.readings import Limb
from workshop.ledger.forms import EntryForm, QuantityField

SPARE = 3  # empty rows beneath those that were proposed
MOST_ROWS = 60
SAME_PLACE_M = 0.0005  # two stations closer than this are one, typed twice


class DimensionsForm(EntryForm):
    """Rows of station, width and depth. A row without width and depth was not measured and is left out.

    Only to one who `plans` is it offered to write down what is planned.
    """

    limb = forms.ChoiceField(
        label=_("Limb"),
        choices=[(Limb.A, Limb.A.label), (Limb.B, Limb.B.label), (Limb.BOTH, _("both, they are alike"))],
        widget=forms.RadioSelect,
    )
    planned = forms.BooleanField(label=_("Planned, not measured"), required=False)

    COLUMNS = (
        ("station", "place", _("Out of the middle")),
        ("width", "depth", _("Width")),
        ("depth", "depth", _("Depth")),
    )

    def __init__(self, *args, stations=(), plans=False, lines=None, **kwargs):
        super().__init__(*args, **kwargs)
        if not plans:
            del self.fields["planned"]
        self.count = self._sent() if self.is_bound else min(lines or len(stations) + SPARE, MOST_ROWS)
        for row in range(self.count):
            for name, kind, label in self.COLUMNS:
                field = QuantityField(kind, label=label, required=False)
                field.units = self.units
                self.fields[f"{name}_{row}"] = field
            if row < len(stations):
                self.fields[f"station_{row}"].initial = stations[row]
        if lines:  # nothing is proposed anew where it was cleared
            self.initial = dict.fromkeys(self._row_names(), "") | self.initial
        self.order_fields(["limb", "planned", *self._row_names(), "happened_on", "note"])

    def _sent(self) -> int:
        """How many rows came back with the form."""
        return next((row for row in range(MOST_ROWS) if f"station_{row}" not in self.data), MOST_ROWS)

    def _row_names(self):
        return [f"{name}_{row}" for row in range(self.count) for name, *_rest in self.COLUMNS]

    def rows(self):
        """The bound fields of each row, for the page."""
        return [[self[f"{name}_{row}"] for name, *_rest in self.COLUMNS] for row in range(self.count)]

    def others(self):
        """Every field that is not part of a row."""
        named = set(self._row_names())
        return [field for field in self.visible_fields() if field.name not in named]

    def clean(self):
        cleaned = super().clean()
        self.stations = []
        for row in range(self.count):
            at, width, depth = (cleaned.get(f"{name}_{row}") for name, *_rest in self.COLUMNS)
            if width is None and depth is None:
                continue
            for name, value in (("station", at), ("width", width), ("depth", depth)):
                if value is None and f"{name}_{row}" not in self.errors:
                    self.add_error(f"{name}_{row}", _now("This one is missing."))
            if at is not None and any(
                abs(at - (each["station_m"] or 0.0)) < SAME_PLACE_M for each in self.stations
            ):
                self.add_error(f"station_{row}", _now("This station stands above already."))
            self.stations.append(self._station(row, at, width, depth))
        if not self.stations and not self.errors:
            raise forms.ValidationError(_now("Give width and depth at one station at least."), code="nothing")
        return cleaned

    def _station(self, row: int, *measures) -> dict:
        typed = {f"{name}_m": self.data.get(f"{name}_{row}", "") for name, *_rest in self.COLUMNS}
        keys = [f"{name}_m" for name, *_rest in self.COLUMNS]
        return {**dict(zip(keys, measures, strict=True)), "as_typed": typed}

    def values(self) -> dict:
        values, named = super().values(), set(self._row_names())
        values.pop("as_typed")
        return {
            **{name: value for name, value in values.items() if name not in named},
            "stations": self.stations,
        }
