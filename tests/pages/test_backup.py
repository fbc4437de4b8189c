"""A backup holds one moment of the whole ledger, and what is kept of backups is what was said."""

import csv
import datetime as dt
import io
import json
import os
import tracemalloc
import zipfile
from pathlib import Path

import pytest
from django.db import connection
from django.urls import reverse

from tests.pages.small_ledger import ODD, PDF, build
from workshop.folder import Refused
from workshop.ledger import backups
from workshop.ledger.models import Instrument, Member, Shop
from workshop.ledger.services import record_add
from workshop.orders.models import IssuedPaper
from workshop.pages.backup.archive import Archive, Manifest, Packer
from workshop.pages.backup.check import findings
from workshop.pages.backup.daily import is_due
from workshop.pages.backup.dump import backup_make, backup_write
from workshop.pages.backup.export import export_write
from workshop.pages.backup.sources import snapshot
from workshop.staves.models import StavePhoto


@pytest.fixture(autouse=True)
def folder(tmp_path, settings):
    settings.DATA_DIR = tmp_path / "data"
    settings.DATA_DIR.mkdir()
    return settings.DATA_DIR


@pytest.fixture
def ledger(transactional_db, owner):
    """Committed rows: a backup reads through a connection of its own."""
    build(owner)
    return owner


def manifest_of(path: Path) -> Manifest:
    with Archive(path) as archive:
        return archive.manifest


def shelve(when: dt.datetime, reason: str) -> Path:
    path = backups.shelf() / f"ledger-{when:%Y%m%dT%H%M%S}Z-{reason}.zip"
    path.write_bytes(b"")
    return path


def test_a_backup_holds_rows_photos_papers_and_says_how_many(ledger):
    photo, paper = StavePhoto.objects.get(), IssuedPaper.objects.get()
    with Archive(backup_make(backups.HAND)) as archive:
        assert archive.manifest.tables["staves_stave"] == 3
        assert archive.manifest.tables["orders_issuedpaper"] == 1
        assert archive.read(f"bytes/orders_issuedpaper/{paper.pk}.pdf") == PDF
        assert set(archive.photos()) == {f"photos/{photo.master}", f"photos/{photo.display}"}
        assert ["ledger", "0001_initial"] in archive.manifest.migrations
        (check,) = map(json.loads, archive.lines("tables/ledger_instrumentcheck.jsonl"))
    assert check["struck_reason"] == check["as_typed"]["a"] == ODD
    assert check["id"] and check["entered_by_id"] == ledger.pk


def test_a_backup_is_of_one_moment_while_others_write(ledger, tmp_path):
    with snapshot() as using:
        record_add(Instrument(kind="meter", name="Bought while the backup ran"), by=ledger)
        backup_write(tmp_path / "then.zip", using)
    assert manifest_of(tmp_path / "then.zip").tables["ledger_instrument"] == 1
    assert manifest_of(backup_make(backups.HAND)).tables["ledger_instrument"] == 2


def test_two_backups_of_one_ledger_tell_the_same(ledger, tmp_path):
    one, two = (manifest_of(backup_make(backups.HAND, tmp_path / name)) for name in ("1.zip", "2.zip"))
    assert one.members == two.members


def test_a_photo_file_that_is_gone_does_not_stop_the_backup_and_is_named(ledger, settings):
    photo = StavePhoto.objects.get()
    (Path(settings.MEDIA_ROOT) / photo.display).unlink()
    assert manifest_of(backup_make(backups.HAND)).missing == [photo.display]


@pytest.mark.parametrize("fails_in", ["dump._add_photo", "archive.seal"])
def test_a_backup_is_for_its_owners_eyes_and_never_half_there(ledger, monkeypatch, fails_in):
    """Also where the disk is full only as the file is closed."""
    path = backup_make(backups.HAND)
    assert oct(path.stat().st_mode & 0o777) == "0o600"

    def full(*args, **kwargs):
        raise OSError(28, "No space left on device")

    monkeypatch.setattr(f"workshop.pages.backup.{fails_in}", full)
    with pytest.raises(Refused, match="No space left"):
        backup_make(backups.DAILY)
    assert list(backups.shelf().iterdir()) == [path]


def test_a_large_photo_is_never_whole_in_memory(tmp_path):
    manifest, chunk = Manifest(program="", made_at="", migrations=[]), b"\x01" * 65536
    tracemalloc.start()
    with Packer(tmp_path / "large.zip", manifest) as packer:
        packer.add("photos/large.webp", (chunk for _ in range(16 * 64)), packed=False)  # 64 MB
    assert manifest_of(tmp_path / "large.zip").members["photos/large.webp"][0] == 64 * 1024 * 1024
    peak = tracemalloc.get_traced_memory()[1]
    tracemalloc.stop()
    assert (
        peak < 4 * 1024 * 1024
    )  # a few chunks of 256 kB and the zip's own lists; the file is sixteen times that


def test_the_numbers_kept_are_the_numbers_said():
    start = dt.datetime(2026, 1, 1, tzinfo=dt.UTC)
    for reason, kept in backups.KEPT.items():
        for n in range(kept + 3):
            shelve(start + dt.timedelta(days=n), reason)
    aside = [shelve(start + dt.timedelta(days=n), backups.ASIDE) for n in range(40)]
    backups.clear_old()
    assert {r: len(backups.backups(r)) for r in backups.KEPT} == backups.KEPT
    assert all(path.exists() for path in aside)
    newest = start + dt.timedelta(days=backups.KEPT[backups.DAILY] + 2)
    assert backups.backups(backups.DAILY)[0].made_at == newest


def test_what_else_lies_on_the_shelf_is_left_alone():
    stranger = backups.shelf() / "ledger-mine.zip"
    stranger.write_bytes(b"")
    backups.clear_old()
    assert stranger.exists() and backups.backups() == []


def test_what_a_killed_backup_left_is_cleared_away_a_day_later():
    left, being_made = (
        backups.shelf() / f"{backups.name_now(r)}.part" for r in (backups.DAILY, backups.HAND)
    )
    for path in (left, being_made):
        path.write_bytes(b"")
    os.utime(left, times=(0, 0))
    backups.clear_old()
    assert not left.exists() and being_made.exists()


def test_what_still_holds_somebody_are_the_backups_made_before_and_the_ledgers_set_aside(settings):
    noon = dt.datetime(2026, 3, 1, 12, tzinfo=dt.UTC)
    older = shelve(noon - dt.timedelta(hours=1), backups.DAILY)
    shelve(noon + dt.timedelta(hours=1), backups.DAILY)
    (settings.DATA_DIR / "set-aside-20260201T080000Z").mkdir()
    assert backups.still_holding(noon) == [older.name, "set-aside-20260201T080000Z"]


def test_a_backup_is_due_once_on_each_day_of_the_workshop():
    shop = Shop(name="Invented", time_zone="America/Denver")  # seven hours behind UTC in winter
    morning = dt.datetime(2026, 1, 10, 16, tzinfo=dt.UTC)
    assert is_due(shop, morning)
    shelve(morning, backups.DAILY)
    assert not is_due(shop, dt.datetime(2026, 1, 11, 6, 59, tzinfo=dt.UTC))  # still the tenth in Denver
    assert is_due(shop, dt.datetime(2026, 1, 11, 7, 1, tzinfo=dt.UTC))
    assert not is_due(None, morning)


def test_the_tables_to_take_away_run_no_formula_and_tell_no_password(ledger):
    file = io.BytesIO()
    export_write(file)
    with zipfile.ZipFile(file) as packed:
        assert "orders_issuedpaper.csv" in packed.namelist()
        fellings = list(
            csv.DictReader(io.TextIOWrapper(packed.open("staves_felling.csv"), "utf-8", newline=""))
        )
        assert fellings[0]["where"] == "'" + ODD
        scales = list(
            csv.DictReader(io.TextIOWrapper(packed.open("ledger_instrument.csv"), "utf-8", newline=""))
        )
        assert float(scales[0]["doubt_n"]) == 0.1 + 0.2
        members = packed.read("ledger_member.csv").decode()
        assert ledger.username in members and "password" not in members
        for name in packed.namelist():
            for row in csv.reader(io.TextIOWrapper(packed.open(name), "utf-8", newline="")):
                assert not [c for c in row if c.startswith(("=", "+", "@", "\t", "\r"))]


def test_a_whole_ledger_has_no_findings(ledger):
    assert list(findings()) == []


def test_the_check_finds_a_photo_that_is_gone_or_changed(ledger, settings):
    photo = StavePhoto.objects.get()
    (Path(settings.MEDIA_ROOT) / photo.master).write_bytes(b"other")
    (Path(settings.MEDIA_ROOT) / photo.display).unlink()
    found = list(findings())
    assert len(found) == 2
    assert photo.display in found[0] and "not there" in found[0]
    assert photo.master in found[1] and "checksum" in found[1]


def test_the_check_finds_a_guard_that_fell(ledger):
    from workshop.ledger.guards import put_guards

    table = "" if connection.vendor == "sqlite" else " ON ledger_shop"
    with connection.cursor() as cursor:
        cursor.execute(f"DROP TRIGGER ledger_shop_kept{table}")
    try:
        assert [line for line in findings() if "ledger_shop_kept" in line]
    finally:
        put_guards()


def test_the_check_finds_a_paper_that_is_not_the_one_issued(ledger):
    from workshop.ledger.guards import lift_guards, put_guards

    lift_guards()
    with connection.cursor() as cursor:
        cursor.execute("UPDATE orders_issuedpaper SET sha256 = 'other'")
    put_guards()
    assert [line for line in findings() if "Paper 1 is not the one" in line]


def test_one_button_makes_a_backup_to_take_away(ledger, client):
    client.force_login(ledger, backend="django.contrib.auth.backends.ModelBackend")
    assert "no backup yet" in client.get(reverse("backup")).content.decode()
    assert client.post(reverse("backup")).status_code == 302
    (made,) = backups.backups(backups.HAND)
    page = client.get(reverse("backup")).content.decode()
    assert reverse("backup-file", args=[made.name]) in page
    taken = client.get(reverse("backup-file", args=[made.name]))
    assert b"".join(taken.streaming_content) == made.path.read_bytes()
    tables = client.get(reverse("export"))
    assert zipfile.ZipFile(io.BytesIO(b"".join(tables.streaming_content))).testzip() is None


@pytest.mark.parametrize("name", ["..%2Fsecret-key", "secret-key", "ledger-20260101T000000Z-daily.zip"])
def test_nothing_but_a_backup_of_the_shelf_is_handed_out(as_owner, folder, name):
    (folder / "secret-key").write_text("secret")
    assert as_owner.get(f"/workshop/backup/{name}").status_code == 404


@pytest.mark.parametrize("role", ["maker", "helper"])
def test_only_an_owner_gets_at_the_backups(client, db, shop, role):
    somebody = Member.objects.create(username=role, name=role, role=role)
    client.force_login(somebody, backend="django.contrib.auth.backends.ModelBackend")
    for page in (reverse("backup"), reverse("export"), reverse("backup-file", args=["x.zip"])):
        assert client.get(page).status_code == 403
    assert client.post(reverse("backup")).status_code == 403
    assert backups.backups() == []
