"""At the tree and at the hand-over with scripts off: plain fields and plain buttons do it all."""

import datetime as dt

import pytest

from tests.e2e.bowyer import Bowyer
from tests.e2e.conftest import PHONE
from workshop.bows.models import Bow, WeighIn, WeighPoint
from workshop.bows.services.bows import bow_change, upper_decide
from workshop.bows.services.stages import stage_step
from workshop.calc.imperial import INCH_M, POUND_N
from workshop.orders.models import Delivery, IssuedPaper, Visit
from workshop.orders.services.handover import bow_start_for_line
from workshop.orders.services.orders import line_add, order_add, order_step
from workshop.orders.services.persons import person_add
from workshop.staves.models import Timber
from workshop.staves.services import felling_add

pytestmark = pytest.mark.django_db(transaction=True)

DAY = dt.date(2026, 3, 2)
WEIGHTS = ["8", "12", "16", "20", "24", "28", "32", "36", "40", "44.5"]  # at 10, 12, ... 28 in


@pytest.fixture
def bow(shop_open, owner):
    """A bow of yew at the end of its making, ordered at 45 lb at 28 in."""
    yew = felling_add(
        by=owner, timber=Timber.objects.get(name="Yew"), came_by="tree", happened_on=dt.date(2024, 1, 12), many=1,
        length_m=78 * INCH_M, first_tag="24-001",
    )  # fmt: skip
    robin = person_add(by=owner, name="Robin Carrow")
    order = order_add(by=owner, payer=robin, happened_on=DAY, number="O-1")
    wish = {"wanted_n": 45 * POUND_N, "wanted_draw_m": 28 * INCH_M, "tolerance_n": 2 * POUND_N}
    line = line_add(order=order, by=owner, kind="bow", archer=robin, **wish)
    order_step(order=order, state="accepted", by=owner)
    bow = bow_start_for_line(line=line, by=owner, number="W-1", staves=[yew.staves.get()], started_on=DAY)
    plan = {
        "length_m": 70 * INCH_M,
        "brace_m": 6.5 * INCH_M,
        "grip_depth_m": 1.25 * INCH_M,
        "bowstring": "linen",
    }
    bow = bow_change(bow=bow, by=owner, **plan)
    upper_decide(bow=bow, by=owner, limb="A", happened_on=DAY)
    stage_step(bow=bow, stage="finishing", by=owner, happened_on=DAY)
    return bow


@pytest.fixture
def wilma(browser, shop_open, bow):
    context = browser.new_context(viewport=PHONE, has_touch=True, java_script_enabled=False)
    wilma = Bowyer(context.new_page(), shop_open)
    wilma.signs_in("wilma", "yew-and-ash")
    yield wilma
    context.close()


def test_the_weigh_in_and_the_hand_over(wilma, bow):
    said = wilma.weighs_once("W-1", "20", "28")
    assert "28 lb" in said and "Expected at 28 in" in said
    said = wilma.weighs_in_full("W-1", WEIGHTS, final=True)
    assert "44.5 lb" in said and "The series is complete" in said
    assert WeighIn.objects.count() == 2 and WeighPoint.objects.count() == 11
    wilma.brings_bow_to("W-1", "ready")
    tag = wilma.issues("Rating tag", "W-1")
    assert "44.5 lb" in tag and "28 in" in tag and "W-1" in tag
    assert "W-1" in wilma.issues("Care sheet", "W-1")
    assert IssuedPaper.objects.count() == 2
    said = wilma.hands_over("W-1", to="Robin Carrow")
    assert "handed to Robin Carrow" in said
    assert Delivery.objects.get().to.name == "Robin Carrow"
    assert Bow.objects.get().stage == "delivered"
    wilma.at_bow("W-1", "It came back", complaint="the string frays")
    assert Visit.objects.get().complaint == "the string frays"
    assert "the string frays" in wilma.finds("W-1")


def test_a_figure_that_cannot_be_read_stays_in_its_field(wilma, bow):
    wilma.finds("W-1")
    wilma.takes_up("Weigh it")
    wilma.fills(draw_m="20", force_n="twenty")
    wilma.page.locator("main button", has_text="Write it down").tap()
    wilma.page.locator(".errorlist").first.wait_for()
    assert "“twenty” cannot be read as a measure." in wilma.reads()
    assert wilma.page.input_value("[name=force_n]") == "twenty"
    assert wilma.page.input_value("[name=draw_m]") == "20"
    assert not WeighIn.objects.exists()
