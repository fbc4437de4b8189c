"""How stiff and heavy the wood of a bow is, from the best that is known of it, and where that is from.

Measured here comes first: offcuts of the very piece bent, then the maker's own figure for the timber; then what is
published, then the line on density (never for yew). Each is carried to the wood's own moisture.
"""

from collections.abc import Sequence
from dataclasses import dataclass, replace

from workshop.bows.plan.design import Wood
from workshop.calc import strength
from workshop.calc.errors import CalcError, OutOfRange, require
from workshop.calc.offcut import BendTest, bend_test
from workshop.calc.tables import Kind, timbers
from workshop.calc.tables import Timber as Published
from workshop.calc.timber import Known, Origin, density_kg_m3, specific_gravity
from workshop.staves.models import BendTest as BendReading
from workshop.staves.models import Timber
from workshop.staves.models.timber import TimberQuantity


@dataclass(frozen=True)
class Moisture:
    """How wet the wood is taken to be, in percent; `how` is a code: typed, weigh_in, stave, workshop."""

    pct: float
    how: str
    tag: str = ""


def published_of(timber: Timber) -> Published:
    """The printed figures of a timber; of a maker's own timber none, but its kind."""
    kind = Kind(timber.kind) if timber.kind in set(Kind) else None
    own = Published(code=timber.code, name=timber.name, botanical_name=timber.botanical, kind=kind)
    return timbers().get(timber.code, own)


def own_value(timber: Timber, quantity: str):
    """The maker's own figure that stands, the last one written; read from what was prefetched."""
    values = [each for each in timber.own_values.all() if each.quantity == quantity and not each.is_struck]
    return values[-1] if values else None


def offcuts(readings: Sequence[BendReading], moisture_pct: float) -> list[BendTest]:
    """The offcuts bent, as the arithmetic takes them; one without a moisture is taken to be as wet as the bow."""
    made = []
    for each in readings:
        if each.is_struck:
            continue
        wet = moisture_pct if each.moisture_pct is None else each.moisture_pct
        try:
            made.append(
                bend_test(
                    [each.load_n], [each.deflection_m],
                    span_m=each.span_m, width_m=each.width_m, depth_m=each.depth_m, moisture_pct=wet,
                )
            )  # fmt: skip
        except CalcError:
            continue
    return made


def stiffness(timber: Timber, moisture_pct: float, tests: Sequence[BendTest] = ()) -> Known:
    """Stiffness of a timber at a moisture [Pa]: offcuts of the piece, the maker's own figure, print, density."""
    printed = published_of(timber)
    own = own_value(timber, TimberQuantity.MOE_12)
    if own is not None and not any(test.ok for test in tests):
        return _carried(own, printed, moisture_pct)
    own_density = own_value(timber, TimberQuantity.DENSITY_12)
    if own_density is not None:
        printed = replace(printed, at12_specific_gravity=None, density_12_kg_m3=own_density.value)
    return strength.stiffness(printed, moisture_pct, tests=tests)


def _carried(own, printed: Published, moisture_pct: float) -> Known:
    """The maker's own figure at 12 %, carried to the moisture by the timber's printed ratio, where there is one."""
    here, at_12 = (strength.published(printed, "stiffness", each) for each in (moisture_pct, 12.0))
    both = here.value is not None and not here.why and not at_12.why
    ratio = here.value / at_12.value if both else 1.0
    near = both or abs(moisture_pct - 12.0) <= 3.0
    # his figure is of the timber, this piece is one of it: pieces of one species differ as the handbook says
    doubt = own.value * ratio * strength.VARIATION_PCT["stiffness"] / 100
    return Known(own.value * ratio, doubt, Origin.MEASURED, own.source, near, "" if near else "only_at_12")


def density(timber: Timber, moisture_pct: float) -> Known:
    """Density of a timber at a moisture [kg/m3]: the maker's own figure, else what is published."""
    printed, origin = published_of(timber), None
    own = own_value(timber, TimberQuantity.DENSITY_12)
    if own is not None:
        printed = replace(printed, at12_specific_gravity=None, density_12_kg_m3=own.value)
        origin = own
    gravity = specific_gravity(printed, moisture_pct)
    if gravity.value is None:
        return gravity
    wet = density_kg_m3(gravity.value, moisture_pct)
    known = replace(gravity, value=wet, doubt=wet * gravity.doubt / gravity.value)
    return replace(known, origin=Origin.MEASURED, source=origin.source) if origin else known


def wood_of(
    timber: Timber,
    moisture: Moisture,
    *,
    bends: Sequence[BendReading] = (),
    depth_m: float | None = None,
    modulus_pa: float | None = None,
) -> Wood:
    """One layer of this timber; a typed stiffness stands before everything known.

    Errors: `OutOfRange` a moisture above the timber's intersection point: wood so wet is green, and no bow.
    """
    driest_green = published_of(timber).intersection_moisture_pct
    require(
        0 <= moisture.pct <= driest_green,
        OutOfRange,
        "moisture_above_intersection",
        allowed=f"0 to {driest_green:g} %",
        moisture_pct=moisture.pct,
    )
    known = stiffness(timber, moisture.pct, offcuts(bends, moisture.pct))
    if modulus_pa is not None:
        known = Known(modulus_pa, 0.0, Origin.MEASURED, "", True, "typed")
    return Wood(timber.name, known, density(timber, moisture.pct), moisture.pct, depth_m, timber.code)


def nominal_pct(timber: Timber, moisture_pct: float) -> Known:
    """MOR over MOE, printed: a nominal figure from small beams, never a breaking strain."""
    try:
        return strength.nominal_strain_pct(published_of(timber), moisture_pct)
    except CalcError:
        return Known.nothing("nothing_published")


def rule_pct(timber: Timber) -> Known:
    """The published rule of radius to thickness, as a strain."""
    return strength.radius_rule_pct(published_of(timber))
