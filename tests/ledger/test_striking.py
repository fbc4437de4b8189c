"""Striking out: the reason is the maker's own, and what is struck is shown first, in the reader's units."""

import html

import pytest
from django.urls import reverse

from workshop.bows.models import Bow
from workshop.bows.services.readings import dimensions_add
from workshop.bows.weighing.services import weigh_in_add
from workshop.calc.imperial import INCH_M, POUND_N
from workshop.ledger.services import record_add

pytestmark = pytest.mark.django_db


@pytest.fixture
def bow(owner):
    return record_add(Bow(number="26-07"), by=owner)


@pytest.fixture
def size(bow, owner, today):
    """A size of a plan: it was reckoned, and nobody typed it."""
    station = {"station_m": 30 * INCH_M, "width_m": 0.8 * INCH_M, "depth_m": 5.1 * INCH_M / 16}
    (size,) = dimensions_add(bow=bow, by=owner, limb="A", stations=[station], happened_on=today, planned=True)
    return size


@pytest.fixture
def point(bow, owner, today):
    head = weigh_in_add(
        bow=bow, by=owner, system="imperial", happened_on=today, purpose="tillering", strung="full",
        draw_from="back", draw_m=20 * INCH_M, force_n=30 * POUND_N, as_typed={"force_n": "30#"},
    )  # fmt: skip
    return head.points.get()


def asked(client, entry):
    at = reverse("strike-reason", args=[entry._meta.label_lower, entry.pk])
    return html.unescape(client.get(at, {"next": "/bench/"}).content.decode()).replace("\xa0", " ")


def strike(client, entry, **sent):
    at = reverse("strike-out", args=[entry._meta.label_lower, entry.pk])
    answer = client.post(at, {"next": "/bench/", **sent}, follow=True)
    entry.refresh_from_db()
    return html.unescape(answer.content.decode()).replace("\xa0", " ")


def test_no_reason_is_filled_in_that_nobody_gave(as_owner, point):
    page = strike(as_owner, point)
    assert not point.is_struck
    assert "Nothing is struck yet: say why" in page and "30 lb at 20 in" in page


def test_the_reason_is_the_word_that_was_touched_or_the_makers_own(as_owner, point, size):
    strike(as_owner, point, reason="misread")
    strike(as_owner, size, reason="  measured on the other limb ")
    assert (point.struck_reason, size.struck_reason) == ("misread", "measured on the other limb")


def test_beside_an_entry_one_touch_says_the_word_that_stands_on_it(as_owner, point, bow):
    page = as_owner.get(reverse("weigh-in", args=[point.weigh_in_id])).content.decode()
    assert 'name="reason" value="mistyped"' in page and "checked" not in page[page.index('class="strike"') :]
    assert "mistyped</button>" in page


def test_what_is_about_to_be_struck_is_shown_whole_with_nothing_chosen(as_owner, point, size):
    page = asked(as_owner, point)
    assert "<b>30 lb at 20 in</b>" in page and "<dt>Weight</dt><dd>30 lb (30#)</dd>" in page
    assert "while tillering, " in page and "Written by" in page and "Wilma Ashdown" in page
    assert "checked" not in page and 'id="reason" name="reason" maxlength="300">' in page
    assert "<dt>Planned, not measured</dt><dd>yes</dd>" in asked(as_owner, size)


def test_a_size_is_named_in_the_inches_of_the_shop_where_it_is_to_be_struck(as_owner, bow, size):
    page = as_owner.get(reverse("bow", args=[bow.pk])).content.decode().replace("\xa0", " ")
    assert 'aria-label="Strike out, mistyped: A 30 in: 51/64 in × 5/16 in"' in page
    assert "762 mm" not in page and "762 mm" not in asked(as_owner, size)


def test_the_same_size_is_named_in_millimetres_to_one_who_reads_those(as_owner, owner, size):
    owner.units = "metric"
    owner.save()
    assert "<b>A 762 mm: 20.3 mm × 8.1 mm</b>" in asked(as_owner, size)


def test_after_striking_it_says_what_was_struck_and_how_to_put_it_right(as_owner, point):
    page = strike(as_owner, point, reason="mistyped")
    assert "Struck out: 30 lb at 20 in." in page and "write it anew" in page


def test_what_is_struck_already_is_not_asked_about_again(as_owner, point):
    strike(as_owner, point, reason="mistyped")
    page = asked(as_owner, point)
    assert "Struck out already" in page and 'name="reason"' not in page
    strike(as_owner, point)
    assert point.struck_reason == "mistyped"


def test_every_kind_of_entry_can_be_shown_before_it_is_struck(as_owner, owner, helper, tmp_path, settings):
    from django.apps import apps

    from tests.world import build
    from workshop.ledger.models import Entry

    settings.DATA_DIR = tmp_path
    build(owner, helper)
    shown = 0
    for model in apps.get_models():
        entry = model.objects.first() if issubclass(model, Entry) and model.strikable else None
        if entry is not None:
            shown += 1
            at = reverse("strike-reason", args=[entry._meta.label_lower, entry.pk])
            assert as_owner.get(at).status_code == 200, model
    assert shown > 10
