"""The next pull on the page of the weigh-in itself; every way kept, held against what came, and learned from."""

import uuid

import pytest
from django.db import connection
from django.test.utils import CaptureQueriesContext
from django.urls import reverse

import workshop.bows.plan.nextpull as module
from tests.bows.test_plan_next_pull import THUMB, finished_bow, pulled
from workshop.bows.models import Expectation
from workshop.bows.selectors.forecasts import forecasts_kept, forecasts_past
from workshop.calc.imperial import INCH_M, POUND_N
from workshop.ledger.services import entry_strike

pytestmark = pytest.mark.django_db


def said_of(answer):
    return answer.content.decode().replace("\xa0", " ")


@pytest.fixture
def page_of(as_owner):
    return lambda one: as_owner.get(reverse("weigh-in", args=[one.pk]))


def test_the_weigh_in_itself_says_the_next_pull_and_where_it_strains(as_owner, flatbow, weigh, page_of):
    page = page_of(weigh(flatbow, (20, 26)))
    said = said_of(page)
    assert "At 21 in: <b>" in said and "At full draw, 28 in: <b>" in said and "strained 0." in said
    assert "from the grip, " in said and "where is this from?" in said
    on_the_bow = as_owner.get(reverse("bow", args=[flatbow.pk])).context["next_pull"]
    assert [row.weight for row in page.context["next_pull"].rows] == [row.weight for row in on_the_bow.rows]


def test_the_pull_to_come_is_expected_by_the_solved_bow_where_it_says_anything(flatbow, weigh, page_of, shop):
    expected = page_of(weigh(flatbow, (20, 26))).context["page"].pull.expected
    assert expected.force_n == pytest.approx(pulled(flatbow, shop).next.expected.force_n)


def test_all_ways_to_the_full_draw_stand_side_by_side(flatbow, weigh, page_of):
    ways = page_of(weigh(flatbow, (18, 22), (20, 26))).context["page"].ways
    assert [each.way.method for each in ways] == ["tempered", "elastic", "solved_shape", "solved_bow", *THUMB]


def test_before_one_figure_is_written_the_pull_to_it_is_foretold(as_owner, flatbow, weigh):
    weigh(flatbow, (20, 26))
    said = said_of(as_owner.get(reverse("weigh-in-add", args=[flatbow.pk])))
    assert "At 21 in: <b>" in said and "from the grip, " in said


@pytest.fixture
def solved(monkeypatch):
    """How often a next pull was solved."""
    times, foresee = [], module.foresee
    monkeypatch.setattr(module, "foresee", lambda *args: times.append(1) or foresee(*args))
    return times


def send_point(client, one, draw, force):
    typed = {"draw_m": f"{draw} in", "force_n": f"{force} lb", "entry_key": str(uuid.uuid4())}
    return client.post(reverse("weigh-point-add", args=[one.pk]), typed, headers={"HX-Request": "true"})


def test_after_each_point_the_next_one_is_foretold_and_solved_once(as_owner, flatbow, weigh, solved):
    one = weigh(flatbow, (20, 26))
    solved.clear()
    said = said_of(send_point(as_owner, one, 21, 28))
    assert "<html" not in said and "At 22 in: <b>" in said and "from the grip, " in said
    assert len(solved) == 1


def test_a_point_asks_no_more_of_a_ledger_with_many_bows(as_owner, flatbow, weigh, begin, owner):
    """Three pulls come before the first that is counted, so that both meet as many forecasts."""
    one = weigh(flatbow, (16, 18), (17, 20), (18, 22))
    finished_bow(begin, weigh, owner, "25-00")

    def asked(draw):
        with CaptureQueriesContext(connection) as found:
            send_point(as_owner, one, draw, 1.5 * draw - 4)
        return len(found)

    before = asked(19)
    for number in range(1, 6):
        finished_bow(begin, weigh, owner, f"25-{number:02}")
    assert asked(20) == before


def test_the_page_asks_as_much_with_ten_points_as_with_one(flatbow, weigh, page_of):
    def asked(one):
        with CaptureQueriesContext(connection) as found:
            page_of(one)
        return len(found)

    few = asked(weigh(flatbow, (12, 12)))
    assert asked(weigh(flatbow, *((draw, 1.5 * draw - 4) for draw in range(11, 21)))) == few


# every way is kept, held against what came, and learned from


def test_every_way_is_kept_at_the_next_inch_and_at_the_full_draw_and_meets_its_outcome(flatbow, weigh):
    weigh(flatbow, (18, 22), (20, 26))
    ways = {*THUMB, "combined", "solved_shape", "solved_bow", "solved"}
    kept = Expectation.objects.filter(bow=flatbow, inputs__after_draw_m__gt=19.9 * INCH_M)
    for inch in (21, 28):
        assert {each.method for each in kept if abs(each.at_draw_m - inch * INCH_M) < 1e-3} == ways
    weigh(flatbow, (21, 27.5))
    assert {each.method for each in kept.filter(outcome__isnull=False)} == ways


def test_the_page_says_how_far_out_each_way_has_been(as_owner, flatbow, weigh, page_of):
    weigh(flatbow, (18, 22), (19, 24), (20, 26))
    said = said_of(page_of(weigh(flatbow, (21, 28))))
    assert "How far out this workshop’s forecasts were" in said
    assert "by 2 lb an inch: 3 of 3 outcomes within their range, 0.0 % out on average" in said
    assert "within their range" in said_of(as_owner.get(reverse("bow", args=[flatbow.pk])))


def test_the_rules_of_thumb_learn_too_where_nothing_can_be_solved(begin, weigh):
    """Nine pulls of a bow without a length, each 3 % under what the rules made of it: the tenth is foretold lower."""
    bow = begin(number="26-09", kind="stiff", length_m=None)
    weigh(bow, (16, 18))
    for draw in range(17, 26):
        at = {"at_draw_m__gt": (draw - 0.1) * INCH_M, "at_draw_m__lt": (draw + 0.1) * INCH_M}
        made = Expectation.objects.filter(bow=bow, method="combined", **at).latest("pk")
        weigh(bow, (draw, 0.97 * made.inputs["raw_n"] / POUND_N))
    last = Expectation.objects.filter(bow=bow, method="combined", at_draw_m__gt=27.9 * INCH_M).latest("pk")
    assert last.value < last.inputs["raw_n"]


def test_what_was_learned_is_not_learned_from_again(flatbow, weigh):
    """An outcome is held against what was made of the points alone, not against what the record had made of it."""
    weigh(flatbow, (20, 26))
    kept = Expectation.objects.get(bow=flatbow, method="solved", at_draw_m__lt=22 * INCH_M)
    weigh(flatbow, (21, 27))
    (outcome,) = forecasts_past().of("solved")
    assert outcome.ratio == pytest.approx(27 * POUND_N / kept.inputs["raw_n"])
    assert outcome.rest_share == pytest.approx(1 / 21)


def test_a_weigh_in_struck_out_teaches_nothing(flatbow, weigh, owner):
    weigh(flatbow, (20, 26))
    slip = weigh(flatbow, (21, 40))
    assert forecasts_past().records
    entry_strike(slip, by=owner)
    assert not forecasts_past().records and not forecasts_past().of("solved")


def test_what_was_foretold_from_a_slipped_digit_teaches_nothing_once_it_is_struck(flatbow, weigh, owner):
    slip = weigh(flatbow, (20, 34))
    weigh(flatbow, (21, 27.5))
    assert forecasts_past().of("solved") and forecasts_kept()
    entry_strike(slip.points.get(), by=owner)
    assert not forecasts_past().of("solved") and not forecasts_kept()


def test_what_was_foretold_from_a_weigh_in_struck_out_teaches_nothing(flatbow, weigh, owner):
    slip = weigh(flatbow, (20, 34))
    weigh(flatbow, (21, 27.5))
    entry_strike(slip, by=owner)
    assert not forecasts_past().of("solved") and not forecasts_kept()


def test_points_that_lie_on_no_such_bows_curve_are_not_called_solved(flatbow, weigh, shop):
    """Flat from 10 to 18 in and steep then: no bow of this length and brace draws so."""
    weigh(flatbow, (10, 20), (14, 21), (18, 21.5), (19, 30), (20, 40))
    assert pulled(flatbow, shop).why == "shape_does_not_fit"
    assert not Expectation.objects.filter(method="solved", inputs__after_draw_m__gt=19.5 * INCH_M).exists()


def test_where_points_lie_on_no_curve_the_one_farthest_off_is_named(as_owner, flatbow, weigh, page_of):
    """A 19 1/2 written for 23, at 18 in."""
    one = weigh(flatbow, (14, 15), (16, 19), (18, 19.5), (20, 27), (22, 31), (24, 35))
    said = said_of(page_of(one))
    assert "Farthest from the curve of the others is 19.5 lb at 18 in: there it has 23" in said
    on_the_bow = said_of(as_owner.get(reverse("bow", args=[flatbow.pk])))
    assert "Farthest from the curve of the others is 19.5 lb at 18 in" in on_the_bow


@pytest.mark.django_db(transaction=True)
def test_the_ledger_is_not_held_for_writing_while_a_pull_is_solved(as_owner, flatbow, weigh, monkeypatch):
    """Whoever else writes at that moment waits for an entry, not for the arithmetic."""
    held, foresee = [], module.foresee
    monkeypatch.setattr(
        module, "foresee", lambda *args: held.append(connection.in_atomic_block) or foresee(*args)
    )
    one = weigh(flatbow, (20, 26))
    assert send_point(as_owner, one, 21, 28).status_code == 200
    assert held and not any(held)
