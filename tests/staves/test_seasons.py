"""What a place brings wood to goes with the seasons: the page says over which time it speaks, and reckons with them."""

import datetime as dt

import pytest

from workshop.ledger.dates import show_date
from workshop.ledger.services import entry_strike
from workshop.staves.climate import place_year
from workshop.staves.models import StaveMove
from workshop.staves.services import climate_add, moisture_add, place_add

from .test_drying import sheet
from .test_slips import said

pytestmark = pytest.mark.django_db


@pytest.fixture
def rack(owner):
    return place_add(by=owner, name="Rack by the stove", walk=2)


@pytest.fixture
def months_ago(today):
    def day(months):
        """The tenth of a month, so that twelve in a row are all the months of a year; never a day to come."""
        count = today.year * 12 + today.month - 1 - months
        return dt.date(count // 12, count % 12 + 1, 10 if months else 1)

    return day


@pytest.fixture
def read_rack(owner, rack, months_ago):
    """Dry air in the last three months, damp in the nine before them: nothing a steady figure could tell."""

    def read(months):
        for n in range(months):
            climate_add(
                place=rack, by=owner, temperature_c=20, humidity_pct=35 if n < 3 else 60,
                happened_on=months_ago(n),
            )  # fmt: skip

    return read


@pytest.fixture
def damp(owner, stave, shed, today):
    climate_add(place=shed, by=owner, temperature_c=10, humidity_pct=78, happened_on=today)
    for days in (60, 30, 1):
        moisture_add(stave=stave, by=owner, reading_pct=17, happened_on=today - dt.timedelta(days=days))
    return stave


def carried(client, stave, place):
    return said(client.get(f"/wood/pieces/{stave.pk}", {"to": place.pk, "on": ""}))


def test_a_piece_says_over_which_time_its_place_brought_wood_to_that_much(as_owner, owner, damp, shed, today):
    page = said(as_owner.get(f"/wood/pieces/{damp.pk}"))
    assert f"By its air on {show_date(today)}." in page
    week_ago = today - dt.timedelta(days=7)
    climate_add(place=shed, by=owner, temperature_c=10, humidity_pct=78, happened_on=week_ago)
    page = said(as_owner.get(f"/wood/pieces/{damp.pk}"))
    assert f"The mean of its air from {show_date(week_ago)} to {show_date(today)}." in page


def test_a_move_to_a_rack_read_all_the_year_is_reckoned_with_its_seasons_and_says_so(
    as_owner, damp, rack, read_rack
):
    read_rack(12)
    page = carried(as_owner, damp, rack)
    # Wood Handbook FPL-GTR-282 eq. 4-5 at 20 C: 7.0 % at 35 %, 11.0 % at 60 % humidity
    assert "Its seasons are reckoned with: over the year from 7.0 % in" in page and "to 11.0 % in" in page
    assert "Its seasons are reckoned with" in said(as_owner.get(f"/wood/places/{rack.pk}"))


def test_a_rack_read_only_lately_is_reckoned_alike_all_year_and_says_that_too(
    as_owner, damp, rack, read_rack
):
    read_rack(3)
    page = carried(as_owner, damp, rack)
    assert "Its air is reckoned as 7.0 % all year, the mean of its air from" in page
    assert "not every month of a year has been read" in page


def test_the_damp_months_to_come_put_off_the_day_that_the_dry_ones_just_past_would_promise(
    damp, shop, rack, read_rack, today
):
    move = StaveMove(place=rack, happened_on=today)
    read_rack(3)
    lately = sheet(damp, shop, move).drying
    read_rack(12)
    all_year = sheet(damp, shop, move).drying
    assert lately.ok and lately.words != all_year.words
    assert all_year.days[-1][0] > lately.days[-1][0]


def test_a_month_whose_only_reading_is_struck_leaves_no_year(owner, rack, read_rack):
    read_rack(12)
    readings = list(rack.climate_readings.order_by("pk"))
    assert len(place_year(readings).months_pct) == 12
    entry_strike(readings[5], by=owner)
    assert place_year(rack.climate_readings.all()) is None
