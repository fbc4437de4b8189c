"""The tag that hangs on a bow: with its measured rating, or plain where none was measured."""

from dataclasses import dataclass

from workshop.documents.pdf import fonts, qr, words
from workshop.documents.pdf.labels import DEMO_STRIP, LabelStock, print_labels
from workshop.documents.pdf.layout import MM, Box, OneLine, Row, Rule, Space, Stack, Text
from workshop.documents.pdf.press import ENGLISH_A4, Edition, Say
from workshop.documents.pdf.text import HAIR, INK, SOFT, Style

CARD_ON_A4 = LabelStock.cards(55, 90)
PAD = 4 * MM
HOLE = 2.5 * MM
CODE = 19 * MM
SMALLEST = 6.5  # of the caution and the address, before scaling


@dataclass(frozen=True, kw_only=True)
class BowTag:
    """What any tag says of its bow, in the maker's words and units. `date` is the day of the tag."""

    number: str
    maker: str
    address: str = ""
    timber: str = ""
    length: str = ""
    brace_height: str = ""
    string: str = ""
    date: str = ""
    code: str = ""
    demo: bool = False


@dataclass(frozen=True, kw_only=True)
class PlainTag(BowTag):
    """A tag that states no draw weight."""


@dataclass(frozen=True, kw_only=True)
class RatingTag(BowTag):
    """A tag with the measured rating. `measured_from` says where the draw is measured from, `also` the same
    rating in other units."""

    weight: str
    draw: str
    measured_from: str
    also: str = ""


def rating_tag(
    facts: RatingTag,
    stock: LabelStock = CARD_ON_A4,
    *,
    start: int = 1,
    ruler: bool | None = None,
    edition: Edition = ENGLISH_A4,
) -> bytes:
    """A swing tag with weight, draw and where that draw is measured from; a rating lacking one is refused."""
    for name in ("weight", "draw", "measured_from"):
        if not getattr(facts, name).strip():
            raise ValueError(f"a rating tag needs its {name}")
    return _print(facts, words.RATING_TAG, stock, start, ruler, edition)


def plain_tag(
    facts: PlainTag,
    stock: LabelStock = CARD_ON_A4,
    *,
    start: int = 1,
    ruler: bool | None = None,
    edition: Edition = ENGLISH_A4,
) -> bytes:
    """A swing tag without a weight, which can always be printed."""
    return _print(facts, words.PLAIN_TAG, stock, start, ruler, edition)


def caution(facts: BowTag, say: Say) -> str:
    """What never to do, as the tag has room for; the page that shows it says the same."""
    if isinstance(facts, RatingTag):
        return say(words.TAG_CAUTION_RATED).format(draw=facts.draw)
    return say(words.TAG_CAUTION)


def _print(facts: BowTag, title: str, stock: LabelStock, start, ruler, edition: Edition) -> bytes:
    return print_labels(
        [_face(facts, edition)],
        stock,
        title=edition.say(title).format(number=facts.number),
        author=facts.maker,
        edition=edition,
        start=start,
        ruler=ruler,
        demo=facts.demo,
    )


def smallest_print_pt(facts: BowTag, stock: LabelStock, edition: Edition = ENGLISH_A4) -> float:
    """Size of the smallest print on the tag [pt]: what is much below 5 only a keen eye reads."""
    height = stock.label_height_mm * MM - (DEMO_STRIP if facts.demo else 0)
    return SMALLEST * _fitted(facts, edition, stock.label_width_mm * MM, height).card.scale


def _face(facts: BowTag, edition: Edition):
    def paint(canvas, x, top, width, height):
        fitted = _fitted(facts, edition, width, height)
        pad, column, body, foot = fitted.pad, fitted.column, fitted.body, fitted.foot
        _hole(
            canvas,
            *((x + pad + HOLE, top - height / 2) if width > height else (x + width / 2, top - pad - HOLE)),
        )
        left, bottom = x + width - pad - column, top - height + pad
        body.draw(canvas, left, bottom + fitted.room, column)
        foot.draw(canvas, left, bottom + foot.height(column), column)

    return paint


@dataclass(frozen=True)
class _Fitted:
    """A card at the largest scale that holds it whole, and where its parts go."""

    card: "_Card"
    body: Box
    foot: Box
    pad: float
    column: float
    room: float


def _fitted(facts: BowTag, edition: Edition, width: float, height: float) -> _Fitted:
    """Below two fifths of their size the texts are cut to few lines as well: then only a glass reads them."""
    lying = width > height
    pad = min(PAD, 0.09 * min(width, height))
    column = width - 2 * pad - (2.6 * HOLE if lying else 0)
    room = height - 2 * pad - (0 if lying else 2.6 * HOLE)
    for card in (
        *(_Card(facts, edition, step / 20) for step in range(20, 7, -1)),
        *(_Card(facts, edition, step / 20, most=1) for step in range(8, 3, -1)),
    ):
        body, foot = (card.lying(column), Stack([])) if lying else (card.standing(), card.foot())
        if body.height(column) + foot.height(column) <= room:
            break
    return _Fitted(card, body, foot, pad, column, room)


def _hole(canvas, x: float, y: float) -> None:
    """Where the cord goes through: a circle to punch, and its centre."""
    canvas.setStrokeGray(HAIR)
    canvas.setLineWidth(0.4)
    canvas.circle(x, y, HOLE)
    canvas.line(x - 1, y, x + 1, y)
    canvas.line(x, y - 1, x, y + 1)


@dataclass(frozen=True)
class _Card:
    """The tag's texts at one scale; `most` cuts them to few lines where the smallest scale is too large."""

    facts: BowTag
    edition: Edition
    scale: float
    most: int = 0

    def text(self, said: str, size: float, *, bold: bool = False, grey: float = INK, lines: int = 1) -> Text:
        style = Style(fonts.BOLD if bold else fonts.PLAIN, size, size * 1.25, grey).at(size * self.scale)
        return Text(said, style, most=self.most and lines)

    def large(self, said: str, size: float) -> OneLine:
        return OneLine(said, Style(fonts.BOLD, size, size * 1.25).at(size * self.scale))

    def standing(self) -> Box:
        return Stack([*self._answer(), self._rule(), *self._particulars()])

    def lying(self, column: float) -> Box:
        """The weight and what never to do at the left; what the bow is, and its code, at the right."""
        left = Stack([*self._answer(), self._rule(), self._warning()])
        code = [Space(4 * self.scale), Row([Space(0), self._code()], [None, self._code_size], 0)]
        right = Stack([*self._particulars(), *(code if self.facts.code else [])])
        return Row([left, right], [None, min(38 * MM, 0.52 * column)], 2 * MM)

    def foot(self) -> Box:
        """What never to do, the maker's address, and the code of this bow."""
        box = self._warning()
        if self.facts.code:
            box = Row([box, self._code()], [None, self._code_size], 1 * MM)
        return Stack([self._rule(), box])

    def _warning(self) -> Box:
        said = caution(self.facts, self.edition.say)
        return Stack(
            [
                self.text(said, SMALLEST, lines=3),
                Space(3 * self.scale),
                self.text(self.facts.address, SMALLEST, lines=2),
            ]
        )

    @property
    def _code_size(self) -> float:
        return max(CODE * self.scale, qr.smallest_mm(self.facts.code) * MM)

    def _code(self) -> Box:
        return qr.square(self.facts.code, self._code_size)

    def _rule(self) -> Box:
        return Rule(0.6, above=4 * self.scale, below=4 * self.scale)

    def _answer(self) -> list[Box]:
        """The figure a buyer looks for; on a plain tag the number and a word that no weight is stated."""
        facts, say = self.facts, self.edition.say
        maker = self.text(facts.maker, 9, bold=True, lines=2)
        if isinstance(facts, RatingTag):
            return [
                maker,
                self.large(facts.weight, 30),
                self.large(say(words.AT_DRAW).format(draw=facts.draw), 13),
                self.text(facts.measured_from, 7.5, lines=2),
                self.text(facts.also, 7.5),
            ]
        return [
            maker,
            self.large(facts.number, 30),
            self.text(say(words.NO_WEIGHT_STATED), 7.5, lines=2),
        ]

    def _particulars(self) -> list[Box]:
        facts = self.facts
        shown = [
            (words.BOW, facts.number),
            (words.TIMBER, facts.timber),
            (words.LENGTH, facts.length),
            (words.BRACE_HEIGHT, facts.brace_height),
            (words.STRING, facts.string),
            (words.DATE, facts.date),
        ]
        return [
            Row(
                [self.text(self.edition.say(label), 7, grey=SOFT), self.text(said, 7)],
                [15 * MM * self.scale, None],
                1.5 * MM,
            )
            for label, said in shown
            if said
        ]
