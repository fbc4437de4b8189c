"""Order sheet: what was agreed, for whom, at what price and by when."""

from dataclasses import dataclass

from workshop.documents.pdf import words
from workshop.documents.pdf.layout import MM, Box, Row, Rule, Space, Stack, Text, Whole
from workshop.documents.pdf.parts import figure, heading, masthead, section
from workshop.documents.pdf.press import ENGLISH_A4, Edition, Workshop, printed
from workshop.documents.pdf.text import LABEL, STRONG, TEXT

PRICE_COLUMN = 32 * MM


@dataclass(frozen=True, kw_only=True)
class Party:
    """One person of the order in one part: who pays, who shoots, who answers for a child."""

    part: str
    name: str
    address: str = ""
    contact: str = ""
    measures: str = ""


@dataclass(frozen=True, kw_only=True)
class Line:
    """One thing ordered: what, its particulars as (name, words), how many, and the price of the line."""

    what: str
    particulars: tuple[tuple[str, str], ...] = ()
    quantity: str = ""
    price: str = ""


@dataclass(frozen=True, kw_only=True)
class OrderSheet:
    """An order, worded; money already written in the workshop's currency. What is empty is left out."""

    workshop: Workshop
    number: str
    date: str = ""
    state: str = ""
    promised: str = ""
    parties: tuple[Party, ...] = ()
    lines: tuple[Line, ...] = ()
    price: str = ""
    deposit: str = ""
    paid: str = ""
    still_due: str = ""
    notes: str = ""
    terms: str = ""
    code: str = ""
    demo: bool = False


def order_sheet(facts: OrderSheet, *, edition: Edition = ENGLISH_A4) -> bytes:
    """Promised date, persons, each line with its particulars and price, the money, the terms, two signatures."""
    say = edition.say
    number = say(words.ORDER_NUMBERED).format(number=facts.number)
    about = " · ".join(each for each in (number, facts.date, facts.state) if each)
    story = [
        masthead(facts.workshop),
        heading(say(words.ORDER_SHEET), about, code=facts.code),
        *([figure(say(words.PROMISED), facts.promised)] if facts.promised else []),
        *_parties(facts, edition),
        *_lines(facts, edition),
        *_money(facts, edition),
        *(section(say(words.NOTES), Text(facts.notes)) if facts.notes else []),
        *(section(say(words.TERMS), Text(facts.terms)) if facts.terms else []),
        _signatures(edition),
    ]
    return printed(story, title=number, workshop=facts.workshop, edition=edition, demo=facts.demo)


def _parties(facts: OrderSheet, edition: Edition) -> list[Box]:
    def told(party: Party) -> Box:
        rest = "\n".join(each for each in (party.address, party.contact, party.measures) if each)
        return Row([Text(party.part, LABEL), Stack([Text(party.name, STRONG), Text(rest)])], [30 * MM, None])

    if not facts.parties:
        return []
    spaced = [Stack([told(party), Space(1.5 * MM)]) for party in facts.parties]
    return section(edition.say(words.PERSONS), *spaced)


def _lines(facts: OrderSheet, edition: Edition) -> list[Box]:
    def told(line: Line) -> list[Box]:
        what = " × ".join(each for each in (line.quantity, line.what) if each)
        boxes = [Row([Text(what, STRONG), Text(line.price, TEXT, "right")], [None, PRICE_COLUMN])]
        boxes += [Row([Text(name, LABEL), Text(said)], [30 * MM, None]) for name, said in line.particulars]
        return [*boxes, Space(2 * MM)]

    boxes = [box for line in facts.lines for box in told(line)]
    return section(edition.say(words.ORDERED), *boxes) if boxes else []


def _money(facts: OrderSheet, edition: Edition) -> list[Box]:
    sums = (
        (words.PRICE, facts.price, TEXT),
        (words.DEPOSIT, facts.deposit, TEXT),
        (words.PAID, facts.paid, TEXT),
        (words.STILL_DUE, facts.still_due, STRONG),
    )
    rows = [
        Row([Text(edition.say(name), LABEL), Text(said, style, "right")], [None, PRICE_COLUMN])
        for name, said, style in sums
        if said
    ]
    return [Whole(section(edition.say(words.MONEY), Stack(rows)))] if rows else []


def _signatures(edition: Edition) -> Box:
    def line(name: str) -> Box:
        return Stack([Space(14 * MM), Rule(0.6, above=0, below=1), Text(edition.say(name), LABEL)])

    return Whole([Row([line(words.FOR_THE_WORKSHOP), line(words.ORDERED_BY)], [78 * MM, None], 10 * MM)])
