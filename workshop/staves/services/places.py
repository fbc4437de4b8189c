from django.utils.translation import gettext as _

from workshop.ledger.numbers import check_free
from workshop.ledger.services import entry_add, record_add, record_change
from workshop.staves.models import ClimateReading, Place


def _check_name(name: str, but: Place | None = None) -> None:
    check_free(Place, "name", name, _("Another place has this name."), but=but)


def place_add(*, by, **values) -> Place:
    _check_name(values["name"])
    return record_add(Place(**values), by=by)


def place_change(*, place: Place, by, seen: int | None = None, **values) -> Place:
    _check_name(values.get("name", place.name), but=place)
    return record_change(place, by=by, seen=seen, **values)


def climate_add(*, place: Place, by, **values) -> ClimateReading:
    """Temperature and humidity of a place, as read there."""
    return entry_add(ClimateReading(place=place, **values), by=by)
