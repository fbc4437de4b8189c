"""Twenty people writing at once lose nothing, and neither does a server killed at any moment. Loopback only."""

import http.client
import re
import signal
import sqlite3
import threading
import time
import urllib.parse
import uuid
from contextlib import closing

import pytest

from tests.served import PATIENCE_SECONDS, Served

WRITERS = 20
EACH = 10
FORM = "/workshop/instruments/1/check"


class Writer(threading.Thread):
    """Sends one check of the scale after another and remembers which were acknowledged."""

    def __init__(self, ledger: Served, cookies: str, token: str, many: int | None):
        super().__init__(daemon=True)
        self.port, self.cookies, self.token, self.many = ledger.port, cookies, token, many
        self.acknowledged: list[str] = []
        self.refused: list[object] = []

    def run(self):
        with closing(http.client.HTTPConnection("127.0.0.1", self.port, timeout=PATIENCE_SECONDS)) as line:
            while self.many is None or len(self.acknowledged) + len(self.refused) < self.many:
                key = str(uuid.uuid4())
                fields = {"csrfmiddlewaretoken": self.token, "entry_key": key, "happened_on": "2026-01-05"}
                body = urllib.parse.urlencode({**fields, "against": "a 20 lb stone", "read": key})
                headers = {"Cookie": self.cookies, "Content-Type": "application/x-www-form-urlencoded"}
                try:
                    line.request("POST", FORM, body, headers)
                    answer = line.getresponse()
                    answer.read()
                except (OSError, http.client.HTTPException) as broken:
                    self.refused.append(broken)
                    if self.many is None:
                        return  # the server was killed
                    continue
                (self.acknowledged if answer.status == 302 else self.refused).append(
                    key if answer.status == 302 else answer.status
                )


def writers(ledger: Served, browser, many: int | None = None) -> list[Writer]:
    _status, page = browser.get(FORM)
    token = re.search(r'name="csrfmiddlewaretoken" value="(\w+)"', page)[1]
    cookies = "; ".join(f"{c.name}={c.value}" for c in browser.jar)
    return [Writer(ledger, cookies, token, many) for _ in range(WRITERS)]


def kept(ledger: Served) -> list[str]:
    """The keys in the database, and that the file itself is whole."""
    with closing(sqlite3.connect(ledger.folder / "ledger.sqlite3")) as database:
        assert database.execute("PRAGMA integrity_check").fetchall() == [("ok",)]
        rows = database.execute("SELECT entry_key, read FROM ledger_instrumentcheck").fetchall()
    assert all(uuid.UUID(key) == uuid.UUID(read) for key, read in rows)
    return [read for _key, read in rows]


@pytest.fixture
def folder(tmp_path):
    return tmp_path / "data"


def open_scale(ledger: Served):
    browser = ledger.set_up()
    form = {"kind": "scale", "name": "Beam scale", "calibrated_at_c": "20 C", "in_use": "on"}
    status, page = browser.post("/workshop/instruments/add", **form)
    assert status == 200 and "Beam scale" in page
    return browser


def test_twenty_people_writing_at_once_lose_nothing(folder):
    with Served(folder) as ledger:
        team = writers(ledger, open_scale(ledger), EACH)
        begun = time.monotonic()
        for writer in team:
            writer.start()
        for writer in team:
            writer.join()
        took = time.monotonic() - begun
        assert [w.refused for w in team] == [[]] * WRITERS
        assert "locked" not in ledger.said()
    acknowledged = sorted(key for w in team for key in w.acknowledged)
    assert len(acknowledged) == WRITERS * EACH
    assert sorted(kept(ledger)) == acknowledged
    print(f"{WRITERS} writers, {len(acknowledged)} entries kept, {len(acknowledged) / took:.0f} a second")


def test_a_server_killed_at_any_moment_loses_no_acknowledged_entry(folder):
    with Served(folder) as ledger:
        browser = open_scale(ledger)
    acknowledged, port = set(), ledger.port
    for seconds in (0.3, 0.9, 1.7):
        ledger = Served(folder, port=port)  # the same address, so that the browser stays signed in
        with ledger:
            team = writers(ledger, browser)
            for writer in team:
                writer.start()
            time.sleep(seconds)
            assert ledger.stop(signal.SIGKILL) == -signal.SIGKILL
            for writer in team:
                writer.join(PATIENCE_SECONDS)
        acknowledged |= {key for w in team for key in w.acknowledged}
        rows = kept(ledger)
        assert acknowledged <= set(rows)
        assert len(rows) == len(set(rows))
        assert "locked" not in ledger.said()
    assert acknowledged, "nothing was written before the server was killed"
    print(f"killed three times, {len(acknowledged)} entries acknowledged, none lost")
