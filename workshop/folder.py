"""The data folder: where it lies, and that it can be written. Settled before the settings are read.

The invented workshop (`serve --demo`) lives in a folder and a database of its own, marked as a demo, so that it can
never be taken for a real ledger nor mix with one.
"""

import tempfile
from collections.abc import MutableMapping, Sequence
from pathlib import Path

HOME = Path(__file__).resolve().parent.parent
DEMO_MARK = "this-is-a-demo"


class Refused(Exception):
    """What cannot be done, in one plain sentence for whoever sits at the terminal."""


def of_environment(environ: MutableMapping[str, str]) -> Path:
    """The folder the environment names, else `data/` beside the program."""
    return Path(environ.get("LEDGER_DATA") or HOME / "data").resolve()


def prepare(folder: Path) -> Path:
    """Make the folder where there is none (for its owner alone) and prove that it can be written."""
    try:
        folder.mkdir(mode=0o700, parents=True, exist_ok=True)
        with tempfile.TemporaryFile(dir=folder):
            pass
    except OSError as error:
        raise Refused(f"The data folder {folder} cannot be written: {error.strerror}.") from error
    return folder


def turn_to_demo(argv: Sequence[str], environ: MutableMapping[str, str]) -> None:
    """For `serve --demo`, point the environment at the demo's own folder and at no database but the one in it."""
    if "serve" not in argv[1:2] or "--demo" not in argv:
        return
    real = of_environment(environ)
    demo = real.with_name("demo-data" if real == HOME / "data" else real.name + "-demo")
    prepare(demo)
    mark = demo / DEMO_MARK
    if not mark.exists():
        if (demo / "ledger.sqlite3").exists():
            raise Refused(f"The folder {demo} holds a ledger that is no demo; move it away first.")
        mark.write_text("Everything in this folder is invented. It may be deleted whole.\n")
    environ["LEDGER_DATA"], environ["DATABASE_URL"] = str(demo), ""
