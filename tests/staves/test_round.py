"""The meter round: along the racks, one field for each piece, nothing kept twice and nothing lost."""

import datetime as dt
import re
import uuid

import pytest

from workshop.ledger.dates import read_date
from workshop.ledger.models import Instrument
from workshop.ledger.services import entry_strike, record_add, record_change
from workshop.staves.models import MoistureReading
from workshop.staves.selectors import out_of_line, round_pieces, round_rows
from workshop.staves.services import (
    climate_add,
    felling_add,
    moisture_add,
    place_add,
    stave_carry,
    stave_step,
)

from .conftest import FELLED

pytestmark = pytest.mark.django_db
HX = {"HTTP_HX_REQUEST": "true"}


def sent(text="14.5", **values):
    return {"reading_pct": text, "happened_on": "today", "entry_key": uuid.uuid4(), **values}


def test_pieces_come_in_the_order_of_the_walk(owner, felling, stave, ash):
    first = place_add(by=owner, name="By the door", walk=0)
    stave_carry(stave=felling.staves.last(), place=first, by=owner, happened_on=FELLED)
    felling_add(by=owner, timber=ash, came_by="gift", happened_on=FELLED, many=1, first_tag="nowhere")
    assert [s.tag for s in round_pieces()] == ["25-003", "25-001", "25-002", "nowhere"]


def test_what_has_left_the_store_is_not_on_the_round(owner, felling, stave):
    stave_step(stave=stave, state="sold", by=owner)
    assert stave not in round_pieces()


def test_a_slip_is_struck_from_the_round_itself(as_owner, stave):
    as_owner.post(f"/wood/round/{stave.pk}", sent(query="wood_c=8"), **HX)
    text = as_owner.post(f"/wood/round/{stave.pk}", sent(query="wood_c=8"), **HX).content.decode()
    back = re.search(r'name="next" value="([^"]+)"', text).group(1)
    assert back == f"/wood/round?wood_c=8#piece-{stave.pk}"
    reading = MoistureReading.objects.last()
    answer = as_owner.post(
        f"/strike/staves.moisturereading/{reading.pk}", {"next": back, "reason": "mistyped"}
    )
    assert answer.url == back
    assert MoistureReading.objects.standing().count() == 1


def test_a_row_is_kept_and_answers_with_itself(as_owner, stave):
    answer = as_owner.post(f"/wood/round/{stave.pk}", sent(wood_c="41"), **HX)
    assert answer.status_code == 200
    text = answer.content.decode()
    assert "14.5 % kept" in text
    assert "<html" not in text
    reading = MoistureReading.objects.get()
    assert (reading.reading_pct, reading.happened_on) == (14.5, dt.date.today())
    assert reading.wood_c == pytest.approx(5)
    assert str(reading.entry_key) not in text  # the next reading gets a key of its own


def test_the_same_row_sent_twice_is_one_reading(as_owner, stave):
    row = sent()
    for _ in range(2):
        assert as_owner.post(f"/wood/round/{stave.pk}", row, **HX).status_code == 200
    assert MoistureReading.objects.count() == 1


def test_a_figure_changed_after_its_answer_got_lost_is_not_swallowed(as_owner, stave):
    row = sent("14.5")
    as_owner.post(f"/wood/round/{stave.pk}", row, **HX)
    text = as_owner.post(f"/wood/round/{stave.pk}", {**row, "reading_pct": "15.5"}, **HX).content.decode()
    assert "arrived before as 14.5 %" in text
    assert 'value="15.5"' in text


def test_a_figure_that_cannot_be_read_stays_in_its_field(as_owner, stave):
    answer = as_owner.post(f"/wood/round/{stave.pk}", sent("12,,5"), **HX)
    assert answer.status_code == 422
    text = answer.content.decode()
    assert "cannot be read" in text
    assert 'value="12,,5"' in text
    assert not MoistureReading.objects.exists()


def test_without_javascript_a_row_comes_back_to_its_place_on_the_round(as_owner, stave):
    answer = as_owner.post(f"/wood/round/{stave.pk}", sent(query="wood_c=8"))
    assert answer.url == f"/wood/round?wood_c=8#piece-{stave.pk}"
    assert "14.5 % kept" in as_owner.get("/wood/round?wood_c=8").content.decode()
    refused = as_owner.post(f"/wood/round/{stave.pk}", sent("wet"))
    assert refused.status_code == 422
    assert "<html" in refused.content.decode()


def test_without_javascript_a_reading_of_an_earlier_day_is_said_to_be_kept(as_owner, owner, stave):
    moisture_add(stave=stave, by=owner, reading_pct=17.2, happened_on=FELLED + dt.timedelta(days=30))
    as_owner.post(f"/wood/round/{stave.pk}", sent("20.5", happened_on="20 Jan 2025"))
    text = as_owner.get("/wood/round").content.decode()
    assert "20.5 % kept" in text and "20 Jan 2025" in text
    assert "kept" not in re.sub(
        "is kept as you", "", as_owner.get("/wood/round").content.decode()
    )  # said once


def test_the_address_of_the_round_cannot_be_turned_elsewhere(as_owner, stave):
    answer = as_owner.post(f"/wood/round/{stave.pk}", sent(query="x\r\nSet-Cookie: a=b&y=//evil.example"))
    assert answer.url.startswith("/wood/round?")
    assert "\n" not in answer.url


def test_last_time_stands_beside_the_field(as_owner, owner, stave):
    moisture_add(stave=stave, by=owner, reading_pct=17.2, happened_on=FELLED)
    assert "the meter last said 17.2 %" in as_owner.get("/wood/round").content.decode()


def test_what_the_round_is_read_with_goes_into_every_row(as_owner, felling):
    page = as_owner.get("/wood/round?wood_c=46&happened_on=14+Mar+2025&meter_scale=group+2")
    text = page.content.decode()
    assert text.count('<input type="hidden" name="wood_c" value="46">') == 3
    assert text.count('<input type="hidden" name="happened_on" value="14 Mar 2025">') == 3


@pytest.fixture
def meter(owner):
    return record_add(Instrument(kind="meter", name="Two-pin meter", meter_scale="Douglas-fir"), by=owner)


def hidden(page) -> set[tuple]:
    """The day, the meter and its scale, as every row will send them."""
    names = ("happened_on", "meter", "meter_scale")
    return {tuple(str(line.form[name].value()) for name in names) for line in page.context["lines"]}


@pytest.mark.parametrize("query", ["", "?place={place}", "?page=1"])
def test_the_meter_of_last_time_is_kept_at_one_place_and_on_every_page(
    as_owner, owner, felling, stave, shed, meter, query
):
    moisture_add(stave=stave, by=owner, reading_pct=15, meter=meter, happened_on=FELLED)
    page = as_owner.get("/wood/round" + query.format(place=shed.pk))
    ((day, by, scale),) = hidden(page)
    assert (by, scale) == (str(meter.pk), "Douglas-fir")
    assert read_date(day, dt.date.today())[0] == dt.date.today()


def test_a_scale_taken_out_of_the_round_stays_out(as_owner, owner, felling, stave, meter):
    moisture_add(stave=stave, by=owner, reading_pct=15, meter=meter, happened_on=FELLED)
    ((_day, by, scale),) = hidden(as_owner.get("/wood/round?meter=&meter_scale="))
    assert (by, scale) == ("", "")


def test_a_meter_out_of_use_does_not_stop_the_round(as_owner, owner, stave, meter):
    moisture_add(stave=stave, by=owner, reading_pct=15, meter=meter, happened_on=FELLED)
    record_change(meter, by=owner, in_use=False)
    for address in ("/wood/round", f"/wood/pieces/{stave.pk}/write/moisture"):
        assert "Douglas-fir" not in as_owner.get(address).content.decode().replace("such as Douglas-fir", "")
    opened_before = sent(meter=meter.pk, meter_scale="Douglas-fir")
    assert as_owner.post(f"/wood/round/{stave.pk}", opened_before, **HX).status_code == 200


def test_a_bad_temperature_for_the_round_is_said(as_owner, felling):
    page = as_owner.get("/wood/round?wood_c=warm")
    assert page.status_code == 422
    assert "cannot be read" in page.content.decode()


def row_of(stave, today):
    return round_rows(round_pieces().filter(pk=stave.pk), today=today)[0]


@pytest.mark.parametrize(
    ("last", "days", "new", "word"),
    [
        (12.0, 30, 12.5, ""),
        (12.0, 30, 16.0, "wetter"),
        (12.0, 30, 14.5, ""),
        (20.0, 5, 16.0, "quick"),
        (20.0, 60, 16.0, ""),
        (60.0, 90, 25.0, "half"),
        (14.0, 60, 6.0, "half"),
        (14.0, 60, 4.0, "tells nothing"),
    ],
)
def test_a_word_where_the_figure_is_out_of_line(owner, stave, last, days, new, word):
    moisture_add(stave=stave, by=owner, reading_pct=last, happened_on=FELLED)
    on = FELLED + dt.timedelta(days=days)
    said = out_of_line(new, on, row_of(stave, on))
    assert word in said if word else said == ""


def test_drier_than_the_place_can_make_it_is_said(owner, stave, shed):
    climate_add(place=shed, by=owner, temperature_c=10, humidity_pct=80, happened_on=FELLED)
    on = FELLED + dt.timedelta(days=30)
    assert "16 %" in out_of_line(
        11.0, on, row_of(stave, on)
    )  # equilibrium at 10 C, 80 %: 16.4 (Wood Handbook 4-5)


def test_a_struck_reading_is_not_last_time(owner, stave):
    reading = moisture_add(stave=stave, by=owner, reading_pct=60, happened_on=FELLED)
    entry_strike(reading, by=owner)
    assert row_of(stave, FELLED).last is None


def test_more_than_a_pin_meter_can_tell_is_said_on_the_round(as_owner, stave):
    page = as_owner.post(f"/wood/round/{stave.pk}", sent(reading_pct="105"), **HX)
    assert "beyond what a pin meter can tell" in page.content.decode()


def test_a_helper_walks_the_round(client, helper, stave):
    client.force_login(helper, backend="django.contrib.auth.backends.ModelBackend")
    assert client.post(f"/wood/round/{stave.pk}", sent(), **HX).status_code == 200
    assert MoistureReading.objects.get().entered_by == helper
