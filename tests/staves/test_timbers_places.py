"""Timbers with their published figures, places with their air."""

import datetime as dt

import pytest

from workshop.calc.tables import timbers as published
from workshop.ledger.services import entry_strike
from workshop.staves.climate import place_moisture
from workshop.staves.models import Place, Timber
from workshop.staves.services import climate_add, timber_change, timbers_seed

pytestmark = pytest.mark.django_db


def test_every_published_timber_becomes_a_record_once(shop):
    assert len(timbers_seed()) == len(published()) >= 24
    assert timbers_seed() == []
    assert Timber.objects.count() == len(published())


def test_seeding_again_leaves_the_makers_changes(owner, ash):
    timber_change(timber=ash, by=owner, seen=1, name="Ash from over the water")
    timbers_seed(by=owner)
    ash.refresh_from_db()
    assert ash.name == "Ash from over the water"
    assert Timber.objects.count() == len(published())


def test_a_published_figure_stands_with_its_source_and_how_surely_it_is_known(as_owner, timbers):
    text = as_owner.get(f"/wood/timbers/{timbers['osage-orange'].pk}").content.decode()
    assert "Alden 1995, FPL-GTR-83" in text
    assert "seen in print" in text
    assert "1.33\xa0Mpsi" in text  # the sheet's own figure
    assert "No trustworthy figure was found for" in text


def test_what_nobody_looked_up_says_that_it_is_from_memory(as_owner, timbers):
    text = as_owner.get(f"/wood/timbers/{timbers['yew-common'].pk}").content.decode()
    assert "from memory, less certain" in text


def test_published_figures_stand_in_the_readers_own_units(as_owner, owner, timbers):
    address = f"/wood/timbers/{timbers['ash-white'].pk}"
    assert (
        "14900\xa0psi" in as_owner.get(address).content.decode()
    )  # 103 MPa, to the figures wood is known to
    owner.units = "metric"
    owner.save()
    text = as_owner.get(address).content.decode()
    assert "103\xa0MPa" in text and "psi" not in text


def test_poisonous_dust_is_said(as_owner, timbers):
    text = as_owner.get(f"/wood/timbers/{timbers['yew-common'].pk}").content.decode()
    assert "poisonous" in text
    assert "mask" in text


def test_every_timber_has_its_page(as_owner, timbers):
    for timber in timbers.values():
        assert as_owner.get(f"/wood/timbers/{timber.pk}").status_code == 200


def test_a_maker_writes_a_figure_of_his_own_beside(as_owner, ash):
    page = as_owner.get(f"/wood/timbers/{ash.pk}/value/moe_12_pa")
    typed = {
        "value": "1.7 Mpsi",
        "source": "eleven offcuts",
        "happened_on": "2025",
        "entry_key": page.context["form"]["entry_key"].value(),
    }
    bad = as_owner.post(f"/wood/timbers/{ash.pk}/value/moe_12_pa", {**typed, "value": "17 lb"})
    assert bad.status_code == 422
    answer = as_owner.post(f"/wood/timbers/{ash.pk}/value/moe_12_pa", typed)
    text = as_owner.get(answer.url).content.decode()
    assert text.index("eleven offcuts") < text.index("Published figures")  # one's own come first
    assert ash.own_values.get().value == pytest.approx(11.72e9, rel=1e-3)
    assert as_owner.get(f"/wood/timbers/{ash.pk}/value/beauty").status_code == 404


def test_a_timber_of_ones_own(as_owner, timbers):
    typed = {"name": "Hedge plum", "kind": "diffuse-porous", "ready_low_pct": "9", "ready_high_pct": "11"}
    answer = as_owner.post("/wood/timbers/add", typed)
    text = as_owner.get(answer.url).content.decode()
    assert "Hedge plum" in text
    assert "timber of your own" in text


@pytest.mark.parametrize(
    ("field", "values"),
    [
        ("ready_high_pct", {"ready_low_pct": "9"}),
        ("ready_low_pct", {"ready_high_pct": "9"}),
        ("ready_high_pct", {"ready_low_pct": "12", "ready_high_pct": "9"}),
        ("ready_high_pct", {"ready_low_pct": "12", "ready_high_pct": "90"}),
        ("kind", {"kind": "stone"}),
        ("name", {"name": " "}),
    ],
)
def test_a_muddled_timber_is_refused_beside_the_field(as_owner, timbers, field, values):
    answer = as_owner.post("/wood/timbers/add", {"name": "Plum", "kind": "other", **values})
    assert answer.status_code == 422
    assert field in answer.context["form"].errors


def test_a_second_timber_of_one_name_is_refused(as_owner, timbers):
    answer = as_owner.post("/wood/timbers/add", {"name": "yew", "kind": "softwood"})
    assert answer.status_code == 422
    assert answer.context["form"].errors["name"] == ["Another timber bears this name."]


def test_the_air_of_a_place_says_what_it_brings_wood_to(as_owner, shed):
    page = as_owner.get(f"/wood/places/{shed.pk}/climate")
    typed = {
        "temperature_c": "50 F",
        "humidity_pct": "80",
        "happened_on": "today",
        "entry_key": page.context["form"]["entry_key"].value(),
    }
    answer = as_owner.post(f"/wood/places/{shed.pk}/climate", typed)
    # Wood Handbook FPL-GTR-282 eq. 4-5 at 10 C, 80 %: 16.4
    assert "<b>16.4 %</b>" in as_owner.get(answer.url).content.decode()
    assert as_owner.get("/wood/places").status_code == 200


@pytest.mark.parametrize(
    ("field", "text"),
    [("humidity_pct", "120"), ("humidity_pct", "-1"), ("temperature_c", "900"), ("temperature_c", "hot")],
)
def test_absurd_air_is_refused(as_owner, shed, field, text):
    typed = {"temperature_c": "50 F", "humidity_pct": "80", "happened_on": "today", field: text}
    answer = as_owner.post(f"/wood/places/{shed.pk}/climate", typed)
    assert answer.status_code == 422
    assert field in answer.context["form"].errors


def test_a_place_is_made_once(as_owner, shed):
    answer = as_owner.post("/wood/places/add", {"name": "long SHED", "walk": "2", "in_use": "on"})
    assert answer.status_code == 422
    assert answer.context["form"].errors["name"] == ["Another place bears this name."]
    assert Place.objects.count() == 1


def test_a_struck_climate_reading_does_not_count(owner, shed, today):
    wrong = climate_add(place=shed, by=owner, temperature_c=10, humidity_pct=99, happened_on=today)
    climate_add(place=shed, by=owner, temperature_c=10, humidity_pct=80, happened_on=today)
    entry_strike(wrong, by=owner)
    assert place_moisture(list(shed.climate_readings.all())).pct == pytest.approx(16.38, abs=0.01)


def test_a_stay_without_readings_takes_the_nearest_before(owner, shed, today):
    climate_add(
        place=shed, by=owner, temperature_c=10, humidity_pct=80, happened_on=today - dt.timedelta(days=300)
    )
    answer = place_moisture(list(shed.climate_readings.all()), today - dt.timedelta(days=30), today)
    assert (answer.ok, round(answer.pct, 1)) == (False, 16.4)


def test_the_timbers_in_the_store_come_first_and_each_list_goes_by_name(as_owner, felling, timbers):
    page = as_owner.get("/wood/timbers")
    assert [timber.name for timber in page.context["in_store"]] == ["White ash"]
    others = [timber.name for timber in page.context["others"]]
    assert others == sorted(others) and len(others) == len(timbers) - 1
    assert "3 pieces" in page.content.decode()
