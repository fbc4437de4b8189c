"""Label stock by millimetres: sheets, rolls, cards to cut out; and the ruler that checks the printer."""

from collections.abc import Callable, Sequence
from dataclasses import dataclass

from reportlab.pdfgen.canvas import Canvas

from workshop.documents.pdf import words
from workshop.documents.pdf.layout import MM
from workshop.documents.pdf.press import ENGLISH_A4, PAGE_SIZES_MM, Edition, pressed
from workshop.documents.pdf.text import HAIR, INK, NOTE, SOFT, Style, fit, put

Face = Callable[[object, float, float, float, float], None]  # canvas, x, top, width, height: all in points
MARGIN_FOR_RULER_MM = 9.0
STRIP = 4 * MM  # the foot of a label given up to a ruler where the sheet has no margin for it
DEMO_STRIP = 3 * MM


class LabelStockError(ValueError):
    """Measures of a label sheet that cannot be: `code`, what was `given` and what is `allowed`."""

    def __init__(self, code: str, *, given: float, allowed: str):
        self.code, self.given, self.allowed = code, given, allowed
        super().__init__(f"{code}: given {given:g}; allowed: {allowed}")


@dataclass(frozen=True, kw_only=True)
class LabelStock:
    """A page of equal labels, measured in millimetres from its upper left corner.

    >>> LabelStock.roll(62, 29).per_page
    1
    >>> A4_24.per_page
    24
    """

    page_width_mm: float
    page_height_mm: float
    label_width_mm: float
    label_height_mm: float
    columns: int = 1
    rows: int = 1
    left_mm: float = 0
    top_mm: float = 0
    gap_x_mm: float = 0
    gap_y_mm: float = 0
    cut_lines: bool = False

    @classmethod
    def roll(cls, width_mm: float, height_mm: float) -> "LabelStock":
        """Labels on a roll, or single cards: one to a page, the page no larger than the label."""
        return cls(
            page_width_mm=width_mm,
            page_height_mm=height_mm,
            label_width_mm=width_mm,
            label_height_mm=height_mm,
        )

    @classmethod
    def cards(cls, width_mm: float, height_mm: float, page: str = "A4") -> "LabelStock":
        """Cards to be cut from a plain sheet, as many as it holds within a margin of 15 mm, 5 mm apart."""
        page_width, page_height = PAGE_SIZES_MM[page]
        return cls(
            page_width_mm=page_width,
            page_height_mm=page_height,
            label_width_mm=width_mm,
            label_height_mm=height_mm,
            columns=max(1, int((page_width - 30 + 5) / (width_mm + 5))),
            rows=max(1, int((page_height - 30 + 5) / (height_mm + 5))),
            left_mm=15,
            top_mm=15,
            gap_x_mm=5,
            gap_y_mm=5,
            cut_lines=True,
        )

    def __post_init__(self):
        for name in ("columns", "rows"):
            if not 1 <= getattr(self, name) <= 50:
                raise LabelStockError(name, given=getattr(self, name), allowed="1 to 50")
        for name in ("left_mm", "top_mm", "gap_x_mm", "gap_y_mm"):
            if not 0 <= getattr(self, name) <= 500:
                raise LabelStockError(name, given=getattr(self, name), allowed="0 to 500 mm")
        for name, least in (("label_width_mm", 20), ("label_height_mm", 10)):
            if not least <= getattr(self, name) <= 500:
                raise LabelStockError(name, given=getattr(self, name), allowed=f"{least} to 500 mm")
        for name, page in (("width", self.page_width_mm), ("height", self.page_height_mm)):
            used = self._used_mm(name)
            if not used <= page + 0.05 <= 1000:
                raise LabelStockError(f"page_{name}_mm", given=page, allowed=f"{used:g} to 1000 mm")

    def _used_mm(self, along: str) -> float:
        if along == "width":
            return self.left_mm + self.columns * self.label_width_mm + (self.columns - 1) * self.gap_x_mm
        return self.top_mm + self.rows * self.label_height_mm + (self.rows - 1) * self.gap_y_mm

    @property
    def per_page(self) -> int:
        return self.columns * self.rows

    @property
    def is_roll(self) -> bool:
        return (self.page_width_mm, self.page_height_mm) == (self.label_width_mm, self.label_height_mm)

    def corner(self, place: int) -> tuple[float, float]:
        """Left and top edge [pt, from the page's lower left corner] of label `place`, from 0 by rows."""
        row, column = divmod(place, self.columns)
        left = self.left_mm + column * (self.label_width_mm + self.gap_x_mm)
        top = self.top_mm + row * (self.label_height_mm + self.gap_y_mm)
        return left * MM, (self.page_height_mm - top) * MM

    @property
    def has_ruler_margin(self) -> bool:
        """Whether the ruler finds room beside the labels: under them, or over them."""
        foot = self.page_height_mm - self._used_mm("height")
        return max(foot, self.top_mm) >= MARGIN_FOR_RULER_MM

    def draw_ruler(self, canvas, edition: Edition) -> None:
        """The ruler in the margin under the labels, or over them where that is the wider one."""
        foot = self.page_height_mm - self._used_mm("height")
        y = min(foot / 2, 8) if foot >= MARGIN_FOR_RULER_MM else self.page_height_mm - min(self.top_mm / 2, 8)
        x = max(self.left_mm, 10)
        draw_ruler(canvas, x * MM, y * MM, self.page_width_mm * MM - 2 * x * MM, edition)


A4_24 = LabelStock(
    page_width_mm=210,
    page_height_mm=297,
    label_width_mm=63.5,
    label_height_mm=33.9,
    columns=3,
    rows=8,
    left_mm=7.25,
    top_mm=12.9,
    gap_x_mm=2.5,
)


def draw_ruler(canvas, x: float, y: float, room: float, edition: Edition, most_mm: int = 100) -> None:
    """A ruler along `y`, ticks above it, as long as whole centimetres fit `room` [pt] beside its caption."""
    length, caption, style = _ruler_fitting(room, edition, most_mm)
    canvas.setStrokeGray(INK)
    canvas.setLineWidth(0.5)
    canvas.line(x, y, x + length * MM, y)
    for step in range(0, length + 1, 5):
        tick = 2.6 if step % 50 == 0 else 1.8 if step % 10 == 0 else 1.0
        canvas.line(x + step * MM, y, x + step * MM, y + tick * MM)
    put(canvas, caption, style, x + length * MM + 2 * MM, y + 1.3 * MM + style.leading * len(caption) / 2)


def _ruler_fitting(room: float, edition: Edition, most_mm: int) -> tuple[int, list[str], Style]:
    """The longest ruler with its caption beside it; on a narrow label that is the length alone."""
    for text, shortest in ((edition.say(words.RULER), 30), (words.RULER_SHORT, 10)):
        for length in range(most_mm, shortest - 1, -10):
            beside = room - (length + 2) * MM
            style, lines = fit(text.format(length=length), NOTE, beside, 14, smallest=5, lines=2)
            if beside > 10 * MM and not lines[-1].endswith("…"):
                return length, lines, style
    return 10, [], NOTE


def print_labels(
    faces: Sequence[Face],
    stock: LabelStock,
    *,
    title: str,
    author: str,
    edition: Edition = ENGLISH_A4,
    start: int = 1,
    ruler: bool | None = None,
    demo: bool = False,
) -> bytes:
    """Print one label for each face, beginning at label `start` of the first page (earlier ones are used up).

    `ruler` None prints the check ruler on sheets and leaves it out on rolls.
    """
    if not 1 <= start <= stock.per_page:
        raise LabelStockError("start", given=start, allowed=f"1 to {stock.per_page}")
    ruler = not stock.is_roll if ruler is None else ruler
    size = (stock.page_width_mm * MM, stock.page_height_mm * MM)

    def draw(canvas: Canvas) -> None:
        for number, face in enumerate(faces, start=start - 1):
            place = number % stock.per_page
            last_on_page = place == stock.per_page - 1 or face is faces[-1]
            strip = ruler and last_on_page and not stock.has_ruler_margin
            _label(canvas, face, stock, place, edition, strip=strip, demo=demo)
            if last_on_page:
                if ruler and stock.has_ruler_margin:
                    stock.draw_ruler(canvas, edition)
                canvas.showPage()

    return pressed(draw, size, title=title, author=author, edition=edition)


def _label(canvas, face: Face, stock: LabelStock, place: int, edition: Edition, *, strip: bool, demo: bool):
    x, top = stock.corner(place)
    width, height = stock.label_width_mm * MM, stock.label_height_mm * MM
    if stock.cut_lines:
        canvas.setStrokeGray(HAIR)
        canvas.setLineWidth(0.25)
        canvas.rect(x, top - height, width, height)
    foot = top - height
    if strip:
        draw_ruler(canvas, x + 2 * MM, foot + 1 * MM, width - 4 * MM, edition, most_mm=50)
        foot += STRIP
    if demo:
        style, lines = fit(
            edition.say(words.INVENTED),
            Style(size=6, leading=7, grey=SOFT),
            width - 4 * MM,
            7,
            smallest=3,
            lines=1,
        )
        put(canvas, lines, style, x + 2 * MM, foot + DEMO_STRIP, width=width - 4 * MM, align="centre")
        foot += DEMO_STRIP
    face(canvas, x, top, width, top - foot)
