"""What a pin meter's reading is worth: temperature first, then the timber.

**The temperature rule** is the Wood Handbook's (FPL-GTR-282, 2021, p. 13-3): half a percent for every 5.6
°C the wood is away from the temperature the meter was calibrated at, added when colder, taken off when
warmer. It is chosen over the longer equation of Garrahan because it stands in the handbook and needs only
what a meter's own sheet tells. In the bench range the two stay within the meter's own doubt of 2 % (tests
say so).

**The correction for timber** turns a reading on the Douglas-fir scale, on which most meters are scaled,
back into a resistance, and that into the moisture of the timber (James 1988, FPL-GTR-6, Table 1; all but
the Douglas-fir column from memory, fairly certain). No such table is known for yew, black locust or
Osage-orange; those stay uncorrected and say so.
"""

from dataclasses import dataclass

import numpy as np

from workshop.calc.errors import OutOfRange, require, require_numbers
from workshop.calc.tables import meter_resistance

RULE = "Wood Handbook FPL-GTR-282 (2021), p. 13-3"
DOUBT_PCT = 2.0  # of a single piece; Swedish Wood (TräGuiden)
SCALE = "douglas-fir"
_PCT_PER_C = 0.5 / 5.6
# Above 20 % the columns flatten, and a small slip in resistance is a large one in moisture.
_SPECIES_RANGE_PCT = (7.0, 20.0)
_HICKORIES = {"hickory-pignut", "hickory-shagbark", "hickory-mockernut", "hickory-shellbark"}


@dataclass(frozen=True, slots=True)
class Corrected:
    """A meter reading corrected, and by how much.

    `species_why` says why the timber was not allowed for: "", "no_published_table", "other_scale",
    "outside_table". `ok` is False where the meter itself cannot be trusted: `why` is "below_range" (under 7
    %) or "above_fibre_saturation" (over 25 %: only indicative). `doubt_pct` is one meter's doubt on one
    piece.
    """

    moisture_pct: float
    temperature_correction_pct: float
    species_correction_pct: float
    species_why: str
    doubt_pct: float
    ok: bool
    why: str


def corrected(
    reading_pct: float,
    temperature_c: float,
    *,
    timber_code: str = "",
    scale: str = SCALE,
    calibrated_at_c: float = 20.0,
) -> Corrected:
    """Moisture [%] from a pin meter's reading [%] and the temperature of the wood [°C].

    `scale` is the timber the meter is set to. A meter that corrects for species itself is passed the
    timber's own code and is left alone. Range: readings 0 to 100 %, wood -40 to 90 °C; else `OutOfRange`.

    >>> round(corrected(12, 0).moisture_pct, 2)
    13.79
    >>> white_ash = corrected(13.2, 20, timber_code="ash-white")
    >>> round(white_ash.moisture_pct, 1), round(white_ash.species_correction_pct, 1)
    (12.0, -1.2)
    >>> corrected(12, 20, timber_code="yew-common").species_why
    'no_published_table'
    """
    require(
        0 < reading_pct <= 100,
        OutOfRange,
        "meter_reading",
        allowed="above 0, up to 100 %",
        reading_pct=reading_pct,
    )
    require(
        -40 <= temperature_c <= 90,
        OutOfRange,
        "wood_temperature",
        allowed="-40 to 90 °C",
        temperature_c=temperature_c,
    )
    by_temperature = temperature_correction_pct(temperature_c, calibrated_at_c)
    warm_pct = max(reading_pct + by_temperature, 0.0)
    moisture, species_why = _for_timber(warm_pct, timber_code, scale)
    why = "below_range" if reading_pct < 7 else "above_fibre_saturation" if reading_pct > 25 else ""
    return Corrected(
        moisture, warm_pct - reading_pct, moisture - warm_pct, species_why, DOUBT_PCT, ok=not why, why=why
    )


def temperature_correction_pct(temperature_c: float, calibrated_at_c: float = 20.0) -> float:
    """What to add to a reading [%] taken on wood at a temperature [°C], by the rule named above.

    >>> round(temperature_correction_pct(31.2), 2)
    -1.0
    """
    require_numbers(temperature_c=temperature_c, calibrated_at_c=calibrated_at_c)
    return _PCT_PER_C * (calibrated_at_c - temperature_c)


def moisture_from_resistance_pct(resistance_mohm: float, column: str = SCALE) -> float:
    """Moisture [%] from resistance [megohm] at 26.7 °C; the logarithm is interpolated between the rows.

    >>> round(moisture_from_resistance_pct(10), 2)
    16.25
    """
    moistures, logs = _column(column)
    require(
        10 ** logs[-1] <= resistance_mohm <= 10 ** logs[0],
        OutOfRange,
        "resistance",
        allowed=f"{10 ** logs[-1]:g} to {10 ** logs[0]:g} megohm",
        resistance_mohm=resistance_mohm,
    )
    return float(np.interp(-np.log10(resistance_mohm), -logs, moistures))


def _for_timber(reading_pct: float, timber_code: str, scale: str) -> tuple[float, str]:
    column = "hickory" if timber_code in _HICKORIES else timber_code
    if timber_code and timber_code == scale:
        return reading_pct, ""
    if scale != SCALE:
        return reading_pct, "other_scale"
    if column not in meter_resistance():
        return reading_pct, "no_published_table"
    low, high = _SPECIES_RANGE_PCT
    moistures, logs = _column(SCALE)
    log_resistance = np.interp(reading_pct, moistures, logs)
    _, own = _column(column)
    if not low <= reading_pct <= high or not own[-1] <= log_resistance <= own[0]:
        return reading_pct, "outside_table"
    return moisture_from_resistance_pct(float(10**log_resistance), column), ""


def _column(name: str) -> tuple[np.ndarray, np.ndarray]:
    """Moistures and the logarithm of resistance, driest first."""
    moistures, resistances = np.array(meter_resistance()[name]).T
    return moistures, np.log10(resistances)
