"""A pin meter's reading, corrected for temperature by one named rule, and for timber where a table exists."""

import pytest

from workshop.calc import meter
from workshop.calc.errors import OutOfRange
from workshop.calc.tables import timbers


def garrahan_pct(reading_pct, temperature_c):
    """The other published rule, for Douglas-fir: Pfaff and Garrahan (attribution from memory)."""
    r, x = reading_pct, temperature_c
    return (r + 0.567 - 0.0260 * x + 0.000051 * x**2) / (0.881 * 1.0056**x)


def test_t25_a_reading_of_12_in_freezing_wood_is_really_almost_14():
    """T25: Wood Handbook (2021) p. 13-3: 0.5 % for every 5.6 °C (10 °F) from the calibration temperature."""
    assert meter.corrected(12, 0, calibrated_at_c=20).moisture_pct == pytest.approx(13.79, abs=0.01)
    assert meter.corrected(12, 20).moisture_pct == 12
    assert meter.corrected(12, 31.2).moisture_pct == pytest.approx(11.0, abs=0.01)


@pytest.mark.parametrize(("temperature_c", "expected"), [(0, 14.26), (20, 12.25), (40, 10.54)])
def test_t26_the_equation_not_chosen_gives_its_published_values(temperature_c, expected):
    """T26: the equation the rule is compared with below."""
    assert garrahan_pct(12, temperature_c) == pytest.approx(expected, abs=0.01)


def test_the_two_published_rules_agree_within_a_meters_own_doubt_where_it_matters():
    """Bench range and store temperatures: 7 to 16 % and 0 to 30 °C."""
    gaps = [
        abs(garrahan_pct(r, t) - meter.corrected(r, t).moisture_pct)
        for r in range(7, 17)
        for t in range(0, 31, 5)
    ]
    assert max(gaps) < 1.1 < meter.DOUBT_PCT  # 1.01 at 16 % and 0 °C


@pytest.mark.parametrize(("resistance_mohm", "moisture_pct"), [(100, 12.26), (10, 16.25), (1, 22.29)])
def test_t32_douglas_fir_resistance_by_interpolated_logarithm(resistance_mohm, moisture_pct):
    """T32: James 1988, FPL-GTR-6, Table 1 (from memory, certain)."""
    assert meter.moisture_from_resistance_pct(resistance_mohm) == pytest.approx(moisture_pct, abs=0.01)


@pytest.mark.parametrize(
    ("timber_code", "reading_pct"),
    [
        ("ash-white", 13.2), ("elm-american", 14.9), ("hickory-pignut", 13.3), ("maple-sugar", 12.2),
        ("oak-northern-red", 12.0), ("oak-white", 12.6), ("walnut-black", 11.7),
    ],
)  # fmt: skip
def test_a_douglas_fir_meter_over_reads_most_bow_woods(timber_code, reading_pct):
    """Truly 12 %: the readings computed from James 1988, Table 1 (from memory, fairly certain)."""
    known = meter.corrected(reading_pct, 20, timber_code=timber_code)
    assert known.moisture_pct == pytest.approx(12, abs=0.1)
    assert known.species_why == ""
    assert known.moisture_pct == pytest.approx(
        reading_pct + known.temperature_correction_pct + known.species_correction_pct
    )


@pytest.mark.parametrize("timber_code", ["yew-common", "osage-orange", "locust-black", "hazel", ""])
def test_a_timber_without_a_table_is_not_corrected_and_says_so(timber_code):
    known = meter.corrected(12, 20, timber_code=timber_code)
    assert (known.moisture_pct, known.species_why, known.ok) == (12, "no_published_table", True)


def test_a_meter_on_another_scale_is_left_alone_with_the_reason():
    assert meter.corrected(12, 20, timber_code="ash-white", scale="group B").species_why == "other_scale"
    own = meter.corrected(12, 20, timber_code="ash-white", scale="ash-white")
    assert (own.species_why, own.species_correction_pct) == ("", 0)
    assert meter.corrected(24, 20, timber_code="elm-american").species_why == "outside_table"


def test_a_meter_outside_its_range_is_only_indicative():
    assert meter.corrected(5, 20).why == "below_range"
    assert meter.corrected(40, 20).why == "above_fibre_saturation"
    assert meter.corrected(6, 90).moisture_pct == 0  # never below nothing


@pytest.mark.parametrize(
    ("reading", "temperature"), [(-1, 20), (0, 20), (101, 20), (12, -60), (12, 200), (float("nan"), 20)]
)
def test_readings_that_cannot_be_are_refused(reading, temperature):
    with pytest.raises(OutOfRange):
        meter.corrected(reading, temperature)


def test_resistance_outside_the_table_is_refused():
    with pytest.raises(OutOfRange):
        meter.moisture_from_resistance_pct(0)
    with pytest.raises(OutOfRange):
        meter.moisture_from_resistance_pct(1e9)


def test_each_timber_can_be_read_over_the_whole_range_of_the_meter():
    for code in timbers():
        for reading in range(1, 60, 3):
            assert 0 <= meter.corrected(reading, 5, timber_code=code).moisture_pct < 100
