"""A row of a table as one line of JSON, and back. Independent of the database it came from or goes to.

For backups only: `rows_put` fills empty tables, ids kept. Everything else writes through `services`.
"""

import datetime as dt
import decimal
import json
import uuid
from collections.abc import Iterator
from itertools import islice

from django.db import models

_AT_ONCE = 500


def is_bytes(field: models.Field) -> bool:
    return isinstance(field, models.BinaryField)


def plain_fields(model) -> list[models.Field]:
    return [f for f in model._meta.concrete_fields if not is_bytes(f)]


def bytes_fields(model) -> list[models.Field]:
    return [f for f in model._meta.concrete_fields if is_bytes(f)]


def table_member(model) -> str:
    return f"tables/{model._meta.db_table}.jsonl"


def bytes_member(model, pk, column: str) -> str:
    return f"bytes/{model._meta.db_table}/{pk}.{column}"


def _told(value):
    if isinstance(value, dt.datetime | dt.date | dt.time):
        return value.isoformat()
    if isinstance(value, uuid.UUID | decimal.Decimal):
        return str(value)
    raise TypeError(f"{type(value)} has no form in a backup")


def rows_told(model, using: str) -> Iterator[bytes]:
    """Every row in order of its id. Keys are sorted, for PostgreSQL forgets the order of a JSON object."""
    names = [f.attname for f in plain_fields(model)]
    found = model._base_manager.using(using).order_by("pk").values_list(*names)
    for row in found.iterator(chunk_size=_AT_ONCE):
        told = dict(zip(names, row, strict=True))
        yield json.dumps(told, default=_told, sort_keys=True, ensure_ascii=False).encode() + b"\n"


def byte_values(model, using: str) -> Iterator[tuple[str, bytes]]:
    """(member name, bytes) of every byte column, one row in memory at a time."""
    for field in bytes_fields(model):
        found = model._base_manager.using(using).order_by("pk").values_list("pk", field.attname)
        for pk, value in found.iterator(chunk_size=1):
            if value is not None:
                yield bytes_member(model, pk, field.attname), bytes(value)


def rows_put(model, lines_in: Iterator[bytes], using: str, bytes_at) -> int:
    """Insert the rows told in `lines_in`, ids kept; `bytes_at(member name)` gives what a row holds in bytes.

    `model` is one of a migration state, never one the program works with: its fields are changed here.
    """
    fields, held = plain_fields(model), bytes_fields(model)
    for field in fields:
        if isinstance(field, models.DateField):
            field.auto_now = field.auto_now_add = False  # the time told, not the time of telling
    at_once = 10 if held else _AT_ONCE
    lines_in, count = iter(lines_in), 0
    while batch := list(islice(lines_in, at_once)):
        rows = []
        for line in batch:
            told = json.loads(line)
            row = {f.attname: _understood(f, told[f.attname]) for f in fields}
            for f in held:
                row[f.attname] = bytes_at(bytes_member(model, told[model._meta.pk.attname], f.attname))
            rows.append(model(**row))
        model._base_manager.using(using).bulk_create(rows, batch_size=at_once)
        count += len(rows)
    return count


def _understood(field: models.Field, value):
    return value if value is None or isinstance(field, models.JSONField) else field.to_python(value)
