"""A move only thought of: what is asked is answered, and what cannot be is said beside its field."""

import datetime as dt

import pytest

from workshop.ledger.dates import show_date
from workshop.staves.services import climate_add, moisture_add, place_add

from .test_slips import said

pytestmark = pytest.mark.django_db


@pytest.fixture
def loft(owner):
    return place_add(by=owner, name="House loft", walk=2)


@pytest.fixture
def damp(owner, stave, shed, loft, today):
    """A piece that stays too wet for the bench in its shed, and a dry loft beside it."""
    for days in (60, 30, 1):
        on = today - dt.timedelta(days=days)
        moisture_add(stave=stave, by=owner, reading_pct=18, happened_on=on)
        climate_add(place=shed, by=owner, temperature_c=10, humidity_pct=78, happened_on=on)
        climate_add(place=loft, by=owner, temperature_c=20, humidity_pct=40, happened_on=on)
    return stave


def asked(client, stave, **query):
    return client.get(f"/wood/pieces/{stave.pk}", query)


def test_a_move_thought_of_on_a_day_that_is_past_is_said_so_beside_the_day_and_not_put_off_to_today(
    as_owner, damp, loft
):
    page = asked(as_owner, damp, to=loft.pk, on="2020-01-01")
    (word,) = page.context["plan"].errors["on"]
    assert "1 Jan 2020 is past" in word and word in said(page)
    assert page.context["planned"] is None and "Carried to House loft" not in said(page)
    assert page.context["plan"]["on"].value() == "2020-01-01"


def test_a_day_with_no_place_chosen_asks_for_the_place(as_owner, damp):
    for query in ({"to": "", "on": "2100-01-01"}, {"on": "2100-01-01"}):
        page = asked(as_owner, damp, **query)
        (word,) = page.context["plan"].errors["to"]
        assert "Choose the place" in word and word in said(page)


def test_this_month_or_no_day_at_all_is_today(as_owner, damp, loft, today):
    for on in ("", show_date(today, "m"), str(today.year)):
        page = asked(as_owner, damp, to=loft.pk, on=on)
        assert page.context["planned"].happened_on == today
        assert f"Carried to House loft on {show_date(today)}" in said(page)
