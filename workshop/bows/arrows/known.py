"""What the page of arrows and string reckons from: the bow's weight, the way it stores, its shots."""

from dataclasses import dataclass

from django.utils.translation import gettext as _

from workshop.bows.models import Bow
from workshop.bows.models import Speed as ShotEntry
from workshop.bows.plan.facts import USUAL_BRACE_M
from workshop.bows.weighing.passes import Pass, Weighings, from_back_m, shift_of
from workshop.bows.weighing.selectors import BowRating, WeightNow, rating_of, weight_now
from workshop.bows.weighing.sources import rating_source, weight_source
from workshop.calc.drawcurve import SAME_DRAW_M, energy_of_weight
from workshop.calc.imperial import INCH_M
from workshop.ledger.figures import Source
from workshop.ledger.models.shop import DrawFrom
from workshop.ledger.units import UnitsInUse

USUAL_GRIP_DEPTH_M = 1.25 * INCH_M  # common practice, no source


@dataclass(frozen=True)
class Drive:
    """What drives an arrow at the known draw. `read` where a series of weights tells it; else it is reckoned from the
    weight alone."""

    energy_j: float
    stroke_m: float
    read: bool


@dataclass(frozen=True)
class Known:
    """What the page reckons from: the weight and where it is from, what drives the arrow, the shots."""

    bow: Bow
    force_n: float | None
    draw_m: float | None
    # that draw, measured from the back of the bow; None where it cannot be told from there
    back_m: float | None
    by: str  # in words
    rating: BowRating
    weight: WeightNow | None
    drive: Drive | None
    shots: tuple[ShotEntry, ...]


def known_source(known: Known, units: UnitsInUse) -> Source:
    """Where the weight is from that all else on the page follows from."""
    if known.rating.ok:
        return rating_source(known.rating, units)
    if known.weight is not None:
        return weight_source(known.weight, units)
    return Source(
        _("The weight and draw wanted of it, as its plan has them: it was not weighed at that draw yet.")
    )


def known_of(bow: Bow, weighings: Weighings) -> Known:
    """The rating where there is one, else the last weight read at the draw wanted, else the weight wanted: a bow half
    drawn on the tree says little of its arrows. Failing all, the last weight read. No query but the shots'."""
    rating, weight = rating_of(bow, weighings), weight_now(bow, weighings)
    wanted = bow.wanted_n and bow.wanted_draw_m
    if rating.ok:
        force, draw, by, head = rating.force_n, rating.draw_m, _("its rating"), rating.weigh_in
    elif weight is not None and (weight.at_wanted or not wanted):
        force, draw, by, head = weight.force_n, weight.draw_m, _("as last weighed"), weight.weigh_in
    else:
        force, draw, by, head = bow.wanted_n, bow.wanted_draw_m, _("as wanted"), None
    by_wish, series = head is None, weighings.of(head) if head else None
    place = head.draw_from if head and not rating.ok else bow.draw_from
    drive = _drive(bow, force, draw, place, series) if force and draw else None
    shots = tuple(ShotEntry.objects.filter(bow=bow).standing())
    back = from_back_m(bow, draw, place, series.grip_depth_m if series else None)
    return Known(bow, force, draw, back, by, rating, None if by_wish else weight, drive, shots)


def _drive(bow: Bow, force_n: float, draw_m: float, place: str, series: Pass | None) -> Drive | None:
    """Stored energy and the string's way at that draw, measured from `place`: off the very series the weight is from,
    where its curve runs from the brace to that draw; else by the weight alone."""
    curve = series.curve(place) if series and len(series.points) > 1 else None
    if curve and curve.braced_draw_m is not None and draw_m < curve.draws_m[-1] + SAME_DRAW_M:
        to_m = min(draw_m, float(curve.draws_m[-1]))
        return Drive(float(curve.curve.area(to_m)), to_m - curve.braced_draw_m, read=True)
    brace_m = (series and series.weigh_in.brace_m) or bow.brace_m or USUAL_BRACE_M
    grip_m = (series.grip_depth_m if series else bow.grip_depth_m) or USUAL_GRIP_DEPTH_M
    to_belly = shift_of(bow, place, DrawFrom.BELLY, grip_m)
    stroke_m = draw_m + to_belly.metres - brace_m
    if not to_belly.ok or stroke_m <= 0:
        return None
    return Drive(energy_of_weight(force_n, brace_m + stroke_m + grip_m / 2), stroke_m, read=False)
