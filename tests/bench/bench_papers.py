"""How long the papers take: `python -m tests.bench.bench_papers`. Prints, never asserts."""

import statistics
import time

from tests.documents.papers import stave
from tests.documents.test_pdf_all import PAPERS
from workshop.documents.pdf.stave_tag import stave_tags


def milliseconds(make, rounds: int = 15) -> tuple[float, float]:
    """First run and median of the others [ms]."""
    taken = []
    for _ in range(rounds + 1):
        begun = time.perf_counter()
        make()
        taken.append(1000 * (time.perf_counter() - begun))
    return taken[0], statistics.median(taken[1:])


if __name__ == "__main__":
    sheet = [stave(number) for number in range(1, 25)]
    for name, make in {"sheet of 24 tags": lambda: stave_tags(sheet), **PAPERS}.items():
        first, median = milliseconds(make)
        print(f"{name:20} first {first:6.1f} ms, then {median:6.1f} ms")
