"""The wood of a plan: one timber or several layers at their moisture, and what its strain is laid beside."""

from collections.abc import Sequence
from dataclasses import dataclass

from workshop.bows.plan.design import Wood
from workshop.calc import strength
from workshop.calc.errors import CalcError, OutOfRange, require
from workshop.calc.timber import Known, MeasuredGravity, Origin
from workshop.staves.models import BendTest as BendReading
from workshop.staves.models import Timber
from workshop.staves.wood import density, known, offcuts, printed_of, stiffness


@dataclass(frozen=True)
class Moisture:
    """How wet the wood is taken to be, in percent; `how` is a code: typed, weigh_in, stave, workshop."""

    pct: float
    how: str
    tag: str = ""


def wood_of(
    timber: Timber,
    moisture: Moisture,
    *,
    bends: Sequence[BendReading] = (),
    gravity: MeasuredGravity | None = None,
    depth_m: float | None = None,
    modulus_pa: float | None = None,
) -> Wood:
    """One layer of this timber; a typed stiffness stands before everything known. `bends` and `gravity` are of the
    very piece.

    Errors: `OutOfRange` a moisture above the timber's intersection point: wood so wet is green, and no bow.
    """
    driest_green = printed_of(timber).intersection_moisture_pct
    require(
        0 <= moisture.pct <= driest_green,
        OutOfRange,
        "moisture_above_intersection",
        allowed=f"0 to {driest_green:g} %",
        moisture_pct=moisture.pct,
    )
    stiff = known(lambda: stiffness(timber, moisture.pct, offcuts(bends, moisture.pct), gravity))
    if modulus_pa is not None:
        stiff = Known(modulus_pa, 0.0, Origin.MEASURED, "", True, "typed")
    heavy = known(lambda: density(timber, moisture.pct, gravity))
    return Wood(timber.name, stiff, heavy, moisture.pct, depth_m, timber.code)


def nominal_pct(timber: Timber, moisture_pct: float) -> Known:
    """MOR over MOE, printed: a nominal figure from small beams, never a breaking strain."""
    try:
        return strength.nominal_strain_pct(printed_of(timber), moisture_pct)
    except CalcError:
        return Known.nothing("nothing_published")


def rule_pct(timber: Timber) -> Known:
    """The published rule of radius to thickness, as a strain."""
    return strength.radius_rule_pct(printed_of(timber))
