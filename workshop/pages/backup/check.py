"""Is everything still there and as it was? Each finding is a sentence; none means all is well."""

import hashlib
from collections.abc import Iterator
from pathlib import Path

from django.apps import apps
from django.conf import settings
from django.db import IntegrityError, connection

from workshop.ledger.guards import expected_guards, listed_guards
from workshop.orders.models import IssuedPaper
from workshop.photos.models import Photo


def findings() -> Iterator[str]:
    yield from _guards()
    yield from _database()
    yield from _papers()
    yield from _photos()


def _guards() -> Iterator[str]:
    for name in sorted(expected_guards() - listed_guards()):
        yield f"The guard {name} does not stand; start the ledger once to put it back."


def _database() -> Iterator[str]:
    if connection.vendor == "sqlite":
        with connection.cursor() as cursor:
            cursor.execute("PRAGMA integrity_check")
            yield from (f"The database file: {said}" for (said,) in cursor.fetchall() if said != "ok")
    try:
        connection.check_constraints()
    except IntegrityError as error:
        yield f"A row points to nothing: {error}"


def _papers() -> Iterator[str]:
    papers = IssuedPaper.objects.filter(removed_at=None).order_by("pk").values_list("number", "pdf", "sha256")
    for number, pdf, checksum in papers.iterator(chunk_size=1):
        if hashlib.sha256(pdf).hexdigest() != checksum:
            yield f"Paper {number} is not the one that was issued: its checksum does not hold."


def _photos() -> Iterator[str]:
    folder = Path(settings.MEDIA_ROOT)
    for model in (m for m in apps.get_models() if issubclass(m, Photo)):
        rows = model.objects.order_by("pk").values_list("pk", "master", "display", "sha256")
        for pk, master, display, checksum in rows.iterator(chunk_size=500):
            what = f"{model._meta.verbose_name} {pk}"
            yield from (
                f"The file {n} of {what} is not there."
                for n in (master, display)
                if not (folder / n).is_file()
            )
            if (folder / master).is_file() and _sha256(folder / master) != checksum:
                yield f"The file {master} of {what} is not as it was kept: its checksum does not hold."


def _sha256(path: Path) -> str:
    with path.open("rb") as file:
        return hashlib.file_digest(file, "sha256").hexdigest()
