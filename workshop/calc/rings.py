"""What the growth rings say - for that kind of wood, and no more than that.

Density found by weighing the piece says it better than any count (`timber.gravity_by_weighing`).
"""

from dataclasses import dataclass
from enum import StrEnum

from workshop.calc.errors import OutOfRange, require
from workshop.calc.imperial import INCH_M
from workshop.calc.tables import Kind

# Ash for tool handles and sports goods, 4 to 16 rings an inch: British practice (Desch and Dinwoodie;
# from memory, fairly certain).
_RING_POROUS_WIDEST_M, _RING_POROUS_NARROWEST_M = INCH_M / 4, INCH_M / 16
# Douglas-fir: Record 1914, The Mechanical Properties of Wood.
_SOFTWOOD_WEAK_M, _SOFTWOOD_BEST_M, _SOFTWOOD_FINE_M = INCH_M / 8, INCH_M / 12, INCH_M / 16


class Meaning(StrEnum):
    """What a ring count means, for the page to put into words; `meaning` says what each rests on."""

    MOSTLY_EARLY_WOOD = "mostly_early_wood"
    TIGHT_RINGS_WEAK = "tight_rings_weak"
    WIDE_RINGS_GOOD = "wide_rings_good"
    VERY_WIDE_RINGS = "very_wide_rings"
    COUNT_SAYS_LITTLE = "count_says_little"
    TIGHT_RINGS_WANTED = "tight_rings_wanted"
    RINGS_WIDE_FOR_SOFTWOOD = "rings_wide_for_softwood"
    RINGS_FAIR_FOR_SOFTWOOD = "rings_fair_for_softwood"
    RINGS_BEST_FOR_SOFTWOOD = "rings_best_for_softwood"
    RINGS_FINE_FOR_SOFTWOOD = "rings_fine_for_softwood"
    KIND_UNKNOWN = "kind_unknown"


@dataclass(frozen=True, slots=True)
class RingCount:
    """Rings counted over a distance. The share of late wood is None unless the early wood was measured."""

    rings_per_inch: float
    mean_width_m: float
    late_wood_share_pct: float | None
    meaning: Meaning


def ring_count(
    rings: float,
    distance_m: float,
    *,
    kind: Kind | None,
    yew: bool = False,
    early_wood_width_m: float | None = None,
) -> RingCount:
    """Rings per inch, mean width [m] and late-wood share [%] from a count over a distance [m].

    Width = distance/rings; late wood = 1 - early-wood width/ring width. Range: 1 ring and up, 0.1 to 50 mm
    a ring; early wood no wider than the ring; else `OutOfRange`.

    >>> count = ring_count(20, 0.0508, kind=Kind.RING_POROUS, early_wood_width_m=0.0008)
    >>> round(count.rings_per_inch, 1), round(count.mean_width_m * 1000, 2), round(count.late_wood_share_pct)
    (10.0, 2.54, 69)
    >>> count.meaning.value
    'wide_rings_good'
    """
    require(rings >= 1, OutOfRange, "rings", allowed="one or more", rings=rings)
    require(distance_m > 0, OutOfRange, "distance", allowed="above zero", distance_m=distance_m)
    width = distance_m / rings
    require(0.0001 <= width <= 0.05, OutOfRange, "ring_width", allowed="0.1 to 50 mm", ring_width_m=width)
    share = None
    if early_wood_width_m is not None:
        require(
            0 <= early_wood_width_m <= width,
            OutOfRange,
            "early_wood",
            allowed=f"0 to {width * 1000:.2f} mm",
            early_wood_width_m=early_wood_width_m,
        )
        share = 100 * (1 - early_wood_width_m / width)
    return RingCount(INCH_M / width, width, share, meaning(kind, width, late_wood_share_pct=share, yew=yew))


def meaning(
    kind: Kind | None, mean_width_m: float, *, late_wood_share_pct: float | None = None, yew: bool = False
) -> Meaning:
    """What rings of that width [m] mean for that kind of wood.

    Ring-porous: the early wood keeps its width, so wide rings are mostly late wood, dense and strong, and
    tight ones mostly pores; where the share was measured, it decides. Softwoods: late wood counts, by
    Douglas-fir best at 12 to 16 rings an inch, weak below 8, falling above 16 and level above 24. Yew:
    tight rings are wanted by custom, but its density hardly changes with them (microfibril studies of
    Pacific yew). Diffuse-porous and semi-ring-porous woods: the count says little. Source: Record 1914 and
    common practice.

    >>> meaning(Kind.DIFFUSE_POROUS, 0.002).value
    'count_says_little'
    """
    if yew:
        return Meaning.TIGHT_RINGS_WANTED
    if kind is None:
        return Meaning.KIND_UNKNOWN
    if kind == Kind.RING_POROUS:
        return _ring_porous(mean_width_m, late_wood_share_pct)
    if kind == Kind.SOFTWOOD:
        return _softwood(mean_width_m)
    return Meaning.COUNT_SAYS_LITTLE


def _ring_porous(width_m: float, share_pct: float | None) -> Meaning:
    if share_pct is not None and share_pct < 50:
        return Meaning.MOSTLY_EARLY_WOOD
    if share_pct is None and width_m < _RING_POROUS_NARROWEST_M:
        return Meaning.TIGHT_RINGS_WEAK
    return Meaning.VERY_WIDE_RINGS if width_m > _RING_POROUS_WIDEST_M else Meaning.WIDE_RINGS_GOOD


def _softwood(width_m: float) -> Meaning:
    if width_m > _SOFTWOOD_WEAK_M:
        return Meaning.RINGS_WIDE_FOR_SOFTWOOD
    if width_m > _SOFTWOOD_BEST_M:
        return Meaning.RINGS_FAIR_FOR_SOFTWOOD
    return Meaning.RINGS_BEST_FOR_SOFTWOOD if width_m >= _SOFTWOOD_FINE_M else Meaning.RINGS_FINE_FOR_SOFTWOOD
