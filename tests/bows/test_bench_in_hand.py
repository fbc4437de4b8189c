"""What is used with one hand at the bench: a scraping at a touch, the callipers along a limb, stations in one table."""

import datetime as dt
import re
import uuid

import pytest
from django.urls import reverse

from tests.bows.conftest import sent
from workshop.bows.models import Dimension, WorkDone
from workshop.bows.services.readings import dimensions_add, work_add
from workshop.bows.services.stages import stage_step
from workshop.bows.views.sheet import by_day
from workshop.bows.views.stations import sittings
from workshop.calc.imperial import INCH_M
from workshop.ledger.services import entry_strike
from workshop.ledger.units import UnitsInUse

pytestmark = pytest.mark.django_db
DAY = dt.date(2026, 3, 14)


def station(at, width=1.25, depth=0.5):
    return {"station_m": at * INCH_M, "width_m": width * INCH_M, "depth_m": depth * INCH_M}


def page_of(client, bow):
    return client.get(reverse("bow", args=[bow.pk])).content.decode()


def test_a_scraping_is_written_with_one_touch_and_struck_with_one(as_owner, bow):
    shown = as_owner.get(reverse("bow", args=[bow.pk]))
    assert 'name="limb" value="A"' in shown.content.decode()
    touched = {
        "entry_key": shown.context["work_key"],
        "deed": "scraped",
        "new_zero": "usual",
        "happened_on": "today",
        "limb": "A",
        "note": "past the knot",
    }
    for _touched_twice in range(2):
        answer = as_owner.post(reverse("work-add", args=[bow.pk]), touched)
        assert answer.status_code == 302, answer.context["form"].errors
    work = WorkDone.objects.get(bow=bow)
    assert (work.deed, work.limb, work.note) == ("scraped", "A", "past the knot")
    before_the_fold = page_of(as_owner, bow).split("Work done</h3>")[1].split("<details")[0]
    assert reverse("strike-out", args=["bows.workdone", work.pk]) in before_the_fold


def test_a_second_limb_scraped_from_the_same_page_is_not_lost(as_owner, bow):
    """Back in the browser, and the other button: the ledger asks, for it has the page's entry already."""
    shown = as_owner.get(reverse("bow", args=[bow.pk]))
    page = shown.content.decode()
    form = page[page.index('class="quick"') :]
    quick = dict(re.findall(r'name="(\w+)" value="([^"]*)"', form[: form.index("<fieldset>")]))
    at = reverse("work-add", args=[bow.pk])
    assert as_owner.post(at, {**quick, "limb": "A"}).status_code == 302
    asked = as_owner.post(at, {**quick, "limb": "B"})
    assert asked.status_code == 422
    assert as_owner.post(at, sent(asked, limb="B")).status_code == 302
    assert sorted(WorkDone.objects.filter(bow=bow).values_list("limb", flat=True)) == ["A", "B"]


def test_a_depth_that_stands_out_between_its_neighbours_is_said_until_it_is_struck(as_owner, owner, bow):
    """5.1 in typed for 0.51. A limb that tapers, or thickens into its handle, is not remarked on."""
    rows = [station(3, 1.5, 1.2), station(12, 1.4, 0.54), station(30, 1.1, 5.1), station(33, 0.6, 0.5)]
    kept = dimensions_add(bow=bow, by=owner, limb="A", stations=rows, happened_on=DAY)
    assert page_of(as_owner, bow).count("Out of line") == 1
    entry_strike(next(each for each in kept if each.depth_m > 0.1), by=owner)
    assert "Out of line" not in page_of(as_owner, bow)


def test_a_bow_that_has_left_the_bench_is_not_offered_a_scraping(as_owner, owner, bow):
    assert "Scraped just now" in page_of(as_owner, bow)
    stage_step(bow=bow, stage="given-up", cause="twist", where="the whole bow", by=owner)
    assert "Scraped just now" not in page_of(as_owner, bow)


def test_the_fold_of_work_done_opens_where_something_in_it_is_refused(as_owner, bow):
    at = reverse("work-add", args=[bow.pk])
    page = as_owner.get(at)
    assert "<details><summary>Another day" in page.content.decode()
    refused = as_owner.post(at, sent(page, deed="scraped", limb="A", from_m="six"))
    assert refused.status_code == 422
    assert "<details open><summary>Another day" in refused.content.decode()


def test_stations_stand_in_order_of_distance_with_both_limbs_beside_one_another(owner, bow):
    for limb, places in (("B", (12, 6)), ("A", (24, 6))):
        dimensions_add(bow=bow, by=owner, limb=limb, stations=[station(at) for at in places], happened_on=DAY)
    (one,) = sittings(bow.dimensions.all(), UnitsInUse("imperial"))
    assert [each.at for each in one.stations] == ["6", "12", "24"]
    assert [[len(limb) for limb in each.limbs] for each in one.stations] == [[1, 1], [0, 1], [1, 0]]
    assert one.stations[0].limbs[0][0][1] == "1\xa01/4 × 1/2"


def test_a_station_struck_out_stays_in_the_table_with_a_line_through_it(as_owner, owner, bow):
    first, _second = dimensions_add(
        bow=bow, by=owner, limb="A", stations=[station(6, depth=0.75), station(12)], happened_on=DAY
    )
    entry_strike(first, by=owner)
    page = page_of(as_owner, bow)
    assert "<s>1\xa01/4 × 3/4</s>" in page
    assert "struck out by" in page


def test_more_lines_keep_what_was_typed_and_write_nothing(as_owner, bow):
    at = reverse("dimensions-add", args=[bow.pk])
    page = as_owner.get(at)
    typed = sent(page, limb="A", width_0="1 3/8", depth_0="not yet read", note="by the window")
    rows = range(page.context["form"].count)
    empty = {f"{name}_{row}": "" for row in rows for name in ("station", "width", "depth")}
    more = as_owner.post(at, empty | typed | {"more": "1"})
    assert more.status_code == 200
    form, before = more.context["form"], page.context["form"].count
    assert form.count == before + 3
    assert (form["width_0"].value(), form["depth_0"].value()) == ("1 3/8", "not yet read")
    assert form["note"].value() == "by the window"
    assert "errorlist" not in more.content.decode()
    assert not Dimension.objects.exists()
    last = {f"station_{before + 2}": "31", f"width_{before + 2}": "1/2", f"depth_{before + 2}": "3/8"}
    answer = as_owner.post(at, sent(more, **last, depth_0="5/8"))
    assert answer.status_code == 302, answer.context["form"].errors
    assert Dimension.objects.count() == 2


def test_the_limb_planned_after_the_other_is_planned_too(as_owner, bow):
    at = reverse("dimensions-add", args=[bow.pk])
    page = as_owner.get(at, {"limb": "A", "planned": "1"})
    went = as_owner.post(at, sent(page, limb="A", planned="on", width_2="1 3/8", depth_2="5/8", then="B"))
    next_page = as_owner.get(went.url)
    assert next_page.context["form"]["planned"].value() and next_page.context["form"]["limb"].value() == "B"


def test_lines_that_were_only_proposed_are_not_written(as_owner, bow):
    at = reverse("dimensions-add", args=[bow.pk])
    page = as_owner.get(at)
    places = [row[0].value() for row in page.context["form"].rows()]
    assert sum(place is not None for place in places) >= 6
    as_owner.post(at, sent(page, limb="A", width_2="1 3/8", depth_2="5/8"))
    assert Dimension.objects.count() == 1


def test_stations_that_were_not_measured_yet_are_proposed_beside_those_that_were(as_owner, owner, bow):
    dimensions_add(bow=bow, by=owner, limb="A", stations=[station(7.5)], happened_on=DAY)
    page = as_owner.get(reverse("dimensions-add", args=[bow.pk]))
    places = [row[0].value() for row in page.context["form"].rows() if row[0].value() is not None]
    assert places == ["0", "1", "3", "7\xa01/2", *places[4:]]
    assert len(places) >= 6


def test_one_limb_written_down_leads_to_the_other(as_owner, bow):
    at = reverse("dimensions-add", args=[bow.pk])
    page = as_owner.get(at + "?limb=A")
    assert "then limb B" in page.content.decode()
    answer = as_owner.post(at, sent(page, limb="A", width_0="1 3/8", depth_0="5/8", then="B"))
    assert answer.url == at + "?limb=B"


def test_entries_are_shown_by_their_day_and_of_one_day_by_entry(owner, bow):
    days = (DAY, DAY + dt.timedelta(days=2), DAY, DAY + dt.timedelta(days=1))
    works = [
        work_add(bow=bow, by=owner, deed="scraped", happened_on=day, entry_key=uuid.uuid4()) for day in days
    ]
    shown = [works.index(entry) for entry, _words in by_day([(work, "") for work in works])]
    assert shown == [1, 3, 2, 0]


def test_scraped_before_it_was_ever_weighed_it_says_nothing_of_weigh_ins(as_owner, bow):
    said = as_owner.post(
        reverse("work-add", args=[bow.pk]),
        {
            "deed": "scraped",
            "limb": "A",
            "new_zero": "usual",
            "happened_on": "today",
            "entry_key": uuid.uuid4(),
        },
        follow=True,
    ).content.decode()
    assert "Written down." in said and "no longer rate this bow" not in said


def test_where_and_how_much_was_scraped_is_asked_before_the_buttons_that_send_it(as_owner, bow):
    page = as_owner.get(reverse("bow", args=[bow.pk])).content.decode()
    quick = page[page.index('class="quick"') :]
    assert quick.index('name="note"') < quick.index('name="limb"')
