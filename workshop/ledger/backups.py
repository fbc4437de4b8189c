"""The shelf of backups in the data folder: how they are named, which are kept, which still hold somebody.

What stands in a backup, and how it is made and put back, is `workshop.pages.backup`; this lies lower so that any room
may name the files.
"""

import datetime as dt
import re
import time
from dataclasses import dataclass
from pathlib import Path

from django.conf import settings
from django.utils.translation import gettext_lazy as _

DAILY, MIGRATE, HAND, ASIDE = "daily", "migrate", "hand", "aside"
REASONS = {
    DAILY: _("made by itself, daily"),
    MIGRATE: _("before the database was changed"),
    HAND: _("made by hand"),
    ASIDE: _("the ledger a restore set aside"),
}
KEPT = {DAILY: 14, MIGRATE: 5, HAND: 10}  # the newest of each; what a restore set aside is never cleared away

_NAME = re.compile(r"ledger-(\d{8}T\d{6})Z-(daily|migrate|hand|aside)\.zip")


@dataclass(frozen=True)
class BackupFile:
    path: Path
    made_at: dt.datetime
    reason: str

    @property
    def name(self) -> str:
        return self.path.name

    @property
    def size(self) -> int:
        return self.path.stat().st_size

    @property
    def why(self) -> str:
        return str(REASONS[self.reason])


def shelf() -> Path:
    folder = settings.DATA_DIR / "backups"
    folder.mkdir(mode=0o700, exist_ok=True)
    return folder


def name_now(reason: str) -> str:
    return f"ledger-{dt.datetime.now(dt.UTC):%Y%m%dT%H%M%S}Z-{reason}.zip"


def backups(reason: str | None = None) -> list[BackupFile]:
    """The whole backups on the shelf, newest first."""
    found = []
    for path in shelf().iterdir():
        if (named := _NAME.fullmatch(path.name)) and reason in (None, named[2]):
            made_at = dt.datetime.strptime(named[1], "%Y%m%dT%H%M%S").replace(tzinfo=dt.UTC)
            found.append(BackupFile(path, made_at, named[2]))
    return sorted(found, key=lambda b: (b.made_at, b.name), reverse=True)


def backup_named(name: str) -> BackupFile | None:
    return next((b for b in backups() if b.name == name), None)


def still_holding(before: dt.datetime) -> list[str]:
    """The names of the backups, and of the ledgers a restore set aside, that hold whoever was made nameless then."""
    aside = sorted(path.name for path in settings.DATA_DIR.glob("set-aside-*"))
    return [b.name for b in backups() if b.made_at <= before] + aside


def clear_old() -> list[Path]:
    """Take away what is beyond the number kept, and what an interrupted backup left."""
    gone = [b.path for reason, kept in KEPT.items() for b in backups(reason)[kept:]]
    yesterday = time.time() - 24 * 3600  # none takes so long to make
    gone += [path for path in shelf().glob("ledger-*.zip.part") if path.stat().st_mtime < yesterday]
    for path in gone:
        path.unlink(missing_ok=True)
    return gone
