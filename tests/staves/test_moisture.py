"""How dry a piece is: the meter corrected, the weighings given their zero, ready or not with the reason."""

import datetime as dt
import uuid

import pytest
from django.urls import reverse

from workshop.calc.meter import SCALE
from workshop.ledger.models import Instrument
from workshop.ledger.services import entry_strike, record_add, record_change
from workshop.staves.moisture import UNKNOWN_SCALE, How, scale_of
from workshop.staves.readiness import band_of, readiness
from workshop.staves.selectors import due_a_reading, tracks
from workshop.staves.services import moisture_add, oven_dry_add, stave_step, stave_work_add, weighing_add

from .conftest import FELLED

pytestmark = pytest.mark.django_db


def day(number: int) -> dt.date:
    return FELLED + dt.timedelta(days=number)


def track_of(stave):
    return tracks([stave])[stave.pk]


def found(stave, how):
    return [round(p.pct, 1) for p in track_of(stave).points if p.how == how]


def test_a_meter_on_cold_wood_is_corrected_up(owner, stave):
    moisture_add(stave=stave, by=owner, reading_pct=12, wood_c=0, happened_on=day(10))
    # Wood Handbook FPL-GTR-282 p. 13-3: half a percent for every 5.6 degrees below the 20 the meter is calibrated at
    assert found(stave, How.METER) == [round(12 + 20 * 0.5 / 5.6, 1)]


def test_a_meter_without_a_temperature_or_a_scale_is_left_as_read(owner, stave):
    moisture_add(stave=stave, by=owner, reading_pct=12, happened_on=day(10))
    assert found(stave, How.METER) == [12]


def test_a_meter_on_the_douglas_fir_scale_is_corrected_for_ash(owner, stave):
    moisture_add(
        stave=stave, by=owner, reading_pct=13.2, wood_c=20, meter_scale="douglas fir", happened_on=day(10)
    )
    assert found(stave, How.METER) == [12.0]  # James 1988, FPL-GTR-6, Table 1


def test_the_meter_brings_its_scale_and_calibration(owner, stave):
    meter = record_add(
        Instrument(kind="meter", name="Pin meter", meter_scale="Douglas-fir", calibrated_at_c=26.7), by=owner
    )
    reading = moisture_add(
        stave=stave, by=owner, meter=meter, reading_pct=13.2, wood_c=26.7, happened_on=day(1)
    )
    assert reading.meter_scale == "Douglas-fir"
    # no temperature correction at the meter's own 26.7; James 1988, FPL-GTR-6, Table 1 for the timber
    assert found(stave, How.METER) == [12.0]


def test_a_meter_set_anew_leaves_the_readings_taken_before(owner, stave):
    meter = record_add(Instrument(kind="meter", name="Pin meter", calibrated_at_c=26.7), by=owner)
    read = {"stave": stave, "by": owner, "meter": meter, "reading_pct": 12, "wood_c": 26.7}
    moisture_add(**read, happened_on=day(1))
    meter = record_change(meter, by=owner, calibrated_at_c=20)
    assert found(stave, How.METER) == [12.0]
    moisture_add(**{**read, "meter": meter}, happened_on=day(30))
    # half a percent for each 5.6 degrees warmer than the meter is set to: as in the tests above
    assert found(stave, How.METER) == [12.0, round(12 - 6.7 * 0.5 / 5.6, 1)]


@pytest.mark.parametrize(
    ("words", "scale"),
    [
        ("", UNKNOWN_SCALE),
        ("  ", UNKNOWN_SCALE),
        ("Douglas-fir", SCALE),
        ("set to White Ash", "ash-white"),
        ("group 2", "group 2"),
    ],
)
def test_the_scale_is_read_out_of_the_makers_words(ash, words, scale):
    assert scale_of(words, ash) == scale


def test_a_reading_beyond_the_meter_is_kept_and_not_trusted(owner, stave, shop):
    moisture_add(stave=stave, by=owner, reading_pct=180, happened_on=day(1))
    assert not track_of(stave).latest.ok


def test_weighings_without_a_zero_say_nothing(owner, stave):
    weighing_add(stave=stave, by=owner, mass_kg=4.2, happened_on=day(1))
    track = track_of(stave)
    assert track.points == ()
    assert [w.mass_kg for w in track.loose_weighings] == [4.2]


def test_an_oven_dried_slice_gives_the_weighings_after_it_their_zero(owner, stave):
    oven_dry_add(stave=stave, by=owner, wet_kg=0.142, dry_kg=0.1, piece_kg=0.8, happened_on=day(1))
    weighing_add(stave=stave, by=owner, mass_kg=0.7, happened_on=day(30))
    weighing_add(stave=stave, by=owner, mass_kg=0.6197, happened_on=day(60))
    assert found(stave, How.OVEN) == [42.0]
    # 0.8 kg at 42 % is 0.5634 kg of dry wood (worked example of calc.moisture)
    assert found(stave, How.WEIGHING) == [24.2, 10.0]


def test_taking_bark_off_starts_the_weighings_anew(owner, stave):
    oven_dry_add(stave=stave, by=owner, wet_kg=0.142, dry_kg=0.1, piece_kg=0.8, happened_on=day(1))
    weighing_add(stave=stave, by=owner, mass_kg=0.7, happened_on=day(30))
    stave_work_add(stave=stave, by=owner, work="debarked", happened_on=day(31))
    weighing_add(stave=stave, by=owner, mass_kg=0.62, happened_on=day(32))
    track = track_of(stave)
    assert found(stave, How.WEIGHING) == [24.2]
    assert [w.mass_kg for w in track.loose_weighings] == [0.62]
    assert track.began[track.loose_weighings[0].pk].work == "debarked"
    stave.refresh_from_db()
    assert not stave.bark_on


def test_sealing_the_ends_takes_no_wood_and_keeps_the_series(owner, stave):
    oven_dry_add(stave=stave, by=owner, wet_kg=0.142, dry_kg=0.1, piece_kg=0.8, happened_on=day(1))
    stave_work_add(stave=stave, by=owner, work="sealed", happened_on=day(2))
    weighing_add(stave=stave, by=owner, mass_kg=0.7, happened_on=day(30))
    assert found(stave, How.WEIGHING) == [24.2]


def test_a_slice_counts_back_to_the_weighings_before_it_with_the_slice_still_on(owner, stave):
    weighing_add(stave=stave, by=owner, mass_kg=4.4, happened_on=day(1))
    weighing_add(stave=stave, by=owner, mass_kg=4.16, happened_on=day(20))
    assert found(stave, How.WEIGHING) == []
    oven_dry_add(stave=stave, by=owner, wet_kg=0.125, dry_kg=0.1, piece_kg=3.875, happened_on=day(40))
    # piece and slice, 4.0 kg at 25 %, are 3.2 kg of dry wood
    assert found(stave, How.WEIGHING) == [37.5, 30.0]
    weighing_add(stave=stave, by=owner, mass_kg=3.72, happened_on=day(60))
    assert found(stave, How.WEIGHING) == [37.5, 30.0, 20.0]  # 3.1 kg without the slice


def test_a_slice_is_weighed_in_grams_in_an_inch_shop_too(as_owner, stave):
    address = reverse("stave-reading-add", args=[stave.pk, "oven-dry"])
    as_owner.post(
        address,
        {"happened_on": day(30).isoformat(), "wet_kg": "54.2", "dry_kg": "46.4", "entry_key": uuid.uuid4()},
    )
    test = stave.ovendrytests.get()
    assert (test.wet_kg, test.dry_kg) == (0.0542, 0.0464)
    shown = (
        as_owner.get(reverse("stave", args=[stave.pk])).content.decode().replace("\N{NO-BREAK SPACE}", " ")
    )
    assert "54.2 g" in shown and "46.4 g" in shown


def test_a_weighing_on_the_day_of_the_slice_gives_the_weighings_before_it_a_zero(owner, stave):
    weighing_add(stave=stave, by=owner, mass_kg=4.4, happened_on=day(1))
    weighing_add(stave=stave, by=owner, mass_kg=4.0, happened_on=day(20))
    oven_dry_add(stave=stave, by=owner, wet_kg=0.125, dry_kg=0.1, happened_on=day(20))
    assert found(stave, How.WEIGHING) == [37.5, 25.0]


def test_failing_a_slice_the_meter_gives_the_zero_with_more_doubt(owner, stave):
    moisture_add(stave=stave, by=owner, reading_pct=20, happened_on=day(1))
    weighing_add(stave=stave, by=owner, mass_kg=1.2, happened_on=day(1))
    weighing_add(stave=stave, by=owner, mass_kg=1.1, happened_on=day(40))
    assert found(stave, How.WEIGHING) == [20.0, 10.0]
    assert track_of(stave).latest.doubt_pct > 1.5


def test_a_struck_test_takes_its_zero_with_it(owner, stave):
    test = oven_dry_add(stave=stave, by=owner, wet_kg=0.142, dry_kg=0.1, piece_kg=0.8, happened_on=day(1))
    weighing_add(stave=stave, by=owner, mass_kg=0.7, happened_on=day(30))
    entry_strike(test, by=owner)
    assert track_of(stave).points == ()


def ready(stave, shop, on):
    return readiness(stave, track_of(stave), shop=shop, today=on)


def test_a_piece_nobody_has_read_is_not_ready(stave, shop):
    assert ready(stave, shop, day(10)).code == "no_reading"


@pytest.mark.parametrize(
    ("reading", "after", "code", "ok"),
    [
        (9.0, 5, "", True),
        (13.0, 5, "too_wet", False),
        (7.5, 5, "too_dry", False),
        (9.0, 60, "old_reading", False),
        (5.0, 5, "untrusted", False),
        (35.0, 5, "untrusted", False),
    ],
)
def test_ready_or_not_with_the_reason(owner, stave, shop, reading, after, code, ok):
    moisture_add(stave=stave, by=owner, reading_pct=reading, happened_on=day(10))
    answer = ready(stave, shop, day(10 + after))
    assert (answer.code, answer.ok) == (code, ok)
    assert answer.why


def test_what_is_gone_is_not_ready(owner, stave, shop):
    moisture_add(stave=stave, by=owner, reading_pct=9, happened_on=day(10))
    sold = stave_step(stave=stave, state="sold", by=owner, happened_on=day(11))
    assert ready(sold, shop, day(12)).code == "gone"


def test_yew_is_wanted_a_little_wetter(timbers, shop):
    assert (band_of(timbers["yew-common"], shop).low_pct, band_of(timbers["yew-common"], shop).high_pct) == (
        9,
        12,
    )
    assert (band_of(timbers["ash-white"], shop).low_pct, band_of(timbers["ash-white"], shop).high_pct) == (
        8,
        10,
    )


def test_pieces_are_due_a_reading_by_the_workshops_own_patience(owner, stave, felling, shop):
    moisture_add(stave=stave, by=owner, reading_pct=9, happened_on=day(10))
    assert list(due_a_reading(shop=shop, today=day(12))) == list(felling.staves.exclude(pk=stave.pk))
    assert len(due_a_reading(shop=shop, today=day(200))) == 3
