"""What a server needs before it serves: the folder to itself, a port, its own names, its static files."""

import fcntl
import hashlib
import socket
from contextlib import suppress
from pathlib import Path

from django.conf import settings
from django.contrib.staticfiles.finders import get_finders
from django.core.management import call_command

from workshop import __version__
from workshop.folder import Refused

LOCAL_NAMES = ("localhost", "127.0.0.1", "::1")
# Far above what any form takes, so that a film sent for a photo is refused beside its field by the form, not by the
# server with a bare line. What is sent waits on the disk, not in memory, until it is read.
MOST_SENT_BYTES = 256 * 1024 * 1024


def lock_folder(folder: Path):
    """Hold the folder for this process alone. Keep what is returned: closing it lets go."""
    lock = open(folder / "serving.lock", "a")  # noqa: SIM115  (held open as long as the process lives)
    try:
        fcntl.flock(lock, fcntl.LOCK_EX | fcntl.LOCK_NB)
    except OSError as error:
        lock.close()
        raise Refused(f"The ledger in {folder} is open in another server; stop that one first.") from error
    return lock


def read_address(text: str) -> tuple[str, int]:
    """Read HOST:PORT; an IPv6 host stands in brackets.

    >>> read_address("127.0.0.1:8000"), read_address("[::]:80")
    (('127.0.0.1', 8000), ('::', 80))
    """
    host, colon, port = text.rpartition(":")
    if not colon or not host or not port.isdecimal() or not 0 < int(port) < 65536:
        raise Refused(f"--listen takes HOST:PORT, like 127.0.0.1:8000 or 0.0.0.0:8000; this is “{text}”.")
    return host.strip("[]"), int(port)


def take_port(host: str, port: int) -> socket.socket:
    """A listening socket, taken before anything is written, so that a port in use changes nothing."""
    family = socket.AF_INET6 if ":" in host else socket.AF_INET
    taken = socket.socket(family, socket.SOCK_STREAM)
    taken.setsockopt(socket.SOL_SOCKET, socket.SO_REUSEADDR, 1)
    try:
        taken.bind((host, port))
        taken.listen(128)
    except OSError as error:
        taken.close()
        raise Refused(f"{host}, port {port}, cannot be listened on: {error.strerror}.") from error
    return taken


def own_names(host: str) -> list[str]:
    """The names and addresses this machine is reached by, when it listens on `host` for others."""
    if host in LOCAL_NAMES:
        return []
    name = socket.gethostname()
    found = {host, name, name.partition(".")[0], f"{name.partition('.')[0]}.local", socket.getfqdn()}
    with suppress(OSError):
        found |= {info[4][0] for info in socket.getaddrinfo(name, None)}
    for family, far in ((socket.AF_INET, "192.0.2.1"), (socket.AF_INET6, "2001:db8::1")):
        with suppress(OSError), socket.socket(family, socket.SOCK_DGRAM) as probe:
            probe.connect((far, 9))  # sends nothing; only asks which of our addresses would be used
            found.add(probe.getsockname()[0])
    found -= {"0.0.0.0", "::", ""}
    return sorted(f"[{n}]" if ":" in n else n.lower() for n in found)


def static_stamp() -> str:
    """Changes when the program or any static file does."""
    stamp = hashlib.sha256(__version__.encode())
    for finder in get_finders():
        for path, storage in finder.list([]):
            stamp.update(f"{path} {storage.get_modified_time(path).timestamp()}".encode())
    return stamp.hexdigest()


def collect_static(folder: Path) -> bool:
    """Collect the static files, unless that was done for just these. True when it was done now."""
    kept, stamp = folder / "static.stamp", static_stamp()
    if kept.exists() and kept.read_text() == stamp and settings.STATIC_ROOT.is_dir():
        return False
    call_command("collectstatic", interactive=False, clear=True, verbosity=0)
    kept.write_text(stamp)
    return True
