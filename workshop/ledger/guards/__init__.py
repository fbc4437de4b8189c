"""The database's own guard over the ledger: rows are never deleted, entries change only by filling a stamp once.

`GUARDED` rows come from the models themselves: every `Entry`, `Record` and `Change`. One module per database writes
the triggers; `put_guards` runs after every migrate, because a rebuilt table loses them.
"""

from importlib import import_module

from django.apps import apps
from django.db import connections, models, transaction


def guarded_models() -> list[type[models.Model]]:
    """Every model whose rows the database guards, in a fixed order."""
    from workshop.ledger.models.base import Row

    return sorted((m for m in apps.get_models() if issubclass(m, Row)), key=lambda m: m._meta.db_table)


def stamps_of(model: type[models.Model]) -> dict[str, tuple[str, ...]] | None:
    """The stamps of an entry {marker column: columns filled with it}; None for a record, which may be edited."""
    return getattr(model, "stamps", None)


def fixed_columns(model: type[models.Model], free: set[str]) -> list[str]:
    return [f.column for f in model._meta.concrete_fields if f.column not in free]


def _dialect(connection):
    return import_module(f"workshop.ledger.guards.{connection.vendor}")


def put_guards(using="default", **kwargs) -> None:
    """Write every trigger anew. Quick enough to run after each migrate."""
    connection = connections[using]
    tables = set(connection.introspection.table_names())
    with transaction.atomic(using=using), connection.cursor() as cursor:
        for model in guarded_models():
            if model._meta.db_table in tables:
                for statement in _dialect(connection).statements(model):
                    cursor.execute(statement)


def lift_guards(using="default", **kwargs) -> None:
    """Take the triggers away while tables are rebuilt; `put_guards` follows every migrate."""
    connection = connections[using]
    with transaction.atomic(using=using), connection.cursor() as cursor:
        for statement in _dialect(connection).lifting(connection, cursor):
            cursor.execute(statement)


def listed_guards(using="default") -> set[str]:
    """The names of the triggers that stand in the database now."""
    connection = connections[using]
    with connection.cursor() as cursor:
        cursor.execute(_dialect(connection).LISTING)
        return {row[0] for row in cursor.fetchall()}


def expected_guards() -> set[str]:
    """The names of the triggers that ought to stand."""
    names = set()
    for model in guarded_models():
        names.add(f"{model._meta.db_table}_kept")
        if stamps_of(model) is not None:
            names.add(f"{model._meta.db_table}_once")
    return names
