"""What today's page, the bench and the year book read: right, and in a constant number of queries."""

import datetime as dt
import uuid

import pytest
from django.db import connection
from django.test.utils import CaptureQueriesContext

from workshop.bows.selectors.bench import (
    ALL,
    BenchFilter,
    bench,
    bows_on_bench,
    flaws_watched,
    pieces_at_hand,
    rests_ending,
)
from workshop.bows.selectors.glance import glances
from workshop.bows.selectors.year import failures, hours_by_stage, set_by_timber, staves_to_bows
from workshop.bows.services import readings
from workshop.bows.services.pieces import piece_add
from workshop.bows.services.stages import stage_step
from workshop.bows.weighing.services import weigh_in_add, weigh_point_add
from workshop.calc.imperial import INCH_M, POUND_N
from workshop.ledger.services import entry_strike

pytestmark = pytest.mark.django_db
TODAY = dt.date(2026, 3, 20)
MM = 0.001


def weigh(bow, by, inches, pounds, on=TODAY):
    weigh_in = weigh_in_add(
        bow=bow,
        by=by,
        system="imperial",
        happened_on=on,
        purpose="tillering",
        strung="full",
        brace_m=0.15,
        draw_from="back",
    )
    weigh_point_add(
        weigh_in=weigh_in,
        by=by,
        system="imperial",
        draw_m=inches * INCH_M,
        force_n=pounds * POUND_N,
        entry_key=uuid.uuid4(),
    )


def queries(read) -> int:
    with CaptureQueriesContext(connection) as taken:
        list(read())
    return len(taken)


def test_the_bench_goes_from_laid_out_to_ready_and_leaves_out_what_is_gone(owner, begin):
    for number, stage in (("a", "ready"), ("b", "tillering"), ("c", ""), ("d", "delivered"), ("e", "broken")):
        bow = begin(number=number)
        if stage:
            stage_step(bow=bow, stage=stage, cause="a splinter", where="limb A", by=owner)
    assert [bow.number for bow in bench(BenchFilter())] == ["c", "b", "a"]
    assert [bow.number for bow in bench(BenchFilter(stage="ended"))] == ["e"]
    assert [bow.number for bow in bench(BenchFilter(stage="out"))] == ["d"]
    assert bench(BenchFilter(stage=ALL)).count() == 5


def test_a_bow_is_found_by_number_maker_words_and_the_tag_of_its_wood(owner, begin, staves):
    begin(staves[0], number="26-01")
    begin(number="26-02", timber_words="yew, old orchard")
    for text, number in (
        ("24-001", "26-01"),
        ("white ash", "26-01"),
        ("orchard", "26-02"),
        ("26-02", "26-02"),
    ):
        assert [bow.number for bow in bench(BenchFilter(text=text))] == [number], text


def test_on_the_bench_each_bow_has_its_weight_and_next_step(owner, begin, shop):
    bow = begin(number="26-01")
    stage_step(bow=bow, stage="tillering", by=owner)
    readings.set_add(bow=bow, by=owner, follow_m=0.0, is_zero=True, happened_on=TODAY)
    weigh(bow, owner, 20, 30)
    (seen,) = bows_on_bench(shop=shop, today=TODAY)
    assert seen.weight.force_n == pytest.approx(30 * POUND_N)
    assert seen.step.code == "draw_further"
    assert seen.step.values["draw"][0] == pytest.approx(21 * INCH_M)


def test_a_set_read_by_mistake_is_struck_and_counts_no_more(owner, bow, shop):
    readings.set_add(bow=bow, by=owner, follow_m=0.0, is_zero=True, happened_on=TODAY)
    readings.set_add(bow=bow, by=owner, follow_m=10 * MM, happened_on=TODAY)
    (slip,) = readings.set_add(bow=bow, by=owner, follow_m=100 * MM, happened_on=TODAY)
    entry_strike(slip, by=owner)
    (seen,) = bows_on_bench(shop=shop, today=TODAY)
    assert seen.set_now.greatest_m == pytest.approx(10 * MM)


def test_rests_run_out_nearest_first_and_of_each_bow_its_longest(owner, begin):
    one, two, three = (begin(number=n) for n in "abc")
    readings.work_add(bow=one, by=owner, deed="glued", happened_on=TODAY)
    readings.work_add(bow=one, by=owner, deed="backed", happened_on=TODAY)
    readings.work_add(
        bow=two, by=owner, deed="steamed", rest_days=2, happened_on=TODAY - dt.timedelta(days=4)
    )
    readings.work_add(bow=three, by=owner, deed="scraped", happened_on=TODAY)
    found = rests_ending(TODAY)
    assert [(each.bow, each.days_left, each.is_over) for each in found] == [(two, -2, True), (one, 30, False)]


def test_glue_that_cures_is_a_rest_too(owner, bow, shop):
    cured = TODAY + dt.timedelta(days=3)
    piece_add(bow=bow, by=owner, part="backing", material="bamboo", cured_on=cured, happened_on=TODAY)
    (rest,) = rests_ending(TODAY)
    assert (str(rest.work), rest.until) == ("backing: bamboo", cured)
    (seen,) = bows_on_bench(shop=shop, today=TODAY)
    assert seen.step.code == "rest"


def test_a_rest_that_was_never_wanted_is_none(owner, bow):
    work = readings.work_add(bow=bow, by=owner, deed="steamed", rest_days=0, happened_on=TODAY)
    assert work.rest_until is None
    assert not rests_ending(TODAY)


def test_flaws_are_watched_until_settled_the_longest_unseen_first(owner, begin):
    where = {"limb": "A", "face": "back", "by": owner}
    old = readings.flaw_add(
        bow=begin(number="a"), kind="knot", happened_on=TODAY - dt.timedelta(days=9), **where
    )
    new = readings.flaw_add(
        bow=begin(number="b"), kind="pin", happened_on=TODAY - dt.timedelta(days=4), **where
    )
    readings.flaw_add(bow=begin(number="c"), kind="pin", watched=False, happened_on=TODAY, **where)
    assert [each.flaw for each in flaws_watched()] == [old, new]
    readings.flaw_look(flaw=old, by=owner, seen="same", happened_on=TODAY)
    assert [each.flaw for each in flaws_watched()] == [new, old]
    readings.flaw_settle(flaw=new, by=owner, word="scraped out")
    assert [(each.flaw, each.look.seen) for each in flaws_watched()] == [(old, "same")]


def test_at_hand_are_ready_pieces_and_the_wood_of_bows_that_ended(owner, begin, staves):
    bow = begin(staves[0], number="a")
    assert not pieces_at_hand()
    stage_step(bow=bow, stage="broken", cause="hinge", where="limb B", by=owner)
    assert [stave.tag for stave in pieces_at_hand()] == ["24-001"]


@pytest.fixture
def some_years(owner, begin, staves):
    """One ash bow finished, one broken at 24 in; one of unknown wood given up."""
    good = begin(staves[0], number="a")
    for follow_mm, on in ((0, TODAY), (14, TODAY + dt.timedelta(days=9))):
        readings.set_add(bow=good, by=owner, follow_m=follow_mm * MM, is_zero=follow_mm == 0, happened_on=on)
    readings.time_add(bow=good, by=owner, seconds=5400, stage="tillering", happened_on=TODAY)
    stage_step(bow=good, stage="ready", by=owner)
    broken = begin(staves[1], number="b")
    stage_step(bow=broken, stage="tillering", by=owner)
    weigh(broken, owner, 24, 38)
    readings.time_add(bow=broken, by=owner, seconds=3600, stage="tillering", happened_on=TODAY)
    stage_step(
        bow=broken,
        stage="broken",
        cause="hinge past the fade",
        where="limb B, 8 in out",
        by=owner,
        happened_on=TODAY,
    )
    stage_step(
        bow=begin(number="c", timber_words="plum"), stage="given-up", cause="twist", where="the whole bow", by=owner,
        happened_on=TODAY,
    )  # fmt: skip


def test_the_year_counts_staves_to_bows(some_years):
    (ash,) = staves_to_bows(2026)
    assert (ash.pieces, ash.finished, ash.ended, ash.at_work) == (2, 1, 1, 0)
    assert not staves_to_bows(2019)


def test_the_year_says_where_and_why_bows_failed(some_years):
    given_up, broken = failures(2026)
    assert (given_up.timber, given_up.draw_m, given_up.move.cause) == ("plum", None, "twist")
    assert broken.draw_m == pytest.approx(24 * INCH_M)
    assert (broken.was, broken.move.where) == ("tillering", "limb B, 8 in out")


def test_a_bow_taken_up_again_is_no_failure(owner, bow):
    stage_step(bow=bow, stage="given-up", cause="twist", where="the whole bow", by=owner, happened_on=TODAY)
    stage_step(bow=bow, stage="tillering", by=owner)
    assert not failures(2026)


def test_the_year_adds_up_the_hours_by_stage(some_years):
    (tillering,) = hours_by_stage(2026)
    assert (tillering.stage, tillering.minutes, tillering.bows) == ("tillering", 150, 2)


def test_the_year_gathers_set_by_timber(some_years):
    (ash,) = set_by_timber(2026)
    assert "ash" in ash.timber.lower()
    assert ash.greatest_m == ash.mean_m == pytest.approx(14 * MM)


def test_the_year_book_says_the_set_the_bows_own_page_says(owner, begin, shop):
    """Both limbs at once and rested, from a zero of its own: of two limbs the greater, once rested."""
    bow = begin(number="s")
    at = {"bow": bow, "by": owner, "happened_on": TODAY}
    readings.set_add(follow_a_m=-6 * MM, follow_b_m=-4 * MM, is_zero=True, rested=True, **at)
    assert set_by_timber(2026) == []
    readings.set_add(follow_a_m=22 * MM, follow_b_m=20 * MM, rested=False, **at)
    readings.set_add(follow_a_m=16 * MM, follow_b_m=15 * MM, rested=True, **at)
    (timber,) = set_by_timber(2026)
    page = glances([bow], shop=shop, today=TODAY)[bow.pk].set_now
    assert timber.greatest_m == page.greatest_m == pytest.approx(22 * MM)


def test_nothing_read_takes_more_queries_for_more_bows(owner, begin, shop, staves):
    reads = {
        "bench": lambda: bows_on_bench(shop=shop, today=TODAY),
        "rests": lambda: rests_ending(TODAY),
        "flaws": flaws_watched,
        "at hand": pieces_at_hand,
        "wood": staves_to_bows,
        "failures": failures,
        "hours": hours_by_stage,
        "sets": set_by_timber,
    }

    def some(count):
        for number in range(count):
            bow = begin()
            piece_add(bow=bow, by=owner, part="layer", layer=1, stave=staves[2], happened_on=TODAY)
            readings.flaw_add(bow=bow, by=owner, kind="pin", limb="A", face="back", happened_on=TODAY)
            readings.work_add(bow=bow, by=owner, deed="steamed", happened_on=TODAY)
            readings.set_add(bow=bow, by=owner, follow_m=0.0, is_zero=True, happened_on=TODAY)
            readings.time_add(bow=bow, by=owner, seconds=600, stage="tillering", happened_on=TODAY)
            if number % 2:
                stage_step(bow=bow, stage="broken", cause="hinge", where="limb A", by=owner)

    some(10)
    few = {name: queries(read) for name, read in reads.items()}
    some(190)
    assert {name: queries(read) for name, read in reads.items()} == few
