"""Every kind of reading: its page, what it takes, what it refuses beside the field."""

import pytest

from workshop.ledger.services import entry_strike
from workshop.staves.models import BendTest, ShapeReading, StaveFlaw, StaveSize
from workshop.staves.services import flaw_add
from workshop.staves.views.readings import WRITINGS

pytestmark = pytest.mark.django_db

GOOD = {
    "moisture": {"reading_pct": "14.5", "wood_c": "50 F", "meter_scale": "group 3"},
    "weighing": {"mass_kg": "9 lb 4 oz"},
    "oven-dry": {"wet_kg": "57.4 g", "dry_kg": "50 g", "piece_kg": "3.5 kg"},
    "rings": {"end": "butt", "rings": "20", "distance_m": "2", "latewood_pct": "60"},
    "sizes": {
        "station_1": "0", "width_1": "2 1/4", "depth_1": "2", "station_2": "35", "width_2": "2", "depth_2": "1 3/4",
    },
    "shape": {"natural_bend_m": "-1/2", "twist_deg": "8"},
    "bend-test": {"span_m": "12", "width_m": "3/4", "depth_m": "3/8", "load_n": "9 lb", "deflection_m": "1/16"},
    "flaw": {"kind": "knot", "face": "back", "from_m": "20", "to_m": "21", "size": "thumb wide", "watched": "on"},
    "work": {"work": "cut", "length_m": "70"},
}  # fmt: skip

BAD = [
    ("moisture", "reading_pct", "wet"),
    ("moisture", "reading_pct", "-3"),
    ("moisture", "reading_pct", "NaN"),
    ("moisture", "reading_pct", "1e3"),
    ("moisture", "reading_pct", ""),
    ("moisture", "wood_c", "400 F"),
    ("moisture", "happened_on", "3001-01-01"),
    ("moisture", "happened_on", "2019"),
    ("moisture", "note", "x" * 10_000),
    ("moisture", "meter_scale", "a\x00b"),
    ("weighing", "mass_kg", "0"),
    ("weighing", "mass_kg", "3 ft"),
    ("oven-dry", "dry_kg", "60 g"),
    ("oven-dry", "dry_kg", "10 g"),
    ("oven-dry", "piece_kg", "20 g"),
    ("rings", "rings", "0"),
    ("rings", "rings", "2000"),
    ("rings", "rings", "many"),
    ("rings", "latewood_pct", "140"),
    ("rings", "end", "middle"),
    ("sizes", "width_1", ""),
    ("sizes", "depth_2", ""),
    ("sizes", "station_2", "15 ft"),
    ("shape", "natural_bend_m", "9 ft"),
    ("bend-test", "load_n", "0"),
    ("bend-test", "deflection_m", "8 in"),
    ("flaw", "from_m", "9 ft"),
    ("flaw", "to_m", "19"),
    ("flaw", "kind", "ghost"),
    ("work", "work", "polished"),
    ("work", "length_m", "80"),
]


def written(client, stave, what, **values):
    page = client.get(f"/wood/pieces/{stave.pk}/write/{what}")
    assert page.status_code == 200
    typed = {
        **GOOD[what],
        "happened_on": "today",
        "entry_key": page.context["form"]["entry_key"].value(),
        "note": "by <b>daylight</b>",
        **values,
    }
    return client.post(f"/wood/pieces/{stave.pk}/write/{what}", typed), typed


@pytest.mark.parametrize("kind", WRITINGS)
def test_every_kind_is_written_and_stands_on_the_page(as_owner, stave, kind):
    answer, _ = written(as_owner, stave, kind)
    assert answer.status_code == 302
    page = as_owner.get(answer.url)
    assert page.status_code == 200
    assert "by &lt;b&gt;daylight&lt;/b&gt;" in page.content.decode()


@pytest.mark.parametrize("kind", WRITINGS)
def test_a_form_sent_twice_is_one_entry(as_owner, stave, kind):
    answer, typed = written(as_owner, stave, kind)
    before = as_owner.get(answer.url).content.count(b"daylight")
    again = as_owner.post(f"/wood/pieces/{stave.pk}/write/{kind}", typed)
    assert again.status_code == 302
    assert as_owner.get(answer.url).content.count(b"daylight") == before


@pytest.mark.parametrize(("kind", "field", "text"), BAD)
def test_bad_input_is_refused_beside_its_field_and_kept(as_owner, stave, kind, field, text):
    answer, typed = written(as_owner, stave, kind, **{field: text})
    assert answer.status_code == 422
    form = answer.context["form"]
    assert field in form.errors
    assert form[field].value() == text
    assert form["note"].value() == typed["note"]
    page = as_owner.get(f"/wood/pieces/{stave.pk}").content.decode()
    assert "daylight" not in page


def test_an_unknown_kind_is_no_page(as_owner, stave):
    assert as_owner.get(f"/wood/pieces/{stave.pk}/write/mood").status_code == 404


def test_shape_without_any_figure_is_refused(as_owner, stave):
    answer, _ = written(as_owner, stave, "shape", natural_bend_m="", twist_deg="")
    assert answer.status_code == 422
    assert not ShapeReading.objects.exists()


def test_bend_is_kept_with_its_side_and_twist_in_degrees(as_owner, stave):
    written(as_owner, stave, "shape")
    shape = ShapeReading.objects.get()
    assert shape.natural_bend_m == pytest.approx(-0.0127)
    assert shape.twist_deg == pytest.approx(8)


def test_each_station_is_an_entry_with_its_own_typed_text(as_owner, stave):
    written(as_owner, stave, "sizes")
    first, second = StaveSize.objects.all()
    assert first.typed("width_m") == "2 1/4"
    assert second.station_m == pytest.approx(0.889)


def test_rings_say_what_they_mean_for_that_kind_of_wood(as_owner, stave, timbers, owner):
    written(as_owner, stave, "rings")
    assert "ring-porous" in as_owner.get(f"/wood/pieces/{stave.pk}").content.decode()


def test_an_offcut_tells_the_stiffness(as_owner, stave):
    written(as_owner, stave, "bend-test")
    assert BendTest.objects.count() == 1
    # (9 lbf / 1/16 in) * 12^3 / (4 * 3/4 * (3/8)^3) = 1.573 Mpsi; shear adds 1.2 * 16 * (0.375/12)^2 = 1.9 %: 1.60
    assert "1.6\xa0Mpsi" in as_owner.get(f"/wood/pieces/{stave.pk}").content.decode()


def test_a_watched_flaw_is_settled_once(as_owner, owner, stave, today):
    flaw = flaw_add(
        stave=stave, by=owner, kind="check", face="back", from_m=0.2, watched=True, happened_on=today
    )
    assert "Watched" in as_owner.get(f"/wood/pieces/{stave.pk}").content.decode()
    for word in ("worked out", "something else"):
        assert as_owner.post(f"/wood/flaws/{flaw.pk}/settle", {"word": word}).status_code == 302
    flaw.refresh_from_db()
    assert flaw.settled_word == "worked out (Wilma Ashdown)"
    text = as_owner.get(f"/wood/pieces/{stave.pk}").content.decode()
    assert "worked out" in text
    assert ">Watched<" not in text


def test_a_struck_flaw_leaves_the_map(as_owner, owner, stave, today):
    flaw = flaw_add(stave=stave, by=owner, kind="swirl", face="back", from_m=0.2, happened_on=today)
    page = as_owner.get(f"/wood/pieces/{stave.pk}")
    assert page.context["flaw_map"] is not None
    entry_strike(StaveFlaw.objects.get(pk=flaw.pk), by=owner)
    page = as_owner.get(f"/wood/pieces/{stave.pk}")
    assert page.context["flaw_map"] is None
    assert 'class="struck"' in page.content.decode()


def test_a_struck_reading_stays_visible_and_does_not_count(as_owner, stave, owner):
    written(as_owner, stave, "moisture")
    reading = stave.moisturereadings.get()
    answer = as_owner.post(
        f"/strike/staves.moisturereading/{reading.pk}",
        {"next": f"/wood/pieces/{stave.pk}", "reason": "mistyped"},
    )
    text = as_owner.get(answer.url).content.decode()
    assert 'class="struck"' in text
    assert "How dry is not known" in text
