"""The plan in words: what the arithmetic refuses and beside which field, where wood's figures are from, places."""

from django.utils.translation import gettext as _

from workshop.bows.plan.design import Plan, Wood
from workshop.bows.plan.solving import Answer, Strained
from workshop.bows.plan.wood import Moisture
from workshop.calc.imperial import INCH_M
from workshop.ledger.units import UnitsInUse
from workshop.staves.words import known_words


def percent(value: float, figures: int = 2) -> str:
    return f"{value:.{figures}f}\N{NO-BREAK SPACE}%"


def fine(value_m: float, units: UnitsInUse) -> str:
    """A width or depth to what can be marked: 64ths of an inch, tenths of a millimetre; as the field takes it back."""
    if units.unit("depth") != "in":
        return units.show(value_m, "depth").rsplit("\N{NO-BREAK SPACE}", 1)[0]
    whole, parts = divmod(round(value_m / INCH_M * 64), 64)
    of = 64
    while parts and parts % 2 == 0:
        parts, of = parts // 2, of // 2
    return " ".join(
        filter(None, (str(whole) if whole or not parts else "", f"{parts}/{of}" if parts else ""))
    )


def place_words(strained: Strained, units: UnitsInUse, upper: str = "") -> str:
    """The place most strained, as a maker finds it with a rule: “lower limb, 9 in from the grip, belly”.

    `upper` is the limb that was decided to be the upper; until then the limbs are A and B.
    """
    limb = limb_words(strained.limb, upper)
    face = {"back": _("back"), "belly": _("belly")}[strained.surface]
    if strained.from_grip_m <= 0.003:
        return _("%(limb)s, in the grip, %(face)s") % {"limb": limb, "face": face}
    at = units.show(strained.from_grip_m, "place")
    return _("%(limb)s, %(at)s from the grip, %(face)s") % {"limb": limb, "at": at, "face": face}


def limb_words(limb: str, upper: str = "") -> str:
    if upper:
        return _("upper limb") if limb == upper else _("lower limb")
    return {"A": _("limb A"), "B": _("limb B")}[limb]


def moisture_words(moisture: Moisture) -> str:
    pct = percent(moisture.pct, 1)
    return {
        "typed": _("%(pct)s, as you supposed it above"),
        "weigh_in": _("%(pct)s, as read at the last weigh-in"),
        "stave": _("%(pct)s, the last reading of %(tag)s"),
        "workshop": _("%(pct)s, the middle of what this workshop wants at the bench"),
    }[moisture.how] % {"pct": pct, "tag": moisture.tag}


def follow_words(how: str) -> str:
    return {
        "read": _("as last read on the bow"),
        "stave": _("as the stave lies"),
        "straight": _("taken as straight: no natural bend was read"),
        "typed": _("as you supposed it above"),
    }[how]


def woods_words(woods: tuple[Wood, ...], units: UnitsInUse) -> list[tuple[str, str]]:
    """Each layer from the back with its stiffness."""
    return [
        (
            wood.name
            + ("" if wood.depth_m is None or len(woods) == 1 else ", " + units.show(wood.depth_m, "depth")),
            known_words(wood.modulus, "modulus", units),
        )
        for wood in woods
    ]


def missing_words(code: str) -> str:
    return {
        "length_m": _("the bow length, nock to nock"),
        "wanted_draw_m": _("the draw that is wanted"),
        "grip_depth_m": _(
            "the depth of the grip, back to pivot point: a stiff handle hides where the limb's axis lies"
        ),
        "outline": _("the outline of its section: heights above the belly and widths"),
        "wood": _("its wood: a piece from the store, or a timber by its name"),
        "stiffness": _("a stiffness for its wood: bend an offcut, or give the timber a figure of your own"),
    }[code]


def assumed_words(code: str, plan: Plan, units: UnitsInUse) -> str:
    return {
        "brace_m": _("brace height %(m)s (common practice)") % {"m": units.show(plan.brace_m, "brace")},
        "grip_m": _("grip %(m)s long (common practice)") % {"m": units.show(plan.grip_m, "place")},
        "fade_m": _("fades of %(m)s (common practice)") % {"m": units.show(plan.fade_m, "place")},
        "section": {"d": _("a deep D section"), "flat": _("a flat section")}.get(plan.section, plan.section),
    }[code]


def difference_words(
    answer: Answer,
    base: Answer,
    weights: tuple[float, float],
    speeds: tuple[float, float] | None,
    units: UnitsInUse,
) -> str:
    """How another plan differs from this one; what would show as no difference is left out."""

    def of(now: float, was: float, kind: str, more: str, less: str) -> str:
        shown = units.show(abs(now - was), kind)
        return (more if now > was else less) % shown if shown != units.show(0.0, kind) else ""

    change = answer.strained.pct - base.strained.pct
    strain = _("strained %(pct)s, %(by)s more") if change > 0 else _("strained %(pct)s, %(by)s less")
    shown = {"pct": percent(answer.strained.pct), "by": percent(abs(change))}
    masses = answer.plan.mass_kg, base.plan.mass_kg
    parts = [
        of(*weights, "force", _("%s heavier"), _("%s lighter to draw")),
        strain % shown if abs(change) >= 0.005 else _("strained the same"),
        of(*masses, "mass", _("%s more wood"), _("%s less wood")) if None not in masses else "",
        of(*speeds, "speed", _("%s faster"), _("%s slower")) if speeds else "",
    ]
    return ", ".join(filter(None, parts))
