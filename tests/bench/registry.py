"""What `python -m tests.bench` runs: functions that measure and yield lines to print. None asserts a time."""

import time
from collections.abc import Callable, Iterable

Bench = Callable[[], Iterable[str]]
BENCHES: dict[str, Bench] = {}


def bench(name: str) -> Callable[[Bench], Bench]:
    """Enter a function under a name; any `bench_*.py` beside this file is found by itself."""

    def enter(function: Bench) -> Bench:
        BENCHES[name] = function
        return function

    return enter


def best_ms(make: Callable[[], object], rounds: int = 15) -> float:
    """Shortest of several runs [ms], after one to warm up: what the work costs on an idle machine."""
    make()
    taken = []
    for _ in range(rounds):
        begun = time.perf_counter()
        make()
        taken.append(time.perf_counter() - begun)
    return 1000 * min(taken)
