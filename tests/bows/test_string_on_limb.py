"""A string that lies on a limb is not reckoned: said once and plainly, wherever the bow would be solved."""

import datetime as dt
from dataclasses import replace

import numpy as np
import pytest
from django.urls import reverse

from workshop.bows.models import Bow
from workshop.bows.plan.nextpull import next_pull
from workshop.bows.plan.services import stations_set
from workshop.bows.services.readings import dimensions_add, set_add
from workshop.calc.imperial import INCH_M
from workshop.calc.statics import draw
from workshop.ledger.services import record_change

pytestmark = pytest.mark.django_db
DAY = dt.date(2026, 4, 1)
SAID = "Braced, the string would lie on a limb"
# bends near the grip alone, the outer limb stiff and kept in its reflex: the braced string lies on it
ROWS = ((4, 1.4, 0.40), (8, 1.4, 0.43), (12, 1.4, 0.63), (20, 1.4, 0.79), (28, 1.4, 0.79), (34, 1.4, 0.71))


@pytest.fixture
def reflexed(flatbow, owner):
    """Tips 6 in toward the back, braced to 3 in only."""
    stations = [
        dict(zip(("station_m", "width_m", "depth_m"), (v * INCH_M for v in row), strict=True)) for row in ROWS
    ]
    dimensions_add(bow=flatbow, by=owner, limb="both", stations=stations, happened_on=DAY)
    stations_set(bow=flatbow, by=owner, limbs={"A": stations, "B": stations})
    set_add(bow=flatbow, by=owner, follow_m=-6 * INCH_M, happened_on=DAY)
    record_change(flatbow, by=owner, brace_m=1.6 * INCH_M)
    return Bow.objects.get(pk=flatbow.pk)


def test_the_plan_page_says_once_that_the_string_lies_on_the_limb(as_owner, reflexed):
    page = as_owner.get(reverse("bow-plan-sheet", args=[reflexed.pk]))
    assert page.status_code == 200
    text = page.content.decode()
    assert text.count(SAID) == 1 and "A higher brace or less reflex toward the tips would lift it off" in text


def test_the_bow_page_and_the_weigh_in_say_it_where_the_next_pull_would_be(as_owner, reflexed, weigh):
    head = weigh(reflexed, (14, 20), (18, 28), brace_m=1.6 * INCH_M)
    for name, key in (("bow", reflexed.pk), ("weigh-in", head.pk)):
        text = as_owner.get(reverse(name, args=[key])).content.decode()
        assert text.count(SAID) == 1, name
        assert "The next pull is not foretold." in text


def test_braced_higher_the_same_bow_is_solved_and_its_next_pull_foretold(
    as_owner, reflexed, weigh, owner, shop
):
    record_change(reflexed, by=owner, brace_m=6 * INCH_M)
    weigh(reflexed, (12, 30), (16, 45), brace_m=6 * INCH_M)
    assert SAID not in as_owner.get(reverse("bow-plan-sheet", args=[reflexed.pk])).content.decode()
    assert SAID not in as_owner.get(reverse("bow", args=[reflexed.pk])).content.decode()


def test_a_bow_too_short_for_its_draw_says_up_to_which_draw_the_answer_holds(
    as_owner, flatbow, weigh, owner, shop
):
    """In the draws the bow is ordered in, from its back, in the reader's inches; the weigh-in too."""
    record_change(flatbow, by=owner, length_m=36 * INCH_M, wanted_draw_m=38 * INCH_M)
    short = Bow.objects.get(pk=flatbow.pk)
    weigh(short, (10, 12), (12, 18))
    seen = next_pull(short, shop=shop)
    assert seen.why == "beyond"
    limit_in = seen.refused.given["limit_m"] / INCH_M
    assert 12 < limit_in < 34
    text = as_owner.get(reverse("bow", args=[short.pk])).content.decode().replace("\N{NO-BREAK SPACE}", " ")
    assert "The bow is too short for its draw: up to a draw of" in text
    assert "past it no shape was found" in text


def test_on_a_long_string_a_draw_at_which_it_lies_on_a_limb_says_so_and_the_others_are_told(
    as_owner, reflexed, owner, monkeypatch
):
    """A reflexed limb lifts off as it is drawn on; here the statics say so of the second draw."""

    def touching(*asked, **how):
        drawn = draw(*asked, **how)
        return replace(
            drawn, why=("slack", "touch", *drawn.why[2:]), ok=drawn.ok & (np.arange(drawn.ok.size) != 1)
        )

    monkeypatch.setattr("workshop.bows.plan.longstring.draw", touching)
    record_change(reflexed, by=owner, brace_m=6 * INCH_M)
    page = as_owner.get(reverse("bow-plan-sheet", args=[reflexed.pk]), {"long_string": "69"})
    slack, lies, *told = page.context["long"].pulls
    assert slack.reads == "slack" and "lies on a limb" in lies.reads and not lies.strain
    assert all("lb" in pull.reads for pull in told)
