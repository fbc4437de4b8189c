"""What is written at a weigh-in. Every point is an entry of its own; forecasts shown before a pull are kept."""

import uuid
from collections.abc import Sequence

from django.core.exceptions import ValidationError
from django.db import transaction
from django.utils.translation import gettext as _

from workshop.bows.models import Bow, Expectation, WeighIn, WeighPoint, WordNoted
from workshop.bows.models.weighing import Strung
from workshop.bows.plan.facts import timbers_known
from workshop.bows.plan.nextpull import NextPull, pull_after, to_keep
from workshop.bows.plan.record import Record, shop_record
from workshop.bows.selectors.forecasts import Past, forecasts_past
from workshop.bows.services.days import check_day
from workshop.bows.weighing.forecasts import after_draw_m, basis, limit_n, thumb_before_pull
from workshop.bows.weighing.passes import Pass, Weighings, may_follow
from workshop.bows.weighing.selectors import weighings_of
from workshop.bows.weighing.words import HALTING
from workshop.calc.drawcurve import SAME_DRAW_M
from workshop.calc.projection import COMBINED, Projection
from workshop.ledger.models import Shop
from workshop.ledger.services import entries_add, entry_add, entry_stamp

WEIGHT = "weight"


def weigh_in_add(*, bow: Bow, by, system: str, draw_m=None, force_n=None, as_typed=None, **head) -> WeighIn:
    """Begin a weigh-in; with a draw and a weight it holds its one figure at once."""
    check_day(bow, head["happened_on"], head.get("happened_to", "d"))
    typed = dict(as_typed or {})
    point_typed = {name: typed.pop(name) for name in ("draw_m", "force_n") if name in typed}
    with transaction.atomic():
        weigh_in = entry_add(_head(bow, as_typed=typed, **head), by=by)
        if force_n is not None:
            key = uuid.uuid5(weigh_in.entry_key, "the one figure")
            _point_keep(
                weigh_in=weigh_in, by=by, draw_m=draw_m, force_n=force_n, entry_key=key, as_typed=point_typed
            )
    forecasts_keep(weigh_in=weigh_in, by=by, system=system)
    return weigh_in


def _head(bow: Bow, **head) -> WeighIn:
    """A weigh-in to be kept, with what draw is wanted of the bow on that day."""
    weigh_in = WeighIn(bow=bow, **head)
    weigh_in.wanted_draw_m = Pass(bow, weigh_in, ()).wanted_draw_m
    return weigh_in


def weigh_point_add(*, weigh_in: WeighIn, by, system: str, **point) -> WeighPoint:
    """Keep one draw and its weight, and what is foretold of the next pull."""
    return weigh_point_foretell(weigh_in=weigh_in, by=by, system=system, **point)[0]


def weigh_point_foretell(*, weigh_in: WeighIn, by, system: str, **point) -> tuple[WeighPoint, NextPull]:
    """Keep one draw and its weight, and foretell the next pull; both come back, so that none is solved again.

    What the page foretold before this draw is kept first, if it was not yet.
    """
    known = weighings_of(weigh_in.bow)
    start = basis(known, known.of(weigh_in))
    if start is not None and not _kept(weigh_in, start):
        forecasts_keep(weigh_in=weigh_in, by=by, system=system)
    kept = _point_keep(weigh_in=weigh_in, by=by, **point)
    return kept, forecasts_keep(weigh_in=weigh_in, by=by, system=system)


@transaction.atomic
def weigh_in_write(*, bow: Bow, by, system: str, points: Sequence[dict], **head) -> WeighIn:
    """A whole weigh-in at once, its points in the order they were pulled.

    Each is foretold from those before it; of the pull after the last nothing is, for no page shows it yet.
    """
    check_day(bow, head["happened_on"], head.get("happened_to", "d"))
    weigh_in = entry_add(_head(bow, **head), by=by)
    known, record = weighings_of(bow), shop_record(timbers_known()) if len(points) > 1 else None
    for point in points:
        if basis(known, known.of(weigh_in)) is not None:
            forecasts_keep(weigh_in=weigh_in, by=by, system=system, known=known, record=record)
        known = known.with_point(_point_keep(weigh_in=weigh_in, by=by, known=known, **point))
    return weigh_in


@transaction.atomic
def _point_keep(
    *,
    weigh_in: WeighIn,
    by,
    draw_m: float,
    force_n: float,
    entry_key,
    as_typed=None,
    known: Weighings | None = None,
) -> WeighPoint:
    """Keep one draw and its weight. What was expected of this draw meets its outcome; sent twice it is one.

    `known` spares the queries where nobody else can have written since.
    """
    kept = WeighPoint.objects.filter(entry_key=entry_key).first()
    if kept is not None:
        return kept
    if weigh_in.is_struck:
        raise ValidationError(_("This weigh-in is struck out. Begin another."), code="struck")
    point = entry_add(
        WeighPoint(
            weigh_in=weigh_in,
            draw_m=draw_m,
            force_n=force_n,
            entry_key=entry_key,
            as_typed=as_typed or {},
            happened_on=weigh_in.happened_on,
            happened_to=weigh_in.happened_to,
        ),
        by=by,
    )
    known = known.with_point(point) if known else weighings_of(weigh_in.bow)
    expectations_join(known=known, point=point, by=by)
    return point


def forecasts_keep(
    *,
    weigh_in: WeighIn,
    by,
    system: str,
    known: Weighings | None = None,
    record: Record | None = None,
) -> NextPull:
    """Foretell the next pull of a weigh-in and keep what is foretold, unless just that is kept already.

    It is solved before the ledger is held for writing. `known` and `record` spare their queries.
    """
    known, shop = known or weighings_of(weigh_in.bow), Shop.objects.get()
    one = known.of(weigh_in)
    past = Past() if basis(known, one) is None else forecasts_past()
    seen = pull_after(known, one, shop=shop, system=system, past=past, record=record)
    made = thumb_before_pull(known, one, system, limit_n(known.bow, shop), past.of(COMBINED))
    _expectations_add(known, weigh_in, [*made, *to_keep(seen)], by=by)
    return seen


@transaction.atomic
def _expectations_add(
    known: Weighings, weigh_in: WeighIn, made: Sequence[tuple[Projection, dict]], *, by
) -> list[Expectation]:
    """Keep these forecasts, each with its draw, but those kept already."""
    start = basis(known, known.of(weigh_in))
    if start is None:
        return []
    inputs = {
        "draw_from": weigh_in.draw_from,
        "strung": weigh_in.strung,
        "after": start.furthest.pk,
        "after_draw_m": after_draw_m(start, weigh_in.draw_from),
    }
    kept = {(each.method, round(each.at_draw_m, 4)) for each in _kept(weigh_in, start)}
    return entries_add(
        [
            Expectation(
                bow=weigh_in.bow, what=WEIGHT, method=way.method, at_draw_m=way.draw_m, inputs=inputs | more,
                value=way.force_n, low=way.low_n, high=way.high_n, happened_on=weigh_in.happened_on,
                happened_to=weigh_in.happened_to,
            )
            for way, more in made
            if (way.method, round(way.draw_m, 4)) not in kept
        ],
        by=by,
    )  # fmt: skip


def _kept(weigh_in: WeighIn, start: Pass) -> list[Expectation]:
    """What was foretold from the same furthest draw, measured and strung alike."""
    same = {"draw_from": weigh_in.draw_from, "strung": weigh_in.strung}
    found = Expectation.objects.filter(bow=weigh_in.bow, what=WEIGHT, inputs__after=start.furthest.pk)
    return [each for each in found if same.items() <= each.inputs.items()]


@transaction.atomic
def expectations_join(*, known: Weighings, point: WeighPoint, by) -> list[Expectation]:
    """Join what was expected of this draw, with no work done since, to what was measured.

    One whose outcome was a slip, struck since by itself or with its whole weigh-in, is written again, so that the
    slip stays with the first. What was expected from a struck point meets nothing.
    """
    at = point.draw_m - SAME_DRAW_M, point.draw_m + SAME_DRAW_M
    expected = Expectation.objects.standing().filter(bow=point.weigh_in.bow, what=WEIGHT, at_draw_m__range=at)
    of_this = [
        each for each in expected.select_related("outcome_point__weigh_in") if _is_of(each, point, known)
    ]
    met = [each for each in of_this if each.outcome_at is None]
    done = {_whence(each) for each in of_this if not _was_a_slip(each)}
    slipped = {_whence(each): each for each in of_this if _whence(each) not in done}
    met += [_written_again(each, by) for each in slipped.values()]
    for each in met:
        entry_stamp(
            each, "outcome_at", outcome_at=point.entered_at, outcome=point.force_n, outcome_point_id=point.pk
        )
    return met


def _whence(expectation: Expectation) -> tuple:
    return expectation.method, expectation.inputs["after"]


def _was_a_slip(expectation: Expectation) -> bool:
    point = expectation.outcome_point
    return point is not None and (point.is_struck or point.weigh_in.is_struck)


def _is_of(expectation: Expectation, point: WeighPoint, known: Weighings) -> bool:
    """Whether it is of this draw, from a point that still counts, of the bow as it still is."""
    same = {"draw_from": point.weigh_in.draw_from, "strung": point.weigh_in.strung}
    return (
        abs(expectation.at_draw_m - point.draw_m) < SAME_DRAW_M
        and all(expectation.inputs.get(name) == value for name, value in same.items())
        and expectation.inputs["after"] in known.standing_points
        and not any(work.spoils_ratings and may_follow(work, expectation) for work in known.works)
    )


def _written_again(expectation: Expectation, by) -> Expectation:
    names = (
        "bow",
        "what",
        "method",
        "at_draw_m",
        "inputs",
        "value",
        "low",
        "high",
        "happened_on",
        "happened_to",
    )
    return entry_add(Expectation(**{name: getattr(expectation, name) for name in names}), by=by)


def word_note(*, weigh_in: WeighIn, by, code: str, point: WeighPoint | None = None, **values) -> WordNoted:
    """Pass a word over, with a note if there is something to say; one that stops the bow never without."""
    if code in HALTING and weigh_in.strung != Strung.LONG and not values.get("note", "").strip():
        raise ValidationError(
            {"note": _("Say where you looked, and what you found: the stop is lifted by it.")}, code="unsaid"
        )
    if point is not None and point.weigh_in_id != weigh_in.pk:
        raise ValidationError(_("This point belongs to another weigh-in."), code="another")
    return entry_add(WordNoted(weigh_in=weigh_in, point=point, code=code, **values), by=by)
