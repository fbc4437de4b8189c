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


def check_of_the_scale(_number: int, key: str) -> dict[str, str]:
    return {"happened_on": "2026-01-05", "against": "a 20 lb stone", "read": key}


def next_draw(number: int, _key: str) -> dict[str, str]:
    """Two pounds an inch, from 10 in on."""
    return {"draw_m": f"{10 + number} in", "force_n": f"{8 + 2 * number} lb"}


class Writer(threading.Thread):
    """Sends one entry after another to the form at `path` and remembers which were acknowledged."""

    def __init__(
        self, ledger: Served, cookies: str, token: str, many: int | None, path=FORM, entry=check_of_the_scale
    ):
        super().__init__(daemon=True)
        self.port, self.cookies, self.token, self.many = ledger.port, cookies, token, many
        self.path, self.entry = path, entry
        self.acknowledged: list[str] = []
        self.refused: list[object] = []

    def run(self):
        with closing(http.client.HTTPConnection("127.0.0.1", self.port, timeout=PATIENCE_SECONDS)) as line:
            while self.many is None or len(self.acknowledged) + len(self.refused) < self.many:
                key, number = str(uuid.uuid4()), len(self.acknowledged)
                fields = {"csrfmiddlewaretoken": self.token, "entry_key": key}
                body = urllib.parse.urlencode({**fields, **self.entry(number, key)})
                headers = {"Cookie": self.cookies, "Content-Type": "application/x-www-form-urlencoded"}
                try:
                    line.request("POST", self.path, body, headers)
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


def signed_in(browser) -> tuple[str, str]:
    """The cookies of a browser, and the token that its forms send along."""
    _status, page = browser.get(FORM)
    token = re.search(r'name="csrfmiddlewaretoken" value="(\w+)"', page)[1]
    return "; ".join(f"{c.name}={c.value}" for c in browser.jar), token


def writers(ledger: Served, browser, many: int | None = None) -> list[Writer]:
    cookies, token = signed_in(browser)
    return [Writer(ledger, cookies, token, many) for _ in range(WRITERS)]


def bows_on_the_tree(browser) -> list[str]:
    """As many bows as there are writers, each strung and measured, its series begun; where its points are written."""
    bow = {
        "kind": "stiff", "make_up": "self", "timber_words": "Ash", "origin": "here", "hand": "either",
        "stage": "tillering", "wanted_n": "45 lb", "wanted_draw_m": "28 in", "draw_from": "back", "length_m": "68 in",
    }  # fmt: skip
    strung = {
        "begin": "series", "strung": "full", "brace_m": "6 in", "draw_from": "back", "grip_depth_m": "1 3/4 in",
        "happened_on": "today",
    }  # fmt: skip
    found = []
    for _ in range(WRITERS):
        assert browser.post("/bench/new", entry_key=str(uuid.uuid4()), **bow)[0] == 200
        pk = re.fullmatch(r".*/bench/(\d+)", browser.at)[1]
        assert browser.post(f"/bench/{pk}/weigh", entry_key=str(uuid.uuid4()), **strung)[0] == 200
        found.append(urllib.parse.urlsplit(browser.at).path + "/point")
    return found


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


def at_once(ledger: Served, team: list[Writer], what: str) -> list[str]:
    """All of them write at once; none is refused. The keys that were acknowledged, in order."""
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
    print(f"{WRITERS} writers, {len(acknowledged)} {what} kept, {len(acknowledged) / took:.0f} a second")
    return acknowledged


def test_twenty_people_writing_at_once_lose_nothing(folder):
    with Served(folder) as ledger:
        acknowledged = at_once(ledger, writers(ledger, open_scale(ledger), EACH), "checks of the scale")
    assert sorted(kept(ledger)) == acknowledged


def test_twenty_people_weighing_bows_at_once_lose_no_draw_and_no_forecast(folder):
    """Each draws a bow of its own ten times; every draw is kept, with what was foretold of the next one."""
    with Served(folder) as ledger:
        browser = open_scale(ledger)
        paths = bows_on_the_tree(browser)
        team = [Writer(ledger, *signed_in(browser), EACH, path, next_draw) for path in paths]
        acknowledged = at_once(ledger, team, "draws weighed")
    with closing(sqlite3.connect(ledger.folder / "ledger.sqlite3")) as database:
        assert database.execute("PRAGMA integrity_check").fetchall() == [("ok",)]
        points = database.execute("SELECT entry_key FROM bows_weighpoint").fetchall()
        foretold = database.execute("SELECT count(DISTINCT bow_id) FROM bows_expectation").fetchall()
    assert sorted(str(uuid.UUID(key)) for (key,) in points) == acknowledged
    assert foretold == [(WRITERS,)]


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
