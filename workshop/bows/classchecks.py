"""A bow held against the class rules it is made to: as measured where it was, else as planned."""

from collections.abc import Sequence
from dataclasses import dataclass, replace

from django.db.models import Q
from django.utils.translation import gettext as _

from workshop.bows import classwords
from workshop.bows.models import Bow, ClassRule, Dimension, Piece
from workshop.bows.models.bow import Part
from workshop.bows.models.classrules import RuleKind
from workshop.bows.weighing.passes import from_back_m
from workshop.calc.classrules import BowFigures, Finding, check
from workshop.ledger.figures import Source
from workshop.ledger.units import UnitsInUse

LIMBS = ("A", "B")


@dataclass(frozen=True)
class ClassCheck:
    """One rule held against the bow: kept (True), broken (False), or None where it cannot be told."""

    rule: ClassRule
    met: bool | None
    sentences: Sequence[str]
    how: str  # what it was held against: as measured, as planned
    source: Source

    @property
    def word(self) -> str:
        return {True: _("kept"), False: _("not kept"), None: _("not known")}[self.met]


@dataclass(frozen=True)
class ClassChecks:
    """All rules a bow is made to."""

    checks: Sequence[ClassCheck]

    def _of(self, met: bool | None) -> list[ClassCheck]:
        return [each for each in self.checks if each.met is met]

    @property
    def kept(self) -> list[ClassCheck]:
        return self._of(True)

    @property
    def broken(self) -> list[ClassCheck]:
        return self._of(False)

    @property
    def unknown(self) -> list[ClassCheck]:
        return self._of(None)


def rules_chosen(bow: Bow) -> list[ClassRule]:
    """The rules the bow is made to; no query where it is made to none."""
    return list(ClassRule.objects.filter(pk__in=bow.class_rules)) if bow.class_rules else []


def rules_at_hand(bow: Bow) -> tuple[list[ClassRule], list[ClassRule]]:
    """The rules the bow is made to, and all in use: one query."""
    found = ClassRule.objects.filter(Q(in_use=True) | Q(pk__in=bow.class_rules))
    return [r for r in found if r.pk in bow.class_rules], [r for r in found if r.in_use]


def class_checks(
    bow: Bow,
    rules: Sequence[ClassRule],
    *,
    dimensions: Sequence[Dimension],
    pieces: Sequence[Piece],
    units: UnitsInUse,
) -> ClassChecks:
    """Hold the rules against the bow. `dimensions` are the last words on each station, `pieces` those standing."""
    stations = _stations(dimensions)
    limbs = [
        (limb, not mine[0].planned) for limb in LIMBS if (mine := [d for d in stations if d.limb == limb])
    ]
    layers = sum(piece.part == Part.LAYER for piece in pieces) or 1
    figures = BowFigures(
        strung_length_m=bow.length_m,
        unstrung_length_m=bow.length_m,
        widths_m=tuple(each.width_m for each in stations),
        depths_m=tuple(each.depth_m for each in stations),
        arrow_m=from_back_m(bow, bow.wanted_draw_m, bow.draw_from),
        layers=layers + sum(piece.part == Part.BACKING for piece in pieces),
    )
    return ClassChecks([_checked(bow, rule, figures, stations, limbs, units) for rule in rules])


def _stations(dimensions: Sequence[Dimension]) -> list[Dimension]:
    """Limb by limb what was measured, else what is planned."""
    found = []
    for limb in LIMBS:
        mine = [each for each in dimensions if each.limb == limb]
        found += [each for each in mine if not each.planned] or mine
    return found


def _checked(
    bow: Bow, rule: ClassRule, figures: BowFigures, stations, limbs, units: UnitsInUse
) -> ClassCheck:
    found = check(rule.as_rule, figures)
    sentences = _sentences(found, stations, units)
    if rule.kind == RuleKind.DEPTH and found.met and len(limbs) < 2:
        found = replace(found, met=None)
        sentences.append(_("of the other limb no widths and depths are written"))
    inputs = _inputs(bow, rule, figures, limbs, units)
    source = Source(classwords.formula_words(rule.kind), inputs, rule.source)
    return ClassCheck(rule, found.met, sentences, _how(rule, limbs), source)


def _how(rule: ClassRule, limbs) -> str:
    if rule.kind == RuleKind.DEPTH:
        return classwords.sizes_words(limbs)
    return "" if rule.kind in (RuleKind.LAYERS, RuleKind.RECURVE) else _("as planned")


def _sentences(found: Finding, stations: Sequence[Dimension], units: UnitsInUse) -> list[str]:
    """What the bow is beside what is asked; every station that falls short is named."""
    if found.missing:
        return [classwords.missing_sentence(found.missing)]
    kind = found.rule.kind
    if kind == RuleKind.DEPTH:
        named = [stations[at] for at in found.short or (found.station,)]
        limbs = [[each for each in named if each.limb == limb] for limb in LIMBS]
        return [classwords.depth_sentence(found.limit, each, units) for each in limbs if each]
    if kind == RuleKind.LAYERS:
        return [classwords.layers_sentence(found)]
    return [classwords.length_sentence(found, units)]


def _inputs(bow: Bow, rule: ClassRule, figures: BowFigures, limbs, units: UnitsInUse):
    rows = [(_("The rule asks"), classwords.limit_words(rule, units))]
    if rule.kind == RuleKind.DEPTH and limbs:
        rows += [
            (_("Widths and depths"), classwords.sizes_words(limbs)),
            (_("Stations"), str(len(figures.widths_m))),
        ]
    if rule.kind in (RuleKind.STRUNG, RuleKind.UNSTRUNG, RuleKind.FOR_ARROW):
        rows.append((_("Bow length, nock to nock"), units.show(bow.length_m, "length")))
    if rule.kind == RuleKind.FOR_ARROW:
        rows.append(
            (_("Draw, from the back"), units.show(figures.arrow_m, "draw") if figures.arrow_m else "–")
        )
    if rule.kind == RuleKind.LAYERS:
        rows.append((_("Layers"), str(figures.layers)))
    return tuple(rows)
