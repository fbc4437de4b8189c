"""What a bow is at a glance, for one bow or for a whole list: a constant number of queries for any number."""

import datetime as dt
from collections.abc import Iterable, Sequence
from dataclasses import dataclass

from django.db.models import Prefetch, prefetch_related_objects
from django.utils.translation import gettext as _

from workshop.bows.checklists import open_of
from workshop.bows.models import Bow, BowFlaw, FlawLook, Piece, SetReading, WeighPoint
from workshop.bows.models.bow import SOLID, Part
from workshop.bows.models.readings import WEAKENS
from workshop.bows.nextstep import Rest, Step, StepFacts, halts, next_step
from workshop.bows.sets import Drawn, SetNow, SetPoint, set_now, set_points, zero_is_due
from workshop.bows.weighing.changes import fall_unanswered, loss_unanswered, shooting_takes_n
from workshop.bows.weighing.forecasts import limit_n, next_pull_m, no_end
from workshop.bows.weighing.passes import Weighings, may_follow
from workshop.bows.weighing.selectors import BowRating, WeightNow, rating_of, weighings_of_bows, weight_now
from workshop.calc.drawcurve import SAME_DRAW_M
from workshop.staves.models.staves import StaveState

# rows that hang on a bow and are read by name, since rooms further on may not be imported here
FOR_WHOM = ("started_for__line__order__payer", "started_for__line__archer")


def signed(model):
    """Entries with who made and who struck them."""
    return model.objects.select_related("entered_by", "struck_by")


def standing(entries: Iterable) -> list:
    return [entry for entry in entries if entry.struck_at is None]


# what bends; nocks, overlays and grip wraps are no part of a bow's timber
_WOOD = (*SOLID, Part.LAYER, Part.BACKING)


def timbers_of(bow: Bow) -> str:
    """What the limbs are made of, from the prefetched pieces; the maker's words where none is known."""
    wood = [piece for piece in standing(bow.pieces.all()) if piece.part in _WOOD]
    named = [piece.stave.felling.timber.name if piece.stave else piece.material for piece in wood]
    return ", ".join(dict.fromkeys(named)) or bow.timber_words


def glanced() -> tuple:
    return (
        Prefetch("pieces", signed(Piece).select_related("stave__felling__timber")),
        Prefetch("setreadings", signed(SetReading)),
        Prefetch("bowflaws", signed(BowFlaw)),
        Prefetch("bowflaws__looks", signed(FlawLook)),
        "ticks",
        "upper_decisions",
        "visits",
        *FOR_WHOM,
    )


@dataclass(frozen=True)
class Glance:
    """A bow with what was reckoned from its standing entries."""

    bow: Bow
    weighings: Weighings
    weight: WeightNow | None
    rating: BowRating
    sets: Sequence[SetPoint]
    set_now: SetNow | None
    zero_due: bool
    limit_n: float | None
    rests: Sequence[Rest]
    watched: Sequence[BowFlaw]
    shots: int
    upper: str  # A, B or nothing
    lines: Sequence  # of orders, that it was started for
    pieces: Sequence[Piece]
    open_checks: Sequence[str]
    step: Step
    halts: Sequence[Step]  # what stands before any further pull

    @property
    def timbers(self) -> str:
        return timbers_of(self.bow)

    @property
    def order_numbers(self) -> str:
        return ", ".join(line.order.number for line in self.lines)


def glances(bows: Sequence[Bow], *, shop, today: dt.date, system: str = "imperial") -> dict[int, Glance]:
    """Each bow at a glance, by its pk."""
    prefetch_related_objects(list(bows), *glanced())
    weighed = weighings_of_bows(bows)
    return {bow.pk: glance(bow, weighed[bow.pk], shop=shop, today=today, system=system) for bow in bows}


def glance(bow: Bow, weighings: Weighings, *, shop, today: dt.date, system: str) -> Glance:
    """Reckoned from what was prefetched (`glanced`), without a query."""
    readings, works = standing(bow.setreadings.all()), weighings.works
    points = set_points(readings, works, drawn_of(weighings))
    pieces = standing(bow.pieces.all())
    uppers = standing(bow.upper_decisions.all())
    weight, rating = weight_now(bow, weighings), rating_of(bow, weighings)
    limit = limit_n(bow, shop)
    known = {
        "bow": bow,
        "weighings": weighings,
        "weight": weight,
        "rating": rating,
        "sets": points,
        "set_now": set_now(points),
        "zero_due": zero_is_due(readings, works),
        "limit_n": limit,
        "rests": rests_of(weighings, pieces, today),
        "watched": watched_of(bow),
        "shots": sum(each.shots for each in weighings.shots),
        "upper": uppers[-1].limb if uppers else "",
        "lines": [each.line for each in standing(bow.started_for.all())],
        "pieces": pieces,
        "open_checks": open_of(bow.stage, standing(bow.ticks.all())),
    }
    facts = _facts(known, shop=shop, system=system)
    return Glance(**known, step=next_step(facts), halts=list(halts(facts)))


def drawn_of(weighings: Weighings) -> list[Drawn]:
    """How far the bow was drawn, measured as its draws are, and when; on the long string the draw is another one, and
    one that cannot be carried to where its draws are measured is left out."""
    return [
        Drawn(
            each.weigh_in.happened_on,
            point.entered_at,
            point.draw_m + shift.metres,
        )
        for each in weighings.passes
        if not each.weigh_in.is_struck and not each.is_long
        if (shift := each.shift_to(weighings.bow.draw_from)).ok
        for point in each.points
    ]


def _facts(known: dict, *, shop, system: str) -> StepFacts:
    bow, weighings, weight = known["bow"], known["weighings"], known["weight"]
    last = weighings.last
    if last is not None and weight is not None and last.is_long:
        last = weighings.of(weight.weigh_in)  # braced once, it is judged by that
    return StepFacts(
        stage=bow.stage,
        ordered=bool(known["lines"]),
        wood_known=bool(known["pieces"] or bow.timber_words),
        wood_at_bench=any(piece.stave and piece.stave.state == StaveState.BENCH for piece in known["pieces"]),
        planned=None not in (bow.length_m, bow.wanted_n, bow.wanted_draw_m),
        rests=known["rests"],
        **warned_of(weighings, known["watched"], shop),
        upper_known=bool(known["upper"]),
        zero_due=known["zero_due"],
        set_read=bool(known["sets"]) and not known["zero_due"],
        strung=last.weigh_in.strung if last else "",
        force_n=last.furthest.force_n if last else None,
        draw_m=last.furthest.draw_m if last else None,
        wanted_n=bow.wanted_n,
        wanted_draw_m=last.wanted_draw_m if last else bow.wanted_draw_m,
        tolerance_n=bow.tolerance_n,
        limit_n=known["limit_n"],
        next_draw_m=next_pull_m(weighings, last, known["limit_n"], system)
        if last and not last.is_long
        else None,
        draw_unknown=bool(last and no_end(last)),
        work_since=bool(last and weighings.work_since(last.weigh_in)),
        shots=known["shots"],
        shots_wanted=shop.shots_wanted,
        rated=known["rating"].ok,
    )


def rests_of(weighings: Weighings, pieces: Iterable[Piece], today: dt.date) -> tuple[Rest, ...]:
    """What the bow rests from: work on it, or glue that cures."""
    works = (Rest(str(work.get_deed_display()), work.rest_until) for work in weighings.resting_on(today))
    glued = (Rest(_("glue"), each.cured_on) for each in pieces if each.cured_on and each.cured_on > today)
    return (*works, *glued)


def watched_of(bow: Bow) -> list[BowFlaw]:
    return [flaw for flaw in standing(bow.bowflaws.all()) if flaw.watched and flaw.settled_at is None]


def halts_of(bow: Bow, weighings: Weighings, *, shop, today: dt.date) -> list[Step]:
    """What stands before any further pull of one bow. Five queries; none for what was prefetched already."""
    flaws, looks = signed(BowFlaw), signed(FlawLook)
    prefetch_related_objects(
        [bow],
        Prefetch("bowflaws", flaws),
        Prefetch("bowflaws__looks", looks),
        "pieces",
        "setreadings",
        "visits",
    )
    rests = rests_of(weighings, standing(bow.pieces.all()), today)
    return list(halts(StepFacts(stage=bow.stage, rests=rests, **warned_of(weighings, watched_of(bow), shop))))


def warned_of(weighings: Weighings, watched: Sequence[BowFlaw], shop) -> dict:
    """What speaks against a further pull, as `StepFacts` holds it; what was passed over no longer does."""
    bow = weighings.bow
    loss = loss_unanswered(weighings, shooting_takes_n(bow, shop))
    fall, over = fall_unanswered(weighings), _overdrawn(weighings)
    seen_in = {
        "dying": loss and loss.after.weigh_in.pk,
        "falls": fall and fall[1].weigh_in_id,
        "overdrawn": over and over.weigh_in_id,
    }
    here = [visit for visit in standing(bow.visits.all()) if visit.ended_at is None]
    return {
        "lost": (loss.lighter.loss_n, loss.lighter.draw_m) if loss else None,
        "falls": tuple((each.force_n, each.draw_m) for each in fall) if fall else None,
        "overdrawn_m": over.draw_m if over else None,
        "seen_in": seen_in,
        "grown": next((str(flaw) for flaw in watched if has_grown(flaw)), ""),
        "found": next((str(flaw) for flaw in watched if _is_new(flaw)), ""),
        "visiting": bool(here),
        "looked_over": bool(here) and all(visit.finding.strip() for visit in here),
    }


def _overdrawn(weighings: Weighings) -> WeighPoint | None:
    """Where it was drawn past its ordered draw, until its set was read since or the word was passed over."""
    read = standing(weighings.bow.setreadings.all())
    for one in reversed(weighings.passes):
        if one.weigh_in.is_struck or one.is_long or one.wanted_then_m is None or not one.points:
            continue
        beyond = one.furthest.draw_m - one.wanted_then_m > SAME_DRAW_M
        seen = weighings.is_passed_over("past_draw", one, one.furthest)
        if beyond and not seen and not any(may_follow(each, one.weigh_in) for each in read):
            return one.furthest
    return None


def halts_pull(flaw: BowFlaw) -> bool:
    """Whether the bow is not to be drawn before somebody says in words what is to be made of this flaw."""
    return has_grown(flaw) or _is_new(flaw)


def _is_new(flaw: BowFlaw) -> bool:
    """Of a kind that weakens a limb, and nobody has said in words since what a look at it found."""
    return flaw.kind in WEAKENS and not any(look.note.strip() for look in standing(flaw.looks.all()))


def has_grown(flaw: BowFlaw) -> bool:
    """Whether a look found it grown, and none since says in words what was decided. Settling it ends it too."""
    looks = standing(flaw.looks.all())
    grown = [n for n, look in enumerate(looks) if look.seen == "grown"]
    return bool(grown) and not any(look.note.strip() for look in looks[grown[-1] + 1 :])
