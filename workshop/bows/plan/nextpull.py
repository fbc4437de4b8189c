"""What the next inch and the full draw of a bow will bring, before it is drawn there: the solved ways, tempered by
the set still to come and by how far out this workshop's own forecasts were."""

from collections.abc import Sequence
from dataclasses import dataclass, field

from workshop.bows.models import Bow
from workshop.bows.plan.facts import Facts, plan_facts
from workshop.bows.plan.limbs import Limbs, measured_limbs, usual_limbs
from workshop.bows.plan.record import Record, shop_record
from workshop.bows.plan.solving import Strained
from workshop.bows.plan.taken import Taken, taken_by
from workshop.bows.selectors.forecasts import Past, forecasts_past
from workshop.bows.weighing.forecasts import basis, full_draw_m, limit_n, next_pull_m, no_end, pull_to_m
from workshop.bows.weighing.passes import Pass, Weighings, may_follow
from workshop.bows.weighing.selectors import weighings_of
from workshop.calc.drawcurve import SAME_DRAW_M
from workshop.calc.errors import CalcError, NoSolution, require
from workshop.calc.foresee import Foreseen, foresee
from workshop.calc.learning import learn
from workshop.calc.projection import SOLVED as SOLVED_WAYS
from workshop.calc.projection import Projection, combine, no_surer_than
from workshop.calc.setloss import SetRule, permanent_strain, set_still_to_come, temper
from workshop.ledger.models import Shop

SOLVED = "solved"  # the solved ways together, less the set to come, as this workshop's record moves it


@dataclass(frozen=True)
class Pull:
    """One draw the bow has not been at: what is expected there, and how far the wood is strained.

    `ways` stand side by side, rules of thumb among them; `elastic` is the solved ones together; `tempered` less the
    set still to come; `expected` moved by what the workshop's own forecasts have taught. `strained` is None where
    the limbs were not measured.
    """

    draw_m: float
    elastic: Projection
    tempered: Projection
    expected: Projection
    strained: Strained | None
    ways: tuple[Projection, ...]


@dataclass(frozen=True)
class NextPull:
    """The next inch and the full draw, from one weigh-in; or `why` nothing can be said, and what the arithmetic
    `refused` where it did."""

    why: str = ""
    start: Pass | None = None
    next: Pull | None = None
    full: Pull | None = None
    facts: Facts | None = None
    strained_now: Strained | None = None
    stiffness: float | None = None  # what the wood's stiffness has to be multiplied by to meet the points
    past: Past = field(default_factory=Past)
    set_bows: int = 0
    refused: CalcError | None = None
    worked_since: bool = False  # wood may have come off since the limbs were measured

    @property
    def outcomes(self) -> int:
        """How many of the workshop's own forecasts move this one."""
        return len(self.past.of(SOLVED))

    @property
    def pulls(self) -> list[Pull]:
        return [pull for pull in (self.next, self.full) if pull is not None]


def next_pull(bow: Bow, *, shop=None, system: str = "imperial", known: Weighings | None = None) -> NextPull:
    """What to say of the bow's next pull. A constant number of queries; `known` spares three of them."""
    shop, known = shop or Shop.objects.get(), known or weighings_of(bow)
    last = known.last
    if last is None:
        return NextPull("no_weigh_in")
    if last.is_long:
        return NextPull("long_string")
    if basis(known, last) is None:
        return NextPull("work_since")
    if why := no_end(last):
        return NextPull(why, last)
    draws = [next_pull_m(known, last, limit_n(bow, shop), system), full_draw_m(last)]
    return _foreseen(bow, shop, known, last, draws)


def pull_after(
    known: Weighings,
    one: Pass,
    *,
    shop,
    system: str,
    past: Past | None = None,
    record: Record | None = None,
) -> NextPull:
    """What to say before the next pull of this weigh-in, and of its full draw. A constant number of queries, fewer
    where the shop's `past` forecasts and its `record` of finished bows were read already."""
    start = basis(known, one)
    if start is None:
        return NextPull(
            "long_string" if one.is_long else "no_weigh_in" if known.last is None else "work_since"
        )
    if start.weigh_in.draw_from != one.weigh_in.draw_from:
        return NextPull("measured_elsewhere", start)
    if why := no_end(start):
        return NextPull(why, start)
    draws = [pull_to_m(known, one, limit_n(known.bow, shop), system), full_draw_m(one)]
    draws = [each for each in draws if each is not None]
    return _foreseen(known.bow, shop, known, start, draws, past, record)


def to_keep(seen: NextPull) -> list[tuple[Projection, dict]]:
    """The forecasts of a pull, each with what it was made from: to be kept as expectations."""
    made = []
    for pull in seen.pulls:
        inputs = {
            "elastic_n": pull.elastic.force_n,
            "raw_n": pull.tempered.force_n,
            **_place(pull.strained),
        }
        expected = pull.expected
        named = Projection(SOLVED, pull.draw_m, expected.force_n, expected.low_n, expected.high_n)
        made += [(named, inputs), *((way, {}) for way in pull.ways if way.method in SOLVED_WAYS)]
    return made


def _place(strained: Strained | None) -> dict:
    if strained is None:
        return {}
    return {
        "strain_pct": strained.pct,
        "limb": strained.limb,
        "from_grip_m": strained.from_grip_m,
        "surface": strained.surface,
    }


def _foreseen(
    bow: Bow,
    shop,
    known: Weighings,
    start: Pass,
    draws: Sequence[float],
    past: Past | None = None,
    record: Record | None = None,
) -> NextPull:
    reached = start.furthest.draw_m
    ahead = sorted({round(each, 6) for each in draws if each > reached + SAME_DRAW_M})
    curve = start.curve()
    reasons = (
        ("no_length", not bow.length_m),
        ("no_brace", start.braced_draw_m is None or start.short_of_brace is not None),
        ("reached", not ahead),
        ("falls", curve is None or curve.falls),
    )
    why = next((code for code, holds in reasons if holds), "")
    if why:
        return NextPull(why, start)
    try:
        facts = plan_facts(bow, shop=shop, weighed_pct=start.weigh_in.moisture_pct)
        solvable = facts.is_measured and facts.woods["A"] and "stiffness" not in facts.missing
        taken = taken_by(bow, known)
        solved_at = [reached, *ahead, _taken_at_m(taken, start)]
        limbs = (measured_limbs if solvable else usual_limbs)(facts, start, solved_at)
        seen = foresee(curve, ahead, limbs.known(facts))
        past = past or forecasts_past()
        record = record or shop_record(facts.timbers)
        rule = record.rule(facts.timber.name if facts.timber else "")
        pulls = [
            _pull(each, limbs, n, rule, taken, past, facts.moisture.pct, start.doubt_n)
            for n, each in enumerate(seen, 1)
        ]
    except CalcError as error:
        return NextPull(error.code, start, refused=error)
    ends_full = abs(ahead[-1] - full_draw_m(start)) < SAME_DRAW_M
    return NextPull(
        start=start,
        next=pulls[0] if len(pulls) > 1 or not ends_full else None,
        full=pulls[-1] if ends_full else None,
        facts=facts,
        strained_now=limbs.strained[0],
        stiffness=seen[0].stiffness,
        past=past,
        set_bows=rule.bows,
        worked_since=_worked_since(facts, known),
    )


def _taken_at_m(taken: Taken | None, start: Pass) -> float:
    """How far the bow had been drawn when its set was read, as this weigh-in measures; the draw it has been at now
    where that is not known."""
    if taken is None or taken.one is None:
        return start.furthest.draw_m
    shift = taken.one.shift_to(start.weigh_in.draw_from)
    return taken.draw_m + shift.metres if shift.ok else start.furthest.draw_m


def _worked_since(facts: Facts, known: Weighings) -> bool:
    """Whether wood may have come off since the limbs were measured."""
    last = max(
        (each for limb in facts.measured.values() for each in limb), key=lambda each: each.pk, default=None
    )
    return last is not None and any(work.spoils_ratings and may_follow(work, last) for work in known.works)


def _pull(
    seen: Foreseen,
    limbs: Limbs,
    number: int,
    rule: SetRule,
    taken: Taken | None,
    past: Past,
    pct: float,
    doubt_n: float,
) -> Pull:
    """One draw: what the solved ways make together, less the set to come, moved by the shop's own outcomes; no surer
    than the scale it will be read on."""
    solved = [way for way in seen.ways if way.method in SOLVED_WAYS]
    if not solved:
        raise dict(seen.refused)["solved_shape"]
    fits, off = any(way.ok for way in solved), seen.farthest
    given = {"off_draw_m": off.draw_m, "off_n": off.force_n, "curve_n": off.curve_n} if off else {}
    require(
        fits,
        NoSolution,
        "shape_does_not_fit",
        allowed="points on a bow's curve",
        draw_m=seen.draw_m,
        **given,
    )
    elastic = combine(solved)
    own = taken.set_m if taken else None
    to_come = set_still_to_come(
        rule,
        strain_now=limbs.strains[0],
        strain_then=max(limbs.strains[0], limbs.strains[number]),
        taken=None if own is None else permanent_strain(own, limbs.bends_m, limbs.depth_m),
        taken_at=limbs.strains[-1],
        moisture_pct=pct,
    )
    tempered = temper(elastic, to_come, limb_m=limbs.bends_m, depth_m=limbs.depth_m)
    expected = no_surer_than(learn(tempered, limbs.reached_m, past.of(SOLVED)), doubt_n)
    return Pull(seen.draw_m, elastic, tempered, expected, limbs.strained[number], seen.ways)
