"""A value of a record's field as a person reads it in the history."""

import datetime as dt

from django.utils.translation import gettext as _

from workshop.ledger.dates import show_date

NOTHING = "–"
# column suffix -> how the history shows it; the history keeps SI, for it outlives a setting
SUFFIXES = {
    "_m": (1000, "mm"),
    "_n": (1, "N"),
    "_kg": (1, "kg"),
    "_pct": (1, "%"),
    "_c": (1, "°C"),
    "_deg": (1, "°"),
}


def word(record, field, value) -> str:
    """The text for one value: names for choices and links, dates in words, measures with their unit."""
    if value is None or value == "":
        return NOTHING
    if field.is_relation:
        return str(value)
    if field.choices:
        return str(dict(field.flatchoices).get(value, value))
    if isinstance(value, bool):
        return _("yes") if value else _("no")
    if isinstance(value, dt.date) and not isinstance(value, dt.datetime):
        return show_date(value)
    for suffix, (times, unit) in SUFFIXES.items():
        if field.name.endswith(suffix) and isinstance(value, int | float):
            return f"{value * times:.6g} {unit}"
    return str(value)
