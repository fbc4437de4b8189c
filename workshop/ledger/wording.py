"""A value of a record's field as a person reads it in the history."""

import datetime as dt
from decimal import Decimal

from django.db.models import JSONField
from django.utils.translation import gettext as _

from workshop.ledger.dates import show_date
from workshop.ledger.units import typed_otherwise

NOTHING = "–"
# column suffix -> (kind of quantity, how its text is kept): in SI, for the history outlives a setting
SUFFIXES = {
    "_m": ("length", 1000, "mm"),
    "_n": ("force", 1, "N"),
    "_kg": ("mass", 1, "kg"),
    "_pct": ("percent", 1, "%"),
    "_c": ("temperature", 1, "°C"),
}
# columns that are read and shown as another kind than their suffix says
KINDS = {
    "wanted_draw_m": "draw",
    "arrow_m": "draw",
    "grip_m": "place",
    "grip_above_m": "place",
    "fade_m": "place",
    "brace_m": "brace",
    "grip_depth_m": "depth",
    "label_width_m": "label",
    "label_height_m": "label",
    "ready_low_pct": "moisture",
    "ready_high_pct": "moisture",
    "moisture_pct": "moisture",
    "reading_pct": "moisture",
    "humidity_pct": "humidity",
    "draw_m": "draw",
    "station_m": "place",
    "from_m": "place",
    "to_m": "place",
    "at_m": "place",
    "string_a_m": "place",
    "string_b_m": "place",
    "span_m": "place",
    "width_m": "depth",
    "depth_m": "depth",
    "deflection_m": "depth",
    "sapwood_m": "depth",
    "distance_m": "depth",
    "follow_m": "offset",
    "natural_bend_m": "offset",
    "sideways_m": "offset",
    "wet_kg": "slice_mass",
    "dry_kg": "slice_mass",
    "arrow_kg": "arrow_mass",
    "speed_m_s": "speed",
    "doubt_n": "doubt",
}


def kind_of(name: str) -> str | None:
    """The kind of quantity a column holds, by its name; None where it is no measure."""
    kinds = (kind for suffix, (kind, *_text) in SUFFIXES.items() if name.endswith(suffix))
    return KINDS.get(name) or next(kinds, None)


def told(record, field, was, became) -> dict:
    """What the history keeps of one field that changed. Of a measure also the figures, for the reader's units."""
    kept = {
        "field": field.name,
        "name": str(field.verbose_name),
        "from": word(record, field, was),
        "to": word(record, field, became),
    }
    if kind_of(field.name):
        kept["si"] = {"from": was, "to": became}
    return kept


def reworded(kept: dict, side: str, units) -> str:
    """One side, `from` or `to`, of a field that changed, in the reader's units where its figure is kept."""
    kind = kind_of(kept["field"])
    if units is None or kind is None or "si" not in kept:
        return kept[side]
    return units.show(kept["si"][side], kind)


def written(entry, units) -> list[tuple[str, str]]:
    """All that a maker wrote into an entry, name by name, measures in the reader's units; what was left empty is
    left out."""
    own = {field.name for field in entry._meta.concrete_fields} - _OF_EVERY_ENTRY
    fields = [each for each in entry._meta.concrete_fields if each.name in own and each.editable]
    said = [(str(each.verbose_name), _written(entry, each, units)) for each in fields]
    return [(name, words) for name, words in said if words not in (NOTHING, "")]


# what is told of every entry beside what is written in it, or is for the machine
_OF_EVERY_ENTRY = {"id", "entry_key", "as_typed", "happened_on", "happened_to", "note"}


def _written(entry, field, units) -> str:
    value, kind = getattr(entry, field.name), kind_of(field.name)
    if isinstance(field, JSONField):
        return ""
    if value is None or kind is None:
        return entry.typed(field.name) or word(entry, field, value)
    shown = units.show(value, kind)
    typed = typed_otherwise(entry, field.name, shown)
    return f"{shown} ({typed})" if typed else shown


def word(record, field, value) -> str:
    """The text for one value: names for choices and links, dates in words, measures with their unit."""
    if value is None or value == "":
        return NOTHING
    if hasattr(field, "told"):  # a field that knows its own words
        return field.told(value) or NOTHING
    if field.is_relation:
        return str(value)
    if field.choices:
        return str(dict(field.flatchoices).get(value, value))
    if isinstance(value, bool):
        return _("yes") if value else _("no")
    if isinstance(value, dt.date) and not isinstance(value, dt.datetime):
        return show_date(value)
    if field.name.endswith("_minor"):
        return f"{Decimal(value) / 100:.2f}"
    for suffix, (_kind, times, unit) in SUFFIXES.items():
        if field.name.endswith(suffix) and isinstance(value, int | float):
            return f"{value * times:.6g} {unit}"
    return str(value)
