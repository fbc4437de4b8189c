"""The plan page: solved on typed input, changed in one go, brought to a weight."""

import pytest
from django.urls import reverse

from tests.bows.conftest import sent
from workshop.bows.models import Bow, Dimension
from workshop.bows.plan.facts import plan_facts
from workshop.bows.plan.solving import solve
from workshop.calc.imperial import INCH_M, POUND_N
from workshop.ledger.services import record_change

pytestmark = pytest.mark.django_db


@pytest.fixture
def ash_bow(begin, staves):
    """A stiff-handled bow of white ash, 68 in, wanted 45 lb at 28 in, its handle 1 3/4 in deep."""
    return begin(staves[0], number="26-07", kind="stiff", grip_depth_m=1.75 * INCH_M)


@pytest.fixture
def planned(as_owner, ash_bow):
    page = as_owner.get(reverse("bow-plan-begin", args=[ash_bow.pk]))
    there = as_owner.post(reverse("bow-plan-begin", args=[ash_bow.pk]), sent(page))
    assert there.status_code == 302, there.context["form"].errors
    ash_bow.refresh_from_db()
    return ash_bow


def sheet(client, bow, **asked):
    return client.get(reverse("bow-plan-sheet", args=[bow.pk]), asked)


def plan_of(bow, shop):
    """As it is written now."""
    return plan_facts(Bow.objects.get(pk=bow.pk), shop=shop).plan()


def weight_lb(bow, shop):
    return solve([plan_of(bow, shop)])[0].force_n / POUND_N


def test_a_bow_without_wood_or_length_is_told_what_to_write_first(as_owner, begin):
    page = sheet(as_owner, begin(number="26-09", length_m=None))
    assert page.status_code == 200
    said = page.content.decode()
    assert "the bow length" in said and "its wood" in said and "depth of the grip" in said


def test_a_first_plan_draws_the_weight_that_was_wanted(as_owner, planned, shop):
    assert weight_lb(planned, shop) == pytest.approx(45, abs=0.5)  # widths are marked to 1/64 in
    page = sheet(as_owner, planned)
    assert page.status_code == 200
    assert "where is this from?" in page.content.decode()
    assert {each.limb for each in Dimension.objects.filter(bow=planned, planned=True)} == {"A", "B"}


@pytest.mark.parametrize("how", ["depth", "width"])
def test_one_button_brings_the_plan_to_the_weight_by_depth_or_by_width(as_owner, owner, planned, shop, how):
    record_change(planned, by=owner, wanted_n=38 * POUND_N)
    before = plan_of(planned, shop).upper.sizes
    as_owner.post(reverse("bow-plan-bring", args=[planned.pk]), {"how": how})
    after = plan_of(planned, shop).upper.sizes
    assert weight_lb(planned, shop) == pytest.approx(38, abs=0.8)
    kept, changed = ("widths_m", "depths_m") if how == "depth" else ("depths_m", "widths_m")
    assert getattr(after, kept) == getattr(before, kept)
    marks = [size / (INCH_M / 64) for size in getattr(after, changed)]
    assert marks == pytest.approx([round(mark) for mark in marks])
    assert Dimension.objects.filter(bow=planned, struck_reason="planned otherwise").exists()


def test_what_stays_as_planned_is_not_struck(as_owner, planned):
    page = sheet(as_owner, planned)
    form = page.context["stations"]
    typed = {name: str(form[name].value() or "") for name in form.fields if name != "alike"}
    typed["A_depth_0"] = "5/8"
    there = as_owner.post(reverse("bow-plan-stations", args=[planned.pk]), typed)
    assert there.status_code == 302
    struck = [each for each in Dimension.objects.filter(bow=planned) if each.is_struck]
    assert len(struck) == 1
    new = Dimension.objects.order_by("pk").last()
    assert (new.limb, new.typed("depth_m")) == ("A", "5/8") and new.depth_m == pytest.approx(5 / 8 * INCH_M)


def test_other_plans_stand_under_this_one_with_their_differences_in_words(as_owner, planned):
    asked = {
        "others": ["wider", "shorter", "piked", "reflex"],
        "wider": "10",
        "shorter": "2",
        "piked": "1",
        "reflex": "1",
    }
    page = sheet(as_owner, planned, **asked)
    others = page.context["page"].others
    assert [each.heading.replace("\xa0", " ") for each in others] == [
        "Limbs 10 % wider", "A bow 2 in shorter", "1 in off each tip", "A reflex of 1 in",
    ]  # fmt: skip
    assert all("heavier" in each.words for each in others)
    assert not Dimension.objects.filter(bow=planned, struck_at__isnull=False).exists()
