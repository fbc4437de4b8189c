"""The published tables in `shared/`, read once and handed out as frozen values."""

import csv
from collections.abc import Mapping
from dataclasses import dataclass, field
from enum import StrEnum
from functools import cache
from pathlib import Path
from types import MappingProxyType

SHARED = Path(__file__).resolve().parents[2] / "shared"


class Kind(StrEnum):
    """How the pores of a wood stand in the growth ring; decides what a ring count says."""

    RING_POROUS = "ring-porous"
    SEMI_RING_POROUS = "semi-ring-porous"
    DIFFUSE_POROUS = "diffuse-porous"
    SOFTWOOD = "softwood"


class Flag(StrEnum):
    """How surely a published value is known; see `shared/README.md`."""

    VERIFIED = "verified"
    MEMORY_HIGH = "memory-high"
    MEMORY_MEDIUM = "memory-medium"


@dataclass(frozen=True, slots=True)
class Source:
    """Where a published value stands, and how it was seen."""

    text: str
    flag: Flag


@dataclass(frozen=True, slots=True, kw_only=True)
class Timber:
    """What is published about one timber; `None` where nothing trustworthy was found.

    `sources` maps the group of a value (`green`, `at12`, `density_12`, `shrinkage`, `fibre_saturation`,
    ...) to its `Source`. A maker's own timber is the same class with his own figures.
    """

    code: str
    name: str
    botanical_name: str = ""
    kind: Kind | None = None
    green_specific_gravity: float | None = None
    green_bending_strength_pa: float | None = None
    green_stiffness_pa: float | None = None
    at12_specific_gravity: float | None = None
    at12_bending_strength_pa: float | None = None
    at12_stiffness_pa: float | None = None
    density_12_kg_m3: float | None = None
    intersection_moisture_pct: float = 25.0
    shrinkage_radial_pct: float | None = None
    shrinkage_tangential_pct: float | None = None
    shrinkage_volumetric_pct: float | None = None
    fibre_saturation_pct: float | None = None
    green_moisture_heartwood_pct: float | None = None
    green_moisture_sapwood_pct: float | None = None
    dust: str = ""
    note: str = ""
    sources: Mapping[str, Source] = field(default_factory=dict)

    def source_of(self, group: str) -> str:
        """The words naming where a group of values stands; empty when a maker gave them himself."""
        return self.sources[group].text if group in self.sources else ""

    @property
    def is_yew(self) -> bool:
        """Yew is far less stiff than its density suggests, and its ring count says little of its density."""
        return self.botanical_name.startswith("Taxus")


_TEXT = {"code", "name", "botanical_name", "dust", "note"}


@cache
def timbers() -> Mapping[str, Timber]:
    """All published timbers by code, in the order of `shared/timbers.csv`.

    >>> timbers()["osage-orange"].green_stiffness_pa
    9200000000.0
    >>> timbers()["hazel"].at12_stiffness_pa is None
    True
    """
    return MappingProxyType({row["code"]: _timber(row) for row in read_rows("timbers.csv")})


@cache
def meter_resistance() -> Mapping[str, tuple[tuple[float, float], ...]]:
    """Per timber the pairs (moisture [%], resistance [megohm]) of James 1988, FPL-GTR-6, Table 1.

    >>> meter_resistance()["douglas-fir"][0]
    (7.0, 22400.0)
    """
    rows = read_rows("meter_resistance_fpl_gtr_6.csv")
    names = [name for name in rows[0] if name != "moisture_pct"]
    return MappingProxyType(
        {name: tuple((float(r["moisture_pct"]), float(r[name])) for r in rows if r[name]) for name in names}
    )


def read_rows(file_name: str) -> list[dict[str, str]]:
    """The rows of one table of `shared/` as text, by column name."""
    with open(SHARED / file_name, encoding="utf-8", newline="") as table:
        return list(csv.DictReader(table))


def _timber(row: dict[str, str]) -> Timber:
    values: dict[str, object] = {}
    sources = {}
    for column, text in row.items():
        if column.endswith("_source"):
            group = column.removesuffix("_source")
            if text:
                sources[group] = Source(text, Flag(row[f"{group}_flag"]))
        elif column.endswith("_flag") or not text:
            continue
        elif column == "kind":
            values[column] = Kind(text)
        else:
            values[column] = text if column in _TEXT else float(text)
    return Timber(**values, sources=MappingProxyType(sources))
