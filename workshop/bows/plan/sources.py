"""Where each figure of the plan is from: the formula in words, what went into it, who says so."""

import math

from django.utils.translation import gettext as _
from django.utils.translation import gettext_lazy

from workshop.bows.plan.design import HANDLE_WIDTH_M
from workshop.bows.plan.facts import Facts
from workshop.bows.plan.solving import Answer
from workshop.bows.plan.words import follow_words, limb_words, moisture_words, percent, woods_words
from workshop.calc.imperial import INCH_M
from workshop.ledger.figures import Figure, Source
from workshop.ledger.units import UnitsInUse
from workshop.staves.words import known_words

EVEN_M = INCH_M / 32  # half of the finest mark it is told to
OWN = gettext_lazy(
    "our own computation, checked against published solutions of the elastic line and an independent solver"
)


def wood_inputs(facts: Facts, units: UnitsInUse) -> tuple[tuple[str, str], ...]:
    rows = [
        (_("Stiffness of %(wood)s") % {"wood": name}, words)
        for name, words in woods_words(facts.woods["A"], units)
    ]
    return (*rows, (_("Moisture of the wood"), moisture_words(facts.moisture)))


def shape_inputs(facts: Facts, answer: Answer, units: UnitsInUse) -> tuple[tuple[str, str], ...]:
    plan = answer.plan
    tips = ", ".join(units.show(limb.follow_m, "offset") for limb in plan.limbs)
    return (
        (_("Bow length, nock to nock"), units.show(plan.length_m, "length")),
        (
            _("Draw, from %(place)s") % {"place": facts.bow.get_draw_from_display()},
            _("%(draw)s; from the limb’s axis %(axis)s")
            % {"draw": units.show(plan.draw_m, "draw"), "axis": units.show(plan.draw_on_axis_m, "draw")},
        ),
        (_("Brace height"), units.show(plan.brace_m, "brace")),
        (
            _("Begins to bend, out of the middle"),
            ", ".join(units.show(plan.start_m(x), "place") for x in plan.limbs),
        ),
        (_("Tips unstrung"), f"{tips}; {follow_words(facts.follow_how)}"),
        (_("Section"), _section_words(plan.section)),
        (_("Widths and depths"), _("as planned, running smoothly from station to station")),
    )


def _section_words(section: str) -> str:
    return {
        "d": _("deep D, flat for two fifths of its depth"),
        "flat": _("flat: a rectangle, corners not reckoned"),
        "oval": _("oval"),
        "half-oval": _("half-oval: a flat back, half an ellipse for the belly"),
        "trapezoid": _("trapezoid, the belly two thirds as wide as the back"),
        "crowned": _("crowned by a tenth of the width"),
        "measured": _(
            "as measured, carried to the width and depth of each station; straight between two heights"
        ),
    }[section]


def weight_source(facts: Facts, answer: Answer, doubt: float, units: UnitsInUse) -> Source:
    return Source(
        _(
            "Each limb is an elastic line that does not stretch, as stiff at every place as its section and wood "
            "make it, held at the middle of the grip as on the tillering tree. It is braced and drawn until string, "
            "limbs and hand are in balance; the weight is what the hand then holds. The range is how far the "
            "wood’s stiffness may be out: eight bows in ten should fall in it. One weigh-in says more than any book."
        ),
        (
            *shape_inputs(facts, answer, units),
            *wood_inputs(facts, units),
            (_("Doubt of the stiffness"), percent(100 * doubt, 0)),
        ),
        OWN,
    )


def strain_source(facts: Facts, answer: Answer, units: UnitsInUse) -> Source:
    return Source(
        _(
            "Change of bend at each place times the distance from the neutral axis to the surface: for an even section "
            "half the depth over the radius. The stiffness of the wood does not matter to it, except between layers."
        ),
        shape_inputs(facts, answer, units),
        OWN,
    )


def energy_source(facts: Facts, answer: Answer, units: UnitsInUse) -> Source:
    plan = answer.plan
    return Source(
        _(
            "The work of the hand from brace to full draw: the area under the draw curve. A straight line from brace "
            "would make it half the weight times the way the string is drawn; a curve that bulges above it, more."
        ),
        (
            (_("Weight at full draw, elastic"), units.show(answer.force_n, "force")),
            (
                _("Draw, from %(place)s") % {"place": facts.bow.get_draw_from_display()},
                units.show(plan.draw_m, "draw"),
            ),
            (_("Brace height"), units.show(plan.brace_m, "brace")),
            (_("Drawn from brace"), units.show(plan.draw_on_axis_m - plan.brace_on_axis_m, "draw")),
        ),
        OWN,
    )


def balance_figure(facts: Facts, answer: Answer, units: UnitsInUse) -> Figure:
    """How the limbs stand to each other: off the string at brace, and what the bow does in the hand when drawn."""
    plan, drawn, upper = answer.plan, answer.drawn, facts.upper if facts.upper_decided else ""
    half_way = max(plan.start_m(limb) for limb in plan.limbs) + plan.bends_m / 2
    off = drawn.brace.tiller_m(half_way)
    more, less = (plan.upper, plan.lower) if off[0] >= off[1] else (plan.lower, plan.upper)
    differs = abs(off[0] - off[1])
    at_brace = (
        _("even at brace")
        if differs < EVEN_M
        else _("%(more)s stands %(by)s further off the string than %(less)s at brace")
        % {
            "more": limb_words(more.name, upper),
            "by": units.show(differs, "offset"),
            "less": limb_words(less.name, upper),
        }
    )
    rows = (
        (_("Read off the string at"), units.show(half_way, "place")),
        *((_("Off at %(limb)s") % {"limb": limb_words(limb.name, upper)}, units.show(m, "offset"))
          for limb, m in zip(plan.limbs, off, strict=True)),
        (_("Hand above the middle mark"), units.show(plan.bow.hand_above_middle_m, "offset")),
        *(
            (
                _("%(limb)s begins to bend, out of the middle") % {"limb": limb_words(limb.name, upper)},
                units.show(plan.start_m(limb), "place"),
            )
            for limb in plan.limbs
        ),
        (_("Arrow’s nock"), _("straight across from the middle of the grip")),
    )  # fmt: skip
    words = _(
        "Both limbs hang on one string. The bow turns in the hand until the line of the pull runs through the hand and "
        "the arrow’s nock; a stiffer or shorter limb turns it its own way, and so does a hand off the middle. Limbs of "
        "the same sizes differ too where the grip reaches further to one side: that one begins to bend further out."
    )
    return Figure(
        _("The limbs against each other"),
        at_brace,
        Source(words, rows, OWN),
        in_hand_words(answer, upper, units),
    )


def in_hand_words(answer: Answer, upper: str, units: UnitsInUse) -> str:
    """What the bow does in the hand when it is fully drawn: how far it turns, and where the arrow's nock goes."""
    plan, drawn = answer.plan, answer.drawn
    turned, gone = float(drawn.turn_rad[-1]), float(drawn.nock_travel_m[-1])
    in_hand = _(
        "drawn, it has turned %(angle)s° in the hand since the first pull, the end of %(limb)s toward the archer"
    ) % {
        "angle": f"{abs(math.degrees(turned)):.1f}",
        "limb": limb_words((plan.upper if turned >= 0 else plan.lower).name, upper),
    }
    nock = (
        _("the arrow’s nock has gone %(by)s up") if gone >= 0 else _("the arrow’s nock has gone %(by)s down")
    ) % {"by": units.show(abs(gone), "offset")}
    return f"{in_hand}; {nock}"


def mass_source(facts: Facts, answer: Answer, units: UnitsInUse) -> Source:
    words = _("Area of the section times density, along both limbs. Without string and overlays.")
    if answer.plan.stiff:
        words += " " + _(
            "The stiff handle is taken as a plain block %(wide)s wide (common practice), from the depth of the grip to "
            "that of the limb."
        ) % {"wide": units.show(HANDLE_WIDTH_M, "depth")}
    rows = [
        (_("Density of %(wood)s") % {"wood": wood.name}, known_words(wood.density, "density", units))
        for wood in facts.woods["A"]
    ]
    return Source(
        words,
        (*rows, (_("Moisture of the wood"), moisture_words(facts.moisture))),
    )


def wood_figure(facts: Facts, units: UnitsInUse) -> Figure:
    """The wood the plan is of, and how its stiffness was come by."""
    source = Source(
        _(
            "Measured here comes first: an offcut of the piece, bent, then a figure of your own for the timber. After "
            "it what is published, a tenth added for the shear a printed figure holds; last a line on the density, "
            "never for yew. Each is carried to the moisture of the wood. What one piece differs from the next is its "
            "doubt."
        ),
        wood_inputs(facts, units),
        _("Wood Handbook, equation 5-3 and the variation within a species"),
    )
    woods = facts.woods["A"]
    name = _("Wood") if len(woods) == 1 else _("Wood, from the back")
    return Figure(name, ", ".join(wood.name for wood in woods), source)


def other_source(units: UnitsInUse, answer: Answer) -> Source:
    """Where the figures of the plans compared are from."""
    return Source(
        _(
            "Each is this plan with that one thing changed, solved anew in the same way: sizes, wood and moisture stay "
            "as they are otherwise. The weights are those to expect once it has taken its set."
        ),
        ((_("This plan, elastic"), units.show(answer.force_n, "force")),),
        OWN,
    )
