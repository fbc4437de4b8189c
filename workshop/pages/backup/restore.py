"""Putting a backup back: read whole and believed first, filled aside, compared line by line, then moved into place.

Into SQLite the new ledger is filled in a file of its own and takes the old one's place when it is whole. Into
PostgreSQL everything happens in one transaction, after the old ledger was written to the shelf.
"""

import datetime as dt
import hashlib
import os
import shutil
from collections.abc import Iterable
from contextlib import suppress
from dataclasses import dataclass
from pathlib import Path
from tempfile import TemporaryDirectory

from django.conf import settings
from django.core.management import call_command
from django.core.management.color import no_style
from django.db import DatabaseError, connection, connections, transaction
from django.db.migrations.executor import MigrationExecutor
from django.db.migrations.loader import MigrationLoader

from workshop.folder import Refused
from workshop.ledger import backups, lines
from workshop.ledger.serving import lock_folder
from workshop.pages.backup import states
from workshop.pages.backup.archive import Archive, Manifest
from workshop.pages.backup.dump import backup_make
from workshop.pages.backup.sources import new_file


@dataclass(frozen=True)
class Restored:
    manifest: Manifest
    aside: list[Path]  # where what stood here before lies now

    @property
    def rows(self) -> int:
        return sum(self.manifest.tables.values())


def restore(path: Path) -> Restored:
    """Put the backup at `path` in the ledger's place. Until it is whole in the database, nothing old is touched."""
    with Archive(path) as archive:
        states.refuse_future(_steps(archive), MigrationLoader(None), f"The backup {path}")
        into = _into_sqlite if connection.vendor == "sqlite" else _into_postgresql
        try:
            with (
                lock_folder(settings.DATA_DIR),
                TemporaryDirectory(dir=settings.DATA_DIR, prefix="restoring-") as workbench,
            ):
                return Restored(archive.manifest, into(archive, Path(workbench)))
        except DatabaseError as error:
            raise Refused(f"The database refused the backup, and nothing was changed: {error}") from error
        except OSError as error:
            raise Refused(f"The backup cannot be put back: {error.strerror}.") from error


def _steps(archive: Archive) -> list[states.Step]:
    return [tuple(step) for step in archive.manifest.migrations]


def _into_sqlite(archive: Archive, workbench: Path) -> list[Path]:
    with new_file(workbench / "ledger.sqlite3") as using:
        fill(archive, using)
    photos = _photos_unpacked(archive, workbench)
    place = Path(settings.DATABASES["default"]["NAME"])
    _fold_in_journal()
    aside = _set_aside([*_journal(place), Path(settings.MEDIA_ROOT)], copied=[place])
    shutil.move(photos, settings.MEDIA_ROOT)
    # last and at once: a kill before it leaves the old ledger
    os.replace(workbench / "ledger.sqlite3", place)
    return aside


def _fold_in_journal() -> None:
    """Bring SQLite's write-ahead log into the old file, so that the new one finds none beside it."""
    with suppress(DatabaseError), connection.cursor() as cursor:  # a damaged ledger is set aside as it is
        cursor.execute("PRAGMA wal_checkpoint(TRUNCATE)")
    connection.close()


def _journal(place: Path) -> list[Path]:
    return [Path(f"{place}{tail}") for tail in ("-wal", "-shm")]


def _into_postgresql(archive: Archive, workbench: Path) -> list[Path]:
    aside = []
    if "ledger_shop" in connection.introspection.table_names():
        aside.append(backup_make(backups.ASIDE))
    photos = _photos_unpacked(archive, workbench)
    with transaction.atomic():
        _drop_tables()
        fill(archive, "default")
        aside += _set_aside([Path(settings.MEDIA_ROOT)])
        shutil.move(photos, settings.MEDIA_ROOT)
    return aside


def fill(archive: Archive, using: str) -> None:
    """Build the tables as they were when the backup was made, fill and compare them, then bring them up to date."""
    db = connections[using]
    steps = _steps(archive)
    executor = MigrationExecutor(db)
    executor.migrate(states.last_steps(steps, executor.loader))
    models = states.models_of(steps, db)
    with transaction.atomic(using=using):
        db.check_constraints()  # defers them again in PostgreSQL, where a migration may have made them immediate
        for model in models:
            told = archive.lines(lines.table_member(model))
            lines.rows_put(model, told, using, archive.read)
        with db.cursor() as cursor:
            for statement in db.ops.sequence_reset_sql(no_style(), models):
                cursor.execute(statement)
        db.check_constraints()
        _compare(archive.manifest, models, using)
    call_command("migrate", database=using, verbosity=0, interactive=False)


def _compare(manifest: Manifest, models: Iterable[type], using: str) -> None:
    """Every table tells the same lines as the backup, or the restore is given up."""
    for model in models:
        size, checksum = 0, hashlib.sha256()
        for line in lines.rows_told(model, using):
            size += len(line)
            checksum.update(line)
        if [size, checksum.hexdigest()] != manifest.members[lines.table_member(model)]:
            raise Refused(
                f"The table {model._meta.db_table} did not come back as it was; nothing was changed."
            )
        for name, value in lines.byte_values(model, using):
            if [len(value), hashlib.sha256(value).hexdigest()] != manifest.members[name]:
                raise Refused(f"{name} did not come back as it was; nothing was changed.")


def _drop_tables() -> None:
    """Clear PostgreSQL's own copy of the ledger; it lies on the shelf, and the transaction can still bring it back."""
    from django.apps import apps

    current = apps.get_models(include_auto_created=True)
    ours = {m._meta.db_table for m in (*current, *states.models_of(states.applied(connection), connection))}
    with connection.cursor() as cursor:
        for table in sorted((ours | {"django_migrations"}) & set(connection.introspection.table_names())):
            cursor.execute(f"DROP TABLE {connection.ops.quote_name(table)} CASCADE")


def _photos_unpacked(archive: Archive, workbench: Path) -> Path:
    folder = workbench / "photos"
    folder.mkdir(mode=0o700)
    for name in archive.photos():
        path = workbench / name
        path.parent.mkdir(mode=0o700, parents=True, exist_ok=True)
        with path.open("xb") as file:
            path.chmod(settings.FILE_UPLOAD_PERMISSIONS)
            for chunk in archive.chunks(name):
                file.write(chunk)
    return folder


def _set_aside(moved: list[Path], copied: Iterable[Path] = ()) -> list[Path]:
    """Put what is there into one folder named for the moment; what is `copied` also stays until it is replaced."""
    moved, copied = ([p for p in paths if p.exists()] for paths in (moved, copied))
    if not moved and not copied:
        return []
    aside = settings.DATA_DIR / f"set-aside-{dt.datetime.now(dt.UTC):%Y%m%dT%H%M%SZ}"
    aside.mkdir(mode=0o700)
    for path in copied:
        shutil.copy2(path, aside / path.name)
    for path in moved:
        shutil.move(path, aside / path.name)
    return [aside]
