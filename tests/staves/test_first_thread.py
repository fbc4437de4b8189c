"""From a felled tree to the page of a stave, by typed input."""

import datetime as dt

import pytest

from workshop.staves.models import Felling, MoistureReading, Stave

pytestmark = pytest.mark.django_db


def test_from_a_felling_to_the_page_of_a_stave(as_owner, ash, shed):
    page = as_owner.get("/wood/fellings/add")
    assert page.status_code == 200
    typed = {
        "timber": ash.pk,
        "came_by": "tree",
        "happened_on": "12 Jan 2025",
        "many": "3",
        "length_m": "71",
        "first_tag": "25-014",
        "form": "stave",
        "bark_on": "on",
        "place": shed.pk,
        "where": "Invented Wood",
    }
    answer = as_owner.post("/wood/fellings/add", typed)
    felling = Felling.objects.get()
    assert answer.url == f"/wood/fellings/{felling.pk}"
    assert list(Stave.objects.values_list("tag", flat=True)) == ["25-014", "25-015", "25-016"]
    stave = Stave.objects.first()
    assert stave.length_m == pytest.approx(1.8034)
    assert "25-015" in as_owner.get(answer.url).content.decode()

    form = as_owner.get(f"/wood/pieces/{stave.pk}/write/moisture").context["form"]
    answer = as_owner.post(
        f"/wood/pieces/{stave.pk}/write/moisture",
        {
            "reading_pct": "12.5%",
            "wood_c": "41 F",
            "meter_scale": "Douglas-fir",
            "happened_on": "today",
            "entry_key": form["entry_key"].value(),
        },
    )
    assert answer.url == f"/wood/pieces/{stave.pk}"
    reading = MoistureReading.objects.get()
    assert reading.wood_c == pytest.approx(5.0)
    assert reading.happened_on == dt.date.today()
    page = as_owner.get(answer.url)
    text = page.content.decode()
    # Wood Handbook p. 13-3: 15 degrees below 20 add 0.5/5.6 * 15 = 1.3 %; the ash table then takes some off again
    assert "12.5\N{NO-BREAK SPACE}%" in text or "12.5 %" in text
    assert "+1.3 %" in text
    assert "timber:" in text
    assert "too wet for the bench" in text
    assert "<svg" in text
