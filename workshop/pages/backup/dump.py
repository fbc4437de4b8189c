"""Making a backup: one moment of the ledger, in one file."""

import datetime as dt
from pathlib import Path

from django.conf import settings
from django.db import connection, connections

from workshop import __version__
from workshop.folder import Refused
from workshop.ledger import backups, lines
from workshop.pages.backup import states
from workshop.pages.backup.archive import Manifest, Packer, chunks_of
from workshop.pages.backup.sources import snapshot

PHOTO_COLUMNS = {"master", "display", "sha256"}


def backup_make(reason: str, path: Path | None = None) -> Path:
    """Write the whole ledger to the shelf or to `path`, and clear away what is beyond the number kept."""
    path = path or backups.shelf() / backups.name_now(reason)
    try:
        with snapshot() as using:
            backup_write(path, using)
    except OSError as error:
        raise Refused(f"The backup {path} cannot be written: {error.strerror}.") from error
    backups.clear_old()
    return path


def backup_write(path: Path, using: str) -> None:
    """Write everything the connection `using` sees. Rows first, photos last: a photo's file is older than its row."""
    steps = states.applied(connections[using])
    models = states.models_of(steps, connections[using])
    manifest = Manifest(
        program=__version__,
        made_at=dt.datetime.now(dt.UTC).isoformat(timespec="seconds"),
        migrations=[list(step) for step in steps],
    )
    with Packer(path, manifest) as packer:
        for model in models:
            packer.add(lines.table_member(model), _counted(model, using, manifest))
        for model in models:
            for name, value in lines.byte_values(model, using):
                packer.add(name, [value], packed=False)
        for name in sorted({n for model in models for n in photo_names(model, using)}):
            _add_photo(packer, name)


def _counted(model, using: str, manifest: Manifest):
    table = model._meta.db_table
    manifest.tables[table] = 0
    for line in lines.rows_told(model, using):
        manifest.tables[table] += 1
        yield line


def photo_names(model, using: str):
    """The files the rows of a table of photos name."""
    columns = {f.attname for f in model._meta.concrete_fields}
    if columns.issuperset(PHOTO_COLUMNS):
        for names in model._base_manager.using(using).values_list("master", "display").iterator():
            yield from filter(None, names)


def _add_photo(packer: Packer, name: str) -> None:
    path = Path(settings.MEDIA_ROOT) / name
    try:
        file = path.open("rb")
    except FileNotFoundError:
        packer.manifest.missing.append(name)
        return
    with file:
        packer.add(f"photos/{name}", chunks_of(file), packed=False)


def backup_before_migrating() -> Path | None:
    """A backup before the database is changed; none where there is nothing to lose yet."""
    if "ledger_shop" not in connection.introspection.table_names():
        return None
    with connection.cursor() as cursor:
        cursor.execute("SELECT count(*) FROM ledger_shop")
        if not cursor.fetchone()[0]:
            return None
    return backup_make(backups.MIGRATE)
