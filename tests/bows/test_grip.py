"""One grip for all: what is not written of it is the same on the plan, the card, the stations and the year's page."""

import pytest
from django.core.exceptions import ValidationError

from workshop.bows.grip import grip_of, stiff_half_m
from workshop.bows.plan.design import Sizes
from workshop.bows.plan.facts import plan_facts as facts
from workshop.bows.planning import stations_proposed
from workshop.bows.selectors.strains import strain_of_arc_pct
from workshop.calc.imperial import INCH_M
from workshop.documents.gather.bench_card import _grip_ends_m
from workshop.ledger.units import UnitsInUse

pytestmark = pytest.mark.django_db


@pytest.mark.parametrize(
    ("plan", "above", "below"),
    [
        ({}, 1, 2.5),
        ({"grip_m": 4 * INCH_M}, 1, 3),
        ({"grip_m": 0.5 * INCH_M}, 0.5, 0),
        ({"grip_m": 4 * INCH_M, "grip_above_m": 2 * INCH_M}, 2, 2),
    ],
    ids=["nothing written", "its length", "a short one", "all of it"],
)
def test_the_grip_is_laid_out_one_way_wherever_it_is_asked_for(begin, staves, shop, plan, above, below):
    bow = begin(staves[0], number="26-07", kind="stiff", grip_depth_m=1.75 * INCH_M, **plan)
    grip = grip_of(bow)
    assert (grip.above_m / INCH_M, grip.below_m / INCH_M) == pytest.approx((above, below))
    if "grip_m" in plan:
        assert _grip_ends_m(bow) == (grip.above_m, grip.below_m)
    upper = [at / INCH_M for at in stations_proposed(bow, UnitsInUse("imperial"))["A"]]
    assert above + 2 == pytest.approx(min(upper, key=lambda at: abs(at - above - 2)))
    assert stiff_half_m(bow) == pytest.approx((grip.whole_m + 2 * grip.fade_m) / 2)
    assert facts(bow, shop=shop).plan_of(_any(bow)).grip_above_m == grip.above_m


def _any(bow):
    return dict.fromkeys("AB", Sizes((0.0, bow.length_m / 2), (0.04, 0.02), (0.015, 0.012)))


def test_a_grip_that_leaves_no_limb_is_refused_by_the_same_layout(begin):
    """Half of what was taken above the middle before: a grip of 20 in on a bow of 40 in leaves none below."""
    with pytest.raises(ValidationError, match="leave no limb"):
        begin(number="26-07", kind="stiff", length_m=40 * INCH_M, grip_m=20 * INCH_M)


def test_a_draw_from_the_belly_strains_a_bow_as_the_same_draw_from_the_back(begin):
    given = {"kind": "stiff", "grip_depth_m": 1.75 * INCH_M, "brace_m": 6 * INCH_M}
    back = begin(number="26-07", draw_from="back", **given)
    belly = begin(number="26-08", draw_from="belly", **given)
    depth = 0.5 * INCH_M
    same = strain_of_arc_pct(belly, depth, (28 - 1.75) * INCH_M)
    assert strain_of_arc_pct(back, depth, 28 * INCH_M) == pytest.approx(same)


def test_a_stiff_handle_of_unknown_depth_hides_how_far_the_limbs_were_drawn(begin):
    bow = begin(number="26-07", kind="stiff", brace_m=6 * INCH_M)
    assert strain_of_arc_pct(bow, 0.5 * INCH_M, 28 * INCH_M) is None
