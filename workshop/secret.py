"""The ledger's secret key: made once, readable by its owner alone."""

import os
import secrets
import tempfile
from contextlib import suppress
from pathlib import Path


def secret_key(path: Path) -> str:
    """Return the key kept at `path`, making it first where there is none.

    The key is complete before it becomes visible, so that two processes starting together agree on one.
    """
    if not path.exists():
        handle, made = tempfile.mkstemp(dir=path.parent)  # mkstemp makes it 0600
        with os.fdopen(handle, "w") as file:
            file.write(secrets.token_urlsafe(50))
            file.flush()
            os.fsync(file.fileno())
        with suppress(FileExistsError):
            os.link(made, path)
        os.unlink(made)
    return path.read_text().strip()
