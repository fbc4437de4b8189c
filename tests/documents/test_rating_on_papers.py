"""The rating on a paper is measured, or the paper says why there is none."""

import datetime as dt

import pytest

from tests.documents.papers import words_of
from workshop.bows.services.bows import bow_change
from workshop.bows.services.readings import flaw_add
from workshop.calc.imperial import INCH_M, POUND_N
from workshop.ledger.services import record_change
from workshop.orders.models import IssuedPaper

pytestmark = pytest.mark.django_db


def page(client, kind, bow) -> str:
    answer = client.get(f"/papers/{kind}/{bow.pk}")
    assert answer.status_code == 200
    return answer.content.decode().replace("\xa0", " ")


def refused(client, bow, issue, *sentences):
    """The page says each sentence and offers the plain tag; the button's address keeps nothing."""
    said = page(client, "rating-tag", bow)
    for sentence in sentences:
        assert sentence in said
    assert f"/papers/plain-tag/{bow.pk}" in said and "Issue it" not in said
    sent = {"entry_key": "6b1ee2f0-5f3c-4f0e-8f0d-7a3d2f9e9a11", "seen": "x", "stock": "card"}
    assert client.post(f"/papers/rating-tag/{bow.pk}/issue", sent).status_code == 422
    assert not IssuedPaper.objects.exists()


def test_a_bow_that_was_never_weighed_at_last_gets_no_tag(as_owner, bow, issue):
    refused(as_owner, bow, issue, "No final weigh-in", "to 28 in")


def test_a_bow_that_has_not_reached_its_draw_gets_no_tag(as_owner, bow, weigh, issue):
    weigh(bow, (24, 36), (26, 40))
    refused(as_owner, bow, issue, "Not drawn to the rated draw", "came to 26 in", "never reckoned beyond")


def test_a_bow_weighed_only_past_its_draw_is_to_be_weighed_at_it(as_owner, bow, weigh, issue):
    weigh(bow, (29, 47), (30, 49))
    refused(as_owner, bow, issue, "Weighed only past the rated draw", "begins at 29 in", "Weigh it at 28 in")
    assert "Not drawn to the rated draw" not in page(as_owner, "rating-tag", bow)


def test_work_done_after_the_final_weigh_in_takes_the_tag_away(as_owner, finished, work, issue):
    work(finished)
    refused(
        as_owner, finished, issue, "Work done since", "scraped, both limbs (12 May 2026)", "Weigh it again"
    )


def test_wrapping_the_grip_leaves_the_tag(as_owner, finished, work):
    work(finished, deed="gripped")
    assert "Issue it" in page(as_owner, "rating-tag", finished)


def test_a_final_weigh_in_at_low_brace_is_no_rating(as_owner, bow, weigh, issue):
    weigh(bow, (26, 40), (28, 44), strung="low")
    refused(as_owner, bow, issue, "Not at full brace", "low brace")


def test_a_bow_without_a_rated_draw_gets_no_tag(as_owner, owner, finished, issue):
    bow_change(bow=finished, by=owner, wanted_draw_m=None)
    refused(as_owner, finished, issue, "No rated draw")


def test_a_draw_measured_from_elsewhere_rates_nothing_without_the_grips_depth(
    as_owner, owner, bow, weigh, issue
):
    bow_change(bow=bow, by=owner, grip_depth_m=None)
    weigh(bow, (26, 42), (28, 46), draw_from="belly")
    refused(as_owner, bow, issue, "Measured from elsewhere", "the belly of the grip")


def test_a_weight_that_falls_around_the_draw_is_no_rating(as_owner, bow, weigh, issue):
    weigh(bow, (24, 36), (27, 44), (29, 43))
    refused(as_owner, bow, issue, "The weight falls")


def test_every_reason_there_is_has_its_own_sentence(as_owner, bow, weigh, work, issue):
    weigh(bow, (24, 36), strung="low")
    work(bow)
    refused(as_owner, bow, issue, "Not at full brace", "Work done since", "Not drawn to the rated draw")


def test_a_rating_between_two_readings_is_taken_and_says_so(as_owner, bow, weigh, issue):
    weigh(bow, (24, 36), (27, 42), (29, 46))
    said = page(as_owner, "rating-tag", bow)
    assert "Between two readings" in said and "27 in" in said and "29 in" in said
    pdf = as_owner.get(issue(as_owner, "rating-tag", bow).url).content
    # Between 42 lb at 27 in and 46 lb at 29 in; the curve through three points stays within a pound of the chord.
    weight = float(IssuedPaper.objects.get().facts["weight"].removesuffix("\xa0lb"))
    assert 43 <= weight <= 45
    assert f"{weight:g} lb at 28 in" in words_of(pdf)


def test_a_weight_off_the_order_is_said_and_may_be_passed_over(as_owner, bow, weigh):
    weigh(bow, (26, 44), (28, 49))
    said = page(as_owner, "rating-tag", bow)
    assert (
        "Off the order" in said and "2 lb heavier than the 45 lb wanted allows" in said and "Issue it" in said
    )


def test_a_bow_that_has_lost_weight_since_is_not_rated_without_a_word(as_owner, finished, weigh):
    """Dying wood: 44.5 lb at the final, 41 lb at the same draw and brace later, and nothing was scraped."""
    assert "Lighter since" not in page(as_owner, "rating-tag", finished)
    weigh(finished, (28, 41), purpose="series")
    said = page(as_owner, "rating-tag", finished)
    assert "Lighter since" in said and "had 41 lb at 28 in, 3.5 lb less" in said and "Issue it" in said


def test_a_watched_flaw_is_said_before_a_tag_is_issued(as_owner, owner, finished):
    day = finished.started_on or dt.date.today()
    flaw_add(bow=finished, by=owner, kind="chrysal", limb="B", face="belly", happened_on=day, watched=True)
    said = page(as_owner, "rating-tag", finished)
    assert "chrysal, limb B: it is watched and not settled" in said and "Issue it" in said


def test_the_tag_is_in_the_workshops_units_not_the_readers(as_owner, owner, finished, issue):
    owner.units = "metric"
    owner.save()
    assert "44.5 lb" in page(as_owner, "rating-tag", finished)


def test_a_metric_workshop_prints_metric_with_pounds_beside(as_owner, owner, shop, finished, issue):
    record_change(shop, by=owner, units="metric")
    pdf = as_owner.get(issue(as_owner, "rating-tag", finished).url).content
    # 44.5 lb and 28 in by NIST SP 811: 20.18 kgf, 71.12 cm.
    assert "20.2 kg at 71.1 cm" in words_of(pdf) and "44.5 lb at 28 in" in words_of(pdf)


def test_another_makers_bow_does_not_bear_our_name_as_its_maker(as_owner, owner, finished, issue):
    bow_change(bow=finished, by=owner, origin="other", maker="Old Ansgar")
    issue(as_owner, "rating-tag", finished)
    facts = IssuedPaper.objects.get().facts
    assert facts["maker"] == "Old Ansgar" and facts["address"].startswith("looked after by Hazel Fenwick")


def test_a_plain_tag_states_no_weight(as_owner, bow, issue):
    pdf = as_owner.get(issue(as_owner, "plain-tag", bow).url).content
    said = words_of(pdf)
    assert "No draw weight is stated on this tag." in said and "45" not in said


def test_the_care_sheet_of_an_unrated_bow_says_so_and_why(as_owner, finished, work, issue):
    work(finished)
    assert "No rating" in page(as_owner, "care-sheet", finished)
    pdf = as_owner.get(issue(as_owner, "care-sheet", finished).url).content
    said = words_of(pdf)
    assert "No draw weight was measured for this sheet." in said
    assert "None was measured here: ask the maker before you draw it." in said and "44.5" not in said


def test_a_new_final_weigh_in_brings_the_tag_back(as_owner, finished, work, weigh, issue):
    work(finished)
    weigh(finished, (26, 38), (28, 42), on=dt.date(2026, 5, 20))
    issue(as_owner, "rating-tag", finished)
    assert IssuedPaper.objects.get().facts["weight"] == "42\xa0lb"
    assert round(42 * POUND_N, 2) == 186.83 and pytest.approx(0.7112) == 28 * INCH_M
