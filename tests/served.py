"""A ledger really served: `manage.py` as a process of its own, on a folder and a port of its own, loopback only."""

import http.cookiejar
import os
import re
import signal
import socket
import subprocess
import sys
import time
import urllib.error
import urllib.parse
import urllib.request
import uuid
from pathlib import Path

ROOT = Path(__file__).resolve().parents[1]
PATIENCE_SECONDS = 180  # a two-core machine with other work to do; nothing is asserted about speed


def free_port() -> int:
    with socket.socket() as probe:
        probe.bind(("127.0.0.1", 0))
        return probe.getsockname()[1]


def manage(folder: Path, *words: str, **environ: str) -> subprocess.CompletedProcess:
    """Run one command of manage.py to its end."""
    return subprocess.run(
        [sys.executable, "manage.py", *words],
        cwd=ROOT,
        env=environment(folder, **environ),
        capture_output=True,
        text=True,
        timeout=2 * PATIENCE_SECONDS,
    )


def environment(folder: Path, **environ: str) -> dict[str, str]:
    kept = {k: v for k, v in os.environ.items() if k not in ("DJANGO_SETTINGS_MODULE", "PYTHONWARNINGS")}
    return {**kept, "LEDGER_DATA": str(folder), "DATABASE_URL": "", "PYTHONUNBUFFERED": "1", **environ}


class Served:
    """`with Served(folder) as ledger:` - the ledger answers inside the block and is stopped with Ctrl-C after it."""

    def __init__(self, folder: Path, *words: str, port: int | None = None):
        self.folder, self.words, self.port = folder, words, port or free_port()

    def __enter__(self):
        self.log = self.folder.parent / f"{self.folder.name}-{self.port}.log"
        self._out = self.log.open("w")
        self.process = subprocess.Popen(
            [sys.executable, "manage.py", "serve", "--listen", f"127.0.0.1:{self.port}", *self.words],
            cwd=ROOT,
            env=environment(self.folder),
            stdout=self._out,
            stderr=subprocess.STDOUT,
        )
        until = time.monotonic() + PATIENCE_SECONDS
        while "Stop with Ctrl-C" not in self.said():
            if self.process.poll() is not None or time.monotonic() > until:
                self.stop(signal.SIGKILL)
                self._out.close()
                raise AssertionError(f"The ledger does not answer:\n{self.said()}")
            time.sleep(0.05)
        return self

    def __exit__(self, *error):
        self.stop()
        self._out.close()

    def said(self) -> str:
        return self.log.read_text()

    def code(self) -> str:
        until = time.monotonic() + PATIENCE_SECONDS
        while not (shown := re.search(r"code: (\S+)", self.said())) and time.monotonic() < until:
            time.sleep(0.05)
        return shown[1]

    def stop(self, how=signal.SIGINT) -> int:
        if self.process.poll() is None:
            self.process.send_signal(how)
        return self.process.wait(PATIENCE_SECONDS)

    def browser(self) -> "Browser":
        return Browser(f"http://127.0.0.1:{self.port}")

    def set_up(self) -> "Browser":
        """Set up the invented workshop; the owner is signed in in the browser that comes back."""
        browser = self.browser()
        status, page = browser.post(
            "/set-up",
            code=self.code(),
            shop_name="Invented Workshop",
            owner_name="Wilma Ashdown",
            username="wilma",
            password="yew-and-ash-1",
            units="imperial",
            draw_from="back",
            currency="EUR",
            time_zone="UTC",
        )
        assert status == 200 and "Wilma Ashdown" in page, page
        return browser


class Browser:
    """Cookies, forms and redirects; each thread wants one of its own."""

    def __init__(self, address: str):
        self.address = address
        self.jar = http.cookiejar.CookieJar()
        self._opener = urllib.request.build_opener(
            urllib.request.ProxyHandler({}), urllib.request.HTTPCookieProcessor(self.jar)
        )

    def _open(self, request) -> tuple[int, str]:
        try:
            with self._opener.open(request, timeout=PATIENCE_SECONDS) as answer:
                self.at = answer.url
                return answer.status, answer.read().decode()
        except urllib.error.HTTPError as error:
            return error.code, error.read().decode()

    def get(self, path: str, **headers: str) -> tuple[int, str]:
        return self._open(urllib.request.Request(self.address + path, headers=headers))

    def post(self, path: str, **fields: str) -> tuple[int, str]:
        """Fill and send the form that stands at `path`."""
        _status, page = self.get(path)
        token = re.search(r'name="csrfmiddlewaretoken" value="(\w+)"', page)
        return self.send(path, csrfmiddlewaretoken=token[1] if token else "", **fields)

    def send(self, path: str, **fields: str) -> tuple[int, str]:
        data = urllib.parse.urlencode(fields).encode()
        return self._open(urllib.request.Request(self.address + path, data=data))

    def upload(self, path: str, name: str, content: bytes, **fields: str) -> tuple[int, str]:
        """Send the form at `path` with a file, as a browser does."""
        mark = uuid.uuid4().hex
        parts = [
            f'--{mark}\r\nContent-Disposition: form-data; name="{k}"\r\n\r\n{v}' for k, v in fields.items()
        ]
        parts.append(f'--{mark}\r\nContent-Disposition: form-data; name="{name}"; filename="{name}.jpg"\r\n')
        data = "\r\n".join(parts).encode() + b"\r\n" + content + f"\r\n--{mark}--\r\n".encode()
        kind = {"Content-Type": f"multipart/form-data; boundary={mark}"}
        return self._open(urllib.request.Request(self.address + path, data=data, headers=kind))
