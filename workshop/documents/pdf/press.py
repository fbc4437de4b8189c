"""From boxes to bytes: the page, its head and foot, and a file that is the same whenever the facts are."""

import io
import threading
from collections.abc import Callable, Sequence
from dataclasses import dataclass

from reportlab.pdfgen.canvas import Canvas

from workshop.documents.pdf import fonts, words
from workshop.documents.pdf.layout import MM, Box, pages_of
from workshop.documents.pdf.text import INK, NOTE, SOFT, Style, fit, put

Say = Callable[[str], str]
PAGE_SIZES_MM = {"A4": (210.0, 297.0), "Letter": (215.9, 279.4)}
LEFT, RIGHT, TOP, FOOT = 20 * MM, 18 * MM, 17 * MM, 20 * MM


@dataclass(frozen=True, kw_only=True)
class Workshop:
    """Whose paper it is: name, address (lines), how to reach the maker, the mark burnt into the bows."""

    name: str
    address: str = ""
    contact: str = ""
    mark: str = ""


@dataclass(frozen=True, kw_only=True)
class Edition:
    """How a paper is printed, apart from what it says: sheet, language and translator of the fixed texts."""

    page: str = "A4"
    lang: str = "en"
    say: Say = str

    def __post_init__(self):
        if self.page not in PAGE_SIZES_MM:
            raise ValueError(f"page: given {self.page!r}; allowed: {', '.join(PAGE_SIZES_MM)}")


ENGLISH_A4 = Edition()


def column_of(edition: Edition) -> float:
    """Width of the one column a paper is set in [pt]."""
    return PAGE_SIZES_MM[edition.page][0] * MM - LEFT - RIGHT


_press = threading.Lock()


def pressed(
    draw: Callable[[Canvas], None], size: tuple[float, float], *, title: str, author: str, edition: Edition
) -> bytes:
    """The file that `draw` paints on pages of `size` [pt]: the same bytes for the same strokes.

    One paper at a time: all share the typeface, whose file ReportLab seeks about in while it cuts out the letters
    a paper uses; two at once read each other's letters.
    """
    fonts.register()
    out = io.BytesIO()
    with _press:
        canvas = Canvas(out, pagesize=size, invariant=1, initialFontName=fonts.PLAIN, lang=edition.lang)
        canvas.setTitle(title)
        canvas.setAuthor(author)
        canvas.setCreator(edition.say(words.LEDGER))
        canvas.setViewerPreference("DisplayDocTitle", "true")
        draw(canvas)
        canvas.save()
    return out.getvalue()


def printed(
    story: Sequence[Box], *, title: str, workshop: Workshop, edition: Edition, demo: bool = False
) -> bytes:
    """Print a story on as many pages as it needs, each with its foot and, if invented, the mark of that."""
    wide, high = (each * MM for each in PAGE_SIZES_MM[edition.page])
    column = column_of(edition)
    pages = pages_of(story, column, high - TOP - FOOT)

    def draw(canvas: Canvas) -> None:
        for number, page in enumerate(pages, start=1):
            for box, top in page:
                box.draw(canvas, LEFT, FOOT + top, column)
            _foot(canvas, title, edition.say(words.PAGE_OF).format(page=number, pages=len(pages)), column)
            if demo:
                _demo_band(canvas, edition.say(words.INVENTED), wide, high)
            canvas.showPage()

    return pressed(draw, (wide, high), title=title, author=workshop.name, edition=edition)


def _foot(canvas, title: str, page: str, column: float) -> None:
    canvas.setLineWidth(0.4)
    canvas.setStrokeGray(SOFT)
    canvas.line(LEFT, FOOT - 4 * MM, LEFT + column, FOOT - 4 * MM)
    style, lines = fit(title, NOTE, column - 30 * MM, NOTE.leading, smallest=5)
    put(canvas, lines, style, LEFT, FOOT - 5.5 * MM)
    put(canvas, [page], NOTE, LEFT, FOOT - 5.5 * MM, width=column, align="right")


def _demo_band(canvas, text: str, wide: float, high: float) -> None:
    style = Style(size=9, leading=12, font=fonts.BOLD)
    band = fonts.width_of(text, style.font, style.size) + 8 * MM
    top = high - 5 * MM
    canvas.setLineWidth(0.9)
    canvas.setStrokeGray(INK)
    canvas.rect((wide - band) / 2, top - 16, band, 16)
    put(canvas, [text], style, (wide - band) / 2, top - 2, width=band, align="centre")
