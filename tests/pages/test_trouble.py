"""Pages for trouble say what happened in plain words, keep the look, and tell what to do next."""

import io
import logging

import pytest
from django.core.exceptions import DisallowedHost, SuspiciousOperation
from django.test import Client
from django.urls import reverse

from workshop.pages import trouble

pytestmark = pytest.mark.django_db


def test_an_unknown_address_is_answered_with_what_to_do(as_owner):
    answered = as_owner.get("/no/such/page")
    page = answered.content.decode()
    assert answered.status_code == 404
    assert "<title>Nothing here" in page and "tag or number" in page


def test_somebody_not_signed_in_is_shown_the_door(client, shop):
    page = client.get("/no/such/page").content.decode()
    assert reverse("sign-in") in page


def test_a_page_for_others_says_for_whom_it_is_not(client, helper):
    client.force_login(helper, backend="django.contrib.auth.backends.ModelBackend")
    answered = client.get(reverse("order-book"))
    assert answered.status_code == 403
    assert "This is not for a helper" in answered.content.decode()


def test_a_refusal_is_one_line_in_the_terminal(client, helper):
    (console,) = (each for each in logging.getLogger().handlers if type(each) is logging.StreamHandler)
    client.force_login(helper, backend="django.contrib.auth.backends.ModelBackend")
    was = console.setStream(terminal := io.StringIO())
    try:
        client.get(reverse("order-book"))
    finally:
        console.setStream(was)
    assert terminal.getvalue().splitlines() == [f"Forbidden (Permission denied): {reverse('order-book')}"]


def test_a_form_without_its_stamp_is_refused_in_plain_words(owner):
    client = Client(enforce_csrf_checks=True)
    client.force_login(owner, backend="django.contrib.auth.backends.ModelBackend")
    answered = client.post(reverse("place-add"), {"name": "Shed"})
    page = answered.content.decode()
    assert answered.status_code == 403
    assert "This form was not taken" in page and "nothing was saved" in page


def test_a_form_beyond_the_limit_is_answered_413(as_owner, settings):
    settings.DATA_UPLOAD_MAX_MEMORY_SIZE = 1000
    answered = as_owner.post(reverse("place-add"), {"name": "Shed", "note": "x" * 2000})
    assert answered.status_code == 413
    assert "Too much at once" in answered.content.decode()


def test_a_strange_host_name_is_told_how_to_be_let_in(shop, settings):
    settings.ALLOWED_HOSTS = ["ledger.example"]
    answered = Client().get("/", headers={"host": "other.example"})
    assert answered.status_code == 400
    assert "LEDGER_HOSTS" in answered.content.decode()


def test_other_nonsense_is_answered_400(rf, shop):
    for error, words in ((SuspiciousOperation(), "makes no sense"), (DisallowedHost(), "does not answer")):
        answered = trouble.unreadable(rf.get("/"), error)
        assert answered.status_code == 400 and words in answered.content.decode()


def test_a_broken_page_still_has_its_title_and_words(as_owner, monkeypatch):
    def fall(**kwargs):
        raise RuntimeError("the beam gave way")

    monkeypatch.setattr("workshop.pages.views.todays", fall)
    as_owner.raise_request_exception = False
    answered = as_owner.get("/")
    page = answered.content.decode()
    assert answered.status_code == 500
    assert "<title>Something broke" in page and "ledger.css" in page and "beam" not in page


def test_a_broken_page_does_without_its_style_sheet(rf, shop, monkeypatch):
    def missing(path):
        raise ValueError(path)

    monkeypatch.setattr(trouble, "static", missing)
    assert "Nothing was half saved" in trouble.broken(rf.get("/")).content.decode()
