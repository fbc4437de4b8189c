"""`python -m tests.bench [name ...]`: every benchmark, or those named, each against a baseline of the same run."""

import importlib
import os
import pkgutil
import platform
import sys
from pathlib import Path

import tests.bench
from tests.bench.registry import BENCHES


def machine() -> str:
    """What the figures were taken on."""
    cpuinfo = Path("/proc/cpuinfo")
    lines = cpuinfo.read_text().splitlines() if cpuinfo.exists() else []
    named = [line.split(":", 1)[1].strip() for line in lines if line.startswith("model name")]
    model = named[0] if named else platform.processor()
    return f"{model}, {os.cpu_count()} cores, Python {platform.python_version()}"


def main(names: list[str]) -> int:
    for module in pkgutil.iter_modules(tests.bench.__path__):
        if module.name.startswith("bench_"):
            importlib.import_module(f"tests.bench.{module.name}")
    unknown = [name for name in names if name not in BENCHES]
    if unknown:
        print(f"no benchmark {', '.join(unknown)}; there are {', '.join(sorted(BENCHES))}")
        return 2
    print(machine())
    for name in names or sorted(BENCHES):
        print(f"\n{name}")
        for line in BENCHES[name]():
            print(f"  {line}", flush=True)
    return 0


if __name__ == "__main__":
    sys.exit(main(sys.argv[1:]))
