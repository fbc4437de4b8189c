"""The guards in SQLite's words."""

from workshop.ledger.guards import fixed_columns, stamps_of

LISTING = (
    "SELECT name FROM sqlite_master WHERE type = 'trigger' "
    "AND (name LIKE '%\\_kept' ESCAPE '\\' OR name LIKE '%\\_once' ESCAPE '\\')"
)


def _allowed(model) -> str:
    """SQL that is true when an update fills exactly one empty stamp and touches nothing else."""
    ways = []
    for marker, filled in stamps_of(model).items():
        same = [f'OLD."{c}" IS NEW."{c}"' for c in fixed_columns(model, {marker, *filled})]
        ways.append(" AND ".join([f'OLD."{marker}" IS NULL', f'NEW."{marker}" IS NOT NULL', *same]))
    return " OR ".join(f"({way})" for way in ways)


def statements(model):
    table = model._meta.db_table
    yield f'DROP TRIGGER IF EXISTS "{table}_kept"'
    yield (
        f'CREATE TRIGGER "{table}_kept" BEFORE DELETE ON "{table}" BEGIN '
        f"SELECT RAISE(ABORT, 'ledger: rows of {table} are never deleted'); END"
    )
    if stamps_of(model) is not None:
        yield f'DROP TRIGGER IF EXISTS "{table}_once"'
        yield (
            f'CREATE TRIGGER "{table}_once" BEFORE UPDATE ON "{table}" WHEN NOT ({_allowed(model)}) BEGIN '
            f"SELECT RAISE(ABORT, 'ledger: an entry of {table} is written once'); END"
        )


def lifting(connection, cursor):
    cursor.execute(LISTING)
    for (name,) in cursor.fetchall():
        yield f'DROP TRIGGER IF EXISTS "{name}"'
