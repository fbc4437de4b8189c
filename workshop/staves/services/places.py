from workshop.ledger.services import entry_add, record_add, record_change
from workshop.staves.models import ClimateReading, Place


def place_add(*, by, **values) -> Place:
    return record_add(Place(**values), by=by)


def place_change(*, place: Place, by, seen: int | None = None, **values) -> Place:
    return record_change(place, by=by, seen=seen, **values)


def climate_add(*, place: Place, by, **values) -> ClimateReading:
    """Temperature and humidity of a place, as read there."""
    return entry_add(ClimateReading(place=place, **values), by=by)
