"""What `python -m tests.bench` runs: functions that measure and yield lines to print. None asserts a time."""

import importlib
import pkgutil
import time
from collections.abc import Callable, Iterable
from pathlib import Path

Bench = Callable[[], Iterable[str]]
BENCHES: dict[str, Bench] = {}


def bench(name: str) -> Callable[[Bench], Bench]:
    """Enter a function under a name; any `bench_*.py` beside this file is found by itself."""

    def enter(function: Bench) -> Bench:
        BENCHES[name] = function
        return function

    return enter


def enter_all() -> None:
    """Every benchmark of this folder."""
    for module in pkgutil.iter_modules([str(Path(__file__).parent)]):
        if module.name.startswith("bench_"):
            importlib.import_module(f"tests.bench.{module.name}")


def run(name: str) -> None:
    """One benchmark, printed as it goes."""
    enter_all()
    print(f"\n{name}")
    for line in BENCHES[name]():
        print(f"  {line}", flush=True)


def best_ms(make: Callable[[], object], rounds: int = 15) -> float:
    """Shortest of several runs [ms], after one to warm up: what the work costs on an idle machine."""
    make()
    taken = []
    for _ in range(rounds):
        begun = time.perf_counter()
        make()
        taken.append(time.perf_counter() - begun)
    return 1000 * min(taken)
