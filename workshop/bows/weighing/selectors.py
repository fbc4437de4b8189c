"""What was weighed, read in a constant number of queries: weigh-ins, their points, and the work done since."""

from collections import defaultdict
from collections.abc import Iterable, Sequence
from dataclasses import dataclass, replace

from django.db.models import Prefetch

from workshop.bows.models import Bow, ShotsFired, WeighIn, WeighPoint, WordNoted, WorkDone
from workshop.bows.models.weighing import Purpose, Strung
from workshop.bows.weighing.changes import Change, change_since
from workshop.bows.weighing.passes import Pass, Weighings, surely_follows, weighings
from workshop.calc.drawcurve import SAME_DRAW_M
from workshop.calc.errors import CalcError
from workshop.calc.rating import rated_weight


def weighings_of_bows(bows: Sequence[Bow]) -> dict[int, Weighings]:
    """Everything weighed of each bow, by its pk, and what may have changed it. Five queries for any number."""
    points = WeighPoint.objects.select_related("entered_by", "struck_by")
    heads = (
        WeighIn.objects.filter(bow__in=bows)
        .select_related("scale", "entered_by", "struck_by")
        .prefetch_related(Prefetch("points", points))
    )
    works = WorkDone.objects.filter(bow__in=bows).standing()
    shots = ShotsFired.objects.filter(bow__in=bows).standing()
    noted = WordNoted.objects.filter(weigh_in__bow__in=bows).standing().select_related("weigh_in")
    heads_of, works_of, shots_of = _by_bow(heads), _by_bow(works), _by_bow(shots)
    noted_of = defaultdict(list)
    for each in noted:
        noted_of[each.weigh_in.bow_id].append(each)
    return {
        bow.pk: weighings(
            bow, heads_of[bow.pk], works_of[bow.pk], shots=shots_of[bow.pk], noted=noted_of[bow.pk]
        )
        for bow in bows
    }


def _by_bow(entries: Iterable) -> dict[int, list]:
    found = defaultdict(list)
    for entry in entries:
        found[entry.bow_id].append(entry)
    return found


def weighings_of(bow: Bow) -> Weighings:
    """Everything weighed of one bow. Five queries."""
    return weighings_of_bows([bow])[bow.pk]


def series_of(bow: Bow) -> list[Pass]:
    """The passes that stand and hold a weight, by entry."""
    return [each for each in weighings_of(bow).passes if each.counts]


def last_weigh_in(bow: Bow) -> Pass | None:
    """The last weigh-in that holds a weight."""
    return weighings_of(bow).last


@dataclass(frozen=True)
class WeightNow:
    """The last draw weight read: at the furthest draw of the last weigh-in that was not on the long string.

    `at_wanted` when that draw is the ordered one; `work_since` when the limbs were worked on afterwards, so
    that it is the weight no longer.
    """

    force_n: float
    draw_m: float
    draw_from: str
    weigh_in: WeighIn
    at_wanted: bool
    work_since: bool


def weight_now(bow: Bow, known: Weighings | None = None) -> WeightNow | None:
    """What the bow weighs now, as far as it was drawn. `known` spares the queries."""
    known = known or weighings_of(bow)
    last = next((each for each in reversed(known.passes) if each.counts and not each.is_long), None)
    if last is None:
        return None
    head, point, wanted = last.weigh_in, last.furthest, last.wanted_draw_m
    return WeightNow(
        force_n=point.force_n,
        draw_m=point.draw_m,
        draw_from=head.draw_from,
        weigh_in=head,
        at_wanted=wanted is not None and abs(point.draw_m - wanted) < SAME_DRAW_M,
        work_since=bool(known.work_since(head)),
    )


@dataclass(frozen=True)
class BowRating:
    """The measured rating of a bow, or the reasons there is none.

    `why` holds codes: `no_rated_draw`, `no_final`, `not_full_brace`, `work_since`, `no_points`, `not_reached`,
    `only_beyond`, `no_grip_depth`, `no_axis_depth`, `falls`. The draw is measured from the bow's own place,
    `draw_from`.
    """

    ok: bool
    why: tuple[str, ...] = ()
    weigh_in: WeighIn | None = None
    draw_m: float | None = None
    draw_from: str = ""
    force_n: float | None = None
    doubt_n: float | None = None
    interpolated: bool = False
    between_m: tuple[float, float] | None = None
    change: Change | None = None  # a later weigh-in that found another weight beyond doubt, no work between


def rating_of(bow: Bow, known: Weighings | None = None) -> BowRating:
    """The weight that may stand on the tag: from the last final weigh-in, if that was at full brace and reached the
    rated draw, with no work on the limbs since. Read at the draw or between two draws read, never beyond. Where the
    last one rates nothing, none before it does in its stead."""
    if bow.wanted_draw_m is None:
        return BowRating(False, ("no_rated_draw",))
    known = known or weighings_of(bow)
    final = _last_final(known)
    return _rated(known, final) if final else BowRating(False, ("no_final",))


def _last_final(known: Weighings) -> Pass | None:
    """The last final weigh-in by its day, where days do not tell by entry. One begun but not weighed yet is none."""
    weighed = [each for each in known.passes if each.counts and each.weigh_in.purpose == Purpose.FINAL]
    last = (
        each
        for each in reversed(weighed)
        if not any(surely_follows(other.weigh_in, each.weigh_in) for other in weighed)
    )
    return next(last, None)


def _rated(known: Weighings, final: Pass) -> BowRating:
    bow, head = known.bow, final.weigh_in
    shift, curve, found = final.shift_to(bow.draw_from), final.curve(bow.draw_from), None
    why = []
    if head.strung != Strung.FULL:
        why.append("not_full_brace")
    if known.work_since(head):
        why.append("work_since")
    if not shift.ok:
        why.append(shift.why)
    elif curve is None:
        why.append("no_points")
    else:
        try:
            found = rated_weight(curve, bow.wanted_draw_m)
        except CalcError as error:
            why.append(error.code)
    rating = BowRating(not why, tuple(why), head, bow.wanted_draw_m, bow.draw_from)
    if why:
        return rating
    return replace(
        rating,
        force_n=found.force_n,
        doubt_n=found.doubt_n,
        interpolated=found.interpolated,
        between_m=found.between_m,
        change=change_since(known, final),
    )
