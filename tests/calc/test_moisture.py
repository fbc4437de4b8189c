"""Equilibrium moisture, oven-dry moisture, weighings and the bench-ready band."""

import numpy as np
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from workshop.calc import moisture
from workshop.calc.errors import CalcError, Mismatch, NoSolution, OutOfRange, TooFew
from workshop.calc.moisture import KnownMoisture
from workshop.calc.tables import read_rows

TABLE = read_rows("emc_wood_handbook_table_4_2.csv")
HALF_DIGIT = 0.06  # the table is printed to 0.1 and the equation was fitted to it


def sorption(t, rh_pct, *, w, k, k1, k2):
    """Eq. 4-5 written out once more, its coefficients from outside: for other forms and wrong copies."""
    (w, k, k1, k2), h = (np.polynomial.polynomial.polyval(t, c) for c in (w, k, k1, k2)), rh_pct / 100
    kh, wet = k * h, k1 * k * h + k1 * k2 * (k * h) ** 2
    return 1800 / w * (kh / (1 - kh) + (wet + k1 * k2 * kh**2) / (1 + wet))


CELSIUS = {
    "w": (349, 1.29, 0.0135), "k": (0.805, 0.000736, -0.00000273),
    "k1": (6.27, -0.00938, -0.000303), "k2": (1.91, 0.0407, -0.000293),
}  # fmt: skip
FAHRENHEIT = {
    "w": (330, 0.452, 0.00415), "k": (0.791, 0.000463, -0.000000844),
    "k1": (6.34, 0.000775, -0.0000935), "k2": (1.09, 0.0284, -0.0000904),
}  # fmt: skip


@pytest.mark.parametrize(
    "row",
    [r for r in TABLE if r["flag"] == "verified"],
    ids=lambda r: f"{r['temperature_c']}C-{r['humidity_pct']}",
)
def test_the_ten_verified_cells_of_wood_handbook_table_4_2(row):
    """Wood Handbook FPL-GTR-282 (2021), Table 4-2, p. 4-4."""
    computed = moisture.equilibrium_pct(float(row["temperature_c"]), float(row["humidity_pct"]))
    assert computed == pytest.approx(float(row["equilibrium_moisture_pct"]), abs=HALF_DIGIT)


@pytest.mark.parametrize(
    ("temperature_c", "humidity_pct", "printed"),
    [(21.1, 50, 9.2), (21.1, 95, 23.9), (-1.1, 75, 14.9), (37.8, 90, 19.5), (21.1, 5, 1.3)],
)
def test_t1_to_t5_equilibrium_moisture_as_the_wood_handbook_prints_it(temperature_c, humidity_pct, printed):
    """T1-T5: Wood Handbook (2021) Table 4-2."""
    assert moisture.equilibrium_pct(temperature_c, humidity_pct) == pytest.approx(printed, abs=HALF_DIGIT)


def test_the_rest_of_table_4_2_as_remembered():
    """Cells from memory (certain). Largest difference 0.057 with six cells that round the other way."""
    t, rh, printed = (
        np.array([float(r[c]) for r in TABLE])
        for c in ("temperature_c", "humidity_pct", "equilibrium_moisture_pct")
    )
    computed = moisture.equilibrium_pct(t, rh)
    assert np.max(np.abs(computed - printed)) < HALF_DIGIT
    assert np.sum(np.round(computed, 1) != printed) <= 6


@pytest.mark.parametrize(("humidity_pct", "printed"), [(80, 16), (85, 18), (95, 24)])
def test_t10_equilibrium_moisture_at_20_c_as_swedish_wood_prints_it(humidity_pct, printed):
    """T10: TräGuiden, moisture of wood at 20 °C, whole percents."""
    assert moisture.equilibrium_pct(20, humidity_pct) == pytest.approx(printed, abs=0.1)


@pytest.mark.parametrize(("humidity_pct", "measured"), [(37, 7.3), (83, 16.5)])
def test_ash_in_a_trade_data_sheet_keeps_within_a_percent_of_the_equation(humidity_pct, measured):
    """Timber trade data sheet for Fraxinus excelsior at 20 °C; species differ most in damp air."""
    assert moisture.equilibrium_pct(20, humidity_pct) == pytest.approx(measured, abs=1.0)


def test_t6_and_other_computed_points():
    """T6 and the points computed from eq. 4-5 when it was checked; T6 also inside TräGuiden's 12 to 13 %."""
    assert moisture.equilibrium_pct(20, 65) == pytest.approx(12.00, abs=0.02)
    t, rh = np.array([20, 20, 0, 10, 25, 25, 40, 20]), np.array([50, 85, 65, 80, 30, 50, 30, 100])
    expected = [9.27, 18.00, 12.37, 16.38, 6.10, 9.13, 5.72, 28.84]
    assert moisture.equilibrium_pct(t, rh) == pytest.approx(expected, abs=0.006)
    assert moisture.equilibrium_pct(20, 0) == 0


def test_t7_the_fahrenheit_form_gives_the_worked_point_of_an_encyclopaedia():
    """T7: 140 °F and 55 % give 8.4 % (encyclopaedia article on equilibrium moisture content)."""
    assert sorption(140, 55, **FAHRENHEIT) == pytest.approx(8.4, abs=0.05)
    assert moisture.equilibrium_pct(60, 55) == pytest.approx(8.4, abs=0.05)


def test_t8_celsius_and_fahrenheit_forms_agree():
    """T8: the handbook prints both; they differ by at most 0.013 % over 30 to 120 °F and 5 to 95 %."""
    f, rh = np.meshgrid(np.arange(30.0, 121, 10), np.arange(5.0, 96, 5))
    difference = moisture.equilibrium_pct((f - 32) / 1.8, rh) - sorption(f, rh, **FAHRENHEIT)
    assert np.max(np.abs(difference)) <= 0.013


def test_known_wrong_copies_of_the_equation_would_be_caught():
    """Negative controls: copies with a slipped digit are about; they must fail T1, T4 or T7."""
    assert sorption(21.1, 50, **CELSIUS) == pytest.approx(moisture.equilibrium_pct(21.1, 50), rel=1e-12)
    slipped_k = CELSIUS | {"k": (0.805, 0.000736, -0.000000273)}
    assert sorption(37.8, 90, **slipped_k) == pytest.approx(19.70, abs=0.005)  # T4 wants 19.5
    assert sorption(21.1, 50, **FAHRENHEIT) == pytest.approx(9.47, abs=0.005)  # T1 wants 9.2
    assert sorption(37.8, 90, **FAHRENHEIT) == pytest.approx(21.02, abs=0.005)
    slipped_k1 = FAHRENHEIT | {"k1": (6.34, 0.000775, -0.0000453)}
    assert sorption(140, 55, **slipped_k1) == pytest.approx(8.52, abs=0.005)  # T7 wants 8.4


@pytest.mark.parametrize(
    ("moisture_pct", "humidity_pct"), [(12, 65.0), (8, 41.8), (10, 54.4), (16, 79.9), (20, 89.1)]
)
def test_t9_the_humidity_that_keeps_wood_at_a_moisture(moisture_pct, humidity_pct):
    """T9: Wood Handbook eq. 4-5 backwards at 20 °C."""
    assert moisture.humidity_for_pct(moisture_pct, 20) == pytest.approx(humidity_pct, abs=0.1)


@settings(derandomize=True, max_examples=60, deadline=None)
@given(st.floats(-40, 60), st.floats(0, 100))
def test_humidity_and_moisture_lead_back_to_each_other(temperature_c, humidity_pct):
    there = moisture.equilibrium_pct(temperature_c, humidity_pct)
    assert moisture.humidity_for_pct(there, temperature_c) == pytest.approx(humidity_pct, abs=1e-6)


@settings(derandomize=True, max_examples=60, deadline=None)
@given(st.floats(-1, 60), st.floats(0, 99))
def test_damper_air_makes_damper_wood(temperature_c, humidity_pct):
    assert moisture.equilibrium_pct(temperature_c, humidity_pct + 1) > moisture.equilibrium_pct(
        temperature_c, humidity_pct
    )


@pytest.mark.parametrize("humidity_pct", [-1, 100.5, float("nan"), float("inf")])
def test_humidity_outside_0_to_100_is_refused(humidity_pct):
    with pytest.raises(OutOfRange) as refused:
        moisture.equilibrium_pct(20, humidity_pct)
    assert refused.value.code == "humidity" and "humidity_pct" in refused.value.given


def test_a_climate_the_table_does_not_cover_is_answered_with_doubt():
    assert moisture.equilibrium(20, 65).ok
    assert moisture.equilibrium(-20, 65).why == "temperature_outside_table"
    assert moisture.equilibrium(20, 98).why == "humidity_outside_table"
    with pytest.raises(OutOfRange):
        moisture.equilibrium(200, 50)
    with pytest.raises(NoSolution):
        moisture.humidity_for_pct(40, 20)


def test_t11_and_t12_oven_dry_moisture_and_the_wet_basis():
    """T11, T12: Wood Handbook (2021) eq. 4-2; EN 13183-1."""
    assert moisture.moisture_pct(1.100, 1.000) == pytest.approx(10.0, abs=0.01)
    assert moisture.wet_basis_pct(10.0) == pytest.approx(9.09, abs=0.01)
    assert moisture.moisture_from_wet_basis_pct(20) == pytest.approx(25.0, abs=0.01)
    assert moisture.wet_basis_pct(12) == pytest.approx(10.7, abs=0.05)


@pytest.mark.parametrize(("mass_kg", "dry_kg"), [(0.9, 1.0), (1.0, 0.0), (1.0, -1.0), (5.0, 1.0)])
def test_masses_that_cannot_be_are_refused(mass_kg, dry_kg):
    with pytest.raises(OutOfRange):
        moisture.moisture_pct(mass_kg, dry_kg)


def test_an_oven_dried_slice_gives_the_weighings_their_zero():
    """Agriculture Handbook 188 (from memory, certain): 800 g at 42 % is 619.7 g at 10 %."""
    series = moisture.calibrate_weighings([0.800, 0.6197, 0.5634], [KnownMoisture(0.800, 42)])
    assert series.dry_mass_kg == pytest.approx(0.5634, abs=0.00005)
    assert series.moistures_pct[:2] == pytest.approx((42, 10), abs=0.01)
    assert series.ok and series.doubts_pct[0] > series.doubts_pct[1] > 0.3


def test_an_oven_dried_slice_counts_for_more_than_a_meter():
    slice_dried, metered = KnownMoisture(1.10, 10, 0.5), KnownMoisture(1.10, 14, 2.0)
    both = moisture.calibrate_weighings([1.10], [slice_dried, metered])
    assert 10.0 < both.moistures_pct[0] < 10.5
    assert both.doubts_pct[0] < 0.5


def test_tests_that_disagree_mean_the_series_must_start_anew():
    """The bark came off between the two tests."""
    series = moisture.calibrate_weighings([2.0, 1.5], [KnownMoisture(2.0, 30), KnownMoisture(1.5, 20)])
    assert not series.ok and series.why == "tests_disagree"


def test_a_piece_lighter_than_its_dry_mass_is_pointed_out():
    series = moisture.calibrate_weighings([1.2, 0.9], [KnownMoisture(1.2, 20)])
    assert series.moistures_pct[1] is None and series.why == "lighter_than_dry"
    with pytest.raises(TooFew):
        moisture.calibrate_weighings([1.2], [])


def test_white_woods_are_wanted_at_8_to_10_and_yew_at_9_to_12():
    """Common practice, no source."""
    white, yew = moisture.WHITE_WOODS_BAND, moisture.YEW_BAND
    assert (white.low_pct, white.high_pct, yew.low_pct, yew.high_pct) == (8, 10, 9, 12)
    assert moisture.bench_ready(8.0, white).ok and moisture.bench_ready(12.0, yew).ok
    assert moisture.bench_ready(11.0, white).why == "too_wet"
    assert moisture.bench_ready(5.5, white) == moisture.BenchReady(False, "too_dry", 2.5)
    with pytest.raises(Mismatch):
        moisture.Band(12, 8)


def test_a_damp_shed_never_reaches_the_band():
    """Common practice: a shed at 10 °C and 80 % holds wood at about 16 %."""
    assert moisture.equilibrium_pct(10, 80) == pytest.approx(16, abs=0.5)
    assert not moisture.bench_ready(moisture.equilibrium_pct(10, 80), moisture.YEW_BAND).ok


@settings(derandomize=True, max_examples=50, deadline=None)
@given(st.floats(allow_nan=True, allow_infinity=True), st.floats(allow_nan=True, allow_infinity=True))
def test_whatever_is_put_in_the_answer_is_a_number_or_a_named_refusal(a, b):
    for question in (
        moisture.equilibrium_pct,
        moisture.moisture_pct,
        moisture.humidity_for_pct,
        moisture.dry_mass_kg,
    ):
        try:
            assert np.isfinite(question(a, b))
        except CalcError as refused:
            assert refused.code and refused.allowed
