"""Everything the plan page shows, gathered in one place and in the reader's words."""

from collections.abc import Sequence
from dataclasses import dataclass

from django.utils.translation import gettext as _

from workshop.bows.models import Bow
from workshop.bows.plan import changes, pictures
from workshop.bows.plan.cast import Speed, arrow_of, grains_a_pound, speed, speed_source
from workshop.bows.plan.classes import RuleRow, class_rows
from workshop.bows.plan.design import Plan
from workshop.bows.plan.facts import Facts
from workshop.bows.plan.record import shop_record
from workshop.bows.plan.refusals import refusal
from workshop.bows.plan.solving import Answer, solve_each
from workshop.bows.plan.sources import (
    Figure,
    energy_source,
    mass_source,
    strain_source,
    weight_source,
    wood_figure,
)
from workshop.bows.plan.strain import Beside, beside, tempered
from workshop.bows.plan.wood import wood_of
from workshop.bows.plan.words import difference_words, percent, place_words
from workshop.calc.errors import CalcError
from workshop.calc.projection import BAND_80, Projection
from workshop.ledger.drawings import Drawing
from workshop.ledger.units import UnitsInUse


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
    elastic: Projection
    tempered: Figure
    figures: Sequence[Figure]
    strain: str
    place: str
    beside: Beside | None
    classes: Sequence[RuleRow]
    warn_pct: float
    past_warning: bool
    drawings: Sequence[tuple[str, Drawing]]
    others: Sequence[Other]


def elastic_of(answer: Answer) -> Projection:
    """The weight with the range that the doubt of the wood's stiffness makes."""
    force, draw = answer.force_n, answer.plan.draw_m
    half = BAND_80 * answer.plan.doubt_share() * force
    return Projection("plan", draw, force, max(0.0, force - half), force + half)


def other_plans(
    facts: Facts, plan: Plan, read: dict, units: UnitsInUse
) -> list[tuple[str, Plan | CalcError]]:
    """The plans to compare with, by what the reader chose, each with its heading."""

    def timber() -> Plan:
        return changes.of_wood(plan, wood_of(named(), facts.moisture))

    def named():
        return next(each for each in facts.timbers if str(each.pk) == read["timber"])

    def with_measure(words: str, kind: str):
        return lambda: words % units.show(read[name], kind)

    makes = {
        "wider": (
            lambda: changes.wider(plan, read[name] / 100),
            with_measure(_("Limbs %s wider"), "percent"),
        ),
        "shorter": (lambda: changes.shorter(plan, read[name]), with_measure(_("A bow %s shorter"), "place")),
        "piked": (lambda: changes.piked(plan, read[name]), with_measure(_("%s off each tip"), "depth")),
        "timber": (timber, lambda: str(named())),
        "reflex": (lambda: changes.reflexed(plan, read[name]), with_measure(_("A reflex of %s"), "depth")),
    }
    made = []
    for name in read.get("others") or []:
        make, heading = makes[name]
        try:
            made.append((heading(), make()))
        except CalcError as error:
            made.append((heading(), error))
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
    arrow = arrow_of(bow, shop, facts.what_if.arrow_kg, first.force_n)
    cast = speed(first, arrow, shots)
    elastic, record = elastic_of(first), shop_record(facts.timbers)
    settled = tempered(facts, first, elastic, record, units)
    warn = warning_pct(facts, shop)
    return PlanPage(
        answer=first,
        elastic=elastic,
        tempered=settled,
        figures=_figures(facts, first, elastic, settled, cast, shop, units),
        strain=percent(first.strained.pct),
        place=place_words(first.strained, units, facts.upper if facts.upper_decided else ""),
        beside=beside(facts, first, record, units),
        classes=class_rows(facts, first.plan, units),
        warn_pct=warn,
        past_warning=first.strained.pct > warn,
        drawings=_drawings(bow, first, units),
        others=[_other(heading, each, first, cast, shots, units) for heading, each in solved],
    )


def warning_pct(facts: Facts, shop) -> float:
    """The strain past which the maker wants a word: the timber's, else the workshop's."""
    own = facts.timber.strain_word_pct if facts.timber else None
    return shop.strain_word_pct if own is None else own


def _drawings(bow: Bow, answer: Answer, units: UnitsInUse) -> list[tuple[str, Drawing]]:
    return [
        (_("Outline"), pictures.outline_drawing(bow, answer.plan, units)),
        (_("Shape"), pictures.shape_drawing(bow, answer, units)),
        (_("Draw curve"), pictures.curve_drawing(bow, answer, units)),
    ]


def _figures(
    facts: Facts,
    answer: Answer,
    elastic: Projection,
    settled: Figure,
    cast: Speed | None,
    shop,
    units: UnitsInUse,
) -> list[Figure]:
    show = units.show
    strained, plan = answer.strained, answer.plan
    at = show(plan.draw_m, "draw")
    figures = [
        Figure(
            _("Weight at %(draw)s, elastic") % {"draw": at},
            show(elastic.force_n, "force"),
            weight_source(facts, answer, plan.doubt_share(), units),
            _("%(low)s to %(high)s")
            % {"low": show(elastic.low_n, "force"), "high": show(elastic.high_n, "force")},
        ),
        settled,
        Figure(
            _("Highest strain"),
            percent(strained.pct),
            strain_source(facts, answer, units),
            place_words(strained, units, facts.upper if facts.upper_decided else ""),
        ),
        Figure(_("Stored energy"), show(answer.energy_j, "energy"), energy_source(answer, units)),
    ]
    if plan.mass_kg is not None:
        figures.append(
            Figure(
                _("Weight of the bow itself"), show(plan.mass_kg, "mass"), mass_source(facts, answer, units)
            )
        )
    if cast is not None:
        source = speed_source(cast, answer, shop, units, typed=facts.what_if.arrow_kg is not None)
        name = _("Speed of an arrow of %(arrow)s") % {"arrow": show(cast.arrow_kg, "arrow_mass")}
        more = _("%(g)s grains a pound") % {"g": f"{grains_a_pound(cast.arrow_kg, answer.force_n):.1f}"}
        figures.append(
            Figure(name, f"{show(cast.low_m_s, 'speed')} – {show(cast.high_m_s, 'speed')}", source, more)
        )
    figures.append(wood_figure(facts, units))
    return figures


def _other(heading: str, each, base: Answer, cast: Speed | None, shots, units: UnitsInUse) -> Other:
    if isinstance(each, CalcError):
        return Other(heading, "", refusal(each, units)[1], refused=True)
    his = speed(each, cast.arrow_kg, shots) if cast else None
    speeds = (his.middle_m_s, cast.middle_m_s) if his and cast else None
    words = difference_words(each, base, speeds, units)
    place = place_words(each.strained, units)
    if place != place_words(base.strained, units):
        words += ", " + _("most at %(place)s") % {"place": place}
    return Other(heading, units.show(each.force_n, "force"), f"{words}; {percent(each.strained.pct)}.")
