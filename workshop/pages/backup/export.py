"""Everything as CSV in a zip: for a spreadsheet, or for leaving this program behind."""

import csv
import io
import zipfile
from collections.abc import Iterator
from typing import BinaryIO

from django.apps import apps
from django.db import models

from workshop.ledger.lines import plain_fields
from workshop.pages.backup.sources import snapshot
from workshop.pages.backup.states import own_labels

WITHHELD = {"password"}
_STARTS_A_FORMULA = ("=", "+", "-", "@", "\t", "\r", "\n")


def cell(value) -> str | int | float:
    """A value as a cell that no spreadsheet runs: text that would start a formula gets an apostrophe before it.

    >>> cell("=HYPERLINK(1)"), cell("-1/4 in"), cell(-0.25), cell(None)
    ("'=HYPERLINK(1)", "'-1/4 in", -0.25, '')
    """
    if value is None:
        return ""
    if isinstance(value, int | float):
        return value
    text = str(value).replace("\0", "")
    return "'" + text if text.startswith(_STARTS_A_FORMULA) else text


def export_write(file: BinaryIO) -> None:
    """Write one CSV for each table, as the ledger stands at one moment."""
    own = own_labels()
    found = (m for m in apps.get_models(include_auto_created=True) if m._meta.app_label in own)
    with snapshot() as using, zipfile.ZipFile(file, "w", zipfile.ZIP_DEFLATED) as packed:
        for model in sorted(found, key=lambda m: m._meta.db_table):
            with packed.open(f"{model._meta.db_table}.csv", "w", force_zip64=True) as member:
                for line in _csv_lines(model, using):
                    member.write(line.encode())


def _csv_lines(model: type[models.Model], using: str) -> Iterator[str]:
    names = [f.attname for f in plain_fields(model) if f.attname not in WITHHELD]
    buffer = io.StringIO()
    writer = csv.writer(buffer)
    writer.writerow(names)
    rows = model._base_manager.using(using).order_by("pk").values_list(*names)
    for row in rows.iterator(chunk_size=500):
        writer.writerow([cell(value) for value in row])
        if buffer.tell() > 64 * 1024:
            yield buffer.getvalue()
            buffer.seek(0)
            buffer.truncate()
    yield buffer.getvalue()
