"""What is written at a weigh-in. Every point is an entry of its own; forecasts shown before a pull are kept."""

import uuid

from django.core.exceptions import ValidationError
from django.db import transaction
from django.utils.translation import gettext as _

from workshop.bows.models import Bow, Expectation, WeighIn, WeighPoint, WordNoted
from workshop.bows.plan.nextpull import solved_before_pull
from workshop.bows.weighing.forecasts import basis, limit_n, shown_before_pull
from workshop.bows.weighing.passes import Weighings, may_follow
from workshop.bows.weighing.selectors import weighings_of
from workshop.calc.drawcurve import SAME_DRAW_M
from workshop.ledger.models import Shop
from workshop.ledger.services import entry_add, entry_stamp

WEIGHT = "weight"


@transaction.atomic
def weigh_in_add(*, bow: Bow, by, system: str, draw_m=None, force_n=None, as_typed=None, **head) -> WeighIn:
    """Begin a weigh-in; with a draw and a weight it holds its one figure at once."""
    typed = dict(as_typed or {})
    point_typed = {name: typed.pop(name) for name in ("draw_m", "force_n") if name in typed}
    weigh_in = entry_add(WeighIn(bow=bow, as_typed=typed, **head), by=by)
    if force_n is None:
        expectations_add(known=weighings_of(bow), weigh_in=weigh_in, by=by, system=system)
        return weigh_in
    key = uuid.uuid5(weigh_in.entry_key, "the one figure")
    weigh_point_add(
        weigh_in=weigh_in,
        by=by,
        system=system,
        draw_m=draw_m,
        force_n=force_n,
        entry_key=key,
        as_typed=point_typed,
    )
    return weigh_in


@transaction.atomic
def weigh_point_add(
    *, weigh_in: WeighIn, by, system: str, draw_m: float, force_n: float, entry_key, as_typed=None
) -> WeighPoint:
    """Keep one draw and its weight. What was expected of this draw meets its outcome; sent twice it is one."""
    kept = WeighPoint.objects.filter(entry_key=entry_key).first()
    if kept is not None:
        return kept
    if weigh_in.is_struck:
        raise ValidationError(_("This weigh-in is struck out. Begin another."), code="struck")
    known = weighings_of(weigh_in.bow)
    expectations_add(known=known, weigh_in=weigh_in, by=by, system=system)
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
    expectations_join(known=known, point=point, by=by)
    expectations_add(known=weighings_of(weigh_in.bow), weigh_in=weigh_in, by=by, system=system)
    return point


@transaction.atomic
def expectations_add(*, known: Weighings, weigh_in: WeighIn, by, system: str) -> list[Expectation]:
    """Keep what is shown before the next pull of this weigh-in, unless just that is kept already."""
    one = known.of(weigh_in)
    start = basis(known, one)
    if start is None:
        return []
    inputs = {"draw_from": weigh_in.draw_from, "strung": weigh_in.strung, "after": start.furthest.pk}
    kept = {
        (each.method, round(each.at_draw_m, 4))
        for each in Expectation.objects.filter(bow=weigh_in.bow, what=WEIGHT, inputs__after=inputs["after"])
        if inputs.items() <= each.inputs.items()
    }
    shop, added = Shop.objects.get(), []
    shown = [(way, {}) for way in shown_before_pull(known, one, system, limit_n(weigh_in.bow, shop))]
    for way, more in [*shown, *solved_before_pull(known, one, shop, system, kept)]:
        if (way.method, round(way.draw_m, 4)) in kept:
            continue
        expectation = Expectation(
            bow=weigh_in.bow,
            what=WEIGHT,
            method=way.method,
            at_draw_m=way.draw_m,
            inputs=inputs | more,
            value=way.force_n,
            low=way.low_n,
            high=way.high_n,
            happened_on=weigh_in.happened_on,
            happened_to=weigh_in.happened_to,
        )
        added.append(entry_add(expectation, by=by))
    return added


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
    """Pass a word over, with a note if there is something to say."""
    if point is not None and point.weigh_in_id != weigh_in.pk:
        raise ValidationError(_("This point belongs to another weigh-in."), code="another")
    return entry_add(WordNoted(weigh_in=weigh_in, point=point, code=code, **values), by=by)
