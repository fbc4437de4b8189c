"""What a ring count says, for that kind of wood."""

import pytest

from workshop.calc.errors import OutOfRange
from workshop.calc.rings import INCH_M, Meaning, meaning, ring_count
from workshop.calc.tables import Kind, timbers


def test_ten_rings_in_an_inch_are_each_a_tenth_of_an_inch():
    """25.4/n mm."""
    count = ring_count(10, 0.0254, kind=Kind.RING_POROUS)
    assert count.rings_per_inch == pytest.approx(10)
    assert count.mean_width_m == pytest.approx(0.00254)
    assert count.late_wood_share_pct is None


def test_late_wood_share_from_the_width_of_the_early_wood():
    count = ring_count(25, 0.05, kind=Kind.RING_POROUS, early_wood_width_m=0.0005)
    assert count.late_wood_share_pct == pytest.approx(75)
    assert count.meaning == Meaning.WIDE_RINGS_GOOD


@pytest.mark.parametrize(
    ("kind", "rings_per_inch", "expected"),
    [
        # Ash for handles 4 to 16 rings an inch: Desch and Dinwoodie (from memory, fairly certain)
        (Kind.RING_POROUS, 3, Meaning.VERY_WIDE_RINGS),
        (Kind.RING_POROUS, 8, Meaning.WIDE_RINGS_GOOD),
        (Kind.RING_POROUS, 25, Meaning.TIGHT_RINGS_WEAK),
        # Douglas-fir: Record 1914
        (Kind.SOFTWOOD, 6, Meaning.RINGS_WIDE_FOR_SOFTWOOD),
        (Kind.SOFTWOOD, 10, Meaning.RINGS_FAIR_FOR_SOFTWOOD),
        (Kind.SOFTWOOD, 14, Meaning.RINGS_BEST_FOR_SOFTWOOD),
        (Kind.SOFTWOOD, 30, Meaning.RINGS_FINE_FOR_SOFTWOOD),
        # Record 1914; common practice
        (Kind.DIFFUSE_POROUS, 5, Meaning.COUNT_SAYS_LITTLE),
        (Kind.DIFFUSE_POROUS, 40, Meaning.COUNT_SAYS_LITTLE),
        (Kind.SEMI_RING_POROUS, 12, Meaning.COUNT_SAYS_LITTLE),
        (None, 12, Meaning.KIND_UNKNOWN),
    ],
)
def test_what_the_count_means_depends_on_the_kind_of_wood(kind, rings_per_inch, expected):
    assert ring_count(rings_per_inch, INCH_M, kind=kind).meaning == expected


@pytest.mark.parametrize("rings_per_inch", [4, 15, 60])
def test_yew_is_not_judged_by_the_douglas_fir_rule(rings_per_inch):
    """Density of Pacific yew hardly changes with ring width; tight rings are wanted by custom."""
    yew = timbers()["yew-common"]
    assert (
        ring_count(rings_per_inch, INCH_M, kind=yew.kind, yew=yew.is_yew).meaning
        == Meaning.TIGHT_RINGS_WANTED
    )


def test_a_measured_share_of_late_wood_decides_over_the_width():
    """Wide rings that are mostly pores are no good; tight ones that are mostly late wood are."""
    assert meaning(Kind.RING_POROUS, 0.003, late_wood_share_pct=40) == Meaning.MOSTLY_EARLY_WOOD
    assert meaning(Kind.RING_POROUS, 0.0012, late_wood_share_pct=65) == Meaning.WIDE_RINGS_GOOD


@pytest.mark.parametrize(
    ("rings", "distance_m", "early"),
    [(0, 0.02, None), (-3, 0.02, None), (10, 0, None), (10, -0.02, None), (1000, 0.02, None), (1, 0.2, None),
     (10, 0.02, 0.003), (10, 0.02, -0.001), (float("nan"), 0.02, None)],
)  # fmt: skip
def test_a_count_that_cannot_be_is_refused(rings, distance_m, early):
    with pytest.raises(OutOfRange):
        ring_count(rings, distance_m, kind=Kind.RING_POROUS, early_wood_width_m=early)
