"""Stave tag: what goes on a piece of wood the day it is split."""

from collections.abc import Sequence
from dataclasses import dataclass

from workshop.documents.pdf import fonts, qr, words
from workshop.documents.pdf.fonts import width_of
from workshop.documents.pdf.labels import A4_24, LabelStock, print_labels
from workshop.documents.pdf.layout import MM
from workshop.documents.pdf.press import ENGLISH_A4, Edition
from workshop.documents.pdf.text import INK, Style, fit, one_line, put, wrap

PAD = 2.5 * MM
LARGEST_CODE = 32 * MM
LINE = Style(size=9, leading=11)
SMALLEST = 5
SMALLEST_NUMBER = 10


@dataclass(frozen=True, kw_only=True)
class StaveTag:
    """The words on one tag. `felled` is a date as the maker writes it, `code` what the QR code says."""

    tag: str
    timber: str
    felled: str = ""
    piece: str = ""
    place: str = ""
    maker: str = ""
    code: str = ""
    demo: bool = False


def stave_tags(
    tags: Sequence[StaveTag],
    stock: LabelStock = A4_24,
    *,
    start: int = 1,
    ruler: bool | None = None,
    edition: Edition = ENGLISH_A4,
) -> bytes:
    """Tags on a sheet beginning at label `start`, or on a roll; one tag is a sheet of one."""
    if not tags:
        raise ValueError("no tag was given; at least one is needed")
    say = edition.say
    title = (
        say(words.STAVE_TAG).format(tag=tags[0].tag)
        if len(tags) == 1
        else say(words.STAVE_TAGS).format(first=tags[0].tag, last=tags[-1].tag)
    )
    return print_labels(
        [_face(tag, edition) for tag in tags],
        stock,
        title=title,
        author=tags[0].maker,
        edition=edition,
        start=start,
        ruler=ruler,
        demo=any(tag.demo for tag in tags),
    )


def _face(tag: StaveTag, edition: Edition):
    felled = edition.say(words.FELLED).format(date=tag.felled) if tag.felled else ""
    details = [each for each in (tag.timber, felled, tag.piece, tag.place, tag.maker) if each]

    def paint(canvas, x, top, width, height):
        left, high, wide = x + PAD, height - 2 * PAD, width - 2 * PAD
        if tag.code and height > 1.2 * width:
            size = min(width, 0.45 * height, LARGEST_CODE)
            qr.draw(canvas, tag.code, x + (width - size) / 2, top - height, size)
            high -= size - PAD
        elif tag.code:
            # The quiet zone is white anyway, so the code may come up to the label's edge.
            size = min(height, 0.45 * width, LARGEST_CODE)
            qr.draw(canvas, tag.code, x + width - size, top - (height + size) / 2, size)
            wide -= size - PAD
        foot = _number(canvas, tag.tag, left, top - PAD, wide, high * 0.36)
        _details(canvas, details, left, foot, wide, high - (top - PAD - foot))

    return paint


def _number(canvas, text: str, x: float, top: float, width: float, height: float) -> float:
    """The tag's number as large as it goes, over a pencil line; returns the height where the rest begins.

    On one line as long as it can be read there: a number broken in two is another number.
    """
    largest = min(22, height / 1.1)
    hand = Style(fonts.BOLD, largest, largest * 1.1)
    style, lines = fit(text, hand, width, height, smallest=min(largest, SMALLEST_NUMBER), lines=1)
    if width_of(text, style.font, style.size) > width:
        style, lines = fit(text, hand, width, height, smallest=6)
    foot = put(canvas, lines, style, x, top) - 0.8 * MM
    canvas.setStrokeGray(INK)
    canvas.setLineWidth(0.5)
    canvas.line(x, foot, x + width, foot)
    return foot - 0.8 * MM


def _details(canvas, details: list[str], x: float, top: float, width: float, height: float) -> None:
    """The other lines, all at the largest size that holds them whole; only then cut to one line each."""
    size = LINE.size
    while size >= SMALLEST:
        style = LINE.at(size)
        lines = [line for each in details for line in wrap(each, style, width)]
        room = int(height / style.leading + 1e-6)
        if len(lines) <= room:
            break
        size -= 0.5
    else:
        lines = [line for each in details for line in one_line(each, style, width)][:room]
    put(canvas, lines, style, x, top)
