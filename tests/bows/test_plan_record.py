"""This shop's finished bows are the best guide to strain, and teach what set costs."""

import pytest
from django.urls import reverse

from tests.bows.test_plan_next_pull import TODAY, finished_bow, pulled
from workshop.bows.models import SetReading, WeighPoint
from workshop.bows.plan.facts import timbers_known
from workshop.bows.plan.record import shop_record
from workshop.bows.services.readings import dimensions_add, set_add, work_add
from workshop.calc.imperial import INCH_M
from workshop.ledger.services import entry_strike

pytestmark = pytest.mark.django_db


@pytest.fixture
def finished(begin, staves, weigh, owner):
    return [finished_bow(begin, weigh, owner, f"25-{number:02}") for number in range(1, 4)]


def test_a_finished_bow_tells_of_its_strain_and_the_set_it_took(finished):
    record = shop_record(timbers_known())
    assert [each.bow.number for each in record.of("White ash")] and len(record.bows) == 3
    one = record.bows[0]
    assert 0.6 < one.strain_pct < 1.2 and one.set_m == pytest.approx(0.75 * INCH_M)
    assert one.permanent == pytest.approx(0.75 * INCH_M * 0.51 * INCH_M / (30.25 * INCH_M) ** 2, rel=0.03)


def test_a_set_read_before_a_further_draw_is_told_with_the_draw_it_was_read_at(begin, staves, weigh, owner):
    """A tenth of an inch at 18 in says nothing of 28 in."""
    bow = finished_bow(begin, weigh, owner, "25-01")
    for reading in SetReading.objects.filter(bow=bow, is_zero=False):
        entry_strike(reading, by=owner)
    entry_strike(WeighPoint.objects.get(weigh_in__bow=bow), by=owner)
    weigh(bow, (18, 22))
    set_add(bow=bow, by=owner, follow_m=0.1 * INCH_M, happened_on=TODAY, rested=True)
    weigh(bow, (28, 42))
    (told,) = shop_record(timbers_known()).bows
    assert told.draw_m == pytest.approx(18 * INCH_M) and told.strain_pct < 0.6
    assert told.set_m == pytest.approx(0.1 * INCH_M)


def test_what_a_bow_shows_at_once_is_not_laid_beside_what_it_keeps(begin, staves, weigh, owner):
    bow = finished_bow(begin, weigh, owner, "25-01")
    set_add(bow=bow, by=owner, follow_m=1.25 * INCH_M, happened_on=TODAY, rested=False)
    (told,) = shop_record(timbers_known()).bows
    assert told.set_m == pytest.approx(0.75 * INCH_M)


def test_heat_makes_a_new_zero_and_the_set_before_it_is_forgotten(begin, staves, weigh, owner):
    bow = finished_bow(begin, weigh, owner, "25-01")
    work_add(bow=bow, by=owner, deed="heat-treated", limb="both", happened_on=TODAY)
    assert not shop_record(timbers_known()).bows


def test_a_slip_struck_out_no_longer_tells(finished, owner):
    entry_strike(WeighPoint.objects.filter(weigh_in__bow=finished[0]).get(), by=owner)
    for reading in SetReading.objects.filter(bow=finished[1]):
        entry_strike(reading, by=owner)
    assert len(shop_record(timbers_known()).bows) == 1


def test_the_shops_own_set_moves_what_the_next_bow_is_expected_to_lose(finished, flatbow, weigh, shop):
    weigh(flatbow, (20, 26))
    learned = pulled(flatbow, shop)
    assert learned.set_bows == 3
    usual = shop_record(()).rule("White ash")
    own = shop_record(timbers_known()).rule("White ash")
    assert own.bows == 3 and own.mean[0] != usual.mean[0]


def test_the_plan_stands_beside_what_this_shops_bows_bore(as_owner, owner, finished, flatbow):
    stations = [
        {"station_m": at * INCH_M, "width_m": w * INCH_M, "depth_m": d * INCH_M}
        for at, w, d in ((3, 1.75, 0.6), (34, 0.5, 0.5))
    ]
    dimensions_add(
        bow=flatbow, by=owner, limb="both", planned=True, stations=stations,
        happened_on=flatbow.started_on,
    )  # fmt: skip
    page = as_owner.get(reverse("bow-plan-sheet", args=[flatbow.pk]))
    beside = page.context["page"].beside
    assert beside.words.startswith("3 finished bows of White ash") and len(beside.bows) == 3
    assert "25-01" in page.content.decode()
