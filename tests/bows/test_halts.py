"""What speaks against a further pull is said wherever the bow is looked at, until the maker has passed it over."""

import datetime as dt
import uuid

import pytest
from django.urls import reverse

from tests.bows.conftest import pull
from workshop.bows.nextstep import Rest, StepFacts, halts
from workshop.bows.services.bows import bow_change
from workshop.bows.services.readings import flaw_add, flaw_look, set_add, shots_add, work_add
from workshop.bows.services.stages import stage_step
from workshop.bows.weighing.services import weigh_in_add, word_note
from workshop.calc.imperial import INCH_M
from workshop.ledger.services import entry_strike
from workshop.orders.services.handover import visit_add

pytestmark = pytest.mark.django_db
DAY = dt.date(2026, 4, 1)


@pytest.fixture
def tillered(bow, owner):
    for stage in ("roughing", "tillering"):
        stage_step(bow=bow, stage=stage, by=owner, happened_on=DAY)
        bow.refresh_from_db()
    return bow


@pytest.fixture
def weigh(tillered, owner):
    def weigh(inches, pounds, days=0, **more):
        head = weigh_in_add(
            bow=tillered, by=owner, system="imperial", happened_on=DAY + dt.timedelta(days=days), purpose="tillering",
            strung="full", brace_m=6.5 * INCH_M, draw_from="back", **more,
        )  # fmt: skip
        pull(head, inches, pounds, owner)
        return head

    return weigh


def pages(client, bow):
    weigh_page = client.get(reverse("weigh-in-add", args=[bow.pk]))
    shown = {name: client.get(reverse(name)).content.decode() for name in ("bench", "today")}
    return {
        "bow": client.get(reverse("bow", args=[bow.pk])).content.decode(),
        "weigh": weigh_page.content.decode(),
        "draw": weigh_page.context["form"]["draw_m"].value(),
        **shown,
    }


def test_dying_wood_is_said_everywhere_and_no_further_pull_is_proposed(as_owner, tillered, weigh, owner):
    weigh(24, 40)
    later = weigh(24, 36)
    found = pages(as_owner, tillered)
    for page in ("bow", "bench", "today", "weigh"):
        assert "Do not draw it further: it lost 4" in found[page], page
    assert "No further pull yet" in found["weigh"] and "Draw to" not in found["weigh"] and not found["draw"]
    word_note(
        weigh_in=later,
        by=owner,
        happened_on=DAY,
        code="dying",
        point=later.points.get(),
        note="the scale was off",
    )
    assert "Do not draw it further" not in str(pages(as_owner, tillered))


def test_what_shooting_in_takes_is_no_reason_to_stop(as_owner, tillered, weigh, owner):
    """Two or three pounds go in the first hundred arrows: common practice, no source."""
    weigh(24, 40)
    shots_add(bow=tillered, by=owner, shots=90, happened_on=DAY + dt.timedelta(days=1))
    assert (
        "Dying wood"
        not in as_owner.get(reverse("weigh-in", args=[weigh(24, 38, days=2).pk])).content.decode()
    )
    assert "Do not draw it further" not in str(pages(as_owner, tillered))
    weigh(24, 34, days=3)
    assert "Do not draw it further" in pages(as_owner, tillered)["weigh"]


def test_dying_wood_weighed_again_at_its_lower_weight_is_still_dying(as_owner, tillered, weigh, owner):
    weigh(24, 40)
    lost = weigh(24, 36)
    weigh(24, 36)
    weigh(20, 28)
    assert "it lost 4" in pages(as_owner, tillered)["weigh"]
    word_note(
        weigh_in=lost, by=owner, happened_on=DAY, code="dying", point=lost.points.get(), note="looked over"
    )
    assert "Do not draw it further" not in str(pages(as_owner, tillered))


def test_work_that_adds_weight_finds_no_lost_weight_again(as_owner, tillered, weigh, owner):
    """Piked after the loss, it is heavier for being shorter; the belly is as crushed as before."""
    weigh(24, 40)
    weigh(24, 34)
    work_add(bow=tillered, by=owner, deed="piked", limb="both", happened_on=DAY + dt.timedelta(days=1))
    weigh(24, 41, days=2)
    assert "it lost 6" in pages(as_owner, tillered)["weigh"]


def test_a_wetter_season_excuses_a_loss_but_finds_nothing_again(as_owner, tillered, weigh, owner):
    for pounds, pct in ((40, 9.0), (36, 9.0), (36, 14.0)):
        weigh(24, pounds, moisture_pct=pct)
    assert "it lost 4" in pages(as_owner, tillered)["weigh"]


def test_a_curve_that_fell_is_answered_only_by_weight_that_is_there(as_owner, tillered, weigh, owner):
    def series(*pairs):
        (first, pounds), *more = pairs
        head = weigh(first, pounds)
        for inches, force in more:
            pull(head, inches, force, owner)

    series((22, 34), (24, 25))
    series((10, 8), (24, 26))
    assert "giving way" in pages(as_owner, tillered)["weigh"], "still 8 lb under what it held at 22 in"
    series((22, 34), (24, 38))
    assert "giving way" not in pages(as_owner, tillered)["weigh"]


def test_a_bow_weighed_before_any_draw_was_wanted_was_not_drawn_too_far(as_owner, tillered, weigh, owner):
    bow_change(bow=tillered, by=owner, wanted_draw_m=None)
    tillered.refresh_from_db()
    weigh(28, 45)
    bow_change(bow=tillered, by=owner, wanted_draw_m=26 * INCH_M)
    assert "past its ordered draw" not in str(pages(as_owner, tillered))


def test_a_crack_is_watched_and_stops_the_bow_though_nobody_ticked_it(as_owner, tillered, weigh, owner):
    weigh(24, 40)
    flaw = flaw_add(
        bow=tillered, by=owner, kind="crack", limb="A", face="back", happened_on=DAY, watched=False
    )
    assert flaw.watched and "A flaw was found" in pages(as_owner, tillered)["weigh"]


def test_an_old_weigh_in_written_down_late_is_no_loss_and_hides_none(as_owner, tillered, weigh):
    weigh(24, 45, days=19)
    weigh(24, 40, days=0)
    assert "Do not draw it further" not in pages(as_owner, tillered)["weigh"]
    weigh(24, 40, days=24)
    assert "it lost 5" in pages(as_owner, tillered)["weigh"]


def test_less_weight_at_a_longer_draw_is_dying_wood_by_itself(as_owner, tillered, weigh):
    """20 lb at 20 in, then 15 lb at 22 in on the next weigh-in: no bow holds less further out."""
    weigh(20, 20)
    head = weigh(22, 15)
    found = pages(as_owner, tillered)["weigh"]
    assert "it lost 5" in found and "Draw to" not in found
    said = as_owner.get(reverse("weigh-in", args=[head.pk])).content.decode().replace("\xa0", " ")
    assert "15 lb at 22 in" in said and "it was 20 lb already at 20 in" in said


def test_a_curve_that_falls_stops_the_next_pull_until_the_slip_is_struck(as_owner, tillered, weigh, owner):
    head = weigh(20, 24)
    pull(head, 22, 15, owner)
    for name, page in pages(as_owner, tillered).items():
        assert name == "draw" or "less than the 24" in page, name
    entry_strike(head.points.last(), by=owner, reason="slip")
    assert "giving way" not in str(pages(as_owner, tillered))


def test_weight_that_was_there_again_was_never_lost(as_owner, tillered, weigh):
    weigh(24, 40)
    weigh(24, 36)
    weigh(20, 31)
    assert "Do not draw it further" in pages(as_owner, tillered)["weigh"], "not drawn as far again"
    weigh(24, 40)
    assert "Do not draw it further" not in str(pages(as_owner, tillered))


def test_scraping_is_no_answer_to_dying_wood_nor_to_a_curve_that_falls(as_owner, tillered, weigh, owner):
    """A scrape takes weight off, but heals no crushed belly."""
    weigh(24, 40)
    lost = weigh(24, 36)
    work_add(bow=tillered, by=owner, deed="scraped", limb="both", happened_on=DAY + dt.timedelta(days=1))
    found = pages(as_owner, tillered)
    assert "Do not draw it further" in found["weigh"] and "Do not draw it further" in found["today"]
    assert reverse("weigh-in", args=[lost.pk]) in found["weigh"], "where it can be answered"
    word_note(
        weigh_in=lost, by=owner, happened_on=DAY, code="dying", point=lost.points.get(), note="looked over"
    )
    head = weigh(20, 24, days=2)
    pull(head, 22, 15, owner)
    work_add(bow=tillered, by=owner, deed="scraped", limb="both", happened_on=DAY + dt.timedelta(days=3))
    assert "the bow is giving way" in pages(as_owner, tillered)["weigh"]


def test_an_inch_at_a_time_in_one_weigh_in_is_no_long_way(as_owner, tillered, weigh, owner):
    weigh(19, 20)
    head = weigh(20, 22)
    for inches, pounds in ((21, 24), (22, 26), (23, 28)):
        pull(head, inches, pounds, owner)
    assert "A long way at once" not in as_owner.get(reverse("weigh-in", args=[head.pk])).content.decode()


def test_a_bow_overdrawn_and_scraped_is_weighed_again_no_further_than_ordered(
    as_owner, tillered, weigh, owner
):
    weigh(29, 46)
    work_add(bow=tillered, by=owner, deed="scraped", limb="both", happened_on=DAY + dt.timedelta(days=1))
    set_add(
        bow=tillered,
        by=owner,
        follow_m=0.5 * INCH_M,
        happened_on=DAY + dt.timedelta(days=1),
        rested=True,
        is_zero=True,
    )
    found = pages(as_owner, tillered)["bow"].replace("\xa0", " ")
    assert "Weigh it again at 28 in" in found


def test_a_figure_short_of_the_brace_foretells_nothing(as_owner, tillered, weigh, owner):
    bow_change(bow=tillered, by=owner, grip_depth_m=1.75 * INCH_M)
    head = weigh(5, 5)
    page = as_owner.get(reverse("weigh-in", args=[head.pk])).content.decode().replace("\xa0", " ")
    assert (
        "Short of the brace" in page and "Draw to <b data-next-draw>6 in" not in page and "Expect" not in page
    )


def test_arrows_shot_after_the_loss_do_not_explain_it(as_owner, tillered, weigh, owner):
    weigh(24, 40)
    weigh(24, 38)
    shots_add(bow=tillered, by=owner, shots=90, happened_on=DAY + dt.timedelta(days=1))
    assert "it lost 2" in pages(as_owner, tillered)["weigh"]


def test_a_bow_that_came_back_is_looked_over_before_it_is_drawn(as_owner, tillered, weigh, owner):
    weigh(24, 40)
    seen = visit_add(bow=tillered, by=owner, complaint="ticks when drawn", happened_on=dt.date.today())
    found = pages(as_owner, tillered)["weigh"]
    assert "Came back</b>: ticks when drawn" in found and "look it over and write down" in found
    at = reverse("visit-find", args=[seen.pk])
    assert as_owner.post(at, {"finding": " "}).status_code == 422
    assert as_owner.post(at, {"finding": "a chrysal on the belly"}).status_code == 302
    assert "Found: a chrysal on the belly" in pages(as_owner, tillered)["weigh"]
    assert "No further pull yet" not in pages(as_owner, tillered)["weigh"]


def test_a_new_chrysal_stops_the_next_pull_until_it_was_looked_at(as_owner, tillered, weigh, owner):
    weigh(24, 40)
    flaw = flaw_add(
        bow=tillered, by=owner, kind="chrysal", limb="B", face="belly", happened_on=DAY, watched=True
    )
    found = pages(as_owner, tillered)
    assert "A flaw was found (chrysal, limb B)" in found["weigh"] and "A flaw was found" in found["today"]
    weigh(24, 40)
    assert "A flaw was found (chrysal, limb B)" in pages(as_owner, tillered)["weigh"]
    at = reverse("flaw-look", args=[flaw.pk])
    bare = {"seen": "same", "happened_on": "today", "entry_key": uuid.uuid4()}
    assert "the stop is lifted by it" in as_owner.post(at, bare).content.decode()
    assert as_owner.post(at, {**bare, "note": "one line, shallow; to 26 in"}).status_code == 302
    assert "A flaw was found" not in str(pages(as_owner, tillered))


def test_a_flaw_that_has_grown_stops_until_it_is_decided_in_words(as_owner, tillered, weigh, owner):
    weigh(24, 40)
    flaw = flaw_add(
        bow=tillered, by=owner, kind="chrysal", limb="B", face="belly", happened_on=DAY, watched=True
    )
    flaw_look(flaw=flaw, by=owner, seen="grown", happened_on=DAY)
    flaw_look(flaw=flaw, by=owner, seen="same", happened_on=DAY)
    assert "A watched flaw has grown" in pages(as_owner, tillered)["weigh"]
    flaw_look(
        flaw=flaw,
        by=owner,
        seen="same",
        happened_on=DAY,
        note="relieved beside it; on to 26 in and no further",
    )
    assert "A watched flaw has grown" not in pages(as_owner, tillered)["weigh"]


def test_a_bow_in_for_a_visit_rests_too(as_owner, tillered, weigh, owner):
    weigh(24, 40)
    for stage in ("shooting-in", "finishing", "ready", "delivered"):
        stage_step(bow=tillered, stage=stage, by=owner, happened_on=DAY)
        tillered.refresh_from_db()
    visit_add(bow=tillered, by=owner, complaint="follows", finding="much set", happened_on=dt.date.today())
    work_add(bow=tillered, by=owner, deed="steamed", limb="both", happened_on=dt.date.today(), rest_days=5)
    found = pages(as_owner, tillered)
    assert "Let it rest until" in found["weigh"] and "Let it rest until" in found["bow"]


def test_a_knot_known_since_the_lay_out_stops_nothing(as_owner, tillered, weigh, owner):
    weigh(24, 40)
    flaw_add(bow=tillered, by=owner, kind="knot", limb="B", face="back", happened_on=DAY, watched=True)
    assert "No further pull yet" not in pages(as_owner, tillered)["weigh"]


def test_a_bow_that_rests_is_not_asked_to_be_drawn(as_owner, tillered, weigh, owner):
    weigh(24, 40)
    work_add(
        bow=tillered, by=owner, deed="steamed", limb="both", happened_on=dt.date.today(),
        rest_days=5,
    )  # fmt: skip
    found = pages(as_owner, tillered)
    assert "Let it rest until" in found["weigh"] and "Draw to" not in found["weigh"]


def test_past_its_ordered_draw_it_is_looked_over_and_never_sent_there_again(as_owner, tillered, weigh, owner):
    weigh(27, 42)
    head = weigh(30, 48)
    assert "past its ordered draw" in pages(as_owner, tillered)["bow"]
    word_note(
        weigh_in=head,
        by=owner,
        happened_on=DAY,
        code="past_draw",
        point=head.points.get(),
        note="looked over",
    )
    found = pages(as_owner, tillered)
    assert "30 in</b>" not in found["weigh"] and found["draw"] in (28 * INCH_M, "28")


def test_a_bow_drawn_too_far_is_looked_over_until_its_set_is_read(as_owner, tillered, weigh, owner):
    weigh(30, 48)
    weigh(27, 42)
    assert "past its ordered draw" in pages(as_owner, tillered)["weigh"]
    set_add(bow=tillered, by=owner, follow_m=0.5 * INCH_M, happened_on=DAY, rested=True)
    assert "past its ordered draw" not in str(pages(as_owner, tillered))


def test_three_inches_at_once_are_remarked_on(as_owner, tillered, weigh):
    weigh(20, 28)
    head = weigh(24, 36)
    assert "A long way at once" in as_owner.get(reverse("weigh-in", args=[head.pk])).content.decode()


def test_a_bow_never_strung_goes_on_the_long_string_first(as_owner, tillered):
    page = as_owner.get(reverse("weigh-in-add", args=[tillered.pk]))
    assert page.context["form"]["strung"].value() == "long"


def test_a_struck_weigh_in_is_offered_nothing_to_pass_over(as_owner, tillered, weigh, owner):
    weigh(24, 40)
    head = weigh(24, 36)
    entry_strike(head, by=owner)
    page = as_owner.get(reverse("weigh-in", args=[head.pk])).content.decode()
    assert reverse("weigh-word-note", args=[head.pk]) not in page


def test_every_halt_is_known_as_one():
    rest = Rest("steamed", DAY)
    facts = StepFacts(
        stage="tillering",
        lost=(18.0, 0.66),
        falls=((9.0, 0.5), (8.0, 0.6)),
        grown="a",
        found="b",
        overdrawn_m=0.8,
        rests=(rest,),
        visiting=True,
    )
    assert len(list(halts(facts))) == 7
    assert not list(halts(StepFacts(stage="roughing")))


def test_a_bow_that_came_back_lighter_says_so_above_its_next_pull(as_owner, tillered, weigh, owner):
    weigh(24, 40)
    weigh(24, 36)
    visit_add(bow=tillered, by=owner, complaint="feels weak", happened_on=dt.date.today())
    found = pages(as_owner, tillered)["bow"]
    assert "look it over and write down" in found and "it lost 4" in found
    assert "Before it is drawn further" not in found


def test_a_word_passed_over_at_one_draw_says_nothing_of_the_next(as_owner, tillered, weigh, owner):
    head = weigh(29, 46)
    word_note(
        weigh_in=head,
        by=owner,
        happened_on=DAY,
        code="past_draw",
        point=head.points.get(),
        note="looked over",
    )
    assert "past its ordered draw" not in pages(as_owner, tillered)["weigh"]
    pull(head, 31, 50, owner)
    assert "past its ordered draw" in pages(as_owner, tillered)["weigh"]


def test_a_bow_planned_anew_for_a_shorter_draw_was_not_drawn_too_far_before(as_owner, tillered, weigh, owner):
    bow_change(bow=tillered, by=owner, wanted_draw_m=30 * INCH_M)
    tillered.refresh_from_db()
    weigh(30, 48)
    bow_change(bow=tillered, by=owner, wanted_draw_m=28 * INCH_M)
    assert "past its ordered draw" not in str(pages(as_owner, tillered))
