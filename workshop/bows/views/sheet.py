"""What the page of a bow shows beneath its answer: its entries kind by kind, the latest day first."""

from collections.abc import Iterable
from dataclasses import dataclass

from django.utils.translation import gettext as _

from workshop.bows.selectors.sheet import BowSheet
from workshop.bows.words import brace_words, entry_words, set_words
from workshop.ledger.units import UnitsInUse

SHOWN = 3  # weigh-ins; earlier ones have a page of their own


@dataclass(frozen=True)
class Table:
    """One kind of entries: pairs of the entry and what it says. `fixed` ones are not struck here.

    The latest day stands first, and of one day what was entered last. What counts is by entry, whatever its day.
    """

    heading: str
    rows: list[tuple[object, str]]
    fixed: bool = False
    open: int = 0  # how many stand unfolded

    @property
    def newest(self):
        return self.rows[: self.open]

    @property
    def older(self):
        return self.rows[self.open :]

    @property
    def said_last(self) -> str:
        """What stands beside the folded ones: the first of them that counts."""
        return next((words for entry, words in self.older if not entry.is_struck), "")


def by_day(rows: Iterable[tuple]) -> list[tuple]:
    return sorted(rows, key=lambda row: (row[0].happened_on, row[0].pk), reverse=True)


def entry_tables(sheet: BowSheet, units: UnitsInUse) -> list[Table]:
    """The entries of the bow by kind; kinds nobody has written are left out."""
    bow, seen = sheet.bow, sheet.glance
    points = {point.reading.pk: point for point in seen.sets}

    def said(entries: Iterable) -> list:
        return [(entry, entry_words(entry, units)) for entry in entries]

    sets = [(each, set_words(each, units, points.get(each.pk))) for each in bow.setreadings.all()]
    braces = [(each, brace_words(each, units, seen.upper)) for each in bow.bracereadings.all()]
    tables = [
        (_("Set and string follow"), sets),
        (_("Brace height and tiller"), braces),
        (_("Arrows shot"), said(bow.shotsfireds.all())),
        (_("Arrow speed"), said(bow.speeds.all())),
        (_("Weight of the bow itself"), said(bow.massreadings.all())),
        (_("Time at the bench"), said(bow.benchtimes.all())),
        (_("Notes"), [(note, "") for note in bow.bownotes.all()]),
        (_("Which limb is the upper"), said(bow.upper_decisions.all())),
        (_("Check lists"), said(bow.ticks.all())),
    ]
    made = [Table(heading, by_day(rows)) for heading, rows in tables if rows]
    work = Table(_("Work done"), by_day(said(bow.workdones.all())), open=1)
    return [
        *([work] if work.rows else []),
        *made,
        Table(_("Stages"), by_day(said(bow.stage_moves.all())), fixed=True),
    ]
