"""`python -m tests.bench [name ...]`: every benchmark, or those named, each against a baseline of the same run."""

import multiprocessing
import os
import platform
import sys
from pathlib import Path

from tests.bench.registry import BENCHES, enter_all, run


def machine() -> str:
    """What the figures were taken on."""
    cpuinfo = Path("/proc/cpuinfo")
    lines = cpuinfo.read_text().splitlines() if cpuinfo.exists() else []
    named = [line.split(":", 1)[1].strip() for line in lines if line.startswith("model name")]
    model = named[0] if named else platform.processor()
    return f"{model}, {os.cpu_count()} cores, Python {platform.python_version()}"


def main(names: list[str]) -> int:
    enter_all()
    unknown = [name for name in names if name not in BENCHES]
    if unknown:
        print(f"no benchmark {', '.join(unknown)}; there are {', '.join(sorted(BENCHES))}")
        return 2
    print(machine(), flush=True)
    failed = 0
    for name in names or sorted(BENCHES):
        # each in a process of its own: settings and ledger are chosen once in a process
        process = multiprocessing.get_context("spawn").Process(target=run, args=(name,))
        process.start()
        process.join()
        failed = failed or process.exitcode
    return failed


if __name__ == "__main__":
    sys.exit(main(sys.argv[1:]))
