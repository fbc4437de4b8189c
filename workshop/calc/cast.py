"""Cast: how fast a bow shoots, from chronograph shots, or from stored energy before there are any.

Virtual mass K (Klopsteg 1943): of the energy E given off, part goes with the arrow of mass m and the rest
stays in limbs and string as if a mass K flew along: E = 1/2 (m + K) v^2, efficiency = m / (m + K). K stays
nearly the same for one bow whatever the arrow, so two arrows of different mass give both unknowns.
"""

import math
from dataclasses import dataclass

import numpy as np

from workshop.calc.errors import Mismatch, NoSolution, OutOfRange, TooFew, require, require_numbers
from workshop.calc.imperial import GRAIN_KG, POUND_N

# A chronograph at its best: a third of a metre a second, about one foot a second.
CHRONOGRAPH_DOUBT_MPS = 0.3


@dataclass(frozen=True)
class Cast:
    """A bow's virtual mass and the energy it gives off, with their covariance; made by `from_shots`.

    `masses_kg` is the range of arrows shot. `ok` is false when the shots do not follow one K (`why`:
    `scatter`).
    """

    virtual_kg: float
    virtual_doubt_kg: float
    energy_j: float
    energy_doubt_j: float
    masses_kg: tuple[float, float]
    ok: bool
    why: str
    # Line 1 / v^2 = intercept + rise x m, and the covariance of both: what every prediction is made of.
    line: tuple[float, float]
    covariance: np.ndarray


@dataclass(frozen=True)
class Speed:
    """Speed of an arrow with one standard deviation. `ok` is false beyond the arrows that were shot."""

    mass_kg: float
    speed_mps: float
    doubt_mps: float
    efficiency: float
    ok: bool
    why: str


def kinetic_energy(mass_kg: float, speed_mps: float) -> float:
    """Energy of an arrow in flight [J]: m v^2 / 2.

    >>> round(kinetic_energy(750 * GRAIN_KG, 144 * 0.3048) / 1.3558179483314, 2)
    34.53
    """
    _require_shot(mass_kg, speed_mps)
    return mass_kg * speed_mps**2 / 2


def momentum(mass_kg: float, speed_mps: float) -> float:
    """Momentum of an arrow in flight [N s]: m v.

    >>> round(momentum(500 * GRAIN_KG, 147 * 0.3048), 5)
    1.45168
    """
    _require_shot(mass_kg, speed_mps)
    return mass_kg * speed_mps


def grains_per_pound(mass_kg: float, draw_weight_n: float) -> float:
    """Arrow mass in grains for each pound of draw weight, as archers reckon.

    >>> round(grains_per_pound(450 * GRAIN_KG, 45 * POUND_N), 9)
    10.0
    """
    require(mass_kg > 0, OutOfRange, "arrow_mass", allowed="above zero", mass_kg=mass_kg)
    require(draw_weight_n > 0, OutOfRange, "draw_weight", allowed="above zero", draw_weight_n=draw_weight_n)
    return (mass_kg / GRAIN_KG) / (draw_weight_n / POUND_N)


def arrow_for(draw_weight_n: float, grains_a_pound: float) -> float:
    """Arrow mass that makes so many grains a pound [kg]: the lightest arrow, by the maker's own setting.

    About 8 to 10 for a wooden bow: common practice, no source.

    >>> round(arrow_for(45 * POUND_N, 9) / GRAIN_KG, 6)
    405.0
    """
    require(draw_weight_n > 0, OutOfRange, "draw_weight", allowed="above zero", draw_weight_n=draw_weight_n)
    require(grains_a_pound > 0, OutOfRange, "grains", allowed="above zero", grains_a_pound=grains_a_pound)
    return grains_a_pound * GRAIN_KG * draw_weight_n / POUND_N


def efficiency(mass_kg: float, virtual_kg: float) -> float:
    """Share of the energy that goes with the arrow: m / (m + K).

    >>> efficiency(0.03, 0.01)
    0.75
    """
    require(mass_kg > 0, OutOfRange, "arrow_mass", allowed="above zero", mass_kg=mass_kg)
    require(virtual_kg >= 0, OutOfRange, "virtual_mass", allowed="zero or more", virtual_kg=virtual_kg)
    return mass_kg / (mass_kg + virtual_kg)


def virtual_mass(mass_kg: float, share: float) -> float:
    """Virtual mass from one efficiency: K = m (1 / efficiency - 1) [kg].

    >>> round(virtual_mass(750 * GRAIN_KG, 0.74) / GRAIN_KG, 1)
    263.5
    """
    require(mass_kg > 0, OutOfRange, "arrow_mass", allowed="above zero", mass_kg=mass_kg)
    require(0 < share <= 1, OutOfRange, "efficiency", allowed="above 0, at most 1", efficiency=share)
    return mass_kg * (1 / share - 1)


def speed_from_energy(energy_j: float, mass_kg: float, virtual_kg: float) -> float:
    """Arrow speed from stored energy: v = sqrt(2 E / (m + K)) [m/s].

    >>> round(speed_from_energy(50.0, 0.03, 0.01), 6)
    50.0
    """
    require(energy_j > 0, OutOfRange, "energy", allowed="above zero", energy_j=energy_j)
    efficiency(mass_kg, virtual_kg)
    return math.sqrt(2 * energy_j / (mass_kg + virtual_kg))


def first_virtual_mass(limb_kg: float, string_kg: float) -> tuple[float, float]:
    """Virtual mass before any shot, as a range [kg]: (least, most).

    A third of the string counts as arrow (Hickman & Klopsteg, quoted by Nagler, "Bow strings"). Of the limbs:
    the straight-end bow of Kooi's thesis (after Klopsteg; figures from memory) has an efficiency of 0.765
    with half an arrow of 0.0769 and half a string of 0.0209, both of one limb's mass, so K = 2 x 0.0769 (1 /
    0.765 - 1) = 0.0472 of a limb; less a third of the string, 0.0139, that leaves 0.033 of a limb. That bow
    is ideal: no set, no friction in the wood. The upper end takes twice as much from the limbs.

    limb_kg [kg] one bending limb; string_kg [kg].

    >>> least, most = first_virtual_mass(0.300, 0.013)
    >>> round(least * 1000, 1), round(most * 1000, 1)
    (14.3, 24.3)
    """
    require_numbers(string_kg=string_kg)
    require(limb_kg > 0 and string_kg >= 0, OutOfRange, "mass", allowed="above zero", limb_kg=limb_kg)
    return 0.0333 * limb_kg + string_kg / 3, 0.0666 * limb_kg + string_kg / 3


def from_shots(
    masses_kg: list[float], speeds_mps: list[float], *, speed_doubt_mps: float = CHRONOGRAPH_DOUBT_MPS
) -> Cast:
    """Virtual mass and energy from chronograph shots of at least two arrow masses, with doubt.

    1 / v^2 = K / 2E + m / 2E is a straight line in m: weighted least squares with the doubt of each 1 / v^2,
    2 x speed_doubt / v^3. With two masses it is K = (m2 v2^2 - m1 v1^2) / (v1^2 - v2^2). With more shots than
    two the doubt grows with their own scatter where that is wider than the chronograph's; scatter beyond
    three times it makes `ok` false.

    Errors: `TooFew` shots, or all of one mass (within 1 %); `NoSolution` code `heavier_not_slower`, or
    `no_virtual_mass` when the shots make K zero or less; `Mismatch`, `OutOfRange`.
    Source: P.E. Klopsteg, Am. J. Phys. 11 (1943) 175 (attribution from memory); the formulas are algebra.

    >>> cast = from_shots([400 * GRAIN_KG, 600 * GRAIN_KG], [51.0, 44.0])
    >>> round(cast.virtual_kg / GRAIN_KG, 4)
    182.2556
    """
    m, v = np.array(masses_kg, float), np.array(speeds_mps, float)
    require(m.size == v.size, Mismatch, "shots", allowed="one speed to a mass", masses=m.size, speeds=v.size)
    require(m.size >= 2, TooFew, "shots", allowed="at least two, of different mass", shots=m.size)
    for mass, speed in zip(m, v, strict=True):
        _require_shot(float(mass), float(speed))
    require(
        speed_doubt_mps > 0, OutOfRange, "speed_doubt", allowed="above zero", speed_doubt_mps=speed_doubt_mps
    )
    require(
        m.max() > 1.01 * m.min(), TooFew, "one_mass", allowed="arrows of different mass", masses_kg=m.tolist()
    )
    y, root_weight = v**-2.0, v**3 / (2 * speed_doubt_mps)
    design = np.stack([np.ones_like(m), m], axis=1) * root_weight[:, None]
    inverse = np.linalg.inv(design.T @ design)
    intercept, rise = inverse @ (design.T @ (y * root_weight))
    scatter = 1.0
    if m.size > 2:
        left = y * root_weight - design @ (intercept, rise)
        scatter = float(np.sqrt(left @ left / (m.size - 2)))
    covariance = inverse * max(1.0, scatter) ** 2
    shots = {"masses_kg": m.tolist(), "speeds_mps": v.tolist()}
    # equal speeds leave a rise of nothing but rounding, of either sign
    rises = rise * m.max() > 1e-9 * y.max()
    require(rises, NoSolution, "heavier_not_slower", allowed="heavier arrows that fly slower", **shots)
    require(
        intercept > 0, NoSolution, "no_virtual_mass", allowed="shots that leave some energy behind", **shots
    )
    by_line = np.array([1 / rise, -intercept / rise**2])
    return Cast(
        virtual_kg=float(intercept / rise),
        virtual_doubt_kg=float(np.sqrt(by_line @ covariance @ by_line)),
        energy_j=float(1 / (2 * rise)),
        energy_doubt_j=float(np.sqrt(covariance[1, 1]) / (2 * rise**2)),
        masses_kg=(float(m.min()), float(m.max())),
        ok=scatter <= 3,
        why="" if scatter <= 3 else "scatter",
        line=(float(intercept), float(rise)),
        covariance=covariance,
    )


def speed_of(cast: Cast, mass_kg: float) -> Speed:
    """Speed of another arrow from the same bow, with doubt: v = 1 / sqrt(intercept + rise x m).

    `ok` is false for an arrow lighter than nine tenths of the lightest shot (`lighter_than_shot`) or heavier
    than eleven tenths of the heaviest: K drifts there, and a lighter arrow may be less than the maker allows.

    >>> cast = from_shots([400 * GRAIN_KG, 600 * GRAIN_KG], [51.0, 44.0])
    >>> round(speed_of(cast, 500 * GRAIN_KG).speed_mps, 2), speed_of(cast, 300 * GRAIN_KG).why
    (47.12, 'lighter_than_shot')
    """
    require(mass_kg > 0, OutOfRange, "arrow_mass", allowed="above zero", mass_kg=mass_kg)
    at = np.array([1.0, mass_kg])
    inverse_square = float(at @ cast.line)
    speed = inverse_square**-0.5
    doubt = speed**3 / 2 * float(np.sqrt(at @ cast.covariance @ at))
    low, high = cast.masses_kg
    lighter, heavier = mass_kg < 0.9 * low, mass_kg > 1.1 * high
    why = "lighter_than_shot" if lighter else "heavier_than_shot" if heavier else cast.why
    return Speed(mass_kg, speed, doubt, efficiency(mass_kg, cast.virtual_kg), not why, why)


def _require_shot(mass_kg: float, speed_mps: float) -> None:
    require(
        math.isfinite(mass_kg) and mass_kg > 0,
        OutOfRange,
        "arrow_mass",
        allowed="above zero",
        mass_kg=mass_kg,
    )
    require(
        math.isfinite(speed_mps) and speed_mps > 0,
        OutOfRange,
        "speed",
        allowed="above zero",
        speed_mps=speed_mps,
    )
