"""What is measured on a bow: dimensions along the limbs, the tiller, the plan, the drawings, photos."""

import datetime as dt
import io
import uuid

import pytest
from django.core.exceptions import ValidationError
from django.core.files.uploadedfile import SimpleUploadedFile
from django.urls import reverse
from PIL import Image

from tests.bows.conftest import BEGUN, sent
from workshop.bows.models import BowPhoto, BraceReading, Dimension, WorkDone
from workshop.bows.planning import plan_proposed, plan_words, stations_proposed
from workshop.bows.services import readings
from workshop.bows.services.bows import bow_change, upper_decide
from workshop.bows.words import tiller_words
from workshop.calc.imperial import INCH_M
from workshop.ledger.units import UnitsInUse

pytestmark = pytest.mark.django_db
DAY = dt.date(2026, 3, 14)
INCH = INCH_M
IMPERIAL = UnitsInUse("imperial")


def station(inches, width_mm=34.0, depth_mm=16.0):
    return {"station_m": inches * INCH, "width_m": width_mm / 1000, "depth_m": depth_mm / 1000}


def test_nothing_is_measured_on_a_bow_before_it_was_begun(owner, bow):
    for write in (readings.work_add, readings.mass_add):
        values = {"deed": "scraped"} if write is readings.work_add else {"mass_kg": 0.6}
        with pytest.raises(ValidationError) as refused:
            write(bow=bow, by=owner, happened_on=BEGUN - dt.timedelta(days=1), **values)
        assert "happened_on" in refused.value.message_dict


def test_a_year_alone_is_early_enough_when_the_bow_was_begun_in_it(owner, bow):
    assert readings.mass_add(
        bow=bow, by=owner, mass_kg=0.6, happened_on=dt.date(2026, 1, 1), happened_to="y"
    ).pk


def test_both_limbs_alike_are_written_in_one_go(owner, bow):
    key = uuid.uuid4()
    for _ in range(2):  # sent twice
        readings.dimensions_add(
            bow=bow, by=owner, limb="both", stations=[station(6), station(12)], happened_on=DAY, entry_key=key
        )
    assert Dimension.objects.count() == 4


def test_a_station_beyond_the_tip_is_refused(owner, bow):
    with pytest.raises(ValidationError, match="beyond the tip"):
        readings.dimensions_add(bow=bow, by=owner, limb="A", stations=[station(40)], happened_on=DAY)


def test_one_walk_along_a_limb_is_one_form(as_owner, bow):
    at = reverse("dimensions-add", args=[bow.pk]) + "?limb=B"
    page = as_owner.get(at)
    typed = {"width_1": "1 3/8", "depth_1": "5/8", "width_2": "1 1/4", "depth_2": "9/16"}
    assert as_owner.post(at, sent(page, **typed)).status_code == 302
    assert [(d.limb, d.as_typed["width_m"]) for d in Dimension.objects.all()] == [
        ("B", "1 3/8"),
        ("B", "1 1/4"),
    ]


def test_a_width_without_its_depth_is_asked_for_and_what_was_typed_stays(as_owner, bow):
    at = reverse("dimensions-add", args=[bow.pk])
    answer = as_owner.post(at, sent(as_owner.get(at), width_1="1 3/8"))
    assert answer.status_code == 422
    assert set(answer.context["form"].errors) == {"depth_1"}
    assert 'value="1 3/8"' in answer.content.decode()
    assert not Dimension.objects.exists()


def test_stations_are_proposed_from_the_plan_with_the_longer_limb_above(bow):
    places = stations_proposed(bow, IMPERIAL)
    upper = [round(place / INCH, 2) for place in places["A"]]
    # common practice: the grip 1 in above the middle and 2 1/2 below, fades of 2 in; a mark every 6 in
    assert upper == [0, 1, 3, 6, 12, 18, 24, 30, 34]
    assert [round(place / INCH, 2) for place in places["B"]] == [0, 2.5, 4.5, 6, 12, 18, 24, 30, 34]


def test_stations_follow_the_upper_limb_once_it_is_decided(owner, as_owner, bow):
    upper_decide(bow=bow, limb="B", happened_on=DAY, by=owner)
    page = as_owner.get(reverse("dimensions-add", args=[bow.pk]) + "?limb=B")
    assert page.context["form"].initial["limb"] == "B"
    assert page.context["form"].fields["station_1"].initial == pytest.approx(INCH)


def test_a_bow_without_a_length_has_no_stations_yet(begin):
    assert stations_proposed(begin(length_m=None), IMPERIAL) == {"A": [], "B": []}


def test_grip_and_fades_are_proposed_while_nothing_is_planned_of_them(owner, bow):
    plan = plan_proposed(bow)
    assert (plan["grip_m"], plan["grip_above_m"]) == pytest.approx((3.5 * INCH, INCH))
    bow = bow_change(bow=bow, by=owner, grip_m=0.0, fade_m=0.0)
    assert plan_proposed(bow)["grip_above_m"] is None


def test_the_plan_says_what_length_is_common_for_the_draw(begin):
    words = plan_words(begin(kind="compass"), IMPERIAL).replace("\xa0", " ")
    # common practice, no source: 2.3 to 2.6 times 28 in is 64.4 to 72.8 in
    assert "64 in to 73 in" in words


@pytest.mark.parametrize(
    ("upper", "a_mm", "b_mm", "words"),
    [
        ("A", 146, 142, "positive tiller"),
        ("B", 146, 142, "negative tiller"),
        ("A", 142, 142, "even"),
        ("", 146, 142, "A stands off 3/16 in more than B"),
        ("", 142, 147, "B stands off 3/16 in more than A"),
        ("", 142.1, 142.5, "even"),
        ("", 142, 142, "even"),
    ],
)
def test_tiller_is_upper_less_lower(upper, a_mm, b_mm, words):
    reading = BraceReading(string_a_m=a_mm / 1000, string_b_m=b_mm / 1000)
    assert words in tiller_words(reading, IMPERIAL, upper).replace("\xa0", " ")


@pytest.mark.parametrize(
    ("deed", "days", "zero", "spoils"),
    [
        ("scraped", None, False, True),
        ("steamed", 7, True, True),
        ("glued", 2, False, True),
        ("gripped", None, False, False),
    ],
)
def test_work_brings_its_usual_rest_zero_and_end_of_ratings(owner, bow, deed, days, zero, spoils):
    work = readings.work_add(bow=bow, by=owner, deed=deed, happened_on=DAY)
    assert work.rest_until == (DAY + dt.timedelta(days=days) if days else None)
    assert (work.new_zero, work.spoils_ratings) == (zero, spoils)


def test_the_usual_rest_is_offered_and_never_forced(owner, as_owner, bow):
    at = reverse("work-add", args=[bow.pk])
    as_owner.post(at, sent(as_owner.get(at), deed="steamed", rest_days="21", new_zero="no"))
    work = WorkDone.objects.get()
    assert (work.rest_until - work.happened_on).days == 21
    assert not work.new_zero


def test_the_page_draws_limbs_set_and_flaws_each_with_its_figures(as_owner, owner, bow):
    readings.dimensions_add(
        bow=bow, by=owner, limb="both", stations=[station(6), station(12)], happened_on=DAY
    )
    readings.set_add(bow=bow, by=owner, follow_m=0.0, is_zero=True, happened_on=DAY)
    readings.set_add(bow=bow, by=owner, follow_m=0.01, happened_on=DAY + dt.timedelta(days=2))
    readings.flaw_add(bow=bow, by=owner, kind="knot", limb="B", face="back", at_m=0.3, happened_on=DAY)
    page = as_owner.get(reverse("bow", args=[bow.pk]))
    for name, columns in (("limb_drawing", 4), ("set_drawing", 5), ("flaw_drawing", 4)):
        drawing = page.context[name]
        assert len(drawing.columns) == columns
        assert drawing.rows
        assert f"<svg {drawing.svg.split('<svg ')[1][:40]}" in page.content.decode()
    # the width as it was given, 34 mm, to the nearest 32nd of an inch
    assert page.context["limb_drawing"].rows[0][2].replace("\xa0", " ") == "1 11/32"


def _jpeg() -> SimpleUploadedFile:
    kept = io.BytesIO()
    Image.new("RGB", (640, 480), "tan").save(kept, "JPEG")
    return SimpleUploadedFile("tiller.jpg", kept.getvalue(), "image/jpeg")


def test_a_photo_stands_on_the_bows_page(as_owner, bow):
    at = reverse("bow-photo-add", args=[bow.pk])
    typed = {**sent(as_owner.get(at)), "caption": "Limb A at 20 in", "picture": _jpeg()}
    assert as_owner.post(at, typed).status_code == 302
    photo = BowPhoto.objects.get()
    page = as_owner.get(reverse("bow", args=[bow.pk])).content.decode()
    assert reverse("photo", args=["bows.bowphoto", photo.pk, "display"]) in page


def test_what_is_no_picture_is_refused_and_the_caption_stays(as_owner, bow):
    at = reverse("bow-photo-add", args=[bow.pk])
    fake = SimpleUploadedFile("a.jpg", b"<html>", "image/jpeg")
    answer = as_owner.post(at, {**sent(as_owner.get(at)), "caption": "Limb A at 20 in", "picture": fake})
    assert answer.status_code == 422
    assert "Limb A at 20 in" in answer.content.decode()
