"""A thumb that touches twice, a form the browser sends again, and two people with one record open."""

import datetime as dt

import pytest
from django.urls import reverse

from tests.e2e.bowyer import Bowyer
from tests.e2e.conftest import PHONE, sign_in
from workshop.ledger.models import Change
from workshop.staves.models import Stave, StaveFlaw, Timber
from workshop.staves.services import felling_add

pytestmark = pytest.mark.django_db(transaction=True)


@pytest.fixture
def stave(shop_open, owner):
    felling = felling_add(
        by=owner, timber=Timber.objects.get(name="Yew"), came_by="tree", happened_on=dt.date(2024, 1, 12), many=1,
        length_m=1.98, first_tag="24-001",
    )  # fmt: skip
    return felling.staves.get()


@pytest.fixture
def phone_of(browser, shop_open):
    """A phone of her own for everybody."""
    contexts = []

    def phone_of(name):
        contexts.append(browser.new_context(viewport=PHONE, has_touch=True))
        page = contexts[-1].new_page()
        sign_in(page, shop_open, name)
        return Bowyer(page, shop_open)

    yield phone_of
    for context in contexts:
        context.close()


def test_a_button_touched_twice_writes_once(phone_of, stave):
    wilma = phone_of("wilma")
    wilma.goes(reverse("stave-reading-add", args=[stave.pk, "flaw"]))
    wilma.fills(kind="knot", face="back", from_m="20")
    with wilma.page.expect_navigation(url="**" + reverse("stave", args=[stave.pk])):
        wilma.page.locator("main button", has_text="Write it down").dblclick()
    assert StaveFlaw.objects.count() == 1


def test_a_form_sent_again_after_going_back_writes_once(phone_of, stave):
    """The browser's own “back” shows the form as it was sent, key and all."""
    wilma = phone_of("wilma")
    wilma.goes(reverse("stave-reading-add", args=[stave.pk, "flaw"]))
    sent = wilma.page.locator("form.deed").evaluate("form => [...new FormData(form)]")
    form = {**dict(sent), "kind": "knot", "face": "back", "from_m": "20"}
    for _ in range(2):
        answer = wilma.page.request.post(wilma.page.url, form=form, headers={"Referer": wilma.page.url})
        assert answer.ok and answer.url.endswith(reverse("stave", args=[stave.pk]))
    assert StaveFlaw.objects.count() == 1


def test_two_people_change_one_piece_and_neither_is_overwritten_unseen(phone_of, stave, maker):
    maker.set_password("yew-and-ash")
    maker.save()
    wilma, jory = phone_of("wilma"), phone_of("jory")
    for person in (wilma, jory):
        person.goes(reverse("stave-change", args=[stave.pk]))
    jory.writes(note="a shake at the butt")
    wilma.fills(note="sold to nobody", sealed=True)
    wilma.page.locator("main button", has_text="Write it down").tap()
    wilma.page.locator(".refusal").wait_for()
    said = wilma.reads()
    assert "Jory Penhale changed this while you were writing" in said and "a shake at the butt" in said
    assert wilma.page.input_value("[name=note]") == "sold to nobody"
    assert Stave.objects.get().note == "a shake at the butt"
    wilma.presses("Write it down")
    kept = Stave.objects.get()
    assert kept.note == "sold to nobody" and kept.sealed
    assert Change.objects.filter(record="staves.stave", record_id=stave.pk).count() == 3  # made, his, hers
