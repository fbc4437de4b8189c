"""A longbow is designed on a phone, from nothing but its draw, weight, timber and kind."""

import pytest

from tests.e2e.conftest import sign_in
from workshop.bows.models import Bow, Dimension
from workshop.bows.plan.facts import plan_facts
from workshop.bows.plan.solving import solve
from workshop.bows.services.bows import bow_start
from workshop.calc.imperial import POUND_N
from workshop.ledger.models import Shop

pytestmark = pytest.mark.django_db(transaction=True)


def answer(page):
    return page.inner_text("p.answer").replace("\xa0", " ")


def solved_lb(bow):
    return (
        solve([plan_facts(Bow.objects.get(pk=bow.pk), shop=Shop.objects.get()).plan()])[0].force_n / POUND_N
    )


def test_a_full_compass_longbow_of_45_lb_is_designed_compared_and_changed(page, shop_open, owner):
    bow = bow_start(by=owner, number="26-07", kind="compass")
    sign_in(page, shop_open)
    page.goto(f"{shop_open}/bench/{bow.pk}")
    page.click("text=Its plan, solved")
    assert "Before it can be solved" in page.inner_text("main")

    page.click("text=A first plan from draw and weight")
    page.select_option("[name=timber]", label="Yew")
    for name, typed in (("wanted_n", "45"), ("wanted_draw_m", "28"), ("length_m", "72"), ("strain", "1.0")):
        page.fill(f"[name={name}]", typed)
    page.click("form.deed button")
    assert answer(page).startswith("45 lb at 28 in")
    assert "in the grip" in page.inner_text("main")  # it bends through it

    # what is there is told where it is from
    page.click("summary:has-text('where is this from?') >> nth=0")
    assert "elastic line" in page.inner_text("details.source[open]")

    # another plan beside it, nothing written
    page.check("[name=others][value=piked]")
    page.click("text=Solve them")
    assert "1 in off each tip" in page.inner_text("main").replace("\xa0", " ")
    assert not Dimension.objects.filter(struck_at__isnull=False).exists()

    # a slip is refused beside its field, and what was typed stays
    page.fill("[name=A_depth_1]", "0")
    page.click("form:has(.stations) button:has-text('Plan it so')")
    assert "less than can be believed" in page.inner_text("tr.why")
    assert page.input_value("[name=A_depth_1]") == "0"

    # thinner limbs, both alike, then brought back to the weight
    for row in range(3):
        page.fill(f"[name=A_depth_{row}]", "3/4")
    page.check("[name=alike]")
    page.click("form:has(.stations) button:has-text('Plan it so')")
    assert not answer(page).startswith("45")
    page.click("text=Bring to 45 lb by depth")
    assert "Brought to 45" in page.inner_text("main").replace("\xa0", " ")
    assert solved_lb(bow) == pytest.approx(45, abs=1.0)  # depths are marked to 1/64 in
    assert page.evaluate("document.documentElement.scrollWidth <= innerWidth")
