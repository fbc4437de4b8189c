"""When a piece will be dry: from its own readings, in its places, and after a move only thought of."""

import datetime as dt
import math

import pytest
from django.utils import timezone

from workshop.staves.models import Stave, StaveMove
from workshop.staves.selectors import stave_sheet
from workshop.staves.services import (
    climate_add,
    felling_add,
    moisture_add,
    oven_dry_add,
    place_add,
    sizes_add,
    stave_carry,
    stave_step,
)

pytestmark = pytest.mark.django_db


@pytest.fixture
def loft(owner):
    return place_add(by=owner, name="House loft", walk=2)


@pytest.fixture
def read_monthly(owner, shed, loft, stave, shop, today):
    """Half a year of readings in a damp shed; the loft is as dry as a house."""
    for days in range(0, 180, 30):
        on = today - dt.timedelta(days=180 - days)
        moisture = 15.8 + 13 * math.exp(-0.012 * days)  # toward the 15.8 % of 10 C and 78 %, as dry wood does
        moisture_add(stave=stave, by=owner, reading_pct=round(moisture, 1), happened_on=on)
        climate_add(place=shed, by=owner, temperature_c=10, humidity_pct=78, happened_on=on)
        climate_add(place=loft, by=owner, temperature_c=20, humidity_pct=40, happened_on=on)


def sheet(stave, shop, planned=None):
    stave = Stave.objects.select_related("felling__timber", "parent", "place").get(pk=stave.pk)
    return stave_sheet(stave, shop=shop, today=timezone.localdate(), planned=planned)


def test_a_damp_shed_never_gets_there_and_says_so(read_monthly, stave, shop):
    answer = sheet(stave, shop).drying
    assert (answer.ok, answer.why) == (False, "no_place_dry_enough")
    assert "Plan a move" in answer.words


def test_a_move_thought_of_gives_a_date_with_its_band_and_is_not_written(
    read_monthly, stave, shop, loft, today
):
    before = StaveMove.objects.count()
    answer = sheet(stave, shop, StaveMove(place=loft, happened_on=today)).drying
    assert answer.ok
    assert "one chance in ten before" in answer.words
    assert answer.days[0][0] >= today
    assert all(low <= high for _day, low, high in answer.days)
    assert StaveMove.objects.count() == before


def test_the_page_asks_and_answers(as_owner, read_monthly, stave, loft):
    text = as_owner.get(f"/wood/pieces/{stave.pk}?to={loft.pk}&on=").content.decode()
    assert "Carried to House loft" in text
    assert "Dry enough about" in text
    assert as_owner.get(f"/wood/pieces/{stave.pk}?to=999999&on=never").status_code == 200


def test_air_that_nobody_read_is_said(owner, stave, shop, shed, today):
    for days in (60, 30, 1):
        moisture_add(stave=stave, by=owner, reading_pct=18, happened_on=today - dt.timedelta(days=days))
    answer = sheet(stave, shop).drying
    assert answer.why == "air_unknown"
    assert "Long shed" in answer.words


def test_one_reading_below_fibre_saturation_carries_a_date_by_the_usual_rate(owner, stave, shop, shed, today):
    climate_add(place=shed, by=owner, temperature_c=20, humidity_pct=40, happened_on=today)
    moisture_add(stave=stave, by=owner, reading_pct=18, happened_on=today)
    answer = sheet(stave, shop).drying
    assert (answer.ok, answer.why) == (True, "usual_rate")
    assert "the usual rate, for a piece of any thickness" in answer.words and "would tell most" in answer.help
    row = {"station_m": 0.5, "width_m": 0.07, "depth_m": 0.03}
    sizes_add(stave=stave, by=owner, rows=[row], happened_on=today)
    known = sheet(stave, shop)
    assert known.wood.thickness_m == 0.03 and "any thickness" not in known.drying.words
    assert span(known.drying) < span(answer)


def test_a_thick_piece_that_gets_there_slowly_is_not_told_to_move(owner, stave, shop, shed, today):
    """The shed's 8 % is within the band; eight inches of wood only want longer than anybody plans for."""
    climate_add(place=shed, by=owner, temperature_c=20, humidity_pct=42, happened_on=today)
    oven_dry_add(stave=stave, by=owner, wet_kg=0.0635, dry_kg=0.0500, happened_on=today)
    row = {"station_m": 0.5, "width_m": 0.25, "depth_m": 0.20}
    sizes_add(stave=stave, by=owner, rows=[row], happened_on=today)
    answer = sheet(stave, shop).drying
    assert (answer.ok, answer.why) == (False, "beyond_horizon")
    assert "will get dry enough there, but slowly" in answer.words
    assert "One chance in ten before" in answer.words and "Plan a move" not in answer.words


def test_a_piece_that_takes_moisture_up_is_told_when_it_is_damp_enough(owner, stave, shop, shed, today):
    climate_add(place=shed, by=owner, temperature_c=20, humidity_pct=50, happened_on=today)
    oven_dry_add(stave=stave, by=owner, wet_kg=0.0530, dry_kg=0.0500, happened_on=today)
    answer = sheet(stave, shop).drying
    assert answer.ok
    assert "Damp enough about" in answer.words and "dry" not in answer.words.lower()


def test_a_piece_that_may_never_take_up_enough_is_not_said_to_stay_too_wet(owner, stave, shop, shed, today):
    """6 %, in the 8.0 % of 20 C and 42 %: as likely as not the place falls short of the band's 8 %."""
    climate_add(place=shed, by=owner, temperature_c=20, humidity_pct=42.5, happened_on=today)
    oven_dry_add(stave=stave, by=owner, wet_kg=0.0530, dry_kg=0.0500, happened_on=today)
    answer = sheet(stave, shop).drying
    assert (answer.ok, answer.why) == (False, "may_not_arrive")
    assert "may never take up enough there" in answer.words and "dry" not in answer.words


def span(answer):
    return answer.days[-1][0] - answer.days[0][0]


def test_a_meter_rarely_read_and_a_slice_still_give_a_date_for_a_move(owner, stave, shop, shed, loft, today):
    for place, pct in ((shed, 78), (loft, 40)):
        climate_add(place=place, by=owner, temperature_c=15, humidity_pct=pct, happened_on=today)
    for ago, pct in ((640, 24), (430, 17), (220, 15.5), (20, 15)):
        moisture_add(stave=stave, by=owner, reading_pct=pct, happened_on=today - dt.timedelta(days=ago))
    oven_dry_add(stave=stave, by=owner, wet_kg=0.0542, dry_kg=0.0470, happened_on=today)
    assert sheet(stave, shop).drying.why == "no_place_dry_enough"
    answer = sheet(stave, shop, StaveMove(place=loft, happened_on=today)).drying
    assert answer.ok and "Dry enough about" in answer.words


def test_a_piece_without_a_place_or_a_sound_reading_says_what_is_wanting(owner, shop, ash, today):
    homeless = felling_add(
        by=owner,
        many=1,
        first_tag="N-1",
        timber=ash,
        came_by="gift",
        happened_on=today - dt.timedelta(days=400),
    ).staves.get()
    moisture_add(stave=homeless, by=owner, reading_pct=18, happened_on=today)
    answer = sheet(homeless, shop).drying
    assert (answer.why, answer.ok) == ("no_place", False) and "where it lies" in answer.words


def test_a_yard_whose_air_nobody_read_does_not_hide_what_was_read_since(
    owner, stave, shop, shed, loft, today
):
    climate_add(place=loft, by=owner, temperature_c=20, humidity_pct=40, happened_on=today)
    stave_carry(stave=stave, place=loft, by=owner, happened_on=today - dt.timedelta(days=90))
    for ago, pct in ((120, 22), (80, 18), (40, 15), (1, 13.5)):
        moisture_add(stave=stave, by=owner, reading_pct=pct, happened_on=today - dt.timedelta(days=ago))
    assert sheet(stave, shop).drying.ok


def test_what_is_dry_or_gone_or_unread_has_nothing_to_forecast(
    owner, stave, shop, shed, loft, read_monthly, today
):
    sold = stave_step(stave=stave, state="sold", by=owner)
    assert sheet(sold, shop).drying is None
    other = Stave.objects.exclude(pk=stave.pk).first()
    assert sheet(other, shop).drying is None


def test_two_moves_on_one_day_are_no_trouble(owner, read_monthly, stave, shop, loft, shed, today):
    for place in (loft, shed, loft):
        stave_carry(stave=stave, place=place, by=owner, happened_on=today - dt.timedelta(days=3))
    assert sheet(stave, shop).drying.ok
