"""A first plan laid out in the way the maker chose."""

from dataclasses import replace

import numpy as np
import pytest
from django.urls import reverse

from tests.bows.conftest import sent
from tests.bows.test_plan_wood import known, plan_in
from workshop.bows.models import Bow
from workshop.bows.models.bow import BowKind, Curve
from workshop.bows.plan.design import OUTLINES, Wood
from workshop.bows.plan.facts import plan_facts
from workshop.bows.plan.layouts import FITTED, TIP_WIDTH_M, Wanted, laid_out
from workshop.bows.plan.solving import solve
from workshop.bows.plan.views import layout_of
from workshop.calc.errors import OutOfRange
from workshop.calc.firstplan import TAPERS
from workshop.calc.imperial import INCH_M, POUND_N
from workshop.ledger.services import record_change

ASH = Wood("ash", known(12.5e9), known(680), 9)
WANTED = Wanted(45 * POUND_N, 0.0085)


def laid(how, **changed):
    """The plan laid out, on limbs alike, solved."""
    plan = replace(plan_in(ASH), **changed)
    even = replace(plan, grip_above_m=plan.grip_m / 2)
    sizes = laid_out(plan, how, WANTED)
    return solve([even.with_limbs(lambda limb: replace(limb, sizes=sizes))])[0]


def strains_pct(answer):
    """Along the inner three quarters of a limb: near the tip it has no moment and keeps its least size."""
    pose = answer.drawn.upper
    greatest = np.maximum(abs(pose.back_strain_pct[-1]), abs(pose.belly_strain_pct[-1]))
    along = pose.from_middle_m - pose.from_middle_m[0]
    return greatest[along < 0.75 * along[-1]]


@pytest.mark.parametrize("stiff", [True, False], ids=["stiff", "compass"])
@pytest.mark.parametrize("section", OUTLINES)
@pytest.mark.parametrize("how", FITTED)
def test_a_plan_fitted_to_its_own_moments_draws_the_weight_at_the_strain(how, section, stiff):
    answer = laid(how, section=section, stiff=stiff)
    assert answer.force_n == pytest.approx(WANTED.weight_n, rel=2e-3)  # what the fitting calls close
    assert strains_pct(answer).max() == pytest.approx(0.85, rel=0.01)  # the tenth part of a mark in depth
    # between two of the last places, where the depth left at the tip begins, it runs a little over
    assert answer.strained.pct < 1.12 * 0.85


@pytest.mark.parametrize("section", OUTLINES)
def test_an_arc_is_strained_as_asked_whatever_the_section(section):
    """The furthest fibre lies at another part of the depth in each; a crown's depends on the width."""
    assert strains_pct(laid("width", section=section)).max() == pytest.approx(0.85, rel=0.06)


def test_a_half_oval_is_the_least_stiff_of_sections_with_a_flat_back():
    """For one depth and width it is the weakest: most of its belly is planed away."""
    half, whole, flat = (
        float(OUTLINES[name](0.03, 0.015).section(1.0).second_moment_m4)
        for name in ("half-oval", "d", "flat")
    )
    assert half < whole < flat


@pytest.mark.django_db
def test_a_half_oval_can_be_chosen_solved_and_is_told(as_owner, ash_bow):
    where = reverse("bow-plan-begin", args=[ash_bow.pk])
    there = as_owner.post(where, sent(as_owner.get(where), section="half-oval"))
    assert there.status_code == 302, there.context["form"].errors
    assert Bow.objects.get(pk=ash_bow.pk).section == "half-oval"
    said = as_owner.get(reverse("bow-plan-sheet", args=[ash_bow.pk])).content.decode()
    assert "half-oval: a flat back, half an ellipse for the belly" in said
    assert "half-oval" in as_owner.get(reverse("bow-plan", args=[ash_bow.pk])).content.decode()


@pytest.mark.parametrize("how", ["strain-width", "strain-depth"])
def test_a_limb_laid_out_to_one_strain_is_strained_alike_all_along(how):
    strains = strains_pct(laid(how))
    assert strains.min() > 0.97 * strains.max()
    assert strains_pct(laid("straight")).min() < 0.8 * strains.max()


def test_a_straight_taper_runs_straight_to_the_tip_and_is_even_in_depth():
    sizes = laid_out(plan_in(ASH), "straight", WANTED)
    assert np.ptp(sizes.depths_m) == 0 and sizes.widths_m[-1] == pytest.approx(TIP_WIDTH_M)
    assert np.allclose(np.diff(sizes.widths_m, 2), 0, atol=1e-9)


def test_a_tip_keeps_enough_wood_for_a_nock():
    """Ten millimetres by three eighths of an inch: common practice, no source."""
    for how in (*TAPERS, *FITTED):
        sizes = laid_out(replace(plan_in(ASH), section="d", stiff=False), how, WANTED)
        assert sizes.widths_m[-1] >= 0.00999 and sizes.depths_m[-1] >= 0.00952, how


def bend_at_middle_and_beyond(how):
    """Change of curvature half way and at four fifths of a limb."""
    pose = laid(how).drawn.upper
    along = (pose.from_middle_m - pose.from_middle_m[0]) / np.ptp(pose.from_middle_m)
    return np.interp([0.5, 0.8], along, pose.bend_per_m[-1])


def test_an_arc_bends_alike_and_the_other_lay_outs_bend_more_or_less_toward_the_tips():
    middle, beyond = bend_at_middle_and_beyond("width")
    assert beyond == pytest.approx(middle, rel=0.05)  # the tip keeps its least width, so it is stiffer
    for how in ("strain-width", "strain-depth"):
        middle, beyond = bend_at_middle_and_beyond(how)
        assert beyond > 1.04 * middle
    middle, beyond = bend_at_middle_and_beyond("straight")
    assert beyond < 0.9 * middle


def test_a_lay_out_nobody_knows_is_refused_with_those_there_are():
    with pytest.raises(OutOfRange) as refused:
        laid_out(plan_in(ASH), "spiral", WANTED)
    assert all(how in refused.value.allowed for how in (*TAPERS, *FITTED))


def test_the_curve_intended_is_proposed():
    stiff, compass = BowKind.STIFF, BowKind.COMPASS
    assert layout_of(Curve.ARC, stiff) == "width" and layout_of(Curve.ARC, compass) == "both"
    assert {layout_of(Curve.ELLIPSE, kind) for kind in BowKind} == {"strain-depth"}
    assert {layout_of(Curve.STIFF_TIPS, kind) for kind in BowKind} == {"straight"}


@pytest.fixture
def ash_bow(begin, staves):
    return begin(staves[0], number="26-07", kind="stiff", grip_depth_m=1.75 * INCH_M)


@pytest.mark.django_db
@pytest.mark.parametrize("how", [*TAPERS, *FITTED])
def test_a_maker_chooses_how_the_first_plan_is_laid_out(as_owner, ash_bow, shop, how):
    page = as_owner.get(reverse("bow-plan-begin", args=[ash_bow.pk]))
    there = as_owner.post(reverse("bow-plan-begin", args=[ash_bow.pk]), sent(page, taper=how))
    assert there.status_code == 302, there.context["form"].errors
    facts = plan_facts(Bow.objects.get(pk=ash_bow.pk), shop=shop)
    sizes = facts.plan().upper.sizes
    # rounded to marks of 1/64 in, of which three are moved after
    even = {name: np.ptp(getattr(sizes, name)) < 4 * INCH_M / 64 for name in ("widths_m", "depths_m")}
    assert (even["widths_m"], even["depths_m"]) == (how == "depth", how in ("width", "straight"))
    assert solve([facts.plan()])[0].strained.pct < 1.15 * 0.85  # at a maker's stations, six inches apart


@pytest.mark.django_db
def test_the_form_proposes_by_the_curve_written_on_the_bow(as_owner, owner, ash_bow):
    record_change(ash_bow, by=owner, curve="stiff-tips")
    page = as_owner.get(reverse("bow-plan-begin", args=[ash_bow.pk]))
    assert sent(page)["taper"] == "straight"


@pytest.mark.django_db
def test_a_lay_out_that_is_none_is_refused_beside_its_field_and_the_rest_is_kept(as_owner, ash_bow):
    where = reverse("bow-plan-begin", args=[ash_bow.pk])
    page = as_owner.post(where, {**sent(as_owner.get(where)), "taper": "spiral", "strain": "0.77"})
    assert page.status_code == 422 and "taper" in page.context["form"].errors
    assert page.context["form"]["strain"].value() == "0.77"


@pytest.mark.django_db
@pytest.mark.parametrize("length", ["50", "70"])
def test_a_first_plan_is_strained_no_more_than_was_asked_however_short(as_owner, ash_bow, shop, length):
    where = reverse("bow-plan-begin", args=[ash_bow.pk])
    page = as_owner.get(where)
    said = as_owner.post(where, sent(page, length_m=length), follow=True).content.decode()
    facts = plan_facts(Bow.objects.get(pk=ash_bow.pk), shop=shop)
    strained = solve([facts.plan()])[0].strained.pct
    assert strained < 1.03 * 0.85 or "was asked" in said
    assert strained < 1.1 * 0.85


@pytest.mark.django_db
@pytest.mark.parametrize("strain", ["0.1", "9"])
def test_a_strain_no_bow_bears_is_refused_and_the_plan_before_it_stays(as_owner, ash_bow, strain):
    where = reverse("bow-plan-begin", args=[ash_bow.pk])
    page = as_owner.post(where, {**sent(as_owner.get(where)), "strain": strain})
    assert page.status_code == 422 and "from 0.3 % to 2 %" in page.content.decode()
    assert not ash_bow.dimensions.exists()
