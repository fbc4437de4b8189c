"""What the scale reads on the tree before bracing: the planned bow on a long string, slack until it is taken up."""

from collections.abc import Sequence
from dataclasses import dataclass

import numpy as np
from django.utils.translation import gettext as _

from workshop.bows.plan.facts import Facts
from workshop.bows.plan.solving import Answer
from workshop.bows.plan.sources import OWN, shape_inputs, wood_inputs
from workshop.bows.plan.words import percent
from workshop.calc.imperial import INCH_M
from workshop.calc.statics import draw
from workshop.ledger.figures import Source
from workshop.ledger.units import UnitsInUse

STEPS = 6
STEP_M = {"imperial": 2 * INCH_M, "metric": 0.050}
SLACK = ("slack", "braced")  # codes of the statics: no force yet
SAID_IN_ROW = ("", "touch", *SLACK)  # a reflexed limb lifts off a long string as it is drawn on


@dataclass(frozen=True)
class Pull:
    """The scale's reading at one draw, how far the tips have come from where they stood, and the greatest strain."""

    draw: str
    reads: str
    tips: str = ""
    strain: str = ""


@dataclass(frozen=True)
class LongString:
    string: str
    taut: str
    pulls: Sequence[Pull]
    source: Source


def long_string(facts: Facts, answer: Answer, string_m: float, units: UnitsInUse) -> LongString:
    """The solved plan hung with a string of this length from nock to nock, and pulled to the draw that is wanted.

    Errors: `Mismatch` code `long_string` for one that would brace it; those of `Drawn.refuse`.
    """
    plan = answer.plan
    shift = plan.axis_shorter_m
    draws = plan.draw_m - STEP_M[units.system] * np.arange(STEPS)[::-1]
    draws = draws[draws > shift]
    drawn = draw(plan.bow, draws - shift, long_string_m=string_m)
    drawn.refuse(shift, but=SAID_IN_ROW)
    return LongString(
        units.show(string_m, "length"),
        units.show(drawn.start_m + shift, "draw"),
        [_pull(plan, drawn, n, at, units) for n, at in enumerate(draws)],
        _source(facts, answer, string_m, units),
    )


def _pull(plan, drawn, number: int, draw_m: float, units: UnitsInUse) -> Pull:
    shown = units.show(draw_m, "draw")
    if drawn.why[number] in SLACK:
        return Pull(shown, _("slack"))
    if drawn.why[number] == "touch":
        return Pull(shown, _("the string lies on a limb: not reckoned"))
    poses = drawn.upper, drawn.lower
    strains = [abs(each[number]).max() for p in poses for each in (p.back_strain_pct, p.belly_strain_pct)]
    tips = [p.x_m[number, -1] - limb.follow_m for p, limb in zip(poses, plan.limbs, strict=True)]
    return Pull(
        shown,
        units.show(drawn.force_n[number], "force"),
        units.show(float(np.mean(tips)), "offset"),
        percent(max(strains)),
    )


def _source(facts: Facts, answer: Answer, string_m: float, units: UnitsInUse) -> Source:
    words = _(
        "The same elastic limbs as above, hung with a string longer than the bow. It pulls nothing until it is "
        "taken up; from there on string, limbs and hand are brought into balance at each draw. Elastic, before "
        "any set. The tips are reckoned in the mean of both limbs."
    )
    rows = shape_inputs(facts, answer, units), wood_inputs(facts, units)
    return Source(
        words, ((_("String, nock to nock"), units.show(string_m, "length")), *rows[0], *rows[1]), OWN
    )
