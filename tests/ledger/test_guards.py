"""The database itself refuses to delete a row or to write an entry twice."""

import pytest
from django.apps import apps
from django.db import DatabaseError, connection, transaction

from workshop.ledger.guards import expected_guards, listed_guards
from workshop.ledger.models import Instrument, InstrumentCheck, Member
from workshop.ledger.models.base import LedgerError, Row
from workshop.ledger.services import entry_add, entry_strike, record_add

pytestmark = pytest.mark.django_db


@pytest.fixture
def check(owner, today):
    scale = record_add(Instrument(kind="scale", name="Beam scale"), by=owner)
    return entry_add(
        InstrumentCheck(instrument=scale, against="a 20 lb stone", read="20 lb", happened_on=today), by=owner
    )


def sql(statement, *values):
    with transaction.atomic(), connection.cursor() as cursor:
        cursor.execute(statement, values)


def test_every_guard_stands():
    assert listed_guards() == expected_guards()


def test_the_database_deletes_no_entry(check):
    with pytest.raises(DatabaseError, match="never deleted"):
        sql(f"DELETE FROM {check._meta.db_table}")


def test_the_database_deletes_no_record(check):
    with pytest.raises(DatabaseError):
        sql(f"DELETE FROM {check.instrument._meta.db_table}")


def test_the_database_changes_no_reading(check):
    with pytest.raises(DatabaseError, match="written once"):
        sql(f"UPDATE {check._meta.db_table} SET note = 'better'")


def test_an_entry_is_struck_once_and_only_in_its_struck_columns(check, owner):
    struck = entry_strike(check, by=owner, reason="wrong stone")
    assert (struck.struck_reason, struck.struck_by) == ("wrong stone", owner)
    with pytest.raises(DatabaseError, match="written once"):
        sql(f"UPDATE {check._meta.db_table} SET struck_reason = 'other'")
    with pytest.raises(DatabaseError, match="written once"):
        sql(f"UPDATE {check._meta.db_table} SET struck_at = NULL")


def test_striking_cannot_smuggle_in_another_value(check):
    with pytest.raises(DatabaseError, match="written once"):
        sql(f"UPDATE {check._meta.db_table} SET struck_at = '2026-01-01', note = 'better'")


@pytest.mark.parametrize("deed", ["update", "delete", "bulk_create", "bulk_update"])
def test_no_queryset_writes_many_rows(deed):
    with pytest.raises(LedgerError):
        getattr(InstrumentCheck.objects, deed, getattr(InstrumentCheck.objects.all(), deed))()


@pytest.mark.parametrize(
    "model",
    [model for model in apps.get_models() if issubclass(model, (Row, Member))],
    ids=lambda model: model._meta.label,
)
def test_no_kind_of_row_has_a_way_round_the_ledger(model):
    """A queryset of its own must still be the ledger's."""
    for manager in model._meta.managers:
        for deed in ("update", "delete", "bulk_create", "bulk_update"):
            with pytest.raises(LedgerError):
                getattr(manager.all(), deed)()
