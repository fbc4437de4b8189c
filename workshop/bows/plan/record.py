"""What this shop's finished bows bore, and the set they took for it.

The best guide there is to strain, once there are a few. Everything is read in a constant number of queries.
"""

from collections.abc import Sequence
from dataclasses import dataclass, replace

from django.db.models import Exists, OuterRef

from workshop.bows.models import Bow, Dimension
from workshop.bows.models.bow import Stage
from workshop.bows.plan.design import Plan
from workshop.bows.plan.facts import Facts, facts_of, load
from workshop.bows.plan.solving import full_strains
from workshop.bows.plan.taken import Taken, taken_by
from workshop.bows.plan.wood import Moisture
from workshop.bows.weighing.passes import Pass, Weighings
from workshop.bows.weighing.selectors import weighings_of_bows
from workshop.calc.errors import CalcError
from workshop.calc.setloss import BENCH_MOISTURE_PCT, BowSet, SetRule, learn_set, permanent_strain
from workshop.staves.models import Timber

FINISHED = (Stage.READY, Stage.DELIVERED, Stage.STOCK)
MOST_BOWS = 24  # the last ones finished; older ones were made by other hands, or by a younger maker


@dataclass(frozen=True)
class Borne:
    """One finished bow: the set it took, how far it had been drawn when that was read, and its strain there."""

    bow: Bow
    timber: str
    strain_pct: float
    draw_m: float
    set_m: float
    permanent: float
    moisture_pct: float | None

    @property
    def as_set(self) -> BowSet:
        return BowSet(self.strain_pct / 100, self.permanent, self.timber, self.moisture_pct)


@dataclass(frozen=True)
class Record:
    """Every finished bow that tells of strain and set, and what they teach about a timber."""

    bows: tuple[Borne, ...] = ()

    def of(self, timber: str) -> list[Borne]:
        return sorted((each for each in self.bows if each.timber == timber), key=lambda each: each.strain_pct)

    def rule(self, timber: str) -> SetRule:
        """The set to expect of that timber: the stated default, moved by the shop's own bows."""
        return learn_set([each.as_set for each in self.bows], timber)


def shop_record(timbers: Sequence[Timber]) -> Record:
    """What the shop's last finished bows bore. A bow tells of it when its limbs were measured, and its set was read
    against a zero after it was weighed at the string."""
    measured = Dimension.objects.standing().filter(bow=OuterRef("pk"), planned=False)
    finished = Bow.objects.filter(Exists(measured), stage__in=FINISHED, length_m__gt=0)
    bows = list(finished.order_by("-pk")[:MOST_BOWS])
    load(bows, planned=False)
    weighed = weighings_of_bows(bows)
    told = [found for bow in bows if (found := _told(bow, timbers, weighed[bow.pk])) is not None]
    strains = full_strains([plan for plan, *_rest in told])
    return Record(
        tuple(
            _borne(plan, facts, taken, strain)
            for (plan, facts, taken), strain in zip(told, strains, strict=True)
            if strain is not None
        )
    )


def _told(bow: Bow, timbers: Sequence[Timber], known: Weighings) -> tuple[Plan, Facts, Taken] | None:
    """The bow as measured, drawn as far as it was when its set was last read; None where something is missing."""
    taken = taken_by(bow, known)
    if taken is None or taken.one is None:
        return None
    wet = taken.one.weigh_in.moisture_pct
    try:
        facts = facts_of(bow, timbers, Moisture(BENCH_MOISTURE_PCT if wet is None else wet, "weigh_in"))
        if facts.woods["A"] and facts.is_measured:
            return plan_at(facts, taken.one, taken.draw_m), facts, taken
    except CalcError:
        pass
    return None


def plan_at(facts: Facts, one: Pass, draw_m: float) -> Plan:
    """The bow as it was measured, strung and drawn as at that weigh-in."""
    head, plan = one.weigh_in, facts.as_measured(draw_m)
    return replace(
        plan, draw_from=head.draw_from, brace_m=head.brace_m or plan.brace_m, grip_depth_m=one.grip_depth_m
    )


def _borne(plan: Plan, facts: Facts, taken: Taken, strain_pct: float) -> Borne:
    return Borne(
        bow=facts.bow,
        timber=facts.woods["A"][-1].name,
        strain_pct=strain_pct,
        draw_m=taken.draw_m,
        set_m=taken.set_m,
        permanent=permanent_strain(taken.set_m, plan.bends_m, plan.depth_m),
        moisture_pct=taken.one.weigh_in.moisture_pct,
    )
