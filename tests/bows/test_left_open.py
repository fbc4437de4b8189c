"""Check lines nobody has ticked when the bow goes on: said before the step, and kept readable after it."""

import datetime as dt
import html

import pytest
from django.urls import reverse

from tests.bows.conftest import sent
from workshop.bows.checklists import CHECKS
from workshop.bows.services.stages import stage_step, ticks_add
from workshop.ledger.services import entry_strike, record_change

pytestmark = pytest.mark.django_db
DAY = dt.date(2026, 4, 1)


@pytest.fixture
def tillered(bow, owner):
    """At the tree, all looked over but for two lines."""
    stage_step(bow=bow, by=owner, stage="tillering", happened_on=DAY)
    lines = [line for line in CHECKS["tillering"] if line not in ("faces", "upper")]
    ticks_add(bow=bow, by=owner, stage="tillering", lines=lines, happened_on=DAY)
    return bow


def read(client, name, bow):
    return html.unescape(client.get(reverse(name, args=[bow.pk])).content.decode())


def words(stage, line):
    return str(CHECKS[stage][line])


def test_before_a_bow_goes_on_the_lines_still_open_are_named_and_nothing_is_refused(as_owner, tillered):
    page = read(as_owner, "bow-stage", tillered)
    assert "Not looked at yet" in page and "check list of tillering" in page
    assert words("tillering", "faces") in page and words("tillering", "upper") in page
    assert words("tillering", "pulls") not in page
    at = reverse("bow-stage", args=[tillered.pk])
    assert as_owner.post(at, sent(as_owner.get(at), stage="ready")).status_code == 302
    tillered.refresh_from_db()
    assert tillered.stage == "ready"


def test_a_bow_whose_list_is_done_goes_on_without_a_word(as_owner, tillered, owner):
    ticks_add(bow=tillered, by=owner, stage="tillering", lines=["faces", "upper"], happened_on=DAY)
    assert "Not looked at yet" not in read(as_owner, "bow-stage", tillered)


def test_what_was_left_open_is_still_readable_when_the_bow_is_ready(as_owner, tillered, owner):
    stage_step(bow=tillered, by=owner, stage="ready", happened_on=DAY)
    page = read(as_owner, "bow", tillered)
    _before, _heading, after = page.partition("Not looked at in earlier stages")
    left = after.partition("</details>")[0]
    assert "laid out 5, tillering 2" in left
    assert words("tillering", "faces") in left and words("tillering", "pulls") not in left
    assert words("finishing", "final") not in left  # it never was at that stage


def test_a_tick_struck_out_leaves_its_line_open(as_owner, tillered, owner):
    entry_strike(tillered.ticks.get(line="pulls"), by=owner, reason="looked at another bow")
    assert words("tillering", "pulls") in read(as_owner, "bow-stage", tillered)


def test_a_bow_taken_back_to_a_stage_has_its_lines_to_tick_and_not_among_those_left(
    as_owner, tillered, owner
):
    stage_step(bow=tillered, by=owner, stage="finishing", happened_on=DAY)
    stage_step(bow=tillered, by=owner, stage="tillering", happened_on=DAY)
    page = read(as_owner, "bow", tillered)
    assert "laid out 5, finishing 5" in page and "tillering 2" not in page


def test_of_another_makers_bow_no_check_list_was_left_open(as_owner, tillered, owner):
    record_change(tillered, by=owner, origin="other", maker="unknown")
    stage_step(bow=tillered, stage="shooting-in", by=owner)
    page = as_owner.get(reverse("bow", args=[tillered.pk])).content.decode()
    assert "Not looked at in earlier stages" not in page
