"""Care sheet: what the maker tells whoever takes this one bow home."""

from dataclasses import dataclass

from workshop.documents.pdf import words
from workshop.documents.pdf.drawings import STRUNG_BOW_HIGH, strung_bow
from workshop.documents.pdf.layout import Box, Drawing, Text
from workshop.documents.pdf.parts import fact, figure, heading, listed, masthead, section
from workshop.documents.pdf.press import ENGLISH_A4, Edition, Say, Workshop, printed
from workshop.documents.pdf.text import STRONG


@dataclass(frozen=True, kw_only=True)
class CareSheet:
    """The facts of one bow, worded. Without `weight` the sheet says that no rating was measured.

    `lightest_arrow` is a mass as the maker writes it, `upper_limb` where the mark of the upper limb stands,
    `terms` the warranty and terms that hold on `date`.
    """

    workshop: Workshop
    number: str
    date: str
    brace_height: str
    string: str
    lightest_arrow: str
    upper_limb: str
    archer: str = ""
    timber: str = ""
    length: str = ""
    weight: str = ""
    draw: str = ""
    measured_from: str = ""
    arrow_length: str = ""
    low_stretch: bool = False
    notes: str = ""
    terms: str = ""
    code: str = ""
    demo: bool = False


def care_sheet(facts: CareSheet, *, edition: Edition = ENGLISH_A4) -> bytes:
    """The care sheet of one bow, with every caution, the terms, and the maker's name and address."""
    say = edition.say
    number = say(words.BOW_NUMBERED).format(number=facts.number)
    about = " · ".join(each for each in (number, facts.timber, facts.length, facts.archer) if each)
    story = [
        masthead(facts.workshop),
        heading(say(words.CARE_SHEET), about, code=facts.code),
        *_this_bow(facts, edition),
        *_cautions(facts, edition),
        *_terms(facts, edition),
    ]
    title = say(words.CARE_SHEET_OF).format(number=facts.number)
    return printed(story, title=title, workshop=facts.workshop, edition=edition, demo=facts.demo)


def _this_bow(facts: CareSheet, edition: Edition) -> list[Box]:
    say = edition.say
    unknown = say(words.ASK_THE_MAKER)
    if facts.weight and facts.draw:
        rated = say(words.WEIGHT_AT_DRAW).format(weight=facts.weight, draw=facts.draw)
        answer = [figure(say(words.MEASURED), rated, facts.measured_from)]
    else:
        answer = [fact(say(words.MEASURED), say(words.NO_RATING), STRONG)]
    return [
        *answer,
        fact(say(words.FURTHEST_DRAW), facts.draw, STRONG),
        fact(say(words.BRACE_HEIGHT), facts.brace_height or unknown),
        fact(say(words.STRING), facts.string or unknown),
        fact(say(words.LIGHTEST_ARROW), facts.lightest_arrow or unknown),
        fact(say(words.ARROW_LENGTH), facts.arrow_length),
        fact(say(words.UPPER_LIMB), facts.upper_limb or unknown),
        fact(say(words.HANDED_OVER), facts.date),
    ]


def cautions(facts: CareSheet, say: Say) -> list[tuple[str, list[str]]]:
    """Every caution of the sheet under its heading, in the order printed; the page that shows it says the same."""
    overdraw = words.NEVER_PAST_DRAW if facts.draw else words.NEVER_PAST_UNKNOWN
    nocks = words.NOCKS_LOW_STRETCH if facts.low_stretch else words.NOCKS_NO_LOW_STRETCH
    told = (
        (words.FIRST_OF_ALL, (words.LAW_FIRST, words.MAY_BREAK)),
        (words.STRINGING, (*words.STRINGING_POINTS, nocks)),
        (words.SHOOTING, (words.NO_DRY_LOOSE, overdraw, *words.SHOOTING_POINTS)),
        (words.PEOPLE, words.PEOPLE_POINTS),
        (words.KEEPING, words.KEEPING_POINTS),
    )
    return [(say(title), [say(each).format(draw=facts.draw) for each in points]) for title, points in told]


def _cautions(facts: CareSheet, edition: Edition) -> list[Box]:
    say = edition.say
    (first, gravest), (stringing, how), *rest = cautions(facts, say)
    picture = Drawing(STRUNG_BOW_HIGH, strung_bow(*(say(each) for each in words.PARTS_OF_STRUNG_BOW)))
    boxes = section(first, *(Text(each, STRONG) for each in gravest))
    boxes += section(stringing, picture, listed(how))
    return boxes + [box for title, points in rest for box in section(title, listed(points))]


def _terms(facts: CareSheet, edition: Edition) -> list[Box]:
    say = edition.say
    notes = section(say(words.THIS_BOW), Text(facts.notes)) if facts.notes else []
    return [*notes, *(section(say(words.TERMS), Text(facts.terms)) if facts.terms else [])]
