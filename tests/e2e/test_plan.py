"""Three bows are designed on a phone, from nothing but its draw, weight, timber and kind."""

import datetime as dt

import pytest

from tests.e2e.conftest import sign_in
from workshop.bows.models import Bow, Dimension
from workshop.bows.plan.facts import plan_facts
from workshop.bows.plan.record import shop_record
from workshop.bows.plan.settled import settling
from workshop.bows.plan.solving import solve
from workshop.bows.services.bows import bow_start
from workshop.bows.services.pieces import piece_add
from workshop.calc.imperial import POUND_N
from workshop.ledger.models import Shop

pytestmark = pytest.mark.django_db(transaction=True)
TODAY = dt.date(2026, 4, 1)


def answer(page):
    return page.inner_text("p.answer").replace("\xa0", " ")


def settled_lb(bow):
    """What it weighs once it has taken its set: what the page says first, and brings to the weight."""
    facts = plan_facts(Bow.objects.get(pk=bow.pk), shop=Shop.objects.get())
    return settling(facts, shop_record(facts.timbers)).force_n(solve([facts.plan()])[0]) / POUND_N


def test_a_full_compass_longbow_of_45_lb_is_designed_compared_and_changed(page, shop_open, owner):
    bow = bow_start(by=owner, number="26-07", kind="compass")
    sign_in(page, shop_open)
    page.goto(f"{shop_open}/bench/{bow.pk}")
    page.click("text=Work out its plan")
    assert "Before it can be solved" in page.inner_text("main")

    page.click("text=A first plan from draw and weight")
    page.select_option("[name=timber]", label="Yew")
    for name, typed in (("wanted_n", "45"), ("wanted_draw_m", "28"), ("length_m", "72"), ("strain", "1.0")):
        page.fill(f"[name={name}]", typed)
    page.click("form.deed button")
    assert answer(page).startswith("45 lb at 28 in")
    assert "at the most: " in page.inner_text("main")  # where it is strained most

    # what is there is told where it is from
    page.click("summary:has-text('where is this from?') >> nth=1")  # the elastic weight
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
    assert settled_lb(bow) == pytest.approx(45, abs=1.0)  # depths are marked to 1/64 in
    assert page.evaluate("document.documentElement.scrollWidth <= innerWidth")


def begin_plan(page, **typed):
    page.click("text=A first plan from draw and weight")
    for name, text in typed.items():
        page.fill(f"[name={name}]", text)
    page.click("form.deed button")


def test_a_stiff_handled_flatbow_of_40_lb_is_designed_from_nothing(page, shop_open, owner):
    bow = bow_start(by=owner, number="26-08", kind="stiff", timber_words="White ash")
    sign_in(page, shop_open)
    page.goto(f"{shop_open}/bench/{bow.pk}/plan-sheet")
    assert "depth of the grip" in page.inner_text("main")
    begin_plan(page, wanted_n="40", wanted_draw_m="28", length_m="66", grip_depth_m="1 3/4", strain="0.85")
    assert answer(page).startswith("40 lb at 28 in")
    assert "from the grip" in page.inner_text("main") and "White ash" in page.inner_text("main")
    assert settled_lb(bow) == pytest.approx(40, abs=0.5)  # widths are marked to 1/64 in
    assert page.evaluate("document.documentElement.scrollWidth <= innerWidth")


def test_a_laminate_of_three_layers_is_designed_from_nothing(page, shop_open, owner):
    bow = bow_start(by=owner, number="26-09", kind="stiff", make_up="laminated", started_on=TODAY)
    layers = (("Shagbark hickory", 0.003), ("White ash", 0.004), ("Black locust", None))
    for number, (material, depth_m) in enumerate(layers, start=1):
        piece_add(
            bow=bow,
            by=owner,
            part="layer",
            layer=number,
            material=material,
            depth_m=depth_m,
            happened_on=TODAY,
        )
    sign_in(page, shop_open)
    page.goto(f"{shop_open}/bench/{bow.pk}/plan-sheet")
    begin_plan(page, wanted_n="45", wanted_draw_m="28", length_m="66", grip_depth_m="1 3/4", strain="0.85")
    assert answer(page).startswith("45 lb at 28 in")
    said = page.inner_text("main").replace("\xa0", " ")
    assert (
        "Shagbark hickory, White ash, Black locust" in said and "Layers" not in said.split("Class rules")[0]
    )
    assert settled_lb(bow) == pytest.approx(45, abs=0.5)
