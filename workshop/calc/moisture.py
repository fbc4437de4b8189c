"""How wet a piece is, and how wet its place will leave it.

Moisture is in percent of the oven-dry mass (dry basis) everywhere; `moisture_from_wet_basis_pct` takes the
other kind. What a pin meter says is corrected in `meter`; how long the drying takes is answered in
`drying`.
"""

from collections.abc import Sequence
from dataclasses import dataclass

import numpy as np

from workshop.calc.errors import Mismatch, NoSolution, OutOfRange, TooFew, require, require_numbers

TABLE_TEMPERATURE_C = (-1.1, 132.2)  # what Wood Handbook Table 4-2 covers; beyond it eq. 4-5 is stretched
TABLE_HUMIDITY_PCT = (5.0, 95.0)
WETTEST_PCT = (
    300.0  # green wood is known to above 200 % (Wood Handbook); beyond this it is a slip of the scales
)


@dataclass(frozen=True, slots=True)
class Equilibrium:
    """The moisture wood comes to in a climate. `ok` is False, with `why`, outside the published table."""

    moisture_pct: float
    ok: bool
    why: str


def equilibrium(temperature_c: float, humidity_pct: float) -> Equilibrium:
    """Equilibrium moisture of one climate, saying whether the published table covers it.

    Parameters: temperature [°C], relative humidity [%]; range and errors as `equilibrium_pct`. `why` is "",
    "temperature_outside_table" or "humidity_outside_table". Species differ from it by little at low and
    middling humidity, and wood that took up moisture stands 1 to 4 % below wood that lost it (hysteresis at
    50 % humidity): the figure is for shelves and stores, not for laboratories.

    >>> equilibrium(10, 80)
    Equilibrium(moisture_pct=16.38, ok=True, why='')
    >>> equilibrium(-15, 80).why
    'temperature_outside_table'
    """
    moisture_pct = float(equilibrium_pct(temperature_c, humidity_pct))
    why = ""
    if not TABLE_TEMPERATURE_C[0] <= temperature_c <= TABLE_TEMPERATURE_C[1]:
        why = "temperature_outside_table"
    elif not TABLE_HUMIDITY_PCT[0] <= humidity_pct <= TABLE_HUMIDITY_PCT[1]:
        why = "humidity_outside_table"
    return Equilibrium(moisture_pct, ok=not why, why=why)


def equilibrium_pct(temperature_c, humidity_pct):
    """Equilibrium moisture content of wood [%], on floats or arrays.

    EMC = 1800/W {Kh/(1 - Kh) + (K1 Kh + 2 K1 K2 K²h²)/(1 + K1 Kh + K1 K2 K²h²)}, h the humidity as a
    fraction; W, K, K1, K2 are quadratics in the temperature. Range: -50 to 132.2 °C, 0 to 100 %; else
    `OutOfRange`. Source: Glass and Zelinka, Wood Handbook FPL-GTR-282 (2021), eq. 4-5, Celsius form.

    >>> round(equilibrium_pct(20.0, 65.0), 2)
    12.0
    """
    t, rh = np.asarray(temperature_c, float), np.asarray(humidity_pct, float)
    require(
        bool(np.all((t >= -50) & (t <= TABLE_TEMPERATURE_C[1]))),
        OutOfRange,
        "temperature",
        allowed="-50 to 132.2 °C",
        temperature_c=temperature_c,
    )
    require(
        bool(np.all((rh >= 0) & (rh <= 100))),
        OutOfRange,
        "humidity",
        allowed="0 to 100 %",
        humidity_pct=humidity_pct,
    )
    w = 349 + 1.29 * t + 0.0135 * t**2
    k = 0.805 + 0.000736 * t - 0.00000273 * t**2
    k1 = 6.27 - 0.00938 * t - 0.000303 * t**2
    k2 = 1.91 + 0.0407 * t - 0.000293 * t**2
    kh = k * rh / 100
    layered = k1 * kh + k1 * k2 * kh**2
    moisture_pct = 1800 / w * (kh / (1 - kh) + (layered + k1 * k2 * kh**2) / (1 + layered))
    return moisture_pct if moisture_pct.ndim else float(moisture_pct)


def humidity_for_pct(moisture_pct: float, temperature_c: float) -> float:
    """Relative humidity [%] at which wood comes to a moisture [%] at a temperature [°C]: eq. 4-5 backwards.

    Found by halving, since the equation rises all the way. `NoSolution` where even saturated air is not
    enough.

    >>> round(humidity_for_pct(12, 20), 1)
    65.0
    """
    low, high = 0.0, 100.0
    wettest = equilibrium_pct(temperature_c, high)
    require(
        0 <= moisture_pct <= wettest,
        NoSolution,
        "moisture_beyond_air",
        allowed=f"0 to {wettest:.1f} % at this temperature",
        moisture_pct=moisture_pct,
    )
    while high - low > 1e-9:
        middle = (low + high) / 2
        low, high = (middle, high) if equilibrium_pct(temperature_c, middle) < moisture_pct else (low, middle)
    return (low + high) / 2


def moisture_pct(mass_kg: float, dry_mass_kg: float) -> float:
    """Moisture [%] of a piece from its mass and its oven-dry mass [kg]: 100 (m - m0)/m0.

    Range: m >= m0 > 0 and no more than 300 %; `OutOfRange` otherwise. Source: Wood Handbook (2021) eq. 4-2;
    EN 13183-1.

    >>> moisture_pct(1.100, 1.000)
    10.0
    """
    require(dry_mass_kg > 0, OutOfRange, "dry_mass", allowed="above zero", dry_mass_kg=dry_mass_kg)
    require(
        mass_kg >= dry_mass_kg,
        OutOfRange,
        "mass_below_dry_mass",
        allowed=f"at least the oven-dry mass, {dry_mass_kg:g} kg",
        mass_kg=mass_kg,
    )
    result = 100 * (mass_kg - dry_mass_kg) / dry_mass_kg
    require(
        result <= WETTEST_PCT,
        OutOfRange,
        "mass_beyond_soaked",
        allowed=f"moisture up to {WETTEST_PCT:g} %",
        mass_kg=mass_kg,
        dry_mass_kg=dry_mass_kg,
    )
    return result


def moisture_from_wet_basis_pct(wet_basis_pct: float) -> float:
    """Dry-basis moisture u [%] from water as a share w [%] of the wet mass: u = w/(1 - w).

    >>> moisture_from_wet_basis_pct(20)
    25.0
    """
    require(
        0 <= wet_basis_pct < 100,
        OutOfRange,
        "wet_basis",
        allowed="0 to below 100 %",
        wet_basis_pct=wet_basis_pct,
    )
    return 100 * wet_basis_pct / (100 - wet_basis_pct)


def wet_basis_pct(moisture_pct: float) -> float:
    """Water as a share [%] of the wet mass from dry-basis moisture [%]: w = u/(1 + u).

    >>> round(wet_basis_pct(10), 2)
    9.09
    """
    require(moisture_pct >= 0, OutOfRange, "moisture", allowed="0 % or more", moisture_pct=moisture_pct)
    return 100 * moisture_pct / (100 + moisture_pct)


def dry_mass_kg(mass_kg: float, moisture_pct: float) -> float:
    """Oven-dry mass [kg] of a whole piece from its mass [kg] and the moisture [%] of a slice cut from it.

    The sample-board method of the Dry Kiln Operator's Manual, Agriculture Handbook 188 (from memory,
    certain).

    >>> round(dry_mass_kg(0.800, 42), 4)
    0.5634
    """
    require(mass_kg > 0, OutOfRange, "mass", allowed="above zero", mass_kg=mass_kg)
    require(
        0 <= moisture_pct <= WETTEST_PCT,
        OutOfRange,
        "moisture",
        allowed=f"0 to {WETTEST_PCT:g} %",
        moisture_pct=moisture_pct,
    )
    return mass_kg / (1 + moisture_pct / 100)


@dataclass(frozen=True, slots=True)
class KnownMoisture:
    """What a piece weighed on the day its moisture was found, and that moisture with its standard deviation.

    An oven-dried slice is good to about half a percent (it is one place of the piece), a pin meter to about
    2.
    """

    mass_kg: float
    moisture_pct: float
    doubt_pct: float = 0.5


@dataclass(frozen=True, slots=True)
class Weighings:
    """A weighing series turned into moistures.

    `moistures_pct` has None where a weighing is lighter than the oven-dry mass; the doubts are one standard
    deviation, from the doubt of the tests. `why`: "", "tests_disagree", "lighter_than_dry".
    """

    dry_mass_kg: float
    dry_mass_doubt_kg: float
    moistures_pct: tuple[float | None, ...]
    doubts_pct: tuple[float, ...]
    ok: bool
    why: str


def calibrate_weighings(masses_kg: Sequence[float], tests: Sequence[KnownMoisture]) -> Weighings:
    """Give a weighing series its true zero from one or more tests of moisture.

    Every test gives an oven-dry mass; they are averaged, each by the inverse square of its doubt. Tests
    further apart than three times their joint doubt mean that bark or wood came off between them: `ok` is
    False and the series should be started anew. Without a test nothing can be said: `TooFew`.

    >>> series = calibrate_weighings([0.800, 0.700, 0.6197], [KnownMoisture(0.800, 42)])
    >>> [round(m, 1) for m in series.moistures_pct], series.ok
    ([42.0, 24.2, 10.0], True)
    """
    require(
        len(tests) > 0,
        TooFew,
        "no_moisture_test",
        allowed="at least one oven-dry test or meter reading",
        tests=len(tests),
    )
    require_numbers(masses_kg=list(masses_kg))
    for test in tests:
        require(test.doubt_pct > 0, OutOfRange, "doubt", allowed="above zero", doubt_pct=test.doubt_pct)
    dry = np.array([dry_mass_kg(t.mass_kg, t.moisture_pct) for t in tests])
    doubt = np.array([d * t.doubt_pct / (100 + t.moisture_pct) for d, t in zip(dry, tests, strict=True)])
    weight = doubt**-2
    mean = float(np.sum(weight * dry) / np.sum(weight))
    mean_doubt = float(np.sum(weight) ** -0.5)
    moistures = tuple(100 * (mass / mean - 1) if mass >= mean else None for mass in map(float, masses_kg))
    why = ""
    if np.any(np.abs(dry - mean) > 3 * np.hypot(doubt, mean_doubt)):
        why = "tests_disagree"
    elif None in moistures:
        why = "lighter_than_dry"
    doubts = tuple(100 * mass / mean * mean_doubt / mean for mass in map(float, masses_kg))
    return Weighings(mean, mean_doubt, moistures, doubts, ok=not why, why=why)


@dataclass(frozen=True, slots=True)
class Band:
    """The moisture wanted at the bench, from `low_pct` to `high_pct`."""

    low_pct: float
    high_pct: float

    def __post_init__(self):
        require(
            0 < self.low_pct < self.high_pct <= 30,
            Mismatch,
            "band",
            allowed="0 < low < high <= 30 %",
            low_pct=self.low_pct,
            high_pct=self.high_pct,
        )


# Common practice, no source; a workshop keeps its own in its settings.
WHITE_WOODS_BAND = Band(8.0, 10.0)
YEW_BAND = Band(9.0, 12.0)


@dataclass(frozen=True, slots=True)
class BenchReady:
    """Whether a piece may come to the bench, and how far outside. `why`: "", "too_wet", "too_dry"."""

    ok: bool
    why: str
    away_pct: float


def bench_ready(moisture_pct: float, band: Band) -> BenchReady:
    """Whether a moisture [%] lies in the bench-ready band; wetter wood takes set, drier wood is brittle.

    >>> bench_ready(9.5, WHITE_WOODS_BAND)
    BenchReady(ok=True, why='', away_pct=0.0)
    >>> bench_ready(14.0, YEW_BAND)
    BenchReady(ok=False, why='too_wet', away_pct=2.0)
    """
    require(moisture_pct >= 0, OutOfRange, "moisture", allowed="0 % or more", moisture_pct=moisture_pct)
    if moisture_pct > band.high_pct:
        return BenchReady(False, "too_wet", moisture_pct - band.high_pct)
    if moisture_pct < band.low_pct:
        return BenchReady(False, "too_dry", band.low_pct - moisture_pct)
    return BenchReady(True, "", 0.0)
