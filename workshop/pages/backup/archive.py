"""One zip file with a manifest: every member's size and checksum, known before anything is believed."""

import hashlib
import json
import os
import zipfile
from collections.abc import Iterable, Iterator
from dataclasses import asdict, dataclass, field
from pathlib import Path, PurePosixPath

from workshop.folder import Refused

FORMAT = 1
MANIFEST = "manifest.json"
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
                self._zip.writestr(MANIFEST, json.dumps(asdict(self.manifest), indent=1))
            self._zip.close()
            self._file.flush()
            os.fsync(self._file.fileno())
        finally:
            self._file.close()
            if kind is None:
                os.replace(self._part, self.path)
            else:
                self._part.unlink(missing_ok=True)


class Archive:
    """A backup opened for reading, after every checksum in it was found to hold."""

    def __init__(self, path: Path):
        self.path = path
        try:
            self._zip = zipfile.ZipFile(path)
            self.manifest = self._read_manifest()
            self._check_members()
        except (OSError, zipfile.BadZipFile, EOFError, NotImplementedError, zipfile.zlib.error) as error:
            if isinstance(error, FileNotFoundError | IsADirectoryError | PermissionError):
                raise Refused(f"The file {path} cannot be read: {error.strerror}.") from error
            raise Refused(f"The backup {path} is damaged or cut short; nothing was touched.") from error

    def _read_manifest(self) -> Manifest:
        try:
            told = json.loads(self._zip.read(MANIFEST))
            number = told["format"]
        except (KeyError, TypeError, ValueError) as error:
            raise Refused(f"The file {self.path} is no backup of a workshop ledger.") from error
        if number != FORMAT:
            raise Refused(f"The backup {self.path} was written by a newer program; update this one first.")
        return Manifest(**told)

    def _check_members(self) -> None:
        names = self._zip.namelist()
        if sorted(names) != sorted([*self.manifest.members, MANIFEST]):
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

    def close(self) -> None:
        self._zip.close()
