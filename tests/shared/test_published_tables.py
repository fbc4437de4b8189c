"""The published tables are whole, plausible, and every value says where it is from."""

import csv
import math
import re

import pytest

from workshop.calc.tables import SHARED, Flag, Kind, meter_resistance, read_rows, timbers

TIMBERS = read_rows("timbers.csv")
EMC = read_rows("emc_wood_handbook_table_4_2.csv")

# One group of values has one source: its columns, by the group's name.
GROUPS = {
    "kind": ["kind"],
    "green": ["green_specific_gravity", "green_bending_strength_pa", "green_stiffness_pa"],
    "at12": ["at12_specific_gravity", "at12_bending_strength_pa", "at12_stiffness_pa"],
    "density_12": ["density_12_kg_m3"],
    "intersection_moisture": ["intersection_moisture_pct"],
    "shrinkage": ["shrinkage_radial_pct", "shrinkage_tangential_pct", "shrinkage_volumetric_pct"],
    "fibre_saturation": ["fibre_saturation_pct"],
    "green_moisture": ["green_moisture_heartwood_pct", "green_moisture_sapwood_pct"],
    "dust": ["dust"],
}

# What is believable of a bow timber; outside it a unit was mistaken (kPa for Pa) or a digit slipped.
BELIEVABLE = {
    "green_specific_gravity": (0.35, 0.85),
    "at12_specific_gravity": (0.40, 0.95),
    "green_bending_strength_pa": (35e6, 110e6),
    "at12_bending_strength_pa": (60e6, 160e6),
    "green_stiffness_pa": (5e9, 14e9),
    "at12_stiffness_pa": (6.5e9, 17e9),
    "density_12_kg_m3": (450, 950),
    "intersection_moisture_pct": (21, 28),
    "shrinkage_radial_pct": (3, 9),
    "shrinkage_tangential_pct": (5, 13),
    "shrinkage_volumetric_pct": (9, 19),
    "fibre_saturation_pct": (20, 32),
    "green_moisture_heartwood_pct": (25, 150),
    "green_moisture_sapwood_pct": (25, 150),
}

COLUMN_SUMS = {
    "green_specific_gravity": 9.62,
    "at12_specific_gravity": 11.04,
    "green_bending_strength_pa": 1131100000,
    "at12_bending_strength_pa": 2173000000,
    "green_stiffness_pa": 1.5663e11,
    "at12_stiffness_pa": 2.4941e11,
    "density_12_kg_m3": 5234,
    "intersection_moisture_pct": 701,
    "shrinkage_radial_pct": 83.4,
    "shrinkage_tangential_pct": 140.6,
    "shrinkage_volumetric_pct": 223.1,
    "fibre_saturation_pct": 22,
    "green_moisture_heartwood_pct": 1066,
    "green_moisture_sapwood_pct": 938,
}


def test_there_are_at_least_24_bow_timbers_each_once():
    codes = [row["code"] for row in TIMBERS]
    assert len(codes) >= 24
    assert len(set(codes)) == len(codes) == len({row["name"] for row in TIMBERS})
    assert all(re.fullmatch(r"[a-z]+(-[a-z]+)*", code) for code in codes)


@pytest.mark.parametrize("name", sorted(path.name for path in SHARED.glob("*.csv")))
def test_every_row_has_as_many_cells_as_the_head(name):
    with open(SHARED / name, encoding="utf-8", newline="") as table:
        rows = list(csv.reader(table))
    assert len({len(row) for row in rows}) == 1
    assert all(cell == cell.strip() for row in rows for cell in row)
    assert name in (SHARED / "README.md").read_text(encoding="utf-8")


def test_every_column_belongs_to_a_group_with_a_source():
    plain = {"code", "name", "botanical_name", "note"}
    grouped = {column for columns in GROUPS.values() for column in columns}
    marks = {f"{group}_{what}" for group in GROUPS for what in ("source", "flag")}
    assert set(TIMBERS[0]) == plain | grouped | marks


@pytest.mark.parametrize("row", TIMBERS, ids=lambda row: row["code"])
def test_every_value_has_a_source_and_no_source_stands_without_a_value(row):
    for group, columns in GROUPS.items():
        has_value = any(row[column] for column in columns)
        assert has_value == bool(row[f"{group}_source"]) == bool(row[f"{group}_flag"]), group
        assert not has_value or row[f"{group}_flag"] in set(Flag)
    assert not row["kind"] or row["kind"] in set(Kind)
    assert row["name"] and row["botanical_name"]


@pytest.mark.parametrize("row", TIMBERS, ids=lambda row: row["code"])
def test_every_figure_is_believable(row):
    for column, (low, high) in BELIEVABLE.items():
        assert not row[column] or low <= float(row[column]) <= high, column


@pytest.mark.parametrize("timber", timbers().values(), ids=lambda timber: timber.code)
def test_dry_wood_is_stronger_stiffer_and_shrinks_more_along_the_rings(timber):
    for name in ("bending_strength_pa", "stiffness_pa", "specific_gravity"):
        green, dry = getattr(timber, f"green_{name}"), getattr(timber, f"at12_{name}")
        assert green is None or dry is None or 1.0 < dry / green < 1.9, name
    if timber.shrinkage_radial_pct:
        assert timber.shrinkage_tangential_pct > timber.shrinkage_radial_pct
    if timber.shrinkage_radial_pct and timber.shrinkage_volumetric_pct:
        # the volume is about what the two directions make together; print rounds, and specimens differ
        both = timber.shrinkage_radial_pct + timber.shrinkage_tangential_pct
        assert 0.8 < timber.shrinkage_volumetric_pct / both < 1.2


def test_the_columns_still_add_up_to_what_was_entered():
    """A guard against a slipped digit: the column sums of the day they were checked against the sources."""
    sums = {column: math.fsum(float(row[column] or 0) for row in TIMBERS) for column in BELIEVABLE}
    assert sums == pytest.approx(COLUMN_SUMS, rel=1e-12)


def test_osage_and_hazel_stay_blank_where_nothing_was_published():
    osage, hazel = timbers()["osage-orange"], timbers()["hazel"]
    assert osage.at12_stiffness_pa is None and osage.at12_bending_strength_pa is None
    assert osage.shrinkage_radial_pct is None and osage.shrinkage_volumetric_pct == 9.2
    assert all(getattr(hazel, c) is None for c in BELIEVABLE if c != "intersection_moisture_pct")
    assert timbers()["yew-common"].shrinkage_volumetric_pct is None


def test_the_equilibrium_table_is_a_full_grid_with_ten_verified_cells():
    temperatures = {row["temperature_c"] for row in EMC}
    humidities = {row["humidity_pct"] for row in EMC}
    assert len(EMC) == len(temperatures) * len(humidities) == 140
    assert sum(row["flag"] == Flag.VERIFIED for row in EMC) == 10
    assert {row["flag"] for row in EMC} == {Flag.VERIFIED, Flag.MEMORY_HIGH}
    for row in EMC:  # the two temperature columns are the same temperature
        assert (float(row["temperature_f"]) - 32) / 1.8 == pytest.approx(
            float(row["temperature_c"]), abs=0.06
        )


def test_resistance_falls_as_wood_gets_wetter():
    table = meter_resistance()
    assert len(table) == 9 and len(table["douglas-fir"]) == 19
    for column in table.values():
        moistures, resistances = zip(*column, strict=True)
        assert list(moistures) == sorted(moistures)
        assert list(resistances) == sorted(resistances, reverse=True)
    known = set(timbers()) | {"douglas-fir", "hickory", "basswood"}
    assert set(table) <= known
