"""`manage.py serve`, run as the README says: from an empty folder to the first page, and what it refuses."""

import http.client
import os
import re
import shutil
import signal
import socket
import sqlite3
import subprocess
import sys
from urllib.parse import urlencode

import pytest

from tests.bad_input.filling import form_on
from tests.served import ROOT, Served, environment, free_port, manage


@pytest.fixture(scope="module")
def ledger(tmp_path_factory):
    """A ledger set up once through its pages, then stopped; tests work on copies of its folder."""
    folder = tmp_path_factory.mktemp("shop") / "data"
    with Served(folder) as served:
        served.set_up()
    return folder, served


def refused(folder, *words, **environ):
    """The one plain sentence a command ends with when it will not."""
    ended = manage(folder, *words, **environ)
    assert ended.returncode != 0
    lines = ended.stderr.strip().splitlines()
    assert len(lines) == 1, ended.stderr
    return lines[0]


def test_an_empty_folder_becomes_a_ledger_that_asks_to_be_set_up(ledger):
    folder, served = ledger
    assert "The ledger is empty" in served.said()
    assert (folder / "ledger.sqlite3").exists()
    assert oct((folder / "secret-key").stat().st_mode & 0o777) == "0o600"
    assert oct(folder.stat().st_mode & 0o777) == "0o700"


def test_ctrl_c_stops_cleanly(ledger):
    _folder, served = ledger
    assert served.process.returncode == 0
    assert served.said().rstrip().endswith("Stopped.")
    assert "Traceback" not in served.said()


def test_a_second_start_does_not_redo_what_is_done(ledger, tmp_path):
    folder = shutil.copytree(ledger[0], tmp_path / "data")
    stamps = {p: p.stat().st_mtime_ns for p in (folder / "static").rglob("*") if p.is_file()}
    with Served(folder) as served:
        assert "up to date" not in served.said()
        assert "static files" not in served.said()
        assert "The ledger is empty" not in served.said()
        status, page = served.browser().get("/")
        assert status == 200 and "Sign in" in page
        assert served.stop(signal.SIGTERM) == 0
    assert {p: p.stat().st_mtime_ns for p in (folder / "static").rglob("*") if p.is_file()} == stamps


def test_the_code_works_once_and_a_wrong_one_never(tmp_path):
    with Served(tmp_path / "data") as served:
        code = served.code()
        form = {"shop_name": "S", "owner_name": "O", "username": "o", "password": "yew-and-ash-1"}
        form |= {"units": "metric", "draw_from": "back", "currency": "GBP", "time_zone": "UTC"}
        status, page = served.browser().post("/set-up", code="AAAAA-AAAAA", **form)
        assert status == 422 and "not the code" in page
        status, _page = served.browser().post("/set-up", code=code.lower().replace("-", " "), **form)
        assert status == 200
        assert not (served.folder / "set-up-code").exists()
        again = served.browser()
        again.get("/set-up")
        assert "/sign-in" in again.at


def test_what_lies_in_the_folder_does_not_tell_the_code(ledger, tmp_path):
    with Served(tmp_path / "data") as served:
        kept = (served.folder / "set-up-code").read_bytes()
        assert served.code().replace("-", "").encode() not in kept
        assert served.code().encode() not in kept


def test_a_port_in_use_is_one_sentence(tmp_path):
    with socket.socket() as other:
        other.bind(("127.0.0.1", 0))
        other.listen()
        port = other.getsockname()[1]
        said = refused(tmp_path / "data", "serve", "--listen", f"127.0.0.1:{port}")
    assert str(port) in said and "in use" in said


@pytest.mark.parametrize("address", ["8000", "127.0.0.1:", "127.0.0.1:http", "127.0.0.1:70000"])
def test_an_address_that_is_none_is_one_sentence(tmp_path, address):
    assert address in refused(tmp_path / "data", "serve", "--listen", address)


def test_a_folder_that_cannot_be_written_is_one_sentence(tmp_path):
    (tmp_path / "file").write_text("no folder")
    assert "cannot be written" in refused(tmp_path / "file" / "data", "serve")
    assert "cannot be written" in refused("/proc", "serve")


def test_a_second_server_on_one_folder_is_one_sentence(ledger, tmp_path):
    folder = shutil.copytree(ledger[0], tmp_path / "data")
    with Served(folder):
        said = refused(folder, "serve", "--listen", f"127.0.0.1:{free_port()}")
    assert "open in another server" in said


def test_a_database_from_a_newer_program_is_one_sentence(ledger, tmp_path):
    folder = shutil.copytree(ledger[0], tmp_path / "data")
    with sqlite3.connect(folder / "ledger.sqlite3") as database:
        database.execute(
            "INSERT INTO django_migrations (app, name, applied) VALUES ('bows', '0999_wings', '2099-01-01')"
        )
    said = refused(folder, "serve", "--listen", f"127.0.0.1:{free_port()}")
    assert "newer program" in said and "0999_wings" in said


def test_a_file_that_is_no_database_is_one_sentence(tmp_path):
    (tmp_path / "ledger.sqlite3").write_bytes(b"shopping list " * 200)
    assert "cannot be opened" in refused(tmp_path, "serve", "--listen", f"127.0.0.1:{free_port()}")


@pytest.mark.parametrize("megabytes", [41, 100])
def test_a_film_sent_for_a_photo_is_refused_in_the_page_and_the_caption_stays(ledger, tmp_path, megabytes):
    folder = shutil.copytree(ledger[0], tmp_path / "data")
    with Served(folder) as served:
        browser = served.browser()
        browser.post("/sign-in", username="wilma", password="yew-and-ash-1")
        typed = filled(browser, "/bench/new", number="26-07")
        browser.send("/bench/new", **typed)
        bow = browser.at.removeprefix(browser.address)
        typed = filled(browser, f"{bow}/photo", caption="a knot on the back")
        status, page = browser.upload(
            f"{bow}/photo", "picture", b"\xff\xd8" + bytes(megabytes * 2**20), **typed
        )
    assert status == 422
    assert "This file is too large: at most 40 MB" in page and "a knot on the back" in page


def filled(browser, path: str, **typed: str) -> dict[str, str]:
    """The form at `path` as the page proposes it, and over it what is typed."""
    _attrs, values = form_on(browser.get(path)[1])
    return {name: given[0] for name, given in values.items()} | typed


def test_behind_a_proxy_that_speaks_https_a_form_is_taken(ledger, tmp_path, monkeypatch):
    """The server itself speaks http; a browser behind the proxy names https as where its form came from."""
    monkeypatch.setenv("HTTPS", "1")
    folder = shutil.copytree(ledger[0], tmp_path / "data")
    with Served(folder) as served:
        proxy = http.client.HTTPConnection("127.0.0.1", served.port)
        proxy.request("GET", "/sign-in")
        page = proxy.getresponse()
        cookie = page.getheader("Set-Cookie")
        token = re.search(r'name="csrfmiddlewaretoken" value="(\w+)"', page.read().decode())[1]
        typed = {"username": "wilma", "password": "yew-and-ash-1", "csrfmiddlewaretoken": token}
        headers = {
            "Origin": f"https://127.0.0.1:{served.port}",
            "Cookie": cookie.partition(";")[0],
            "Content-Type": "application/x-www-form-urlencoded",
        }
        proxy.request("POST", "/sign-in", urlencode(typed), headers)
        answer = proxy.getresponse()
        assert answer.status == 302 and "Secure" in answer.getheader("Set-Cookie")
        proxy.close()


def test_a_foreign_host_name_is_not_answered(ledger, tmp_path):
    folder = shutil.copytree(ledger[0], tmp_path / "data")
    with Served(folder) as served:
        assert served.browser().get("/sign-in", Host="elsewhere.invalid")[0] == 400


def test_the_shops_network_reaches_the_machine_by_its_own_name(ledger, tmp_path):
    folder, port = shutil.copytree(ledger[0], tmp_path / "data"), free_port()
    served = Served(folder, "--listen", f"0.0.0.0:{port}", port=port)  # the last --listen counts
    with served:
        status, page = served.browser().get("/sign-in", Host=f"{socket.gethostname()}:{port}")
        assert status == 200 and "Sign in" in page
        assert served.browser().get("/sign-in", Host="elsewhere.invalid")[0] == 400


def test_a_pending_change_of_the_database_is_preceded_by_a_backup(ledger, tmp_path):
    folder = shutil.copytree(ledger[0], tmp_path / "data")
    undone = manage(folder, "migrate", "axes", "0001", "-v0")
    assert undone.returncode == 0, undone.stderr
    with Served(folder) as served:
        assert "Kept a backup before changing the database" in served.said()
    assert list((folder / "backups").glob("ledger-*-migrate.zip"))


def test_the_demo_lives_in_a_folder_of_its_own_and_is_written_once(tmp_path):
    folder = tmp_path / "data"
    with Served(folder, "--demo") as served:
        assert not folder.exists()
        assert (tmp_path / "data-demo" / "this-is-a-demo").exists()
        passwords = re.findall(r"^  (owner|maker|helper) +(\w+) +(\S+)$", served.said(), re.M)
        assert [role for role, _name, _password in passwords] == ["owner", "maker", "helper"]
        _role, name, password = passwords[0]
        status, page = served.browser().post("/sign-in", username=name, password=password)
        assert status == 200 and "Invented workshop" in page
    with Served(folder, "--demo") as served:
        assert password not in served.said() and "Writing" not in served.said()
    assert not folder.exists()


def test_a_real_ledger_is_never_taken_for_the_demo(ledger, tmp_path):
    folder = shutil.copytree(ledger[0], tmp_path / "data-demo")
    assert "no demo" in refused(tmp_path / "data", "serve", "--demo")
    assert not (folder / "this-is-a-demo").exists()
    assert "--demo in full" in refused(folder, "serve", "--dem")


def test_ctrl_c_while_it_prepares_leaves_no_traceback(tmp_path):
    process = subprocess.Popen(
        [sys.executable, "manage.py", "serve", "--listen", f"127.0.0.1:{free_port()}"],
        cwd=ROOT,
        env=environment(tmp_path / "data"),
        stdout=subprocess.PIPE,
        stderr=subprocess.PIPE,
        text=True,
    )
    assert "ledger lies in" in process.stdout.readline()
    os.kill(process.pid, signal.SIGINT)
    _out, err = process.communicate(timeout=60)
    assert process.returncode == 0 and "Traceback" not in err
