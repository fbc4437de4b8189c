"""The wood itself at a moisture: how far it shrinks, what it weighs.

Equation numbers are those of chapter 4 of the Wood Handbook, FPL-GTR-282 (2021), p. 4-10 to 4-13. Specific
gravity is oven-dry mass over the volume at the stated moisture, against water; *basic* is on the green
volume. Stiffness and strength are in `strength`.
"""

from dataclasses import dataclass
from enum import StrEnum

from workshop.calc.errors import OutOfRange, require
from workshop.calc.moisture import WETTEST_PCT
from workshop.calc.tables import Timber

FIBRE_SATURATION_PCT = 30.0  # the handbook's, where a timber has none of its own
GRAVITY_VARIATION_PCT = 10.0  # within a species: Wood Handbook FPL-GTR-190 (2010), Table 5-6
_CELL_WALL = 1.54  # specific gravity of the wall of a wood cell, eq. 4-3


class Origin(StrEnum):
    """Where a figure about the wood comes from, best first."""

    MEASURED = "measured here"
    PUBLISHED = "published"
    REGRESSION = "regression"
    NOTHING = "nothing"


@dataclass(frozen=True, slots=True)
class Known:
    """A figure about the wood, and how far to trust it.

    `value` and `doubt` (one standard deviation) are in the SI unit the giving function names; both None
    when nothing is known. `source` names the print. A value with `ok` False is one to start from, no more;
    `why` says what stands against it.
    """

    value: float | None
    doubt: float | None
    origin: Origin
    source: str
    ok: bool
    why: str = ""

    @classmethod
    def nothing(cls, why: str) -> "Known":
        return cls(None, None, Origin.NOTHING, "", False, why)


# What a maker's own figure of a timber may be: the formulas here carry on from it. Round figures about what wood
# there is; common practice, no source.
OWN_RANGES = {
    "density_12_kg_m3": (100.0, 1400.0),
    "moe_12_pa": (1e9, 40e9),
    "mor_12_pa": (1e7, 4e8),
    "shrinkage_radial_pct": (0.0, 40.0),
    "shrinkage_tangential_pct": (0.0, 40.0),
    "fibre_saturation_pct": (15.0, 40.0),
}


def check_own(quantity: str, value: float) -> None:
    """Refuse a figure that no formula could carry on from.

    Errors: `OutOfRange`, its code the quantity's name.

    >>> check_own("density_12_kg_m3", 690)
    >>> check_own("fibre_saturation_pct", 99)
    Traceback (most recent call last):
    workshop.calc.errors.OutOfRange: fibre_saturation_pct: given fibre_saturation_pct 99; allowed: 15 to 40
    """
    _check_range(quantity, value, *OWN_RANGES[quantity])


# --- shrinking ---


def shrinkage_pct(
    total_pct: float, moisture_pct: float, fibre_saturation_pct: float = FIBRE_SATURATION_PCT
) -> float:
    """Shrinkage [% of green size] from green to a moisture [%]: S0 (1 - x/MCfs), eq. 4-9; none above MCfs.

    Range: total 0 to 40 %, moisture 0 to 300 %, fibre saturation 15 to 40 %; else `OutOfRange`.

    >>> round(shrinkage_pct(5.4, 6), 2)  # Pacific yew, tangential; the FPL sheet prints 4.3
    4.32
    """
    _check_range("shrinkage", total_pct, 0, 40)
    _check_range("moisture", moisture_pct, 0, WETTEST_PCT)
    _check_range("fibre_saturation", fibre_saturation_pct, 15, 40)
    return total_pct * max(0.0, 1 - moisture_pct / fibre_saturation_pct)


class Direction(StrEnum):
    """Across the rings (the depth of a stave) or along them (its width)."""

    RADIAL = "radial"
    TANGENTIAL = "tangential"


@dataclass(frozen=True, slots=True)
class Shrunk:
    """A size after drying. `why`: "", "no_published_shrinkage"; `size_m` is then None."""

    size_m: float | None
    change_m: float | None
    ok: bool
    why: str


def shrunk(timber: Timber, direction: Direction, size_m: float, from_pct: float, to_pct: float) -> Shrunk:
    """The size [m] a piece measured at one moisture [%] will have at another.

    size (100 - S_to)/(100 - S_from), S by eq. 4-9 with the timber's own fibre saturation.

    >>> from workshop.calc.tables import timbers
    >>> round(shrunk(timbers()["ash-white"], Direction.TANGENTIAL, 0.050, 46, 9).size_m, 5)
    0.04727
    >>> shrunk(timbers()["hazel"], Direction.RADIAL, 0.030, 30, 9).why
    'no_published_shrinkage'
    """
    _check_range("size", size_m, 1e-6, 100)
    total = getattr(timber, f"shrinkage_{direction}_pct")
    if total is None:
        return Shrunk(None, None, False, "no_published_shrinkage")
    saturation = timber.fibre_saturation_pct or FIBRE_SATURATION_PCT
    after, before = (100 - shrinkage_pct(total, moisture, saturation) for moisture in (to_pct, from_pct))
    size = size_m * after / before
    return Shrunk(size, size - size_m, True, "")


# --- specific gravity and density ---


def estimated_shrinkage_pct(basic_gravity: float) -> float:
    """Volumetric shrinkage [%] guessed from basic specific gravity: 26.5 Gb, eq. 4-12.

    Reads high for heartwoods that shrink little, such as Osage-orange, black locust and yew.
    """
    _check_range("specific_gravity", basic_gravity, 0.05, 1.4)
    return 26.5 * basic_gravity


def gravity_at(
    gravity: float,
    at_pct: float,
    to_pct: float,
    volumetric_pct: float,
    fibre_saturation_pct: float = FIBRE_SATURATION_PCT,
) -> float:
    """Specific gravity at one moisture [%] from that at another: G" = G' (100 - S')/(100 - S"), eq. 4-10.

    With `at_pct` at or above fibre saturation, G' is the basic one and this is eq. 4-11.

    >>> round(gravity_at(0.55, 30, 12, 13.3), 2)  # white ash; Table 5-3a has 0.60
    0.60
    """
    _check_range("specific_gravity", gravity, 0.05, 1.5)
    before, after = (shrinkage_pct(volumetric_pct, m, fibre_saturation_pct) for m in (at_pct, to_pct))
    return gravity * (100 - before) / (100 - after)


def density_kg_m3(gravity: float, moisture_pct: float) -> float:
    """Density [kg/m³] of wood with its water: 1000 Gx (1 + x/100), eq. 4-14; Gx at that same moisture [%].

    >>> round(density_kg_m3(0.60, 12))
    672
    """
    _check_range("specific_gravity", gravity, 0.05, 1.5)
    _check_range("moisture", moisture_pct, 0, WETTEST_PCT)
    return 1000 * gravity * (1 + moisture_pct / 100)


def gravity_by_weighing(mass_kg: float, volume_m3: float, moisture_pct: float) -> float:
    """Specific gravity, at its moisture [%], of a piece weighed [kg] and measured [m³]: eq. 4-14 backwards.

    A result outside 0.05 to 1.5 is no wood: `OutOfRange`.

    >>> round(gravity_by_weighing(0.336, 0.0005, 12), 2)
    0.60
    """
    _check_range("mass", mass_kg, 1e-6, 1e4)
    _check_range("volume", volume_m3, 1e-9, 10)
    _check_range("moisture", moisture_pct, 0, WETTEST_PCT)
    gravity = mass_kg / (1 + moisture_pct / 100) / volume_m3 / 1000
    _check_range("specific_gravity", gravity, 0.05, 1.5)
    return gravity


def greatest_moisture_pct(basic_gravity: float) -> float:
    """The most water [%] wood can hold: 100 (1.54 - Gb)/(1.54 Gb), eq. 4-3. A reading above it is a slip.

    >>> round(greatest_moisture_pct(0.55), 1)
    116.9
    """
    _check_range("specific_gravity", basic_gravity, 0.05, 1.5)
    return 100 * (_CELL_WALL - basic_gravity) / (_CELL_WALL * basic_gravity)


def sinking_moisture_pct(basic_gravity: float) -> float:
    """The moisture [%] at which wood sinks: 100 (1 - Gb)/Gb, eq. 4-4.

    >>> round(sinking_moisture_pct(0.55), 1)
    81.8
    """
    _check_range("specific_gravity", basic_gravity, 0.05, 1.0)
    return 100 * (1 - basic_gravity) / basic_gravity


@dataclass(frozen=True, slots=True)
class MeasuredGravity:
    """Specific gravity of this very piece, at the moisture it had; see `gravity_by_weighing`."""

    gravity: float
    moisture_pct: float
    doubt_pct: float = 3.0


def specific_gravity(timber: Timber, moisture_pct: float, measured: MeasuredGravity | None = None) -> Known:
    """Specific gravity of a timber at a moisture [%], from the best that is known.

    Density follows by `density_kg_m3`. This piece weighed and measured beats the print. Of the print the
    value at 12 % is taken first, then a printed density at 12 %, then the basic value. `why`:
    "shrinkage_estimated" where eq. 4-12 had to stand in (the value still holds), or "no_published_gravity".

    >>> from workshop.calc.tables import timbers
    >>> yew = specific_gravity(timbers()["yew-pacific"], 12)
    >>> round(yew.value, 3), round(yew.doubt, 3), yew.source
    (0.637, 0.064, 'Alden 1997, FPL-GTR-102')
    """
    if measured:
        start, at_pct, doubt_pct = measured.gravity, measured.moisture_pct, measured.doubt_pct
        origin, source = Origin.MEASURED, ""
    else:
        start, at_pct, group = _published_gravity(timber)
        if start is None:
            return Known.nothing("no_published_gravity")
        doubt_pct, origin, source = GRAVITY_VARIATION_PCT, Origin.PUBLISHED, timber.source_of(group)
    saturation = timber.fibre_saturation_pct or FIBRE_SATURATION_PCT
    volumetric, estimated = _volumetric_pct(timber, start, at_pct, saturation)
    value = gravity_at(start, at_pct, moisture_pct, volumetric, saturation)
    return Known(
        value, value * doubt_pct / 100, origin, source, True, "shrinkage_estimated" if estimated else ""
    )


def _published_gravity(timber: Timber) -> tuple[float | None, float, str]:
    """What is printed: the value, the moisture it is for, the group it stands in."""
    if timber.at12_specific_gravity:
        return timber.at12_specific_gravity, 12.0, "at12"
    if timber.density_12_kg_m3:
        return timber.density_12_kg_m3 / 1120, 12.0, "density_12"
    return timber.green_specific_gravity, WETTEST_PCT, "green"


def _volumetric_pct(
    timber: Timber, gravity: float, at_pct: float, saturation_pct: float
) -> tuple[float, bool]:
    """Total shrinkage of the volume [%], and whether it is only estimated."""
    radial, tangential = timber.shrinkage_radial_pct, timber.shrinkage_tangential_pct
    if timber.shrinkage_volumetric_pct is not None:
        return timber.shrinkage_volumetric_pct, False
    if radial is not None and tangential is not None:
        return 100 * (1 - (1 - radial / 100) * (1 - tangential / 100)), False
    # eq. 4-13 turned round: the basic gravity that eq. 4-12 would carry to the gravity known
    dried = max(0.0, 1 - at_pct / saturation_pct)
    return estimated_shrinkage_pct(gravity / (1 + 0.265 * gravity * dried)), True


def _check_range(name: str, value: float, low: float, high: float) -> None:
    require(low <= value <= high, OutOfRange, name, allowed=f"{low:g} to {high:g}", **{name: value})
