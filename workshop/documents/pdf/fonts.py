"""The one typeface of the papers: DejaVu Sans Condensed, which has the marks a maker writes (⅜ ′ ″ − ✓ Ж)."""

import functools
import threading
from pathlib import Path

from reportlab.pdfbase import pdfmetrics
from reportlab.pdfbase.ttfonts import TTFont

FONT_DIR = Path(__file__).resolve().parents[3] / "static" / "vendor" / "dejavu"
PLAIN, BOLD = "Ledger", "Ledger-Bold"
FILES = {PLAIN: "DejaVuSansCondensed.ttf", BOLD: "DejaVuSansCondensed-Bold.ttf"}


_one_at_a_time = threading.Lock()


def register() -> None:
    """Make both weights known to ReportLab, once in a process: parsing takes longer than a paper.

    A second registration while a paper is being set would give that paper two fonts of one name, hence the lock.
    """
    with _one_at_a_time:
        _register()


@functools.cache
def _register() -> None:
    for name, file in FILES.items():
        pdfmetrics.registerFont(TTFont(name, str(FONT_DIR / file)))


def width_of(text: str, font: str, size: float) -> float:
    """Width of one line [pt]."""
    register()
    return pdfmetrics.stringWidth(text, font, size)


def unprintable(text: str) -> str:
    """The characters of `text` that the typeface lacks, each once: they would print as empty boxes.

    >>> unprintable("Größe ł ž Ж ½ ⅜ 5′ 10″ − ✓")
    ''
    >>> unprintable("弓 and 弓")
    '弓'
    """
    register()
    known = pdfmetrics.getFont(PLAIN).face.charToGlyph
    return "".join(dict.fromkeys(char for char in text if char.isprintable() and ord(char) not in known))
