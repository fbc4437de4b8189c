"""The list narrows as asked, and no page asks the database more often because there is more wood."""

import datetime as dt

import pytest
from django.db import connection
from django.test.utils import CaptureQueriesContext

from workshop.staves.models import Stave
from workshop.staves.services import (
    climate_add,
    felling_add,
    flaw_add,
    moisture_add,
    oven_dry_add,
    place_add,
    ring_count_add,
    stave_carry,
    stave_split,
    stave_step,
    stave_work_add,
    weighing_add,
)

from .conftest import FELLED

pytestmark = pytest.mark.django_db


def shown(client, query=""):
    return [row.stave.tag for row in client.get(f"/wood/{query}").context["rows"]]


def test_an_empty_store_says_what_to_do_first(as_owner, timbers):
    text = as_owner.get("/wood/").content.decode()
    assert "No wood is written down yet" in text
    assert "/wood/fellings/add" in text


def test_the_list_narrows(as_owner, owner, felling, stave, timbers, shed):
    loft = place_add(by=owner, name="Loft")
    felling_add(by=owner, timber=timbers["yew-common"], came_by="gift", giver="Old Tansy", happened_on=FELLED,
                many=2, first_tag="Y1", form="billet", place=loft)  # fmt: skip
    stave_step(stave=stave, state="culled", cause="rot", by=owner)
    yew = timbers["yew-common"].pk
    assert shown(as_owner) == ["Y2", "Y1", "25-003", "25-002"]
    assert shown(as_owner, f"?timber={yew}") == ["Y2", "Y1"]
    assert shown(as_owner, f"?place={shed.pk}") == ["25-003", "25-002"]
    assert shown(as_owner, "?form=billet") == ["Y2", "Y1"]
    assert shown(as_owner, "?state=culled") == ["25-001"]
    assert shown(as_owner, "?state=all&q=25-00") == ["25-003", "25-002", "25-001"]
    assert shown(as_owner, "?q=tansy") == ["Y2", "Y1"]
    assert shown(as_owner, "?q=yew+Y2") == ["Y2"]
    assert shown(as_owner, "?q=nobody") == []


@pytest.mark.parametrize(
    "query",
    ["?state=molten", "?timber=x", "?place=99999999", "?page=-4", "?page=x", "?form=%00", "?q=%25_%27--"],
)
def test_a_muddled_address_narrows_nothing_and_breaks_nothing(as_owner, felling, query):
    assert as_owner.get(f"/wood/{query}").status_code == 200


def test_the_list_is_paged(as_owner, owner, ash):
    felling_add(by=owner, timber=ash, came_by="log", happened_on=FELLED, many=50, first_tag="L1")
    first = as_owner.get("/wood/")
    assert len(first.context["rows"]) == 40
    assert len(shown(as_owner, "?page=2")) == 10


def filled(owner, felling, stave, shed, many):
    """The one piece with `many` of everything, in a store of `many` pieces more."""
    more = felling_add(by=owner, timber=felling.timber, came_by="log", happened_on=FELLED, many=min(many, 200),
                       first_tag=f"M{many}001", place=shed, length_m=1.5)  # fmt: skip
    loft = place_add(by=owner, name=f"Loft {many}")
    for n in range(many):
        on = FELLED + dt.timedelta(days=n)
        entry = {"stave": stave, "by": owner, "happened_on": on}
        moisture_add(**entry, reading_pct=20)
        weighing_add(**entry, mass_kg=4)
        if n % 5 == 0:
            oven_dry_add(**entry, wet_kg=0.06, dry_kg=0.05, piece_kg=3.9)
            ring_count_add(**entry, end="top", rings=20, distance_m=0.05)
            flaw_add(**entry, kind="pin", face="belly", from_m=0.1)
            stave_work_add(**entry, work="sealed")
            stave_carry(**entry, place=loft if n % 2 else shed)
        climate_add(place=shed, by=owner, temperature_c=10, humidity_pct=70, happened_on=on)
    for piece in more.staves.select_related("felling")[: many // 2]:
        moisture_add(stave=piece, by=owner, reading_pct=18, happened_on=FELLED)
    stave_split(
        stave=stave, by=owner, many=min(many, 20), first_tag=f"P{many}001", happened_on=on, used_up=False
    )


def test_pages_ask_the_database_as_often_with_200_rows_as_with_10(as_owner, owner, felling, stave, shed):
    pages = [
        "/wood/",
        "/wood/?state=all&q=M",
        f"/wood/pieces/{stave.pk}",
        "/wood/round",
        "/wood/fellings",
        f"/wood/fellings/{felling.pk}",
        "/wood/places",
        f"/wood/places/{shed.pk}",
        "/wood/timbers",
        f"/wood/timbers/{felling.timber_id}",
    ]

    def counted():
        counts = {}
        for page in pages:
            with CaptureQueriesContext(connection) as asked:
                assert as_owner.get(page).status_code == 200
            counts[page] = len(asked)
        return counts

    filled(owner, felling, stave, shed, 10)
    few = counted()
    filled(owner, felling, Stave.objects.select_related("felling__timber").get(pk=stave.pk), shed, 200)
    many = counted()
    assert many == few
    assert max(many.values()) < 40
