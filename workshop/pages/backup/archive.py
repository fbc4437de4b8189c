"""One zip file with a manifest and a seal: not a bit of it is believed before all of it was looked at.

The manifest holds each member's size and checksum, to compare with what comes back from a database. The seal, the
zip's comment at the very end of the file, is the checksum of every byte before it.
"""

import hashlib
import json
import os
import zipfile
from collections.abc import Iterable, Iterator
from contextlib import suppress
from dataclasses import asdict, dataclass, field
from pathlib import Path, PurePosixPath

from workshop.folder import Refused

FORMAT = 1
MANIFEST = "manifest.json"
SEAL = 64  # hexadecimal figures of a SHA-256
_CHUNK = 256 * 1024


@dataclass
class Manifest:
    program: str
    made_at: str
    migrations: list[list[str]]
    tables: dict[str, int] = field(default_factory=dict)  # table -> rows
    members: dict[str, list] = field(default_factory=dict)  # name -> [bytes, sha256]
    missing: list[str] = field(default_factory=list)  # photos a row names that were not there
    format: int = FORMAT


def chunks_of(file) -> Iterator[bytes]:
    while chunk := file.read(_CHUNK):
        yield chunk


def checksum_before_seal(file) -> str:
    """The checksum of an open file, without the seal at its end."""
    left = file.seek(0, os.SEEK_END) - SEAL
    file.seek(0)
    found = hashlib.sha256()
    while left > 0 and (chunk := file.read(min(_CHUNK, left))):
        found.update(chunk)
        left -= len(chunk)
    return found.hexdigest()


def seal(file) -> None:
    """Write the seal into the place a comment of its length left for it."""
    found = checksum_before_seal(file)
    file.seek(-SEAL, os.SEEK_END)
    file.write(found.encode())


class Packer:
    """Writes the zip member by member, beside its place, and puts it there whole."""

    def __init__(self, path: Path, manifest: Manifest):
        self.path, self.manifest = path, manifest
        self._part = path.with_name(path.name + ".part")

    def __enter__(self):
        self._file = os.fdopen(os.open(self._part, os.O_RDWR | os.O_CREAT | os.O_TRUNC, 0o600), "w+b")
        self._zip = zipfile.ZipFile(self._file, "w", zipfile.ZIP_DEFLATED)
        return self

    def add(self, name: str, chunks: Iterable[bytes], packed: bool = True) -> None:
        """Add a member from its chunks; pictures and PDFs are packed already (`packed=False`)."""
        info = zipfile.ZipInfo(name)
        info.compress_type = zipfile.ZIP_DEFLATED if packed else zipfile.ZIP_STORED
        size, checksum = 0, hashlib.sha256()
        with self._zip.open(info, "w", force_zip64=True) as member:
            for chunk in chunks:
                member.write(chunk)
                checksum.update(chunk)
                size += len(chunk)
        self.manifest.members[name] = [size, checksum.hexdigest()]

    def __exit__(self, kind, error, trace):
        try:
            if kind is None:
                self._close_whole()
                os.replace(self._part, self.path)
        finally:  # a full disk may fail anything, closing too; what is not whole never stands on the shelf
            self._part.unlink(missing_ok=True)
            with suppress(OSError, ValueError):
                self._zip.close()
            with suppress(OSError):
                self._file.close()

    def _close_whole(self) -> None:
        self._zip.writestr(MANIFEST, json.dumps(asdict(self.manifest), indent=1))
        self._zip.comment = b"-" * SEAL
        self._zip.close()
        seal(self._file)
        self._file.flush()
        os.fsync(self._file.fileno())


class Archive:
    """A backup opened for reading (`with Archive(path) as archive`), once its seal and every checksum hold."""

    def __init__(self, path: Path):
        self.path = path

    def __enter__(self):
        try:
            self._file = self.path.open("rb")
        except OSError as error:
            raise Refused(f"The file {self.path} cannot be read: {error.strerror}.") from error
        try:
            self._check_seal()
            self._zip = zipfile.ZipFile(self._file)
            self.manifest = self._read_manifest()
            self._check_members()
        except BaseException as error:
            self._file.close()
            if isinstance(error, zipfile.BadZipFile | KeyError | TypeError | ValueError):
                raise Refused(
                    f"The file {self.path} is no whole backup of a workshop ledger: it is damaged, cut short or "
                    "another file; nothing was touched."
                ) from error
            raise
        return self

    def __exit__(self, *error):
        self._zip.close()
        self._file.close()

    def _check_seal(self) -> None:
        found = checksum_before_seal(self._file)
        if self._file.seek(0, os.SEEK_END) < SEAL:
            raise zipfile.BadZipFile("too short for a seal")
        self._file.seek(-SEAL, os.SEEK_END)
        if self._file.read() != found.encode():
            raise zipfile.BadZipFile("the seal does not hold")

    def _read_manifest(self) -> Manifest:
        told = json.loads(self._zip.read(MANIFEST))
        if told["format"] != FORMAT:
            raise Refused(f"The backup {self.path} was written by a newer program; update this one first.")
        return Manifest(**told)

    def _check_members(self) -> None:
        if sorted(self._zip.namelist()) != sorted([*self.manifest.members, MANIFEST]):
            raise zipfile.BadZipFile("members are missing or were added")
        for name, (size, checksum) in self.manifest.members.items():
            path = PurePosixPath(name)
            if path.is_absolute() or ".." in path.parts or "\\" in name:
                raise zipfile.BadZipFile("a name that leads out of the folder")
            found, length = hashlib.sha256(), 0
            for chunk in self.chunks(name):
                found.update(chunk)
                length += len(chunk)
            if (length, found.hexdigest()) != (size, checksum):
                raise zipfile.BadZipFile(name)

    def chunks(self, name: str) -> Iterator[bytes]:
        with self._zip.open(name) as member:
            yield from chunks_of(member)

    def lines(self, name: str) -> Iterator[bytes]:
        with self._zip.open(name) as member:
            yield from member

    def read(self, name: str) -> bytes | None:
        """The bytes of one member, or None where the backup has none of that name."""
        return self._zip.read(name) if name in self.manifest.members else None

    def photos(self) -> Iterator[str]:
        return (name for name in self.manifest.members if name.startswith("photos/"))
