"""A real browser: Debian's chromium, a phone in one hand. Any message in its console fails the test."""

import os
import shutil

import pytest

# Playwright keeps an event loop in the test's thread, which the ORM would refuse; nothing here is async.
os.environ.setdefault("DJANGO_ALLOW_ASYNC_UNSAFE", "true")

PHONE = {"width": 390, "height": 844}
DESK = {"width": 1280, "height": 900}


def pytest_collection_modifyitems(items):
    for item in items:
        if "tests/e2e" in str(item.path):
            item.add_marker(pytest.mark.e2e)


@pytest.fixture(scope="session")
def browser_type_launch_args():
    quiet = ("background-networking", "component-update", "sync", "gpu", "quic")
    return {
        "executable_path": shutil.which("chromium"),
        "args": ["--no-sandbox", "--no-first-run", *(f"--disable-{name}" for name in quiet)],
    }


@pytest.fixture(scope="session")
def browser_context_args():
    return {"viewport": PHONE, "has_touch": True, "locale": "en-GB"}


@pytest.fixture(autouse=True)
def console_clean(page):
    """A script error, a refused style or a missing file. A form refused with 422 says so in the console: wanted."""
    said = []
    page.on("console", lambda m: m.type == "error" and "422" not in m.text and said.append(m.text))
    page.on("pageerror", lambda error: said.append(str(error)))
    yield
    assert not said, said


@pytest.fixture
def shop_open(live_server, transactional_db, shop, owner):
    """The invented workshop, its timbers seeded, its owner able to sign in."""
    from workshop.staves.services.timbers import timbers_seed

    owner.set_password("yew-and-ash")
    owner.save()
    timbers_seed()
    return live_server.url


def sign_in(page, url, name="wilma", password="yew-and-ash"):
    page.goto(f"{url}/sign-in")
    page.fill("[name=username]", name)
    page.fill("[name=password]", password)
    page.click("main button")
    page.wait_for_url(f"{url}/")
