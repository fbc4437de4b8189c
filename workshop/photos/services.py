"""A picture is two files and a row: the files first, the row after, and no file without its row."""

import uuid
from contextlib import suppress
from pathlib import Path
from typing import TypeVar

from django.conf import settings
from django.db import transaction

from workshop.ledger.services import entry_add
from workshop.photos.images import Prepared
from workshop.photos.models import Photo

P = TypeVar("P", bound=Photo)


def photo_add(photo: P, picture: Prepared, *, by) -> P:
    """Keep a prepared picture as `photo` (a subclass's row with its owner, caption and day set).

    A photo whose entry key is already kept is returned as it was kept.
    """
    kept = type(photo).objects.filter(entry_key=photo.entry_key).first()
    if kept is not None:
        return kept
    name = uuid.uuid4().hex
    photo.master, photo.display = f"{name}.webp", f"{name}-display.webp"
    photo.width_px, photo.height_px, photo.sha256 = picture.width, picture.height, picture.sha256
    written = []
    try:
        for file_name, content in ((photo.master, picture.master), (photo.display, picture.display)):
            written.append(_write(file_name, content))
        with transaction.atomic():
            return entry_add(photo, by=by)
    except BaseException:
        for path in written:
            with suppress(OSError):
                path.unlink()
        raise


def photo_path(photo: Photo, size: str) -> Path:
    """Where the file of a photo lies; `size` is "master" or "display"."""
    return Path(settings.MEDIA_ROOT) / getattr(photo, size)


def _write(file_name: str, content: bytes) -> Path:
    """The whole file under its name or none: written aside, then moved."""
    folder = Path(settings.MEDIA_ROOT)
    folder.mkdir(parents=True, exist_ok=True, mode=0o700)
    aside, path = folder / f"{file_name}.part", folder / file_name
    aside.write_bytes(content)
    aside.chmod(settings.FILE_UPLOAD_PERMISSIONS)
    return aside.rename(path)
