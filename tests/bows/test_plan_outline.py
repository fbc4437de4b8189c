"""A section taken with callipers: written down once, and used wherever the bow is reckoned."""

import pytest
from django.urls import reverse

from tests.bows.conftest import sent
from tests.bows.test_plan_pages import plan_of, sheet
from workshop.bows.models import Bow, SectionOutline
from workshop.bows.plan.solving import solve
from workshop.ledger.services import entry_strike, record_change

pytestmark = pytest.mark.django_db

BOX = (("0", "1 1/4"), ("1/2", "1 1/4"))
WEDGE = (("0", "1"), ("1/2", "1 1/2"))  # the belly two thirds as wide as the back, as the usual trapezoid
ROUND = (("0", "0"), ("1/16", "3/4"), ("1/8", "1"), ("1/4", "1 1/4"), ("1/2", "1 1/4"))


def measure(client, bow, lines, **typed):
    at = reverse("bow-plan-outline", args=[bow.pk])
    page = client.get(at)
    fields = {
        f"{name}_{row}": text
        for row, line in enumerate(lines)
        for name, text in zip(("height", "width"), line, strict=True)
    }
    return client.post(at, sent(page, **fields, **typed))


def figures(bow, shop) -> tuple[float, float, float]:
    """Weight, greatest strain and mass of the plan as it stands, elastic."""
    (answer,) = solve([plan_of(bow, shop)])
    return answer.force_n, answer.strained.pct, answer.plan.mass_kg


@pytest.mark.parametrize(("lines", "section"), [(BOX, "flat"), (WEDGE, "trapezoid")])
def test_a_section_measured_as_a_known_one_weighs_strains_and_is_as_heavy(
    as_owner, planned, owner, shop, lines, section
):  # fmt: skip
    record_change(planned, by=owner, section=section)
    known = figures(planned, shop)
    assert measure(as_owner, planned, lines).status_code == 302
    assert figures(planned, shop) == pytest.approx(known, rel=1e-6)


def test_with_its_outline_struck_the_section_is_what_it_was(as_owner, planned, owner):
    record_change(planned, by=owner, section="trapezoid")
    for lines in (BOX, WEDGE):
        measure(as_owner, planned, lines)
    for outline in SectionOutline.objects.order_by("-pk"):
        assert Bow.objects.get(pk=planned.pk).section == "measured"
        entry_strike(outline, by=owner)
    assert Bow.objects.get(pk=planned.pk).section == "trapezoid"


def test_a_round_belly_draws_less_than_a_flat_one_of_the_same_width_and_depth(as_owner, planned, shop):
    flat = figures(planned, shop)
    measure(as_owner, planned, ROUND)
    weight, _strain, mass = figures(planned, shop)
    assert 0.6 * flat[0] < weight < 0.9 * flat[0] and mass < flat[2]


def test_what_is_measured_is_the_bows_section_from_then_on_and_its_page_says_so(as_owner, planned):
    answer = measure(as_owner, planned, ROUND, note="upper limb, 12 in out")
    assert answer.url == reverse("bow-plan-sheet", args=[planned.pk])
    planned.refresh_from_db()
    assert planned.section == "measured"
    text = as_owner.get(answer.url).content.decode().replace("\N{NO-BREAK SPACE}", " ")
    assert "as measured, carried to the width and depth of each station" in text
    assert "upper limb, 12 in out" in text and "1 1/4 in" in text
    (kept,) = SectionOutline.objects.all()
    assert kept.as_lines[1] == pytest.approx((0.0254 / 16, 0.0254 * 0.75))
    assert kept.as_typed["height_1"] == "1/16"


def test_the_outline_last_written_counts_and_one_struck_does_not(as_owner, planned, owner, shop):
    measure(as_owner, planned, BOX)
    box = figures(planned, shop)
    measure(as_owner, planned, ROUND)
    assert figures(planned, shop)[0] < box[0]
    entry_strike(SectionOutline.objects.last(), by=owner)
    assert figures(planned, shop) == pytest.approx(box)
    page = sheet(as_owner, planned).content.decode()
    assert page.count('class="outline') == 2 and 'class="outline struck"' in page


def test_a_section_chosen_as_measured_without_an_outline_says_what_to_write_first(as_owner, planned):
    at = reverse("bow-plan", args=[planned.pk])
    assert as_owner.post(at, sent(as_owner.get(at), section="measured")).status_code == 302
    text = sheet(as_owner, planned).content.decode()
    assert "the outline of its section: heights above the belly and widths" in text
    assert reverse("bow-plan-outline", args=[planned.pk]) in text


def test_a_first_plan_is_laid_out_in_the_section_that_was_measured(as_owner, ash_bow, shop):
    measure(as_owner, ash_bow, ROUND)
    at = reverse("bow-plan-begin", args=[ash_bow.pk])
    made = as_owner.post(at, sent(as_owner.get(at)))
    assert made.status_code == 302, made.context["form"].errors
    plan = plan_of(Bow.objects.get(pk=ash_bow.pk), shop)
    assert plan.section == "measured" and len(plan.lines) == 5


BAD = {
    "one line": ((("0", "1"),), "height_1", "two lines at least"),
    "no line": ((), "height_0", "two lines at least"),
    "out of order": ((("0", "1"), ("1/2", "1 1/4"), ("1/4", "1")), "height_2", "1/4 in does not lie above"),
    "the same height twice": ((("0", "1"), ("0", "1")), "height_1", "does not lie above"),
    "no belly": ((("1/8", "1"), ("1/2", "1")), "height_0", "the belly, at a height of 0"),
    "a width below zero": ((("0", "1"), ("1/2", "-1")), "width_1", "is below zero"),
    "a height below zero": ((("0", "1"), ("-1/2", "1")), "height_1", "is below zero"),
    "a width of nothing between": (
        (("0", "1"), ("1/4", "0"), ("1/2", "1")),
        "width_1",
        "not at both or between",
    ),
    "nothing wide at all": ((("0", "0"), ("1/2", "0")), "width_1", "not at both or between"),
    "a height without its width": ((("0", "1"), ("1/2", "")), "width_1", "is missing"),
    "what cannot be read": ((("0", "wide"), ("1/2", "1")), "width_0", "cannot be read"),
}


@pytest.mark.parametrize(("lines", "field", "said"), BAD.values(), ids=BAD)
def test_what_is_no_section_is_named_beside_the_field_and_kept(as_owner, planned, lines, field, said):
    typed = {"height_0": ""} if not lines else {}
    answer = measure(as_owner, planned, lines, **typed)
    assert answer.status_code == 422
    form = answer.context["form"]
    assert list(form.errors) == [field]
    assert said in " ".join(form.errors[field]).replace("\N{NO-BREAK SPACE}", " ")
    for row, (height, width) in enumerate(lines):
        assert (form[f"height_{row}"].value(), form[f"width_{row}"].value()) == (height, width)
    assert not SectionOutline.objects.exists()
    planned.refresh_from_db()
    assert planned.section != "measured"
