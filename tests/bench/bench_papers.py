"""How long the papers take, against a page with nothing on it by the same library."""

import io
import statistics
import time

from tests.bench.registry import bench, best_ms

ROUNDS = 8


@bench("papers")
def papers():
    """Every paper and a sheet of 24 stave tags: the first in the process, which loads its fonts, then the median."""
    from reportlab.pdfgen.canvas import Canvas

    from tests.documents.papers import stave
    from tests.documents.test_pdf_all import PAPERS
    from workshop.documents.pdf.stave_tag import stave_tags

    def empty() -> bytes:
        canvas = Canvas(buffer := io.BytesIO())
        canvas.showPage()
        canvas.save()
        return buffer.getvalue()

    bare = best_ms(empty, ROUNDS)
    yield f"{'an empty page':18} {bare:6.1f} ms"
    tags = [stave(number) for number in range(1, 25)]
    for name, make in {"sheet of 24 tags": lambda: stave_tags(tags), **PAPERS}.items():
        taken = []
        for _ in range(ROUNDS):
            begun = time.perf_counter()
            made = make()
            taken.append(1000 * (time.perf_counter() - begun))
            assert made.startswith(b"%PDF")
        median = statistics.median(taken[1:])
        hold = "   (hold: 300 ms)" if name == "sheet of 24 tags" else ""
        yield f"{name:18} {median:6.1f} ms, {median / bare:5.1f} times that; the first {taken[0]:.0f} ms{hold}"
