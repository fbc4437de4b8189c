"""A backup comes back as it was, also into PostgreSQL; what cannot be believed is refused with nothing touched."""

import json
import os
import subprocess
import sys
import uuid
import zipfile
from pathlib import Path
from urllib.parse import urlsplit

import pytest

from tests.served import ROOT, Served, environment, manage
from workshop.folder import Refused
from workshop.pages.backup.archive import MANIFEST, SEAL, Archive, seal
from workshop.pages.backup.restore import restore

POSTGRES = next((u for u in (os.environ.get("DATABASE_URL", ""),) if u.startswith("postgres")), "")


@pytest.fixture(scope="module")
def small(tmp_path_factory):
    """A small ledger's folder and a backup of it beside."""
    folder = tmp_path_factory.mktemp("small") / "data"
    made = subprocess.run(
        [sys.executable, "-m", "tests.pages.small_ledger"],
        cwd=ROOT,
        env=environment(folder),
        capture_output=True,
        text=True,
    )
    assert made.returncode == 0, made.stderr
    path = folder.parent / "small.zip"
    assert manage(folder, "backup", str(path)).returncode == 0
    return folder, path


def told(path: Path) -> tuple[dict, dict]:
    """Rows of each table, and size and checksum of each member."""
    with Archive(path) as archive:
        return archive.manifest.tables, archive.manifest.members


def lying_in(folder: Path) -> dict[str, tuple[int, int]]:
    return {
        str(p.relative_to(folder)): (p.stat().st_size, p.stat().st_mtime_ns)
        for p in folder.rglob("*")
        if p.is_file() and p.name != "serving.lock"
    }


def test_a_backup_comes_back_equal_in_counts_and_checksums_and_the_old_ledger_is_set_aside(small, tmp_path):
    _folder, path = small
    folder = tmp_path / "data"
    with Served(folder) as other:
        other.set_up()
    old = (folder / "ledger.sqlite3").read_bytes()
    done = manage(folder, "restore", str(path))
    assert done.returncode == 0, done.stderr
    (aside,) = folder.glob("set-aside-*")
    assert (aside / "ledger.sqlite3").read_bytes() == old
    assert str(aside) in done.stdout
    assert manage(folder, "check_ledger").stdout.strip() == "All is in place."  # photos, papers, guards
    again = tmp_path / "again.zip"
    assert manage(folder, "backup", str(again)).returncode == 0
    assert told(again) == told(path)
    assert not list(folder.glob("restoring*"))
    with Served(folder) as served:
        status, page = served.browser().post("/sign-in", username="wilma", password="yew-and-ash-1")
        assert status == 200 and "Wilma Ashdown" in page


def test_a_backup_of_an_older_program_is_put_back_and_brought_up_to_date(small, tmp_path):
    folder = tmp_path / "data"
    assert manage(folder, "restore", str(small[1])).returncode == 0
    assert manage(folder, "migrate", "bows", "0001", "-v0").returncode == 0
    older = tmp_path / "older.zip"
    assert manage(folder, "backup", str(older)).returncode == 0
    with Archive(older) as archive:
        assert [s for s in archive.manifest.migrations if s[0] == "bows"] == [["bows", "0001_initial"]]
    done = manage(folder, "restore", str(older))
    assert done.returncode == 0, done.stderr
    assert manage(folder, "migrate", "--check").returncode == 0
    assert manage(folder, "check_ledger").returncode == 0


KILLED = """
import os, django
django.setup()
from pathlib import Path
from workshop.pages.backup import restore
restore.os.replace = lambda *names: os._exit(9)
restore.restore(Path(os.environ["BACKUP"]))
"""


def test_a_restore_killed_at_its_last_step_leaves_the_old_ledger_in_its_place(small, tmp_path):
    folder = tmp_path / "data"
    with Served(folder) as other:
        other.set_up()
    environ = environment(folder, BACKUP=str(small[1]), DJANGO_SETTINGS_MODULE="workshop.settings")
    killed = subprocess.run([sys.executable, "-c", KILLED], cwd=ROOT, env=environ, capture_output=True)
    assert killed.returncode == 9, killed.stderr
    with Served(folder) as served:
        status, page = served.browser().post("/sign-in", username="wilma", password="yew-and-ash-1")
        assert status == 200 and "Wilma Ashdown" in page
    assert manage(folder, "restore", str(small[1])).returncode == 0


def test_a_ledger_that_is_served_is_not_replaced_under_its_readers(small, tmp_path):
    folder = tmp_path / "data"
    with Served(folder):
        done = manage(folder, "restore", str(small[1]))
    assert done.returncode != 0 and "open in another server" in done.stderr


def test_a_backup_is_never_written_over_another_file(small, tmp_path):
    (tmp_path / "mine.zip").write_bytes(b"mine")
    done = manage(small[0], "backup", str(tmp_path / "mine.zip"))
    assert done.returncode != 0 and "there already" in done.stderr
    assert (tmp_path / "mine.zip").read_bytes() == b"mine"


def with_manifest(source: Path, target: Path, change) -> None:
    """A copy of a backup whose manifest was changed; everything else is whole."""
    with zipfile.ZipFile(source) as old, zipfile.ZipFile(target, "w") as new:
        for name in old.namelist():
            body = old.read(name)
            if name == MANIFEST:
                manifest = json.loads(body)
                change(manifest)
                body = json.dumps(manifest)
            new.writestr(name, body)
        new.comment = b"-" * SEAL
    with target.open("r+b") as file:
        seal(file)


def flip(data: bytes, at: int) -> bytes:
    return data[:at] + bytes([data[at] ^ 1]) + data[at + 1 :]


def newer_step(manifest):
    manifest["migrations"].append(["bows", "0999_wings"])


def newer_format(manifest):
    manifest["format"] = 2


def forget_a_table(manifest):
    del manifest["members"]["tables/staves_stave.jsonl"]


def lead_out(manifest):
    manifest["members"]["../../evil"] = [0, ""]


BAD = {
    "damaged at its beginning": lambda s, t: t.write_bytes(flip(s.read_bytes(), 60)),
    "damaged in its middle": lambda s, t: t.write_bytes(flip(s.read_bytes(), s.stat().st_size // 2)),
    "damaged at its end": lambda s, t: t.write_bytes(flip(s.read_bytes(), s.stat().st_size - 10)),
    "cut by one byte": lambda s, t: t.write_bytes(s.read_bytes()[:-1]),
    "cut in half": lambda s, t: t.write_bytes(s.read_bytes()[: s.stat().st_size // 2]),
    "empty": lambda s, t: t.write_bytes(b""),
    "no zip": lambda s, t: t.write_bytes(b"shopping list\n" * 500),
    "another zip": lambda s, t: zipfile.ZipFile(t, "w").writestr("hello", "world"),
    "of a newer database": lambda s, t: with_manifest(s, t, newer_step),
    "of a newer format": lambda s, t: with_manifest(s, t, newer_format),
    "with a member nobody wrote down": lambda s, t: with_manifest(s, t, forget_a_table),
    "with a name that leads out of the folder": lambda s, t: with_manifest(s, t, lead_out),
    "not there": lambda s, t: None,
}


@pytest.mark.parametrize("what", BAD)
def test_a_backup_that_cannot_be_believed_is_refused_before_anything_is_touched(
    small, tmp_path, settings, what
):
    folder, path = small
    bad = tmp_path / "bad.zip"
    BAD[what](path, bad)
    settings.DATA_DIR, settings.MEDIA_ROOT = folder, folder / "photos"
    before = lying_in(folder)
    with pytest.raises(Refused) as refusal:
        restore(bad)
    assert "\n" not in str(refusal.value) and str(bad) in str(refusal.value)
    assert ("newer program" in str(refusal.value)) == ("newer" in what)
    assert lying_in(folder) == before


@pytest.fixture
def postgres():
    """An empty PostgreSQL database of its own, beside the one the tests run on."""
    if not POSTGRES:
        pytest.skip("no PostgreSQL: DATABASE_URL names none (.ci/run starts one)")
    import psycopg

    name = f"drill_{uuid.uuid4().hex[:10]}"
    with psycopg.connect(POSTGRES, autocommit=True) as server:
        server.execute(f"CREATE DATABASE {name} TEMPLATE template0 ENCODING 'UTF8'")
        yield urlsplit(POSTGRES)._replace(path=f"/{name}").geturl()
        server.execute(f"DROP DATABASE {name} WITH (FORCE)")


def test_restore_drill_from_sqlite_into_postgresql(small, tmp_path, postgres):
    _folder, path = small
    folder = tmp_path / "data"
    for _first_into_an_empty_database_then_over_a_ledger in range(2):
        done = manage(folder, "restore", str(path), DATABASE_URL=postgres)
        assert done.returncode == 0, done.stderr
    assert list((folder / "backups").glob("ledger-*-aside.zip"))  # the ledger the second restore found
    again = tmp_path / "again.zip"
    assert manage(folder, "backup", str(again), DATABASE_URL=postgres).returncode == 0
    assert told(again) == told(path)
    assert manage(folder, "check_ledger", DATABASE_URL=postgres).returncode == 0
    # New rows take the next ids, and the guards stand.
    words = (
        "from workshop.ledger.models import Instrument, Member; from workshop.ledger.services import record_add;"
        "print(record_add(Instrument(kind='meter', name='New'), by=Member.objects.get()).pk)"
    )
    added = manage(folder, "shell", "-v0", "-c", words, DATABASE_URL=postgres)
    assert added.stdout.strip() == "2", added.stderr
    back = tmp_path / "back"
    assert manage(back, "restore", str(again)).returncode == 0  # and from PostgreSQL into SQLite
    home = tmp_path / "home.zip"
    assert manage(back, "backup", str(home)).returncode == 0
    assert told(home) == told(path)
