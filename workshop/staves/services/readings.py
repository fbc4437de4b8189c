"""What is measured on a piece. Every one is an entry: written once, struck at most once."""

import uuid

from django.core.exceptions import ValidationError
from django.db import transaction
from django.utils import timezone
from django.utils.translation import gettext as _

from workshop.ledger.services import entries_add, entry_add, entry_stamp
from workshop.photos.services import photo_add
from workshop.staves.models import (
    BendTest,
    MoistureReading,
    OvenDryTest,
    RingCount,
    ShapeReading,
    Stave,
    StaveFlaw,
    StavePhoto,
    StaveSize,
    Weighing,
)
from workshop.staves.services.pieces import check_day


def _add(model, stave: Stave, by, values: dict):
    check_day(stave, values["happened_on"], values.get("happened_to", "d"))
    return entry_add(model(stave=stave, **values), by=by)


def moisture_add(*, stave: Stave, by, meter=None, meter_scale: str = "", **values) -> MoistureReading:
    """A meter reading, as the meter showed it. How the meter is set is written along, for it may be reset."""
    setting = {"meter": meter, "meter_scale": meter_scale or (meter.meter_scale if meter else "")}
    if meter is not None:
        setting["calibrated_at_c"] = meter.calibrated_at_c
    return _add(MoistureReading, stave, by, {**setting, **values})


def weighing_add(*, stave: Stave, by, **values) -> Weighing:
    return _add(Weighing, stave, by, values)


def oven_dry_add(*, stave: Stave, by, **values) -> OvenDryTest:
    """A slice weighed as cut and oven-dry."""
    if values["dry_kg"] > values["wet_kg"]:
        raise ValidationError({"dry_kg": _("A slice does not come out of the oven heavier than it went in.")})
    if values["wet_kg"] > 4 * values["dry_kg"]:
        raise ValidationError({"dry_kg": _("That would be over 300 % moisture, more than wood can hold.")})
    piece_kg = values.get("piece_kg")
    if piece_kg is not None and piece_kg < values["wet_kg"]:
        raise ValidationError({"piece_kg": _("The piece is lighter here than the slice cut from it.")})
    return _add(OvenDryTest, stave, by, values)


def ring_count_add(*, stave: Stave, by, **values) -> RingCount:
    width = values["distance_m"] / values["rings"]
    if not 0.0001 <= width <= 0.05:
        raise ValidationError(
            {
                "rings": _("That makes rings %(mm).2f mm wide; 0.1 to 50 mm can be believed.")
                % {"mm": width * 1000}
            }
        )
    return _add(RingCount, stave, by, values)


@transaction.atomic
def sizes_add(*, stave: Stave, by, rows: list[dict], entry_key=None, **values) -> list[StaveSize]:
    """Width and depth at several stations measured in one go."""
    if not rows:
        raise ValidationError({"station_1": _("Measure one station at least.")})
    for number, row in enumerate(rows, start=1):
        _check_within(stave, f"station_{number}", row["station_m"])
    key = entry_key or uuid.uuid4()
    check_day(stave, values["happened_on"], values.get("happened_to", "d"))
    return entries_add(
        (
            StaveSize(stave=stave, entry_key=uuid.uuid5(key, str(number)), **row, **values)
            for number, row in enumerate(rows)
        ),
        by=by,
    )


def shape_add(*, stave: Stave, by, **values) -> ShapeReading:
    return _add(ShapeReading, stave, by, values)


def bend_test_add(*, stave: Stave, by, **values) -> BendTest:
    """An offcut on two supports; what comes out must be wood."""
    for name in ("load_n", "deflection_m", "span_m", "width_m", "depth_m"):
        if values[name] <= 0:
            raise ValidationError({name: _("This must be above zero.")})
    if values["deflection_m"] >= values["span_m"] / 2:
        raise ValidationError(
            {"deflection_m": _("It cannot sink by half the span and still be a bend test.")}
        )
    return _add(BendTest, stave, by, values)


def flaw_add(*, stave: Stave, by, **values) -> StaveFlaw:
    _check_within(stave, "from_m", values["from_m"])
    to_m = values.get("to_m")
    if to_m is not None:
        _check_within(stave, "to_m", to_m)
        if to_m < values["from_m"]:
            raise ValidationError({"to_m": _("It ends nearer the butt than it begins.")})
    return _add(StaveFlaw, stave, by, values)


def flaw_settle(*, flaw: StaveFlaw, by, word: str) -> StaveFlaw:
    """A watched flaw needs no more watching; in words, what became of it. Settled twice is settled once."""
    if flaw.settled_at is not None:
        return flaw
    if not flaw.watched:
        raise ValidationError(_("This flaw is not being watched."))
    signed = _("%(word)s (%(who)s)") % {"word": word[:100], "who": by.name}
    return entry_stamp(flaw, "settled_at", settled_at=timezone.now(), settled_word=signed)


def stave_photo_add(*, stave: Stave, by, picture, **values) -> StavePhoto:
    """A photo of the piece; `picture` is a `Prepared` one."""
    check_day(stave, values["happened_on"], values.get("happened_to", "d"))
    return photo_add(StavePhoto(stave=stave, **values), picture, by=by)


def _check_within(stave: Stave, field: str, place_m: float) -> None:
    if stave.length_m and place_m > stave.length_m + 0.0005:  # half a millimetre: a rule's own doubt
        raise ValidationError(
            {
                field: ValidationError(
                    _("That is beyond the end of the piece (%(length)s)."),
                    params={"length": (stave.length_m, "length")},
                )
            }
        )
