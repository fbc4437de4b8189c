"""The plan held against class rules, each by the text it was read in."""

from dataclasses import dataclass

from django.utils.translation import gettext as _

from workshop.bows.models.bow import Part
from workshop.bows.plan.design import Plan
from workshop.bows.plan.facts import Facts
from workshop.bows.plan.words import percent
from workshop.calc.classrules import RULES, BowFigures, Finding, check
from workshop.ledger.units import UnitsInUse


@dataclass(frozen=True)
class RuleRow:
    name: str
    met: str
    figure: str
    source: str


def class_rows(facts: Facts, plan: Plan, units: UnitsInUse) -> list[RuleRow]:
    """Every rule with whether the plan meets it. The arrow is taken as long as the draw."""
    layers = sum(piece.part == Part.LAYER for piece in facts.bow.pieces_standing)
    figures = BowFigures(
        strung_length_m=plan.length_m,
        unstrung_length_m=plan.length_m,
        widths_m=tuple(size for limb in plan.limbs for size in limb.sizes.widths_m),
        depths_m=tuple(size for limb in plan.limbs for size in limb.sizes.depths_m),
        arrow_m=plan.draw_m,
        layers=layers or 1,
    )
    found = [check(rule, figures) for rule in RULES.values()]
    return [_row(each, units) for each in found if each.rule.kind != "recurve_begins"]


def _row(found: Finding, units: UnitsInUse) -> RuleRow:
    rule = found.rule
    share = rule.kind == "depth_share"

    def shown(value) -> str:
        if value is None:
            return "–"
        if rule.kind == "layers":
            return str(int(value))
        return percent(100 * value, 1) if share else units.show(value, "length")

    met = {True: _("met"), False: _("not met"), None: _("not known")}[found.met]
    words = _("%(value)s, at most %(limit)s") if rule.kind == "layers" else _("%(value)s, at least %(limit)s")
    return RuleRow(
        _name(rule.kind), met, words % {"value": shown(found.value), "limit": shown(found.limit)}, rule.source
    )


def _name(kind: str) -> str:
    return {
        "strung_length": _("Length between the nocks, strung"),
        "unstrung_length": _("Length between the nocks, unstrung"),
        "depth_share": _("Depth over width, at its least"),
        "length_for_arrow": _("Length for an arrow as long as the draw"),
        "layers": _("Layers"),
    }[kind]
