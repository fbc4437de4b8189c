"""What is published of a timber, line by line, with where it stands and how surely it is known."""

from dataclasses import dataclass

from django.utils.functional import Promise
from django.utils.translation import gettext_lazy as _

from workshop.calc.tables import Flag, timbers
from workshop.calc.tables import Timber as Published
from workshop.staves.models import Timber, TimberValue
from workshop.staves.models.timber import TimberQuantity

QUANTITY_KINDS = {
    TimberQuantity.DENSITY_12: "density",
    TimberQuantity.MOE_12: "modulus",
    TimberQuantity.MOR_12: "strength",
    TimberQuantity.SHRINK_R: "percent",
    TimberQuantity.SHRINK_T: "percent",
    TimberQuantity.FSP: "percent",
}  # fmt: skip

# column of the table, its group of sources, what it is, kind of quantity ("" a bare figure)
LINES = (
    ("at12_specific_gravity", "at12", _("specific gravity at 12 % moisture"), ""),
    ("at12_stiffness_pa", "at12", _("stiffness (MOE) at 12 % moisture"), "modulus"),
    ("at12_bending_strength_pa", "at12", _("bending strength (MOR) at 12 % moisture"), "strength"),
    ("density_12_kg_m3", "density_12", _("density at 12 % moisture"), "density"),
    ("green_specific_gravity", "green", _("specific gravity, green"), ""),
    ("green_stiffness_pa", "green", _("stiffness (MOE), green"), "modulus"),
    ("green_bending_strength_pa", "green", _("bending strength (MOR), green"), "strength"),
    ("shrinkage_radial_pct", "shrinkage", _("radial shrinkage, green to oven-dry"), "percent"),
    ("shrinkage_tangential_pct", "shrinkage", _("tangential shrinkage, green to oven-dry"), "percent"),
    ("shrinkage_volumetric_pct", "shrinkage", _("shrinkage of the volume"), "percent"),
    ("fibre_saturation_pct", "fibre_saturation", _("fibre saturation"), "percent"),
    ("green_moisture_heartwood_pct", "green_moisture", _("moisture of green heartwood"), "moisture"),
    ("green_moisture_sapwood_pct", "green_moisture", _("moisture of green sapwood"), "moisture"),
)
SURENESS = {
    Flag.VERIFIED: _("seen in print"),
    Flag.MEMORY_HIGH: _("from memory, fairly certain"),
    Flag.MEMORY_MEDIUM: _("from memory, less certain"),
}


@dataclass(frozen=True)
class Line:
    what: Promise
    value: float
    kind: str
    source: str
    sureness: Promise


@dataclass(frozen=True)
class PublishedTimber:
    lines: tuple[Line, ...]
    blank: tuple[Promise, ...]
    dust: str
    dust_source: str
    note: str


def published_of(timber: Timber) -> PublishedTimber | None:
    """What the table of timbers holds of it; None for a timber of the maker's own."""
    found: Published | None = timbers().get(timber.code)
    if found is None:
        return None
    lines, blank = [], []
    for column, group, what, kind in LINES:
        value, source = getattr(found, column), found.sources.get(group)
        if value is None:
            blank.append(what)
            continue
        lines.append(
            Line(what, value, kind, source.text if source else "", SURENESS[source.flag] if source else "")
        )
    return PublishedTimber(tuple(lines), tuple(blank), found.dust, found.source_of("dust"), found.note)


def dust_of(timber: Timber) -> str:
    """The hazard of its dust, as published, or nothing."""
    found = timbers().get(timber.code)
    return found.dust if found else ""


def own_values(timber: Timber) -> list[tuple[TimberValue, str]]:
    """The maker's own figures, quantity by quantity, each with the kind to show it in."""
    order = list(TimberQuantity)
    values = timber.own_values.select_related("entered_by", "struck_by")
    return [
        (value, QUANTITY_KINDS[value.quantity])
        for value in sorted(values, key=lambda each: (order.index(each.quantity), each.pk))
    ]
