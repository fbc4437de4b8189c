"""Draw-curve sheet: one weigh-in as curve and table, and how it was measured."""

from dataclasses import dataclass

from workshop.documents.pdf import words
from workshop.documents.pdf.chart import Axis, curve_chart
from workshop.documents.pdf.layout import MM, Box, Stack
from workshop.documents.pdf.parts import fact, figure, heading, listed, masthead, ruled, section, table
from workshop.documents.pdf.press import ENGLISH_A4, Edition, Workshop, printed


@dataclass(frozen=True, kw_only=True)
class Weighed:
    """One point of the weigh-in: in words for the table, in SI for the curve. `gain` is the rise since the last."""

    draw: str
    weight: str
    gain: str = ""
    draw_m: float
    force_n: float


@dataclass(frozen=True, kw_only=True)
class DrawCurveSheet:
    """One weigh-in. `line` is the curve as (draw_m, force_n), from brace; without it the points are joined.

    `how` says, a line each, how it was measured: draw from where, scale, moisture or climate, by whom.
    """

    workshop: Workshop
    number: str
    date: str
    weight: str
    draw: str
    measured_from: str
    points: tuple[Weighed, ...]
    across: Axis
    up: Axis
    line: tuple[tuple[float, float], ...] = ()
    timber: str = ""
    length: str = ""
    brace_height: str = ""
    string: str = ""
    energy: str = ""
    slope: str = ""
    how: tuple[str, ...] = ()
    code: str = ""
    demo: bool = False


def draw_curve_sheet(facts: DrawCurveSheet, *, edition: Edition = ENGLISH_A4) -> bytes:
    """The greatest weight as a figure, the curve, stored energy and slope, how it was measured, the table."""
    say = edition.say
    number = say(words.BOW_NUMBERED).format(number=facts.number)
    about = " · ".join(each for each in (number, facts.timber, facts.length, facts.date) if each)
    reached = say(words.WEIGHT_AT_DRAW).format(weight=facts.weight, draw=facts.draw)
    story = [
        masthead(facts.workshop),
        heading(say(words.CURVE_SHEET), about, code=facts.code),
        figure(say(words.MEASURED), reached, facts.measured_from),
        _chart(facts, reached, edition),
        *_told(facts, edition),
        *_table(facts, edition),
    ]
    title = say(words.CURVE_SHEET_OF).format(number=facts.number, date=facts.date)
    return printed(story, title=title, workshop=facts.workshop, edition=edition, demo=facts.demo)


def _chart(facts: DrawCurveSheet, reached: str, edition: Edition) -> Box:
    points = [(point.draw_m, point.force_n) for point in facts.points]
    hatched = edition.say(words.HATCHED).format(energy=facts.energy) if facts.energy else ""
    chart = curve_chart(
        facts.line or points, points, across=facts.across, up=facts.up, last=reached, hatched=hatched
    )
    return Stack(ruled(chart))


def _told(facts: DrawCurveSheet, edition: Edition) -> list[Box]:
    say = edition.say
    return [
        *ruled(
            fact(say(words.STORED_ENERGY), facts.energy),
            fact(say(words.SLOPE), facts.slope),
            fact(say(words.BRACE_HEIGHT), facts.brace_height),
            fact(say(words.STRING), facts.string),
        ),
        *(section(say(words.HOW_MEASURED), listed(facts.how)) if facts.how else []),
    ]


def _table(facts: DrawCurveSheet, edition: Edition) -> list[Box]:
    head = [edition.say(each) for each in words.CURVE_TABLE]
    rows = [(point.draw, point.weight, point.gain) for point in facts.points]
    boxes = table(head, rows, [34 * MM, 34 * MM, None], right=0)
    return section(edition.say(words.READINGS), *boxes)
