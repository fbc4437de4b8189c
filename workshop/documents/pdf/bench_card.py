"""Bench card: the plan of one bow as it lies beside the vice."""

from dataclasses import dataclass

from workshop.documents.pdf import words
from workshop.documents.pdf.layout import MM, Box, Row, Rule, Space, Stack, Text, Whole
from workshop.documents.pdf.outline import Layout, bow_outline, scales
from workshop.documents.pdf.parts import fact, figure, heading, listed, masthead, ruled, section, table
from workshop.documents.pdf.press import ENGLISH_A4, Edition, Say, Workshop, column_of, printed
from workshop.documents.pdf.text import LABEL, NOTE, STRONG

PENCIL_LINES = 13  # with check list and cautions they fill the back of the card


@dataclass(frozen=True, kw_only=True)
class Stage:
    """One stage of the work with the checks that close it."""

    name: str
    checks: tuple[str, ...]


@dataclass(frozen=True, kw_only=True)
class BenchCard:
    """The plan, worded. `limit_of_pull` is the weight never to be passed at any draw while work goes on,
    `grip_marks` where the grip is marked from the middle, `dust` what is known of this timber's dust."""

    workshop: Workshop
    number: str
    date: str = ""
    kind: str = ""
    for_whom: str = ""
    pieces: tuple[str, ...] = ()
    weight: str = ""
    draw: str = ""
    measured_from: str = ""
    tolerance: str = ""
    limit_of_pull: str = ""
    length: str = ""
    centre_line: str = ""
    grip_marks: str = ""
    section: str = ""
    curve: str = ""
    brace_height: str = ""
    string: str = ""
    layout: Layout | None = None
    stages: tuple[Stage, ...] = ()
    dust: str = ""
    notes: str = ""
    code: str = ""
    demo: bool = False


def bench_card(facts: BenchCard, *, edition: Edition = ENGLISH_A4) -> bytes:
    """Wanted weight and limit of pull, plan, drawing, stations, check list, cautions, and lines for the pencil."""
    say = edition.say
    number = say(words.BOW_NUMBERED).format(number=facts.number)
    about = " · ".join(each for each in (number, facts.kind, facts.for_whom) if each)
    story = [
        masthead(facts.workshop),
        heading(say(words.BENCH_CARD), about, code=facts.code),
        *_wanted(facts, edition),
        *_plan(facts, edition),
        *_stations(facts, edition),
        *_work(facts, edition),
    ]
    title = say(words.BENCH_CARD_OF).format(number=facts.number)
    return printed(story, title=title, workshop=facts.workshop, edition=edition, demo=facts.demo)


def _wanted(facts: BenchCard, edition: Edition) -> list[Box]:
    say = edition.say
    if not facts.weight:
        return [fact(say(words.LIMIT_OF_PULL), facts.limit_of_pull, STRONG)]
    wanted = (
        say(words.WEIGHT_AT_DRAW).format(weight=facts.weight, draw=facts.draw) if facts.draw else facts.weight
    )
    beside = ", ".join(each for each in (facts.measured_from, facts.tolerance) if each)
    return [
        figure(say(words.WANTED), wanted, beside),
        fact(say(words.LIMIT_OF_PULL), facts.limit_of_pull, STRONG),
        fact(say(words.FURTHEST_DRAW), facts.draw, STRONG),
    ]


def _plan(facts: BenchCard, edition: Edition) -> list[Box]:
    say = edition.say
    return ruled(
        fact(say(words.PIECES), "\n".join(facts.pieces)),
        fact(say(words.LENGTH), facts.length),
        fact(say(words.CENTRE_LINE), facts.centre_line),
        fact(say(words.GRIP_MARKS), facts.grip_marks),
        fact(say(words.SECTION), facts.section),
        fact(say(words.CURVE), facts.curve),
        fact(say(words.BRACE_HEIGHT), facts.brace_height),
        fact(say(words.STRING), facts.string),
        fact(say(words.DATE), facts.date),
        fact(say(words.NOTES), facts.notes),
    )


def _stations(facts: BenchCard, edition: Edition) -> list[Box]:
    say, layout = edition.say, facts.layout
    if layout is None:
        return []
    column = column_of(edition)
    along, across = scales(layout, column)
    names = dict(zip(("limb_a", "limb_b", "middle", "grip"), map(say, words.PARTS_OF_LAYOUT), strict=True))
    rows = [
        (
            station.limb or say(words.BOTH_LIMBS),
            station.at,
            station.width,
            station.half_width,
            station.depth,
            "",
            "",
        )
        for station in sorted(layout.stations, key=lambda each: (each.limb, each.at_m))
    ]
    head = [say(each) for each in words.STATION_TABLE]
    scale = Text(say(words.DRAWN_TO_SCALE).format(along=along, across=across), NOTE)
    return [
        Whole([*section(say(words.LAYOUT), scale), bow_outline(layout, width=column, **names)]),
        Whole(table(head, rows, [16 * MM, 30 * MM, 22 * MM, 22 * MM, 22 * MM, 22 * MM, None])),
    ]


def cautions(facts: BenchCard, say: Say) -> list[str]:
    """What the maker is warned of; the page that shows the card says the same."""
    return [*(say(each) for each in words.MAKER_CAUTIONS), *([facts.dust] if facts.dust else [])]


def _work(facts: BenchCard, edition: Edition) -> list[Box]:
    say = edition.say
    stages = [
        Row([Text(stage.name, LABEL), listed(stage.checks, sign="☐")], [34 * MM, None])
        for stage in facts.stages
    ]
    pencil = [Stack([Space(16), Rule(0.3, above=0, below=0)]) for _ in range(PENCIL_LINES)]
    head = [Text(say(each), LABEL) for each in words.PENCIL_TABLE]
    return [
        Whole(section(say(words.AT_THE_BENCH), listed(cautions(facts, say)))),
        *(Whole([stage]) for stage in (ruled(*stages) if stages else [])),
        Whole(ruled(Row(head, [22 * MM, None, *[22 * MM] * 4]), *pencil)),
    ]
