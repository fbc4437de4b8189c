"""How stiff and heavy a timber is, from the best that is known of it, and where that is from.

Measured here comes first: offcuts of the very piece bent, then the maker's own figure for the timber; then what is
published, then the line on density (never for yew). Each is carried to the wood's own moisture.
"""

from collections.abc import Callable, Sequence
from dataclasses import replace

from django.utils.translation import gettext as _

from workshop.calc import strength
from workshop.calc.errors import CalcError
from workshop.calc.offcut import BendTest, bend_test
from workshop.calc.tables import Kind, timbers
from workshop.calc.tables import Timber as Published
from workshop.calc.timber import Known, MeasuredGravity, Origin, density_kg_m3, specific_gravity
from workshop.staves.models import BendTest as BendReading
from workshop.staves.models import Timber, TimberValue
from workshop.staves.models.timber import TimberQuantity

OWN_COLUMNS = (TimberQuantity.SHRINK_R, TimberQuantity.SHRINK_T, TimberQuantity.FSP)


def printed_of(timber: Timber) -> Published:
    """The printed figures of a timber; of a maker's own timber none, but its kind."""
    kind = Kind(timber.kind) if timber.kind in set(Kind) else None
    own = Published(code=timber.code, name=timber.name, botanical_name=timber.botanical, kind=kind)
    return timbers().get(timber.code, own)


def own_value(timber: Timber, quantity: str) -> TimberValue | None:
    """The maker's own figure that stands, the last one written; read from what was prefetched."""
    values = [each for each in timber.own_values.all() if each.quantity == quantity and not each.is_struck]
    return values[-1] if values else None


def figures_of(timber: Timber) -> Published:
    """What is known of a timber: printed, the maker's own density, shrinkage and fibre saturation before it."""
    found = {quantity.value: own_value(timber, quantity) for quantity in OWN_COLUMNS}
    known = {column: own.value for column, own in found.items() if own is not None}
    if own := own_value(timber, TimberQuantity.DENSITY_12):
        known |= {"at12_specific_gravity": None, "density_12_kg_m3": own.value}
    return replace(printed_of(timber), **known)


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


def stiffness(
    timber: Timber,
    moisture_pct: float,
    tests: Sequence[BendTest] = (),
    gravity: MeasuredGravity | None = None,
) -> Known:
    """Stiffness of a timber at a moisture [Pa]: offcuts of the piece, the maker's own figure, print, density.

    `gravity` is the piece's own by weighing: it serves the line on density, where nothing better is known.
    """
    own = own_value(timber, TimberQuantity.MOE_12)
    if own is not None and not any(test.ok for test in tests):
        return _carried(own, printed_of(timber), moisture_pct)
    return strength.stiffness(figures_of(timber), moisture_pct, tests=tests, gravity=gravity)


def known(find: Callable[[], Known]) -> Known:
    """A figure of the maker's own may lie where no formula holds; then nothing is known."""
    try:
        return find()
    except CalcError:
        return Known.nothing("out_of_range")


def _carried(own: TimberValue, printed: Published, moisture_pct: float) -> Known:
    """The maker's own figure at 12 %, carried to the moisture by the timber's printed ratio, where there is one."""
    here, at_12 = (strength.published(printed, "stiffness", each) for each in (moisture_pct, 12.0))
    both = here.value is not None and not here.why and not at_12.why
    ratio = here.value / at_12.value if both else 1.0
    near = both or abs(moisture_pct - 12.0) <= 3.0
    # his figure is of the timber, this piece is one of it: pieces of one species differ as the handbook says
    doubt = own.value * ratio * strength.VARIATION_PCT["stiffness"] / 100
    return Known(own.value * ratio, doubt, Origin.MEASURED, own.source, near, "" if near else "only_at_12")


def density(timber: Timber, moisture_pct: float, gravity: MeasuredGravity | None = None) -> Known:
    """Density at a moisture [kg/m3]: the piece's own by weighing, the maker's own figure, else published."""
    own = own_value(timber, TimberQuantity.DENSITY_12)
    found = specific_gravity(figures_of(timber), moisture_pct, gravity)
    if found.value is None:
        return found
    wet = density_kg_m3(found.value, moisture_pct)
    found = replace(found, value=wet, doubt=wet * found.doubt / found.value)
    if gravity is not None:
        return replace(found, source=_("the piece itself, weighed and measured"))
    return replace(found, origin=Origin.MEASURED, source=own.source) if own else found
