"""What a planned bow weighs once it has settled: elastic weight less what the set still to come will cost."""

from dataclasses import dataclass

from workshop.bows.plan.facts import Facts
from workshop.bows.plan.record import Record
from workshop.bows.plan.solving import Answer
from workshop.bows.plan.taken import Taken, taken_by
from workshop.bows.weighing.selectors import WeightNow, weighings_of, weight_now
from workshop.calc.projection import BAND_80, Projection
from workshop.calc.setloss import (
    Permanent,
    SetRule,
    expected_set,
    permanent_strain,
    set_still_to_come,
    temper,
)


def elastic_of(answer: Answer) -> Projection:
    """The weight before any set, with the range that the doubt of the wood's stiffness makes."""
    force, draw = answer.force_n, answer.plan.draw_m
    half = BAND_80 * answer.plan.doubt_share() * force
    return Projection("plan", draw, force, max(0.0, force - half), force + half)


@dataclass(frozen=True)
class Settling:
    """The set to expect of this timber, and what the bow has taken of it already: that lies in its shape as read,
    and is not taken off a second time."""

    rule: SetRule
    moisture_pct: float
    taken: Taken | None = None
    weighed: WeightNow | None = None  # what the bow itself weighs, where it was weighed already

    def to_come(self, answer: Answer) -> Permanent:
        plan, full = answer.plan, answer.strained.pct / 100
        usual = expected_set(self.rule, full, self.moisture_pct)
        if self.taken is None:
            return usual
        own = permanent_strain(self.taken.set_m, plan.bends_m, plan.depth_m)
        if self.taken.one is None:  # it was read, but nobody knows at what draw it was taken
            return Permanent(max(0.0, usual.strain - own), usual.doubt)
        drawn = plan.on_axis_m(self.taken.draw_m, self.taken.one.weigh_in.draw_from)
        now = min(answer.strain_pct_at(drawn) / 100, full)
        return set_still_to_come(
            self.rule, strain_now=now, strain_then=full, taken=own, moisture_pct=self.moisture_pct
        )

    def weight(self, answer: Answer) -> Projection:
        """The weight expected at full draw, with its band."""
        plan = answer.plan
        return temper(elastic_of(answer), self.to_come(answer), limb_m=plan.bends_m, depth_m=plan.depth_m)

    def force_n(self, answer: Answer) -> float:
        return self.weight(answer).force_n

    def energy_j(self, answer: Answer) -> float:
        """Stored at full draw once it has settled: set takes of the energy what it takes of the weight."""
        return answer.energy_j * self.force_n(answer) / answer.force_n

    def shot_j(self, answer: Answer) -> float:
        """What the bow that was shot stores at full draw: the plan's energy, by the weight the bow itself has there."""
        now = self.weighed
        if now is None or not now.at_wanted or now.work_since:
            return self.energy_j(answer)
        return self.energy_j(answer) * now.force_n / self.force_n(answer)


def settling(facts: Facts, record: Record) -> Settling:
    """How this bow will settle, by the shop's finished bows and by its own set."""
    known = weighings_of(facts.bow)
    return Settling(
        record.rule(facts.timber.name if facts.timber else ""),
        facts.moisture.pct,
        taken_by(facts.bow, known) if facts.follow_how == "read" else None,
        weight_now(facts.bow, known),
    )
