"""In the racks: a phone in one hand, a meter in the other, and a network that comes and goes."""

import datetime as dt
import os
import re
import shutil

import pytest
from django.conf import settings

from workshop.staves.models import MoistureReading, Stave
from workshop.staves.services import place_add, stave_carry

pytestmark = [pytest.mark.e2e, pytest.mark.django_db(transaction=True)]
PHONE = {"viewport": {"width": 390, "height": 844}, "has_touch": True}


@pytest.fixture(scope="session")
def browser_type_launch_args():
    os.environ["DJANGO_ALLOW_ASYNC_UNSAFE"] = "1"  # the browser's driver runs a loop in this thread
    quiet = ("quic", "background-networking", "component-update", "sync", "gpu")
    return {
        "executable_path": shutil.which("chromium"),
        "args": ["--no-sandbox", "--no-first-run", *(f"--disable-{what}" for what in quiet)],
    }


@pytest.fixture
def on_the_round(browser, client, owner, felling, live_server):
    """The round opened on a phone, signed in as the owner; an error in its script fails the test."""
    client.force_login(owner, backend="django.contrib.auth.backends.ModelBackend")
    cookie = client.cookies[settings.SESSION_COOKIE_NAME]
    contexts, errors = [], []

    def opened(**options):
        context = browser.new_context(**PHONE, **options)
        context.add_cookies([{"name": cookie.key, "value": cookie.value, "url": live_server.url}])
        page = context.new_page()
        page.set_default_timeout(60_000)
        page.on("pageerror", lambda error: errors.append(str(error)))
        page.on("dialog", lambda dialog: dialog.accept())
        page.goto(f"{live_server.url}/wood/round")
        contexts.append(context)
        return page

    yield opened
    for context in contexts:
        context.close()
    assert not errors


WRITES = re.compile(r"/wood/round/\d+$")


def piece(page, number):
    return page.locator("li.piece").nth(number)


def field(page, number):
    return piece(page, number).locator("[name=reading_pct]")


def kept():
    return list(MoistureReading.objects.values_list("stave__tag", "reading_pct"))


def test_a_figure_is_kept_as_its_field_is_left_and_enter_goes_to_the_next(on_the_round):
    page = on_the_round()
    field(page, 0).fill("14.5")
    field(page, 0).press("Enter")
    piece(page, 0).get_by_text("14.5 % kept").wait_for()
    assert page.evaluate("document.activeElement.closest('li').id") == piece(page, 1).get_attribute("id")
    field(page, 1).fill("soaking")
    field(page, 2).focus()
    piece(page, 1).get_by_text("cannot be read").wait_for()
    assert field(page, 1).input_value() == "soaking"
    assert kept() == [("25-001", 14.5)]


def test_an_emptied_field_is_no_reading(on_the_round):
    page = on_the_round()
    field(page, 0).fill("1")
    field(page, 0).fill("")
    field(page, 1).focus()
    field(page, 1).fill("15")
    field(page, 2).focus()
    piece(page, 1).get_by_text("15 % kept").wait_for()
    assert kept() == [("25-002", 15.0)]


def test_without_a_network_the_figure_stays_and_is_sent_once_when_it_is_back(on_the_round):
    page = on_the_round()
    page.context.set_offline(True)
    field(page, 0).fill("14.5")
    field(page, 1).focus()
    piece(page, 0).get_by_text("Not sent").wait_for()
    assert field(page, 0).input_value() == "14.5"
    assert kept() == []
    page.context.set_offline(False)
    piece(page, 0).get_by_text("14.5 % kept").wait_for()
    assert page.locator("[data-unsent-all]").is_hidden()
    assert kept() == [("25-001", 14.5)]


def test_a_page_opened_anew_still_has_what_was_not_sent(on_the_round):
    page = on_the_round()
    page.route(WRITES, lambda route: route.abort())  # pages still come, so that this one can be opened anew
    field(page, 2).fill("16")
    field(page, 1).focus()
    piece(page, 2).get_by_text("Not sent").wait_for()
    page.reload()
    piece(page, 2).get_by_text("Not sent").wait_for()
    assert (field(page, 2).input_value(), kept()) == ("16", [])
    page.unroute(WRITES)
    piece(page, 2).get_by_text("16 % kept").wait_for()
    assert kept() == [("25-003", 16.0)]


def test_a_figure_of_a_piece_that_is_not_on_the_page_is_counted_and_sent(on_the_round, owner):
    """In the next shed there is a network again; the figure of the last one need not be carried back."""
    page = on_the_round()
    page.route(WRITES, lambda route: route.abort())
    field(page, 0).fill("17")
    field(page, 1).focus()
    piece(page, 0).get_by_text("Not sent").wait_for()
    place = place_add(by=owner, name="Next shed")
    stave_carry(stave=Stave.objects.get(tag="25-002"), by=owner, place=place, happened_on=dt.date.today())
    page.goto(f"{page.url.partition('?')[0]}?place={place.pk}")
    assert piece(page, 0).count() == 1
    page.get_by_text("Not sent yet").wait_for()
    page.unroute(WRITES)
    page.locator("[data-unsent-all]").wait_for(state="hidden")
    assert kept() == [("25-001", 17.0)]


def test_without_javascript_each_row_has_its_button(on_the_round):
    page = on_the_round(java_script_enabled=False)
    field(page, 1).fill("15.5")
    piece(page, 1).get_by_role("button", name="Keep").click()
    assert "15.5 % kept" in piece(page, 1).inner_text()
    assert kept() == [("25-002", 15.5)]
