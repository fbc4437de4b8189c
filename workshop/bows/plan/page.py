"""Everything the plan page shows, gathered in one place and in the reader's words."""

from collections.abc import Sequence
from dataclasses import dataclass

from django.utils.translation import gettext as _

from workshop.bows.models import Bow
from workshop.bows.nextstep import SCALE_STEP_N
from workshop.bows.plan import changes, pictures
from workshop.bows.plan.cast import Fitted, Speed, arrow_of, fitted, speed, speed_source
from workshop.bows.plan.design import Plan
from workshop.bows.plan.facts import Facts
from workshop.bows.plan.record import shop_record
from workshop.bows.plan.refusals import refusal
from workshop.bows.plan.settled import Settling, elastic_of, settling
from workshop.bows.plan.solving import Answer, solve_each
from workshop.bows.plan.sources import (
    Figure,
    Source,
    balance_figure,
    energy_source,
    in_hand_words,
    mass_source,
    other_source,
    strain_source,
    weight_source,
    wood_figure,
)
from workshop.bows.plan.strain import Beside, beside, range_words, settled_figure
from workshop.bows.plan.wood import wood_of
from workshop.bows.plan.words import (
    deep_words,
    difference_words,
    dry_words,
    green_words,
    percent,
    place_words,
    same_weight_words,
    slip_words,
    upright_words,
)
from workshop.bows.weighing.selectors import WeightNow
from workshop.calc.cast import grains_per_pound
from workshop.calc.errors import CalcError
from workshop.calc.projection import Projection
from workshop.ledger.drawings import Drawing
from workshop.ledger.units import UnitsInUse

LEAST_SAID = 0.001  # of the weight: no scale tells less


@dataclass(frozen=True)
class Other:
    """Another plan beside this one: what is other in it, how it differs, or why it cannot be."""

    heading: str
    weight: str
    words: str
    refused: bool = False


@dataclass(frozen=True)
class PlanPage:
    answer: Answer
    settled: Projection
    weighed: WeightNow | None
    figures: Sequence[Figure]
    strain: str
    place: str
    beside: Beside | None
    warn_pct: float
    past_warning: bool
    doubtful: Sequence[tuple[str, str]]  # a word and its reason: what a bowyer would look at twice
    drawings: Sequence[tuple[str, Drawing]]
    others: Sequence[Other]
    others_source: Source

    @property
    def set_to_come(self) -> bool:
        """Whether set is still expected to cost a weight worth the saying."""
        return self.settled.force_n < self.answer.force_n * (1 - LEAST_SAID)


def other_plans(
    facts: Facts, plan: Plan, read: dict, units: UnitsInUse
) -> list[tuple[str, Plan | CalcError]]:
    """The plans to compare with, by what the reader chose, each with its heading."""
    kinds = {"wider": "percent", "shorter": "place", "piked": "depth", "reflex": "depth", "nocking": "depth"}
    headings = {
        "wider": _("Limbs %s wider"),
        "shorter": _("A bow %s shorter"),
        "piked": _("%s off each tip"),
        "reflex": _("A reflex of %s"),
        "nocking": _("A nocking point %s above the hand"),
    }
    makes = {
        "wider": lambda percent: changes.wider(plan, percent / 100),
        "shorter": lambda by_m: changes.shorter(plan, by_m),
        "piked": lambda off_m: changes.piked(plan, off_m),
        "reflex": lambda by_m: changes.reflexed(plan, by_m),
        "nocking": lambda above_m: changes.nocked(plan, above_m),
        "timber": lambda timber: changes.of_wood(plan, wood_of(timber, facts.moisture)),
    }
    made = []
    for name in read.get("others") or []:
        if name == "timber":
            asked = next(each for each in facts.timbers if str(each.pk) == read["timber"])
            heading = str(asked)
        else:
            asked = read[name]
            heading = headings[name] % units.show(asked, kinds[name])
        try:
            made.append((heading, makes[name](asked)))
        except CalcError as error:
            made.append((heading, error))
    return made


def plan_page(facts: Facts, shop, units: UnitsInUse, *, shots=(), read: dict | None = None) -> PlanPage:
    """The plan solved, with up to four others in the same batch. Errors: `CalcError` of the plan itself."""
    bow, plan, read = facts.bow, facts.plan(), read or {}
    others = other_plans(facts, plan, read, units)
    good = [other for _heading, other in others if isinstance(other, Plan)]
    first, *rest = solve_each([plan, *good])
    if isinstance(first, CalcError):
        raise first
    answered = iter(rest)
    solved = [(heading, next(answered) if isinstance(each, Plan) else each) for heading, each in others]
    record = shop_record(facts.timbers)
    settles = settling(facts, record)
    arrow = arrow_of(bow, shop, facts.what_if.arrow_kg, settles.force_n(first))
    fit = fitted(plan.draw_m, shots)
    cast = speed(plan, arrow, fit, energy_j=settles.energy_j(first), base_j=settles.shot_j(first))
    warn, upper = warning_pct(facts, shop), facts.upper if facts.upper_decided else ""
    return PlanPage(
        answer=first,
        settled=settles.weight(first),
        weighed=settles.weighed,
        figures=_figures(facts, first, settles, cast, shots, shop, units),
        strain=percent(first.strained.pct),
        place=place_words(first.strained, units, facts.upper if facts.upper_decided else ""),
        beside=beside(facts, first, record, units),
        warn_pct=warn,
        past_warning=first.strained.pct > warn,
        doubtful=[
            *dry_words(facts.moisture.pct),
            *green_words(plan),
            *slip_words(plan, units),
            *deep_words(first, units),
            *upright_words(plan, units),
        ],
        drawings=_drawings(bow, first, settles, units),
        others=[_other(heading, each, first, settles, cast, fit, upper, units) for heading, each in solved],
        others_source=other_source(units, first),
    )


def warning_pct(facts: Facts, shop) -> float:
    """The strain past which the maker wants a word: the timber's, else the workshop's."""
    own = facts.timber.strain_word_pct if facts.timber else None
    return shop.strain_word_pct if own is None else own


def _drawings(bow: Bow, answer: Answer, settles: Settling, units: UnitsInUse) -> list[tuple[str, Drawing]]:
    return [
        (_("Outline"), pictures.outline_drawing(bow, answer.plan, units)),
        (_("Shape"), pictures.shape_drawing(bow, answer, units)),
        (_("Draw curve"), pictures.curve_drawing(bow, answer, units, settles.weight(answer))),
    ]


def _figures(
    facts: Facts,
    answer: Answer,
    settles: Settling,
    cast: Speed | None,
    shots,
    shop,
    units: UnitsInUse,
) -> list[Figure]:
    show = units.show
    strained, plan = answer.strained, answer.plan
    figures = [
        settled_figure(facts, answer, settles, units),
        Figure(
            _("Before it has taken any, elastic"),
            show(answer.force_n, "force"),
            weight_source(facts, answer, plan.doubt_share(), units),
            range_words(elastic_of(answer), units),
        ),
        Figure(
            _("Highest strain"),
            percent(strained.pct),
            strain_source(facts, answer, units),
            place_words(strained, units, facts.upper if facts.upper_decided else ""),
        ),
        Figure(
            _("Stored energy, elastic"), show(answer.energy_j, "energy"), energy_source(facts, answer, units)
        ),
    ]
    if plan.mass_kg is not None:
        figures.append(
            Figure(
                _("Weight of the bow itself"), show(plan.mass_kg, "mass"), mass_source(facts, answer, units)
            )
        )
    if cast is not None:
        source = speed_source(
            cast, settles.energy_j(answer), shop, units, typed=facts.what_if.arrow_kg is not None, shots=shots
        )
        name = _("Speed of an arrow of %(arrow)s") % {"arrow": show(cast.arrow_kg, "arrow_mass")}
        more = _("%(g)s grains a pound") % {
            "g": f"{grains_per_pound(cast.arrow_kg, settles.force_n(answer)):.1f}"
        }
        figures.append(
            Figure(name, f"{show(cast.low_m_s, 'speed')} – {show(cast.high_m_s, 'speed')}", source, more)
        )
    figures += [balance_figure(facts, answer, units), wood_figure(facts, units)]
    return figures


def _at_the_same_weight(
    each: Answer, weights: tuple[float, float], settles: Settling, cast: Speed
) -> float | None:
    """Speed of that plan brought to the weight of this one by its widths: weight, energy and the limbs' mass go with
    them, strain does not. None where it is as heavy already, to what a scale tells."""
    now, wanted = weights
    if abs(now - wanted) < SCALE_STEP_N:
        return None
    made = changes.wider(each.plan, wanted / now - 1)
    energy_j = settles.energy_j(each) * wanted / now
    found = speed(made, cast.arrow_kg, None, energy_j=energy_j, base_j=energy_j)
    return found.middle_m_s if found else None


def _other(
    heading: str,
    each,
    base: Answer,
    settles: Settling,
    cast: Speed | None,
    fit: Fitted | None,
    upper: str,
    units: UnitsInUse,
) -> Other:
    if isinstance(each, CalcError):
        return Other(heading, "", refusal(each, units)[1], refused=True)
    stored = {"energy_j": settles.energy_j(each), "base_j": settles.shot_j(base)}
    his = speed(each.plan, cast.arrow_kg, fit, **stored) if cast else None
    speeds = (his.middle_m_s, cast.middle_m_s) if his and cast else None
    weights = settles.force_n(each), settles.force_n(base)
    words = difference_words(each, base, weights, speeds, units)
    if cast and fit is None and (alike := _at_the_same_weight(each, weights, settles, cast)) is not None:
        words += ", " + same_weight_words(alike, cast.middle_m_s, units)
    place = place_words(each.strained, units)
    if place != place_words(base.strained, units):
        words += ", " + _("most at %(place)s") % {"place": place}
    if each.plan.nocking_above_m != base.plan.nocking_above_m:
        words += "; " + in_hand_words(each, upper, units)
    green = [f" {word}: {reason}" for word, reason in green_words(each.plan)]
    return Other(heading, units.show(weights[0], "force"), f"{words}.{''.join(green)}")
