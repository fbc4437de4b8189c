"""The plan's strain beside what is known of the timber: this shop's own bows first, then two printed guides.

None of it is a limit: the maker's own word is where a warning begins.
"""

from collections.abc import Sequence
from dataclasses import dataclass

from django.utils.translation import gettext as _
from django.utils.translation import ngettext

from workshop.bows.plan.facts import Facts
from workshop.bows.plan.record import Borne, Record
from workshop.bows.plan.settled import Settling
from workshop.bows.plan.solving import Answer
from workshop.bows.plan.wood import nominal_pct, rule_pct
from workshop.bows.plan.words import percent
from workshop.calc.projection import Projection
from workshop.calc.setloss import set_of
from workshop.ledger.figures import Figure, Source
from workshop.ledger.units import UnitsInUse


@dataclass(frozen=True)
class Beside:
    """What this shop's finished bows of the timber bore, in a sentence and one by one; what is printed."""

    words: str
    bows: Sequence[Borne]
    printed: Sequence[Figure]


def beside(facts: Facts, answer: Answer, record: Record, units: UnitsInUse) -> Beside | None:
    """None where the timber is not known."""
    timber = facts.timber
    if timber is None:
        return None
    bows = record.of(timber.name)
    return Beside(_record_words(timber.name, bows, answer.strained.pct, units), bows, _printed(facts))


def _record_words(timber: str, bows: Sequence[Borne], pct: float, units: UnitsInUse) -> str:
    if not bows:
        return _(
            "No finished bow of %(timber)s in this shop has its limbs measured, a weigh-in and its set read against a "
            "zero. A few of them would be the best guide."
        ) % {"timber": timber}
    said = ngettext(
        "%(n)s finished bow of %(timber)s in this shop bore %(low)s and took %(least)s of set.",
        "%(n)s finished bows of %(timber)s in this shop bore %(low)s to %(high)s and took %(least)s to %(most)s "
        "of set.",
        len(bows),
    ) % {
        "n": len(bows),
        "timber": timber,
        "low": percent(bows[0].strain_pct),
        "high": percent(bows[-1].strain_pct),
        "least": units.show(min(each.set_m for each in bows), "offset"),
        "most": units.show(max(each.set_m for each in bows), "offset"),
    }
    further = sum(each.strain_pct >= pct for each in bows)
    if not further:
        return said + " " + _("None was strained as far as this plan.")
    words = ngettext(
        "%(n)s was strained as far as this plan.", "%(n)s were strained as far as this plan.", further
    )
    return said + " " + words % {"n": further}


def _printed(facts: Facts) -> list[Figure]:
    """The radius-to-thickness rule where there is one, and strength over stiffness where both are printed."""
    timber, made = facts.timber, []
    rule = rule_pct(timber)
    if rule.value is not None:
        words = _(
            "A limb may be bent to a radius of so many times its depth: about 45 for yew, 35 for Osage-orange. Rough "
            "guides that vary greatly from stave to stave; strain is half the depth over the radius."
        )
        made.append(
            Figure(
                _("Radius-to-depth guide for this timber"),
                percent(rule.value),
                Source(words, (), rule.source),
            )
        )
    nominal = nominal_pct(timber, facts.moisture.pct)
    if nominal.value is not None:
        words = _(
            "Printed bending strength over printed stiffness, of small clear beams at this moisture. A nominal figure: "
            "the strength is reckoned as if the wood stayed elastic. It is no breaking strain and no limit; good bows "
            "run near it or past it."
        )
        value = percent(nominal.value)
        made.append(
            Figure(_("Bending strength over stiffness, nominal"), value, Source(words, (), nominal.source))
        )
    return made


def settled_figure(facts: Facts, answer: Answer, settles: Settling, units: UnitsInUse) -> Figure:
    """The weight expected once the bow has taken the set to expect of its strain, timber and moisture."""
    plan, rule, made = answer.plan, settles.rule, settles.weight(answer)
    tips = set_of(settles.to_come(answer).strain, plan.bends_m, plan.depth_m)
    how = (
        ngettext(
            "learned from %(n)s finished bow of this shop",
            "learned from %(n)s finished bows of this shop",
            rule.bows,
        )
        % {"n": rule.bows}
        if rule.bows
        else _("the stated default, until finished bows of this shop tell of their own")
    )
    rows = [
        (_("Elastic weight"), units.show(answer.force_n, "force")),
        (_("Highest strain"), percent(answer.strained.pct)),
        (_("Set still to expect at the tips"), units.show(tips, "offset")),
        (_("What that costs in weight"), units.show(answer.force_n - made.force_n, "force")),
        (_("How set is reckoned"), how),
    ]
    if settles.taken is not None:
        rows.append((_("Set it has taken, in its shape as read"), units.show(settles.taken.set_m, "offset")))
    source = Source(
        _(
            "Elastic arithmetic reads high, because strained wood keeps a little of its bend. The set to expect grows "
            "with the strain beyond 0.4 % and with the moisture; what it costs in weight is that of solved bows with "
            "and without it. The range holds that doubt and the wood’s: eight bows in ten should fall "
            "in it."
        ),
        tuple(rows),
        _(
            "a default of our own, in the middle of “1 to 2 in usual” (common practice); the cost by solved bows"
        ),
    )
    name = _("Weight at %(draw)s once it has taken its set") % {"draw": units.show(plan.draw_m, "draw")}
    return Figure(name, units.show(made.force_n, "force"), source, range_words(made, units))


def range_words(made: Projection, units: UnitsInUse) -> str:
    return _("%(low)s to %(high)s") % {
        "low": units.show(max(0.0, made.low_n), "force"),
        "high": units.show(made.high_n, "force"),
    }
