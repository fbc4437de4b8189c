"""At the tree: a phone in one hand, the rope in the other, and a network that comes and goes."""

import os

import pytest
from django.conf import settings
from django.urls import reverse

from workshop.bows.models import Bow, WeighIn, WeighPoint
from workshop.calc.imperial import INCH_M, POUND_N
from workshop.ledger.services import record_add

pytestmark = [pytest.mark.e2e, pytest.mark.django_db(transaction=True)]
PHONE = {"viewport": {"width": 390, "height": 844}, "has_touch": True}


@pytest.fixture(scope="session")
def browser_type_launch_args():
    os.environ["DJANGO_ALLOW_ASYNC_UNSAFE"] = "1"  # the browser's driver runs a loop in this thread
    quiet = ("quic", "background-networking", "component-update", "sync", "gpu")
    return {
        "executable_path": "/usr/bin/chromium",
        "args": ["--no-sandbox", "--no-first-run", *(f"--disable-{what}" for what in quiet)],
    }


@pytest.fixture
def bow(owner):
    wanted = {"wanted_n": 45 * POUND_N, "wanted_draw_m": 28 * INCH_M, "brace_m": 6.5 * INCH_M}
    return record_add(Bow(number="26-07", grip_depth_m=1.25 * INCH_M, **wanted), by=owner)


@pytest.fixture
def open_page(browser, client, owner, live_server):
    """A phone's page of the running ledger, signed in as the owner; every error on it fails the test."""
    client.force_login(owner, backend="django.contrib.auth.backends.ModelBackend")
    cookie = {
        "name": settings.SESSION_COOKIE_NAME,
        "value": client.cookies[settings.SESSION_COOKIE_NAME].value,
    }
    opened, errors = [], []

    def open_page(path, **options):
        context = browser.new_context(**PHONE, **options)
        context.add_cookies([{**cookie, "url": live_server.url}])
        page = context.new_page()
        page.set_default_timeout(15000)
        page.on("pageerror", lambda error: errors.append(str(error)))
        page.on("console", lambda said: errors.append(said.text) if "Security Policy" in said.text else None)
        page.goto(live_server.url + path)
        opened.append(context)
        return page

    yield open_page
    for context in opened:
        context.close()
    assert not errors


def type_on_pad(page, figure):
    for key in figure:
        page.tap(f".pad [data-key='{key}']")


def points():
    return [
        (round(each.draw_m / INCH_M, 2), round(each.force_n / POUND_N, 2))
        for each in WeighPoint.objects.all()
    ]


def test_one_figure_is_typed_on_the_pad_with_a_thumb(open_page, bow):
    page = open_page(reverse("weigh-in-add", args=[bow.pk]))
    page.fill("[name=draw_m]", "26")
    page.focus("[name=force_n]")
    type_on_pad(page, "49")
    page.tap(".pad [data-key=back]")
    type_on_pad(page, "1.5")
    smallest = page.evaluate(
        "Math.min(...[...document.querySelectorAll('.pad button')].map(b => b.getBoundingClientRect().height))"
    )
    assert smallest >= 44
    page.tap("text=Write it down")
    page.wait_for_url("**/weigh-in/*")
    assert points() == [(26.0, 41.5)]


def test_a_series_grows_on_one_page(open_page, bow):
    page = open_page(reverse("weigh-in-add", args=[bow.pk]))
    page.tap("text=Begin the full series")
    page.wait_for_url("**/weigh-in/*")
    for draw, figure in ((10, "8"), (12, "12"), (14, "16")):
        assert page.input_value("[name=draw_m]") == str(draw)
        type_on_pad(page, figure)
        page.tap("text=Write it down")
        page.wait_for_selector(f".points td:has-text('{figure}\u00a0lb')")
    assert points() == [(10.0, 8.0), (12.0, 12.0), (14.0, 16.0)]
    assert page.locator("svg.drawing").count() == 1


def test_a_browser_that_styled_a_field_itself_gets_no_complaint_when_the_page_grows(open_page, bow):
    """One that fills fields in, or grows them, leaves a style on them; htmx must not carry it over."""
    page = open_page(reverse("weigh-in-add", args=[bow.pk]))
    page.tap("text=Begin the full series")
    page.wait_for_url("**/weigh-in/*")
    page.evaluate("for (const f of document.querySelectorAll('#weigh input')) f.style.caretColor = 'red'")
    type_on_pad(page, "8")
    page.tap("text=Write it down")
    page.wait_for_selector(".points td:has-text('8\u00a0lb')")


def test_a_slipped_digit_is_struck_with_one_touch(open_page, bow):
    page = open_page(reverse("weigh-in-add", args=[bow.pk]))
    type_on_pad(page, "50")
    page.tap("text=Write it down")
    page.wait_for_selector("text=Past the limit of pull")
    page.tap(".points .strike button")
    page.wait_for_selector("tr.struck")
    assert "Nothing is weighed yet" in page.content()


def test_figures_typed_without_a_network_are_kept_and_sent_when_it_is_back(open_page, bow):
    page = open_page(reverse("weigh-in-add", args=[bow.pk]))
    page.tap("text=Begin the full series")
    page.wait_for_url("**/weigh-in/*")
    page.context.set_offline(True)
    for figure in ("8", "12"):
        type_on_pad(page, figure)
        page.tap("text=Write it down")
        page.wait_for_selector(f"#kept li:has-text(': {figure} lb')")
    assert page.input_value("[name=draw_m]") == "14" and page.input_value("[name=force_n]") == ""
    assert points() == []
    page.context.set_offline(False)
    page.wait_for_selector("text=What was kept on this device is in the ledger now.")
    page.wait_for_selector(".points td:has-text('12\u00a0lb')")
    assert points() == [(10.0, 8.0), (12.0, 12.0)]
    page.reload()
    assert page.locator("#kept").is_hidden()


def test_a_figure_kept_that_cannot_be_taken_says_why_and_can_be_let_go(open_page, bow):
    page = open_page(reverse("weigh-in-add", args=[bow.pk]))
    page.tap("text=Begin the full series")
    page.wait_for_url("**/weigh-in/*")
    page.context.set_offline(True)
    type_on_pad(page, "8000")
    page.tap("text=Write it down")
    page.wait_for_selector("#kept li")
    page.context.set_offline(False)
    page.wait_for_selector("#kept li:has-text('more than can be believed')")
    page.tap("text=Let it go")
    assert page.locator("#kept").is_hidden() and points() == []


def test_a_figure_typed_after_the_session_ended_is_kept(open_page, bow):
    page = open_page(reverse("weigh-in-add", args=[bow.pk]))
    page.tap("text=Begin the full series")
    page.wait_for_url("**/weigh-in/*")
    cookies = page.context.cookies()
    page.context.clear_cookies(name=settings.SESSION_COOKIE_NAME)
    type_on_pad(page, "8")
    page.tap("text=Write it down")
    page.wait_for_selector("text=You are signed out")
    page.context.add_cookies(cookies)
    page.reload()
    page.wait_for_selector(".points td:has-text('8\u00a0lb')")
    assert points() == [(10.0, 8.0)]


def test_without_javascript_the_plain_fields_do_it_all(open_page, bow):
    page = open_page(reverse("weigh-in-add", args=[bow.pk]), java_script_enabled=False)
    assert page.locator(".pad").is_hidden()
    assert page.get_attribute("[name=force_n]", "inputmode") == "decimal"
    page.click("text=Begin the final weigh-in")
    for figure in ("8", "12", "16", "20", "24", "28", "32", "36", "40", "45"):
        page.fill("[name=force_n]", figure)
        page.click("text=Write it down")
    assert "The series is complete" in page.content()
    assert len(points()) == 10 and WeighIn.objects.get().purpose == "final"
    page.fill("[name=draw_m]", "30")
    page.fill("[name=force_n]", "fifty")
    page.click("text=Write it down")
    assert page.input_value("[name=force_n]") == "fifty" and "cannot be read" in page.content()
