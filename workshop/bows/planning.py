"""A bow's plan by common practice: what is proposed where nothing is written, and where the stations stand."""

from django.utils.translation import gettext as _

from workshop.bows.grip import grip_of
from workshop.bows.models import Bow
from workshop.bows.models.bow import BowKind
from workshop.calc.errors import CalcError
from workshop.calc.imperial import INCH_M
from workshop.calc.layout import (
    GRIP_ABOVE_M,
    GRIP_BELOW_M,
    STEP_INCHES_M,
    STEP_METRIC_M,
    full_compass_length,
    stations,
    stiff_handled_length,
)
from workshop.ledger.units import UnitsInUse

PLANNED = (
    "kind", "wanted_n", "wanted_draw_m", "draw_from", "tolerance_n", "length_m", "grip_m", "grip_above_m", "fade_m",
    "section", "curve", "brace_m", "grip_depth_m", "hand", "nocks", "bowstring", "low_stretch_fit",
    "class_rules",
)  # fmt: skip


def plan_proposed(bow: Bow) -> dict:
    """The plan as it is written; grip and fades as is common where nothing is written of them."""
    plan = {name: getattr(bow, name) for name in PLANNED}
    if bow.grip_m is None and bow.grip_above_m is None and bow.fade_m is None:
        grip = grip_of(bow)
        plan |= {"grip_m": grip.whole_m, "grip_above_m": grip.above_m, "fade_m": grip.fade_m or None}
    return plan


def plan_words(bow: Bow, units: UnitsInUse) -> str:
    """What common practice says of the grip, and of the length for the draw that is wanted."""
    grip = _("Common practice: the grip %(above)s above the middle and %(below)s below it.") % {
        "above": units.show(GRIP_ABOVE_M, "place"),
        "below": units.show(GRIP_BELOW_M, "place"),
    }
    if not bow.wanted_draw_m:
        return grip
    if bow.kind == BowKind.COMPASS:
        length = full_compass_length(bow.wanted_draw_m)
    else:
        held = grip_of(bow)
        length = stiff_handled_length(bow.wanted_draw_m, grip_m=held.whole_m, fade_m=held.fade_m)
    return (
        grip
        + " "
        + _("For this draw and kind, %(least)s to %(most)s nock to nock.")
        % {
            "least": units.show(_whole(length.least_m, units), "length"),
            "most": units.show(_whole(length.most_m, units), "length"),
        }
    )


def _whole(length_m: float, units: UnitsInUse) -> float:
    """To a whole inch or centimetre: a rule of thumb knows no finer."""
    step_m = 0.01 if units.system == "metric" else INCH_M
    return round(length_m / step_m) * step_m


def stations_proposed(bow: Bow, units: UnitsInUse, *, upper: str = "A") -> dict[str, list[float]]:
    """Where to measure on each limb, from the middle outward; nothing while the length is not planned.

    Both by one rule: the middle mark, the end of the grip on that side, of its fade, even steps, the nock.
    """
    limbs: dict[str, list[float]] = {"A": [], "B": []}
    if not bow.length_m:
        return limbs
    grip = grip_of(bow)
    step = STEP_METRIC_M if units.system == "metric" else STEP_INCHES_M
    try:
        marks = stations(
            bow.length_m,
            grip_above_m=grip.above_m,
            grip_below_m=grip.below_m,
            fade_m=grip.fade_m,
            step_m=step,
        )
    except CalcError:
        return limbs
    lower = "B" if upper == "A" else "A"
    for mark in marks:
        if mark.at_m >= 0:
            limbs[upper].append(mark.at_m)
        if mark.at_m <= 0:
            limbs[lower].append(-mark.at_m)
    return {limb: sorted(places) for limb, places in limbs.items()}
