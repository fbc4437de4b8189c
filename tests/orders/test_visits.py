"""A bow comes back: by whom, what is found, and what has to be done before it leaves again."""

import datetime as dt
import uuid

import pytest
from django.core.exceptions import ValidationError
from django.urls import reverse

from tests.orders.conftest import LB
from workshop.bows.services.bows import bow_start
from workshop.bows.services.readings import flaw_add, flaw_settle, work_add
from workshop.bows.services.stages import stage_step
from workshop.bows.weighing.services import weigh_in_add
from workshop.orders.models import Ownership, Visit
from workshop.orders.selectors.visits import since_it_came
from workshop.orders.services.handover import (
    bow_deliver,
    visit_add,
    visit_end,
)
from workshop.orders.services.orders import line_add

pytestmark = pytest.mark.django_db


def test_a_bow_brought_by_its_new_owner_is_theirs(as_owner, bow):
    as_owner.post(
        reverse("visit-add", args=[bow.pk]),
        {"new_brought_by": "Later Owner", "owner_now": "on", "complaint": "it ticks", "happened_on": "today",
         "entry_key": uuid.uuid4()},
    )  # fmt: skip
    assert Ownership.objects.get().person.name == Visit.objects.get().brought_by.name == "Later Owner"


def test_a_visit_says_what_they_say_or_what_is_found(as_owner, bow):
    answer = as_owner.post(
        reverse("visit-add", args=[bow.pk]), {"happened_on": "today", "entry_key": uuid.uuid4()}
    )
    assert answer.status_code == 422 and not Visit.objects.exists()


def test_a_bow_does_not_leave_before_it_came(owner, bow, today):
    visit = visit_add(bow=bow, by=owner, complaint="it ticks", happened_on=today)
    with pytest.raises(ValidationError, match="before it came"):
        visit_end(visit=visit, by=owner, outcome="bound", on=today - dt.timedelta(days=1))


def test_what_it_came_back_with_stands_on_top_of_its_page_and_a_watched_flaw_is_said_before_it_leaves(
    as_owner, owner, bow, today
):
    visit = visit_add(bow=bow, by=owner, complaint="dry fired", finding="ticks when bent", happened_on=today)
    top = as_owner.get(reverse("bow", args=[bow.pk])).content.decode().partition("<dl")[0]
    assert "dry fired" in top and "ticks when bent" in top and reverse("flaw-add", args=[bow.pk]) in top
    flaw = flaw_add(
        bow=bow, by=owner, kind="chrysal", limb="B", face="belly", happened_on=today, watched=True
    )
    for at in (reverse("visit-end", args=[visit.pk]), reverse("deliver", args=[bow.pk])):
        assert "chrysal, limb B, and not settled" in as_owner.get(at).content.decode()
    flaw_settle(flaw=flaw, by=owner, word="bound with silk")
    assert "not settled" not in as_owner.get(reverse("visit-end", args=[visit.pk])).content.decode()


def test_what_the_tag_still_wants_is_said_before_a_bow_leaves_again(as_owner, owner, bow, paper, today):
    visit = visit_add(bow=bow, by=owner, complaint="it ticks", happened_on=today)
    at = reverse("visit-end", args=[visit.pk])
    assert "No work, weigh-in or paper" in as_owner.get(at).content.decode()
    work_add(bow=bow, by=owner, deed="scraped", happened_on=today)
    assert "Its weight is not known now" in as_owner.get(at).content.decode()
    weigh_in_add(
        bow=bow, by=owner, system="imperial", purpose="final", strung="full", draw_from="back", draw_m=0.7,
        force_n=40 * LB, happened_on=today,
    )  # fmt: skip
    assert "Its tag is old" in as_owner.get(at).content.decode()
    paper(bow, "rating-tag")
    since = since_it_came(visit)
    assert not since.weight_unknown and not since.tag_is_old


def test_when_a_repaired_bow_leaves_its_repair_is_handed_over(owner, bow, payer, order, today):
    stage_step(bow=bow, stage="delivered", by=owner)
    repair = line_add(order=order, by=owner, kind="repair", repairs=bow, words="bind the nock")
    visit = visit_add(bow=bow, by=owner, brought_by=payer, complaint="loose", happened_on=today)
    visit_end(visit=visit, by=owner, outcome="bound anew")
    assert repair.deliveries.get().to == payer
    visit_end(visit=visit, by=owner, outcome="bound anew")
    assert repair.deliveries.count() == 1


def test_an_old_notebook_bow_comes_for_repair(as_owner, owner, order):
    old = bow_start(by=owner, number="17", origin="notebook", started_on=dt.date(1998, 1, 1), started_to="y")
    line_add(order=order, by=owner, kind="repair", repairs=old, words="a nock has split")
    form = as_owner.get(reverse("visit-add", args=[old.pk])).context["form"]
    assert form["complaint"].value() == "a nock has split" and form["brought_by"].value() == order.payer_id
    page = as_owner.get(reverse("order", args=[order.pk])).content.decode()
    assert "has not come in yet" in page and "It came in" in page


def test_visits_stand_on_the_page_of_whoever_brought_the_bow_and_of_whoever_owns_it(
    as_owner, owner, bow, payer, today
):
    bow_deliver(bow=bow, to=payer, by=owner, despite=True, note="x", happened_on=today)
    visit_add(bow=bow, by=owner, complaint="it ticks", happened_on=today)
    page = as_owner.get(reverse("person", args=[payer.pk])).content.decode()
    assert page.count("it ticks") == 1 and "Bows that came back" in page
