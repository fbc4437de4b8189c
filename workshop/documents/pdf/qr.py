"""QR codes (ISO/IEC 18004), error level M, with their quiet zone of four modules, drawn as one path."""

import functools

import segno

from workshop.documents.pdf.layout import MM, Drawing

QUIET = 4
SMALLEST_MODULE_MM = 0.25  # finer squares run together on a 300 dpi laser (three dots a square)


class QrTooSmall(ValueError):
    """The square left for a code is too small for what it shall say."""

    def __init__(self, size_mm: float, needed_mm: float):
        self.size_mm, self.needed_mm = size_mm, needed_mm
        super().__init__(f"a code {size_mm:.1f} mm wide was asked for; this address needs {needed_mm:.1f} mm")


@functools.lru_cache(maxsize=256)
def _matrix(text: str) -> tuple[bytes, ...]:
    return tuple(bytes(row) for row in segno.make(text, error="m", micro=False, boost_error=False).matrix)


def smallest_mm(text: str) -> float:
    """The narrowest square, quiet zone included, in which `text` can still be read back.

    >>> round(smallest_mm("https://ledger.invalid/b/2026-014"), 2)
    9.25
    """
    return (len(_matrix(text)) + 2 * QUIET) * SMALLEST_MODULE_MM


def draw(canvas, text: str, x: float, y: float, size: float) -> None:
    """Draw the code in the square of `size` [pt] with lower left corner (x, y), quiet zone inside."""
    if size < smallest_mm(text) * MM - 1e-6:
        raise QrTooSmall(size / MM, smallest_mm(text))
    matrix = _matrix(text)
    module = size / (len(matrix) + 2 * QUIET)
    path = canvas.beginPath()
    for row, dark in enumerate(matrix):
        start = 0
        while start < len(dark):
            end = start
            while end < len(dark) and dark[end]:
                end += 1
            if end > start:
                path.rect(
                    x + (QUIET + start) * module,
                    y + size - (QUIET + row + 1) * module,
                    (end - start) * module,
                    module,
                )
            start = max(end, start + 1)
    canvas.setFillGray(0)
    canvas.drawPath(path, stroke=0, fill=1)


def square(text: str, size: float) -> Drawing:
    """The code as a box of `size` [pt] whose dark squares end flush with the right edge of the column.

    The quiet zone at the right lies over the paper's own margin, which is wider.
    """
    quiet = size * QUIET / (len(_matrix(text)) + 2 * QUIET)
    return Drawing(size, lambda canvas, x, top, width: draw(canvas, text, x + quiet, top - size, size))
