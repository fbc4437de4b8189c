"""Connections of their own: one that reads a snapshot while others write, one that writes a new SQLite file."""

from collections.abc import Iterator
from contextlib import contextmanager
from pathlib import Path

from django.db import connections, transaction


@contextmanager
def _connected(alias: str, *, name: str = "", **options) -> Iterator[str]:
    """The default database, or one of another name, under an alias of its own for as long as the block runs."""
    own = connections["default"].copy(alias)
    own.settings_dict["OPTIONS"].update(options)
    own.settings_dict["NAME"] = name or own.settings_dict["NAME"]
    connections[alias] = own
    try:
        yield alias
    finally:
        own.close()
        del connections[alias]


@contextmanager
def snapshot() -> Iterator[str]:
    """One read transaction: all that is read in it was true at one moment, and no writer waits for it."""
    sqlite = connections["default"].vendor == "sqlite"
    options = {"transaction_mode": "DEFERRED"} if sqlite else {}
    with _connected("snapshot", **options) as alias, transaction.atomic(using=alias):
        with connections[alias].cursor() as cursor:
            if not sqlite:
                cursor.execute("SET TRANSACTION ISOLATION LEVEL REPEATABLE READ, READ ONLY")
            cursor.execute("SELECT count(*) FROM django_migrations")  # the first read fixes the moment
        yield alias


@contextmanager
def new_file(path: Path) -> Iterator[str]:
    """A SQLite file beside the ledger's own, to be filled before it takes its place."""
    with _connected("restoring", name=str(path)) as alias:
        yield alias
