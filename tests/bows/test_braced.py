"""How a bow is braced now, and what the next weigh-in takes over from that."""

import datetime as dt

import pytest
from django.urls import reverse

from tests.bows.conftest import WEIGHED, sent
from workshop.bows.models import WeighIn
from workshop.bows.services.readings import brace_add
from workshop.calc.imperial import INCH_M
from workshop.ledger.services import entry_strike

pytestmark = pytest.mark.django_db
LATER = WEIGHED + dt.timedelta(days=1)


@pytest.fixture
def read_brace(owner):
    def read_brace(bow, inches, on=WEIGHED, **more):
        brace_m = None if inches is None else inches * INCH_M
        return brace_add(bow=bow, by=owner, brace_m=brace_m, happened_on=on, **more)

    return read_brace


def offered(client, bow):
    """How the next weigh-in would be strung: brace in inches, string, which string."""
    form = client.get(reverse("weigh-in-add", args=[bow.pk])).context["form"]
    brace = form.initial["brace_m"]
    return brace and round(brace / INCH_M, 2), form.initial["strung"], form.initial["bowstring"]


def line(client, bow):
    page = client.get(reverse("bow", args=[bow.pk])).content.decode().replace("\xa0", " ")
    _before, _heading, after = page.partition("Brace and tiller</dt><dd>")
    return after.partition("</dd>")[0]


@pytest.fixture
def on_long_string(bow, weigh):
    weigh(bow, (10, 12), strung="long", brace_m=6.5 * INCH_M, bowstring="the long string")
    return bow


def test_a_bow_braced_low_after_the_long_string_is_weighed_at_the_low_brace(
    as_owner, on_long_string, read_brace
):
    assert offered(as_owner, on_long_string) == (6.5, "long", "the long string")
    read_brace(on_long_string, 4)
    assert offered(as_owner, on_long_string) == (4, "low", "")
    page = as_owner.get(reverse("weigh-in-add", args=[on_long_string.pk]))
    assert "low brace, brace height 4\xa0in" in page.content.decode()
    as_owner.post(reverse("weigh-in-add", args=[on_long_string.pk]), sent(page, draw_m="12", force_n="16"))
    made = WeighIn.objects.last()
    assert made.strung == "low" and made.brace_m == pytest.approx(4 * INCH_M)


def test_a_brace_as_high_as_planned_is_the_full_one(as_owner, on_long_string, read_brace):
    read_brace(on_long_string, 6.25)
    assert offered(as_owner, on_long_string)[:2] == (6.25, "full")


def test_what_was_braced_before_the_last_weigh_in_is_not_offered_again(as_owner, bow, weigh, read_brace):
    read_brace(bow, 4)
    weigh(bow, (20, 30), brace_m=6.5 * INCH_M)
    assert offered(as_owner, bow)[:2] == (6.5, "full")


def test_a_brace_struck_out_or_only_the_tiller_seen_changes_nothing(as_owner, bow, weigh, read_brace, owner):
    weigh(bow, (20, 30), brace_m=6.5 * INCH_M)
    entry_strike(read_brace(bow, 4), by=owner, reason="another bow")
    read_brace(bow, None, seen="limb A stiff past the fade")
    assert offered(as_owner, bow)[:2] == (6.5, "full")


def test_a_bow_never_weighed_but_braced_is_not_offered_the_long_string(as_owner, bow, read_brace):
    assert offered(as_owner, bow)[1] == "long"
    read_brace(bow, 4)
    assert offered(as_owner, bow)[:2] == (4, "low")


def test_the_bow_says_the_brace_it_was_last_weighed_at_and_when(as_owner, bow, weigh, read_brace):
    read_brace(bow, 4)
    assert line(as_owner, bow) == "4 in (1 Apr 2026)"
    weigh(bow, (20, 30), brace_m=6.5 * INCH_M, happened_on=LATER)
    assert line(as_owner, bow) == "6 1/2 in (weighed 2 Apr 2026)"
    read_brace(bow, 6, on=LATER)
    assert line(as_owner, bow) == "6 in (2 Apr 2026)"


def test_a_tiller_of_another_day_says_its_day_and_how_the_bow_was_braced_then(
    as_owner, bow, weigh, read_brace
):
    read_brace(bow, 4, string_a_m=6.25 * INCH_M, string_b_m=6 * INCH_M)
    assert line(as_owner, bow) == "4 in; A stands off 1/4 in more than B (1 Apr 2026)"
    weigh(bow, (20, 30), brace_m=6.5 * INCH_M, happened_on=LATER)
    said = "6 1/2 in (weighed 2 Apr 2026); A stands off 1/4 in more than B (1 Apr 2026, braced 4 in)"
    assert line(as_owner, bow) == said


def test_neither_the_long_string_nor_an_empty_weigh_in_says_how_it_is_braced(
    as_owner, on_long_string, weigh, read_brace
):
    assert line(as_owner, on_long_string) == ""
    read_brace(on_long_string, 4)
    weigh(on_long_string, brace_m=6.5 * INCH_M)
    assert line(as_owner, on_long_string) == "4 in (1 Apr 2026)"
