"""Every weigh-in of a bow, the last few drawn together and side by side."""

from collections.abc import Sequence
from dataclasses import dataclass

from workshop.bows.weighing import picture
from workshop.bows.weighing.passes import Pass, Weighings
from workshop.calc.drawcurve import SAME_DRAW_M
from workshop.ledger.drawings import Drawing
from workshop.ledger.units import UnitsInUse

MOST_COMPARED = 5  # passes drawn together and side by side; the list below holds them all


@dataclass(frozen=True)
class ComparedPage:
    """Every weigh-in, newest first; the last few side by side at each draw, measured from the bow's own place."""

    passes: Sequence[Pass]
    beside: Sequence[tuple[str, Pass]]  # each with its name
    rows: Sequence[tuple[float, list[float | None]]]
    drawing: Drawing | None


def compared_page(known: Weighings, units: UnitsInUse) -> ComparedPage:
    place = known.bow.draw_from
    fit = [each for each in known.passes if each.counts and not each.is_long and each.shift_to(place).ok]
    beside = fit[-MOST_COMPARED:]
    names = picture.pass_names(known)
    drawing = picture.draw_curve(beside[-1], units, names=names, earlier=beside[:-1]) if beside else None
    return ComparedPage(
        passes=tuple(reversed(known.passes)),
        beside=[(names[each.weigh_in.pk], each) for each in beside],
        rows=_side_by_side(beside, place),
        drawing=drawing,
    )


def _side_by_side(passes: Sequence[Pass], place: str) -> list[tuple[float, list[float | None]]]:
    """At each draw that was weighed, what each pass read there."""
    read, draws = [], {}
    for one in passes:
        shift = one.shift_to(place).metres
        places = {round((each.draw_m + shift) / SAME_DRAW_M / 2): each for each in one.points}
        draws |= {place: each.draw_m + shift for place, each in places.items()}
        read.append({place: each.force_n for place, each in places.items()})
    return [(draws[place], [each.get(place) for each in read]) for place in sorted(draws)]
