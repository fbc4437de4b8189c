"""Weigh-ins that were begun and hold nothing, that were struck out whole, and several of one day."""

import pytest
from django.urls import reverse

from workshop.bows.weighing.selectors import rating_of, weighings_of
from workshop.ledger.services import entry_strike

pytestmark = pytest.mark.django_db
SERIES = [(12, 14), (16, 22), (20, 29.5), (24, 37), (28, 45)]


def read(client, name, pk):
    return client.get(reverse(name, args=[pk])).content.decode().replace("\xa0", " ")


def test_a_final_weigh_in_begun_and_left_empty_does_not_keep_the_tag_back(weighed, weigh):
    before = rating_of(weighed)
    weigh(weighed, purpose="final")
    after = rating_of(weighed)
    assert after.ok and after.weigh_in == before.weigh_in and after.force_n == before.force_n


def test_of_two_final_weigh_ins_the_last_with_weights_rates_whatever_was_begun_after(bow, weigh):
    weigh(bow, *SERIES, purpose="final")
    second = weigh(bow, *SERIES[:-1], (28, 44), purpose="final")
    weigh(bow, purpose="final")
    weigh(bow, purpose="series")
    assert rating_of(bow).weigh_in == second


def test_a_final_weigh_in_whose_every_weight_is_struck_is_as_if_it_was_only_begun(weighed, weigh, owner):
    slip = weigh(weighed, (28, 54), purpose="final")
    entry_strike(slip.points.get(), by=owner, reason="the wrong scale")
    assert rating_of(weighed).ok and weighings_of(weighed).last.weigh_in != slip


def test_a_bow_with_nothing_but_an_empty_final_weigh_in_is_told_there_is_none(bow, weigh):
    weigh(bow, purpose="final")
    assert rating_of(bow).why == ("no_final",)


def test_an_empty_weigh_in_lets_one_go_on(as_owner, bow, weigh):
    said = read(as_owner, "weigh-in", weigh(bow, purpose="final").pk)
    assert "Nothing is weighed yet." in said and 'name="force_n"' in said and "The next pull" in said


def test_two_weigh_ins_of_one_day_are_told_apart_in_the_drawing(as_owner, bow, weigh):
    for pounds in (22, 21):
        weigh(bow, (16, pounds))
    last = weighings_of(bow).last.weigh_in
    for name, pk in (("bow", bow.pk), ("weigh-in", last.pk), ("weigh-ins", bow.pk)):
        said = read(as_owner, name, pk)
        assert "1 Apr 2026, while tillering, 1 of 2" in said and "while tillering, 2 of 2" in said, name


def test_weigh_ins_that_differ_anyhow_are_not_counted_out(as_owner, bow, weigh):
    weigh(bow, (16, 22))
    weigh(bow, (16, 22), purpose="series")
    empty_and_struck = weigh(bow), weigh(bow, (16, 30))
    entry_strike(empty_and_struck[1], by=bow.made_by, reason="another bow")
    assert " of 2" not in read(as_owner, "weigh-ins", bow.pk)


def test_a_weigh_in_struck_out_whole_is_drawn_no_more_and_stands_struck_in_the_entries(as_owner, bow, weigh):
    struck = weigh(bow, *SERIES, purpose="series")
    entry_strike(struck, by=bow.made_by, reason="another bow")
    said = read(as_owner, "weigh-in", struck.pk)
    assert "this weigh-in no longer counts" in said
    assert "<svg" not in said and "Energy" not in said and "ft·lb" not in said and "Read it off" not in said
    assert said.count('<tr class="struck">') == len(SERIES) and "37 lb" in said
    listed = read(as_owner, "weigh-ins", bow.pk)
    assert "<svg" not in listed and "ft·lb" not in listed and '<li class="struck">' in listed
