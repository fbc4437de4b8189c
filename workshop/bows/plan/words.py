"""The plan in words: what the arithmetic refuses and beside which field, where wood's figures are from, places."""

from django.utils.translation import gettext as _

from workshop.bows.models.bow import Section
from workshop.bows.plan.design import Plan, Wood
from workshop.bows.plan.solving import Answer, Strained
from workshop.bows.plan.wood import Moisture
from workshop.bows.sizes import out_of_line
from workshop.ledger.units import UnitsInUse
from workshop.staves.words import known_words

# Under it wood is brittle: common practice, no source.
DRIEST_PCT = 6.0
# How much more than was asked a first plan may be strained before that is said: laid out at a maker's stations, six
# inches apart, it may run a tenth over between two of them.
MORE_STRAINED = 1.15
SO_STRAINED = 1.03  # as asked, to what can be marked
TIP_SHARE = 0.75  # of a limb: beyond it little bends. Common practice, no source
DEEP = 5 / 8  # of the width: as the class rule `british_longbow_depth` has it


def percent(value: float, figures: int = 2) -> str:
    return f"{value:.{figures}f}\N{NO-BREAK SPACE}%"


def dry_words(moisture_pct: float) -> list[tuple[str, str]]:
    """What to say of wood drier than any bow ought to be."""
    if moisture_pct >= DRIEST_PCT:
        return []
    words = _(
        "wood of less than %(least)s is brittle, and breaks at a strain it bore before: let it take moisture up before "
        "it is bent."
    )
    return [(_("Too dry"), words % {"least": percent(DRIEST_PCT, 0)})]


def deep_words(answer: Answer, units: UnitsInUse) -> list[tuple[str, str]]:
    """What to say of a deep D that is none: how deep and how strained it would be as one, as stiff as it is."""
    plan = answer.plan
    width, depth = plan.upper.sizes.widths_m[0], plan.upper.sizes.depths_m[0]
    if plan.section != Section.DEEP_D or depth / width >= DEEP:
        return []
    deep_m = (DEEP * width * depth**3) ** 0.25  # stiffness goes with width and the cube of depth
    words = _(
        "where the limb leaves the grip it is %(share)s as deep as wide, and a deep D is 5/8 at the least. As stiff "
        "and that deep it would be %(depth)s deep and strained about %(strain)s: plan it anew with that strain, "
        "longer, or of another section."
    )
    values = {
        "share": f"{int(100 * depth / width) / 100:g}",
        "depth": units.show(deep_m, "depth"),
        "strain": percent(answer.strained.pct * deep_m / depth),
    }
    return [(_("Flat for a deep D"), words % values)]


def green_words(plan: Plan) -> list[tuple[str, str]]:
    """What to say where a timber's stiffness is known of green wood only."""
    green = [wood.name for wood in plan.upper.woods if wood.modulus.why == "only_green"]
    words = _(
        "the stiffness of %(wood)s is known of green wood only. Dry it is stiffer: the bow comes out heavier."
    )
    return [(_("Green figure"), words % {"wood": ", ".join(green)})] if green else []


def slip_words(plan: Plan, units: UnitsInUse) -> list[tuple[str, str]]:
    """What to say of a planned size far from both beside it: a slip of the figure, most often."""
    words = _("%(limb)s, %(name)s %(size)s at %(at)s stands far from both beside it")
    found = [
        words
        % {
            "limb": limb_words(limb.name),
            "name": name,
            "size": units.show(sizes[number], "depth"),
            "at": units.show(limb.sizes.stations_m[number], "place"),
        }
        for limb in plan.limbs
        for name, sizes in ((_("width"), limb.sizes.widths_m), (_("depth"), limb.sizes.depths_m))
        for number in sorted(out_of_line(sizes))
    ]
    return [(_("Out of line"), "; ".join(found) + ".")] if found else []


def upright_words(plan: Plan, units: UnitsInUse) -> list[tuple[str, str]]:
    """What to say of limbs deeper than they are wide where they bend; a stiff tip may well be."""
    words = _("from %(at)s outward %(limb)s is deeper than it is wide: such a limb wants to twist.")
    found = []
    for limb in plan.limbs:
        start, sizes = plan.start_m(limb), limb.sizes
        tip = start + TIP_SHARE * (plan.length_m / 2 - start)
        columns = zip(sizes.stations_m, sizes.widths_m, sizes.depths_m, strict=True)
        deeper = [at for at, width, depth in columns if start <= at <= tip and depth > width]
        if deeper:
            values = {"at": units.show(deeper[0], "place"), "limb": limb_words(limb.name)}
            found.append((_("Deeper than wide"), words % values))
    return found


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


def same_weight_words(now_m_s: float, was_m_s: float, units: UnitsInUse) -> str:
    """How fast another plan is once its widths bring it to the weight of this one."""
    by = units.show(abs(now_m_s - was_m_s), "speed")
    if by == units.show(0.0, "speed"):
        return _("brought to the same weight by its widths as fast")
    words = (
        _("brought to the same weight by its widths %s faster")
        if now_m_s > was_m_s
        else _("brought to the same weight by its widths %s slower")
    )
    return words % by


def more_strained_words(answer: Answer | None, asked: float) -> str:
    """What is said of a first plan that could not be had at the strain asked for; nothing where it could, and nothing
    of one that was made already."""
    if answer is None or answer.strained.pct <= SO_STRAINED * 100 * asked:
        return ""
    words = _("%(asked)s was asked; at the most, between two marks, it comes to %(strain)s.")
    if answer.strained.pct > MORE_STRAINED * 100 * asked:
        words = _(
            "%(asked)s was asked, and it comes to %(strain)s. A longer bow or a shorter draw is wanted, or another "
            "lay-out."
        )
    return words % {"asked": percent(100 * asked), "strain": percent(answer.strained.pct)}
