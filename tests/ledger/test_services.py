"""Entries are signed, struck and never doubled; records keep what they were."""

import datetime as dt

import pytest
from django.core.exceptions import PermissionDenied, ValidationError
from django.utils import timezone

from workshop.ledger.models import Change, Instrument, InstrumentCheck
from workshop.ledger.services import Stale, entry_add, entry_strike, history, record_add, record_change

pytestmark = pytest.mark.django_db


@pytest.fixture
def scale(owner):
    return record_add(Instrument(kind="scale", name="Beam scale"), by=owner)


def reading(scale, today, **values):
    return InstrumentCheck(instrument=scale, against="stone", read="20 lb", happened_on=today, **values)


def test_an_entry_is_signed(scale, helper, today):
    entry = entry_add(reading(scale, today), by=helper)
    assert entry.entered_by == helper
    assert abs(timezone.now() - entry.entered_at) < dt.timedelta(seconds=5)


def test_the_same_form_sent_twice_is_one_entry(scale, owner, today):
    first = entry_add(reading(scale, today), by=owner)
    again = entry_add(reading(scale, today, entry_key=first.entry_key), by=owner)
    assert again == first
    assert InstrumentCheck.objects.count() == 1


def test_an_entry_that_lacks_something_is_not_kept(scale, owner, today):
    with pytest.raises(ValidationError):
        entry_add(InstrumentCheck(instrument=scale, against="", read="", happened_on=today), by=owner)
    assert not InstrumentCheck.objects.exists()


def test_a_struck_entry_stays_and_no_longer_counts(scale, owner, today):
    entry = entry_strike(entry_add(reading(scale, today), by=owner), by=owner)
    assert entry.struck_reason == "mistyped"
    assert list(InstrumentCheck.objects.all()) == [entry]
    assert not InstrumentCheck.objects.standing().exists()


def test_a_helper_strikes_only_its_own_entry_of_the_day(scale, owner, helper, today):
    own, other = (entry_add(reading(scale, today), by=by) for by in (helper, owner))
    assert entry_strike(own, by=helper).is_struck
    with pytest.raises(PermissionDenied):
        entry_strike(other, by=helper)


def test_a_change_can_be_read(scale, owner, maker):
    record_change(scale, by=maker, seen=1, name="Spring scale")
    line = history(scale).last()
    assert line.by == maker
    assert line.fields == [{"field": "name", "name": "name", "from": "Beam scale", "to": "Spring scale"}]


def test_two_people_cannot_overwrite_each_other_unseen(scale, owner, maker):
    record_change(scale, by=maker, seen=1, name="Spring scale")
    with pytest.raises(Stale, match="Jory Penhale"):
        record_change(scale, by=owner, seen=1, name="Old scale")
    scale.refresh_from_db()
    assert scale.name == "Spring scale"


def test_a_change_of_nothing_leaves_no_line(scale, owner):
    record_change(scale, by=owner, seen=1, name="Beam scale")
    assert Change.objects.filter(record="ledger.instrument").count() == 1


def test_a_step_that_a_record_followed_is_taken_back_by_another_step(owner, today):
    from workshop.bows.services.bows import bow_start

    step = bow_start(by=owner).stage_moves.get()
    with pytest.raises(PermissionDenied, match="another step"):
        entry_strike(step, by=owner)
