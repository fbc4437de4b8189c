"""The guards in PostgreSQL's words."""

from workshop.ledger.guards import fixed_columns, stamps_of

LISTING = "SELECT tgname FROM pg_trigger WHERE NOT tgisinternal AND (tgname LIKE '%\\_kept' OR tgname LIKE '%\\_once')"


def _allowed(model) -> str:
    """SQL that is true when an update fills exactly one empty stamp and touches nothing else."""
    ways = []
    for marker, filled in stamps_of(model).items():
        columns = fixed_columns(model, {marker, *filled})
        same = [f'OLD."{c}" IS NOT DISTINCT FROM NEW."{c}"' for c in columns]
        ways.append(" AND ".join([f'OLD."{marker}" IS NULL', f'NEW."{marker}" IS NOT NULL', *same]))
    return " OR ".join(f"({way})" for way in ways)


def _function(name: str, sentence: str) -> str:
    return (
        f'CREATE OR REPLACE FUNCTION "{name}_refuse"() RETURNS trigger LANGUAGE plpgsql AS '
        f"$$ BEGIN RAISE EXCEPTION '{sentence}' USING ERRCODE = 'integrity_constraint_violation'; END $$"
    )


def statements(model):
    table = model._meta.db_table
    yield _function(f"{table}_kept", f"ledger: rows of {table} are never deleted")
    yield f'DROP TRIGGER IF EXISTS "{table}_kept" ON "{table}"'
    yield (
        f'CREATE TRIGGER "{table}_kept" BEFORE DELETE ON "{table}" '
        f'FOR EACH ROW EXECUTE FUNCTION "{table}_kept_refuse"()'
    )
    if stamps_of(model) is not None:
        yield _function(f"{table}_once", f"ledger: an entry of {table} is written once")
        yield f'DROP TRIGGER IF EXISTS "{table}_once" ON "{table}"'
        yield (
            f'CREATE TRIGGER "{table}_once" BEFORE UPDATE ON "{table}" FOR EACH ROW '
            f'WHEN (NOT ({_allowed(model)})) EXECUTE FUNCTION "{table}_once_refuse"()'
        )


def lifting(connection, cursor):
    cursor.execute(
        "SELECT tgname, relname FROM pg_trigger JOIN pg_class ON pg_class.oid = tgrelid WHERE NOT tgisinternal "
        "AND (tgname LIKE '%\\_kept' OR tgname LIKE '%\\_once')"
    )
    for name, table in cursor.fetchall():
        yield f'DROP TRIGGER IF EXISTS "{name}" ON "{table}"'
