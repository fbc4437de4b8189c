"""Entries are signed, struck and never doubled; records keep what they were."""

import datetime as dt
import importlib
import pkgutil
import re

import pytest
from django.apps import apps
from django.core.exceptions import PermissionDenied, ValidationError
from django.db.models import FloatField
from django.urls import reverse
from django.utils import timezone

import workshop
from workshop.calc.imperial import POUND_N
from workshop.ledger.forms import LedgerForm, QuantityField
from workshop.ledger.models import Change, Instrument, InstrumentCheck, Record
from workshop.ledger.services import (
    Stale,
    entries_add,
    entry_add,
    entry_strike,
    history,
    record_add,
    record_change,
)
from workshop.ledger.units import UnitsInUse
from workshop.ledger.wording import kind_of, reworded

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


def test_of_several_entries_those_sent_before_stay_as_they_were(scale, owner, today):
    first = entry_add(reading(scale, today), by=owner)
    again, new = entries_add(
        [reading(scale, today, entry_key=first.entry_key), reading(scale, today)], by=owner
    )
    assert again == first != new
    assert InstrumentCheck.objects.count() == 2


def test_of_several_entries_none_is_kept_where_one_lacks_something(scale, owner, today):
    lacking = InstrumentCheck(instrument=scale, against="", read="", happened_on=today)
    with pytest.raises(ValidationError):
        entries_add([reading(scale, today), lacking], by=owner)
    assert not InstrumentCheck.objects.exists()


def test_an_entry_that_lacks_something_is_not_kept(scale, owner, today):
    with pytest.raises(ValidationError):
        entry_add(InstrumentCheck(instrument=scale, against="", read="", happened_on=today), by=owner)
    assert not InstrumentCheck.objects.exists()


def test_a_struck_entry_stays_and_no_longer_counts(scale, owner, today):
    entry = entry_strike(entry_add(reading(scale, today), by=owner), by=owner)
    assert entry.struck_reason == ""  # nobody gave one, and none is made up
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


@pytest.mark.parametrize(
    ("system", "was", "became"), [("imperial", "1 lb", "2 lb"), ("metric", "0.45 kg", "0.91 kg")]
)
def test_a_change_of_a_measure_is_read_in_ones_own_units(as_owner, owner, scale, system, was, became):
    record_change(scale, by=owner, doubt_n=POUND_N)
    record_change(scale, by=owner, doubt_n=2 * POUND_N)
    owner.units = system
    owner.save()
    page = as_owner.get(reverse("record-history", args=["ledger.instrument", scale.pk])).content.decode()
    shown = re.sub(r"<[^>]+>", "", page).replace("\xa0", " ")
    assert f"doubt of the scale: {was} → {became}" in " ".join(shown.split())
    assert f"doubt of the scale: – → {was}" in " ".join(shown.split())
    assert "4.44822 N" not in shown


def test_a_change_written_before_figures_were_kept_is_read_as_it_was_written():
    old = {"field": "length_m", "name": "length", "from": "1800 mm", "to": "1790 mm"}
    assert reworded(old, "from", UnitsInUse("imperial")) == "1800 mm"


def test_every_measure_of_a_record_is_read_back_as_it_is_asked_for():
    """The kinds in `wording` are those of the forms' own fields, column by column."""
    for module in pkgutil.walk_packages(workshop.__path__, "workshop."):
        if "form" in module.name:
            importlib.import_module(module.name)
    asked = {
        name: field.kind
        for form in _below(LedgerForm)
        for name, field in form.base_fields.items()
        if isinstance(field, QuantityField)
    }
    kept = {
        field.name
        for record in apps.get_models()
        if issubclass(record, Record)
        for field in record._meta.fields
        if isinstance(field, FloatField) and field.name in asked
    }
    assert len(kept) > 15
    assert {name: kind_of(name) for name in kept} == {name: asked[name] for name in kept}


def _below(form):
    for each in form.__subclasses__():
        yield each
        yield from _below(each)


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
