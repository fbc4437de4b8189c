"""Every page of the invented workshop, found by its links: nothing amiss in either colour scheme, on a phone."""

import re

import pytest

from tests.e2e import walk
from tests.e2e.bowyer import Bowyer
from tests.e2e.conftest import DESK, PHONE
from tests.served import Served
from tests.test_access import table

CHECKS = (
    "axe, light", "axe, dark", "one heading", "title", "wider than a phone", "wider at twice the text",
    "too small to touch", "focus unseen", "console", "another host", "not found", "not refused",
)  # fmt: skip
# reached by typing, not by a link
TYPED = ["/find?q=yew", "/find?q=nothing-is-called-this"]
SPOILED = ["/wood/fellings/add", "/bench/new", "/orders/new", "/orders/persons/new", "/workshop/settings"]


@pytest.fixture(scope="module")
def demo(tmp_path_factory):
    with Served(tmp_path_factory.mktemp("demo") / "data", "--demo") as demo:
        yield demo


@pytest.fixture(scope="module")
def phone(browser):
    context = browser.new_context(viewport=PHONE, has_touch=True, locale="en-GB")
    yield context.new_page()
    context.close()


@pytest.fixture(scope="module")
def walked(demo, phone):
    address = f"http://127.0.0.1:{demo.port}"
    name, password = re.search(r"owner\s+(\S+)\s+(\S+)", demo.said()).groups()
    phone.goto(f"{address}/sign-in")
    signed_out = walk.Walked()
    walk.looked_at(phone, signed_out, "/sign-in")
    Bowyer(phone, address).signs_in(name, password)
    walked = walk.walk(phone, address, ["/", *TYPED])
    walked.amiss |= signed_out.amiss
    for path in SPOILED:
        walk.refused(phone, walked, address, path, spoil)
    return walked


def spoil(page):
    """Every line of text that is asked for is a smudge, or empty where it must be there."""
    for box in page.locator("main form.deed input[inputmode=decimal]").all():
        if box.is_visible():
            box.fill("smudged")
    for box in page.locator("main form.deed input[required]:not([type=radio], [inputmode=decimal])").all():
        if box.is_visible():
            box.fill("")


@pytest.mark.parametrize("check", CHECKS)
def test_on_no_page_there_is_anything_amiss(walked, check):
    assert not walked.amiss.get(check), "\n".join(walked.amiss[check])


def test_nothing_was_asked_that_is_not_reported(walked):
    assert set(walked.amiss) <= set(CHECKS)


def test_every_address_with_a_page_was_walked(walked):
    """A new address is walked when a link leads to it; one without a link is a page nobody finds."""
    pages = {name for name, (_at, methods) in table().items() if "owner" in (methods["GET"] or ())}
    elsewhere = {
        "sign-in",
        "set-up",
        "bow-plan-stations",
        "paper-issue",
    }  # signed out; an empty ledger; shown after a refusal; leads back to the paper looked over
    assert pages - walk.NOT_PAGES - elsewhere - walked.names == set()


def test_the_checks_find_what_they_look_for(phone, demo):
    """A page with one of each fault, so that silence means something."""
    address = f"http://127.0.0.1:{demo.port}"
    phone.goto(f"{address}/sign-in")
    phone.evaluate(
        """() => { document.title = '';
        document.querySelector('main').innerHTML = '<p id="pale">pale</p><input><ul class="deeds"><li>'
          + '<button id="thin">x</button></li></ul><p id="wide">wide</p>';
        const said = {pale: {color: '#999', background: '#aaa'}, wide: {width: '900px'},
          thin: {minHeight: '9px', height: '9px', outline: 'none'}};
        for (const id in said) Object.assign(document.getElementById(id).style, said[id]); }"""
    )
    seeded = walk.Walked()
    walk.looked_at(phone, seeded, "/")
    seen = {check: " ".join(found) for check, found in seeded.amiss.items()}
    assert "label" in seen["axe, light"] and "color-contrast" in seen["axe, light"]
    assert "color-contrast" in seen["axe, dark"]
    assert set(seen) >= {"one heading", "title", "wider than a phone", "wider at twice the text"}
    assert "x " in seen["too small to touch"] and "thin" in seen["focus unseen"]
    assert walk._stranger("https://elsewhere.invalid/x.js", address)


def test_on_a_desk_no_page_is_wider_than_it_should_be(demo, walked, phone):
    """The few pages with the widest tables and drawings, at 1280 px."""
    phone.set_viewport_size(DESK)
    address = f"http://127.0.0.1:{demo.port}"
    for path in ("/", "/wood/", "/bench/", "/bench/1", "/wood/pieces/1", "/orders/", "/year"):
        phone.goto(address + path)
        assert not phone.evaluate(walk.WIDER), path
