"""The meter round: the pieces along the racks, what each read last, and what is out of line."""

import datetime as dt
from dataclasses import dataclass

from django.db.models import F, OuterRef, QuerySet, Subquery
from django.utils.translation import gettext as _

from workshop.staves.climate import place_moisture_now
from workshop.staves.models import MoistureReading, Stave
from workshop.staves.models.staves import IN_STORE
from workshop.staves.moisture import meter_answer
from workshop.staves.selectors.tracks import climates
from workshop.staves.slips import slip_word

# Common practice, no source: a meter is good to about 2 % on one piece, so two readings differ by 3 % by chance.
BY_CHANCE_PCT = 3.0
SOON_DAYS = 10


@dataclass(frozen=True)
class RoundRow:
    stave: Stave
    last: MoistureReading | None
    last_pct: float | None
    place_pct: float | None


def round_pieces(place: int | None = None, *, store_only: bool = True) -> QuerySet[Stave]:
    """Pieces in the store in the order of a walk along the racks; those without a place come last.

    `store_only=False`: any piece, for one may have left the store since the page was opened.
    """
    last = MoistureReading.objects.filter(stave=OuterRef("pk"), struck_at=None).order_by(
        "-happened_on", "-pk"
    )
    pieces = Stave.objects.select_related("felling__timber", "place")
    if store_only:
        pieces = pieces.filter(state__in=IN_STORE)
    if place:
        pieces = pieces.filter(place=place)
    return pieces.annotate(last_reading=Subquery(last.values("pk")[:1])).order_by(
        F("place__walk").asc(nulls_last=True), "place__name", "pk"
    )


def round_rows(pieces, *, today: dt.date) -> list[RoundRow]:
    """Rows for pieces of `round_pieces`: two queries beside its own."""
    pieces = list(pieces)
    readings = MoistureReading.objects.in_bulk([p.last_reading for p in pieces if p.last_reading])
    air = climates(p.place_id for p in pieces if p.place_id)
    bring_to = {place: place_moisture_now(entries, today) for place, entries in air.items()}
    rows = []
    for piece in pieces:
        last = readings.get(piece.last_reading)
        brought = bring_to.get(piece.place_id)
        rows.append(
            RoundRow(
                piece,
                last,
                meter_answer(last, piece.timber).pct if last else None,
                brought.pct if brought else None,
            )
        )
    return rows


def out_of_line(pct: float, on: dt.date, row: RoundRow) -> str:
    """A word where a new moisture is more than the timber can hold, or does not follow from the last one, or from the
    air of the place; else nothing.

    `row` is as it stood before the new reading.
    """
    if slip := slip_word(pct, row.stave.timber):
        return slip
    if row.last is not None and row.last_pct is not None and on >= row.last.happened_on:
        change, days = pct - row.last_pct, (on - row.last.happened_on).days
        if change > BY_CHANCE_PCT:
            return _("%(pct).1f %% wetter than last time: has it got wet, or was this another piece?") % {
                "pct": change
            }
        if -change > BY_CHANCE_PCT and days <= SOON_DAYS:
            return _("%(pct).1f %% drier within %(days)s days: quick, even for thin wood. Read it again.") % {
                "pct": -change,
                "days": days,
            }
        if pct < row.last_pct / 2:
            return _("less than half of last time (%(pct).1f %%): a slip of the figure?") % {
                "pct": row.last_pct
            }
    if row.place_pct is not None and pct < row.place_pct - BY_CHANCE_PCT:
        return _("drier than this place can make it (about %(pct).0f %%). Read it again.") % {
            "pct": row.place_pct
        }
    return ""
