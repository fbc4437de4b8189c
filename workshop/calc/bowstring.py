"""The bow's string: how long, how many strands, and how far a change of length moves the brace."""

import math

from workshop.calc.errors import NoSolution, OutOfRange, require, require_numbers
from workshop.calc.imperial import INCH_M

# AMO: a 66 in bow takes the 63 in string master (AMO booklets of 1987 and 2000).
AMO_SHORTER_M = 3 * INCH_M
# Rule in use: 3 to 4 in shorter than the bow (as practised by string shops).
RULE_SHORTER_M = (3 * INCH_M, 4 * INCH_M)


def amo_string(bow_m: float) -> float:
    """Length of string for a bow by the trade standard: bow length less 3 in [m].

    Source: AMO booklets 1987 and 2000 (bow length = string master + 3 in).

    >>> round(amo_string(66 * INCH_M) / INCH_M, 9)
    63.0
    """
    require(bow_m > AMO_SHORTER_M, OutOfRange, "bow_length", allowed="longer than 3 in", bow_m=bow_m)
    return bow_m - AMO_SHORTER_M


def string_length(bow_m: float, brace_m: float, *, grip_m: float = 0.0) -> float:
    """Length of the braced string between the nocks [m].

    The limb is taken as rigid on a hinge at a quarter of its length (Hickman's model): with the bending limb
    B = (bow - grip) / 2 and the lever r = 3/4 B, the tip comes back by the brace height H, and
    string = bow - 2 r (1 - sqrt(1 - (H/r)^2)). Against bow T1 (72 in, 8 in rigid, brace 6 in, solved with
    bending limbs) it is 0.01 in short. Natural bend hardly matters: the tip has to come to the same brace.

    bow_m [m] nock to nock along the unstrung bow; brace_m [m] from the axis of the grip to the string, zero
    or more and below the lever; grip_m [m] the part that does not bend, zero for a full-compass bow.
    Errors: `OutOfRange`. Source: C.N. Hickman, J. Appl. Phys. 8 (1937) 404.

    >>> round(string_length(72 * INCH_M, 6 * INCH_M, grip_m=8 * INCH_M) / INCH_M, 3)
    70.476
    """
    lever = _lever(bow_m, grip_m)
    require(
        0 <= brace_m < lever, OutOfRange, "brace", allowed=f"zero to below {lever:.4g} m", brace_m=brace_m
    )
    return bow_m - 2 * lever * (1 - math.sqrt(1 - (brace_m / lever) ** 2))


def brace_height(bow_m: float, string_m: float, *, grip_m: float = 0.0) -> float:
    """Brace height a string gives [m]: the inverse of `string_length`; a long string gives none.

    Errors: `OutOfRange` sizes; `NoSolution` a string longer than the bow, or shorter than the limbs can take.

    >>> round(brace_height(72 * INCH_M, 70.476 * INCH_M, grip_m=8 * INCH_M) / INCH_M, 2)
    6.0
    """
    lever = _lever(bow_m, grip_m)
    shorter = (bow_m - string_m) / 2
    require(
        0 <= shorter < lever,
        NoSolution,
        "string_length",
        allowed=f"above {bow_m - 2 * lever:.4g} m, at most the bow's {bow_m:.4g} m",
        string_m=string_m,
    )
    return lever * math.sqrt(1 - (1 - shorter / lever) ** 2)


def strands(draw_weight_n: float, strand_strength_n: float, *, factor: float, bundles: int = 1) -> int:
    """Strands a string needs: ceil(factor x draw weight / strand strength), up to a multiple of the bundles.

    draw_weight_n, strand_strength_n [N] above zero; factor the maker's, at least 1; bundles as the string is
    laid (two for a two-bundle laid loop). At about 4 (common practice for natural fibre) that is some 2.3
    times the tension of the braced string; fit in the nock, creep and wear usually ask for more strands than
    strength does.
    Errors: `OutOfRange`.

    >>> strands(45, 50, factor=12), strands(45, 50, factor=12, bundles=3)
    (11, 12)
    """
    require(draw_weight_n > 0, OutOfRange, "draw_weight", allowed="above zero", draw_weight_n=draw_weight_n)
    require(
        strand_strength_n > 0,
        OutOfRange,
        "strand_strength",
        allowed="above zero",
        strand_strength_n=strand_strength_n,
    )
    require(factor >= 1, OutOfRange, "factor", allowed="at least 1", factor=factor)
    require(bundles >= 1, OutOfRange, "bundles", allowed="at least 1", bundles=bundles)
    # A hair is taken off so that 4 x 50 / 25 is 8 strands however the floats round.
    needed = math.ceil(factor * draw_weight_n / strand_strength_n - 1e-9)
    return math.ceil(needed / bundles) * bundles


def string_factor(draw_weight_n: float, strand_strength_n: float, strand_count: int) -> float:
    """How many times the draw weight the strands bear together.

    >>> string_factor(50, 50, 14)
    14.0
    """
    require_numbers(strand_strength_n=strand_strength_n, strand_count=strand_count)
    require(draw_weight_n > 0, OutOfRange, "draw_weight", allowed="above zero", draw_weight_n=draw_weight_n)
    return strand_count * strand_strength_n / draw_weight_n


def string_efficiency(breaking_n: float, strand_strength_n: float, strand_count: float) -> float:
    """Strength of a made-up string over the sum of its strands' (1: nothing lost).

    Source of the example: Ford's letter in F. Nagler, "Bow strings" (*Archery: The Technical Side*, 1947): 23
    test strings, 17.7 strands of 14.4 lb, broke at 168.4 lb.

    >>> round(string_efficiency(168.4, 14.4, 17.7), 4)
    0.6607
    """
    require_numbers(breaking_n=breaking_n, strand_strength_n=strand_strength_n)
    whole = strand_strength_n * strand_count
    require(whole > 0, OutOfRange, "strands", allowed="above zero", strands=strand_count)
    return breaking_n / whole


def _lever(bow_m: float, grip_m: float) -> float:
    require_numbers(bow_m=bow_m)
    require(
        0 <= grip_m < bow_m,
        OutOfRange,
        "grip",
        allowed=f"zero to below the bow's {bow_m:.4g} m",
        grip_m=grip_m,
    )
    return 0.75 * (bow_m - grip_m) / 2
