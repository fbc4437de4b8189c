"""Figures nobody can have read: the word said at once, or the refusal beside the field in the reader's own units."""

import pytest

from workshop.staves.models import ClimateReading, MoistureReading
from workshop.staves.services import climate_add, moisture_add, oven_dry_add
from workshop.staves.slips import slip_word

from .test_readings import written
from .test_round import HX, sent
from .test_slips import said

pytestmark = pytest.mark.django_db


def metric(owner):
    owner.units = "metric"
    owner.save()


def air(client, shed, **values):
    page = client.get(f"/wood/places/{shed.pk}/climate")
    typed = {
        "temperature_c": "60 F", "humidity_pct": "60", "happened_on": "today",
        "entry_key": page.context["form"]["entry_key"].value(), **values,
    }  # fmt: skip
    return client.post(f"/wood/places/{shed.pk}/climate", typed)


@pytest.mark.parametrize("read", ["0", "1.85", "4.5"])
def test_a_meter_that_reads_next_to_nothing_is_called_a_slip_and_tells_not_how_dry_the_piece_is(
    as_owner, stave, read
):
    answer, _ = written(as_owner, stave, "moisture", reading_pct=read, wood_c="", meter_scale="Yew")
    page = said(as_owner.get(answer.url))
    assert (
        f"Out of line: {float(read):.1f} % by meter" in page and "a pin meter tells nothing" in page.lower()
    )
    assert "How dry is not known: not ready" in page
    assert MoistureReading.objects.get().reading_pct == float(read)


def test_the_good_reading_before_a_reading_of_nothing_is_kept_and_the_slip_is_said_where_one_stands(
    as_owner, owner, stave, today
):
    moisture_add(stave=stave, by=owner, reading_pct=14, happened_on=today)
    assert (
        "a pin meter tells nothing" in said(as_owner.post(f"/wood/round/{stave.pk}", sent("0"), **HX)).lower()
    )
    assert MoistureReading.objects.count() == 2


def test_wood_out_of_the_drying_box_may_be_drier_by_the_slice_than_a_meter_can_tell(
    as_owner, owner, stave, ash, today
):
    assert slip_word(4.0, ash, by_meter=False) == "" != slip_word(4.0, ash)
    assert slip_word(6.5, ash) == ""
    oven_dry_add(stave=stave, by=owner, wet_kg=0.052, dry_kg=0.05, happened_on=today)
    assert "Out of line" not in said(as_owner.get(f"/wood/pieces/{stave.pk}"))


@pytest.mark.parametrize(
    ("units", "typed", "allowed"),
    [
        ("imperial", "200 F", ("-22 °F", "140 °F")),
        ("imperial", "-30 F", ("-22 °F", "140 °F")),
        ("metric", "61", ("-30 °C", "60 °C")),
        ("metric", "-31", ("-30 °C", "60 °C")),
    ],
)
def test_wood_hotter_than_a_hand_can_hold_is_refused_beside_the_field_in_ones_own_units(
    as_owner, owner, stave, units, typed, allowed
):
    owner.units = units
    owner.save()
    answer, _ = written(as_owner, stave, "moisture", wood_c=typed)
    assert answer.status_code == 422 and not MoistureReading.objects.exists()
    (word,) = answer.context["form"].errors["wood_c"]
    word = word.replace("\N{NO-BREAK SPACE}", " ").replace("\N{MINUS SIGN}", "-")
    assert typed in word and all(bound in word for bound in allowed)
    assert answer.context["form"]["wood_c"].value() == typed


@pytest.mark.parametrize("typed", ["140 F", "-22 F"])
def test_wood_at_the_very_ends_of_what_is_believed_is_taken(as_owner, stave, typed):
    answer, _ = written(as_owner, stave, "moisture", wood_c=typed)
    assert answer.status_code == 302


def test_the_meter_round_takes_no_wood_at_200_f_either(as_owner, stave):
    assert as_owner.get("/wood/round?wood_c=200+F&happened_on=today").status_code == 422
    assert (
        as_owner.post(f"/wood/round/{stave.pk}", {**sent("12"), "wood_c": "200 F"}, **HX).status_code == 422
    )
    assert not MoistureReading.objects.exists()


def test_air_of_no_humidity_is_refused_beside_its_field_and_pulls_no_cellar_down(as_owner, shed):
    answer = air(as_owner, shed, humidity_pct="0")
    assert answer.status_code == 422 and not ClimateReading.objects.exists()
    (word,) = answer.context["form"].errors["humidity_pct"]
    assert "1" in word and "100" in word
    assert air(as_owner, shed, humidity_pct="5").status_code == 302


def test_striking_an_air_reading_says_it_in_the_units_of_the_one_who_strikes(as_owner, owner, shed, today):
    reading = climate_add(place=shed, by=owner, temperature_c=16, humidity_pct=60, happened_on=today)
    strike = f"/strike/staves.climatereading/{reading.pk}"
    answer = as_owner.post(strike, {"next": f"/wood/places/{shed.pk}", "reason": "misread"}, follow=True)
    assert "Struck out: Long shed: 60.8 °F, 60 %" in said(answer)


def test_striking_an_air_reading_in_a_metric_shop_stays_in_celsius(as_owner, owner, shed, today):
    metric(owner)
    reading = climate_add(place=shed, by=owner, temperature_c=16, humidity_pct=60, happened_on=today)
    strike = f"/strike/staves.climatereading/{reading.pk}"
    answer = as_owner.post(strike, {"next": f"/wood/places/{shed.pk}", "reason": "misread"}, follow=True)
    assert "Struck out: Long shed: 16 °C, 60 %" in said(answer)
