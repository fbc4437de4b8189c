"""How long the papers take. Prints, never asserts a time: `pytest -m bench -s tests/bench/test_papers.py`."""

import statistics
import time

import pytest

from tests.documents.papers import stave
from tests.documents.test_pdf_all import PAPERS
from workshop.documents.pdf.stave_tag import stave_tags

SHEET = [stave(number) for number in range(1, 25)]
MEASURED = {"sheet of 24 tags": lambda: stave_tags(SHEET), **PAPERS}


@pytest.mark.bench
@pytest.mark.parametrize(("name", "make"), MEASURED.items(), ids=MEASURED)
def test_how_long_a_paper_takes(name, make):
    taken = []
    for _ in range(8):
        begun = time.perf_counter()
        assert make().startswith(b"%PDF")
        taken.append(1000 * (time.perf_counter() - begun))
    print(f"{name}: first {taken[0]:.0f} ms, then {statistics.median(taken[1:]):.0f} ms")
