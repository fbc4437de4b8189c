"""What the page of a bow, and its stations to be written, say of the plan."""

import pytest
from django.urls import reverse

from tests.bows.conftest import sent
from workshop.calc.imperial import POUND_N
from workshop.ledger.services import record_change

pytestmark = pytest.mark.django_db


def bow_page(client, bow):
    return client.get(reverse("bow", args=[bow.pk])).content.decode().replace("\xa0", " ")


@pytest.mark.parametrize(
    ("taper", "bends"),
    [("straight", "stiffer tips"), ("strain-depth", "elliptical"), ("width", "arc of a circle")],
)
def test_the_bow_says_the_curve_of_the_lay_out_that_was_chosen(as_owner, ash_bow, taper, bends):
    at = reverse("bow-plan-begin", args=[ash_bow.pk])
    assert as_owner.post(at, sent(as_owner.get(at), taper=taper)).status_code == 302
    page = bow_page(as_owner, ash_bow)
    assert f"68 in, {bends}</span>" in page
    assert taper == "width" or "arc of a circle</span>" not in page
    assert as_owner.get(at).context["form"].initial["taper"] in (taper, "width")


def test_before_a_first_plan_the_stations_of_both_limbs_are_by_one_rule(as_owner, ash_bow):
    page = as_owner.get(reverse("bow-plan-sheet", args=[ash_bow.pk]))
    form, ends = page.context["stations"], []
    for limb in form.limbs():
        at = [str(row[0].value()) for row in limb.rows if row[0].value()]
        ends.append((at[0], at[3:]))
    assert ends[0] == ends[1] and ends[0][0] == "0"
    assert "the ends of the grip and of the fade" in page.content.decode()


def test_sizes_struck_by_bringing_a_plan_to_its_weight_are_folded_away_with_their_number(
    as_owner, owner, planned
):
    record_change(planned, by=owner, wanted_n=38 * POUND_N)
    as_owner.post(reverse("bow-plan-bring", args=[planned.pk]), {"how": "depth"})
    struck = planned.dimensions.exclude(struck_at=None).count()
    page = bow_page(as_owner, planned)
    assert struck and f"{struck} struck sizes</summary>" in page
    assert "<s>" not in page and page.count("planned otherwise") == struck
