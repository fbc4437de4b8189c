"""What the page of a bow shows beneath its answer: tables of entries, kind by kind, newest first."""

from collections.abc import Iterable
from dataclasses import dataclass

from django.utils.translation import gettext as _

from workshop.bows.selectors.sheet import BowSheet
from workshop.bows.words import brace_words, entry_words, set_words
from workshop.ledger.units import UnitsInUse

SHOWN = 5  # of a kind; older ones are folded away


@dataclass(frozen=True)
class Table:
    """One kind of entries, newest first: pairs of the entry and what it says. `fixed` ones are not struck here."""

    heading: str
    rows: list[tuple[object, str]]
    fixed: bool = False

    @property
    def newest(self):
        return self.rows[:SHOWN]

    @property
    def older(self):
        return self.rows[SHOWN:]


def entry_tables(sheet: BowSheet, units: UnitsInUse) -> list[Table]:
    """The entries of the bow by kind; kinds nobody has written are left out."""
    bow, seen = sheet.bow, sheet.glance
    points = {point.reading.pk: point for point in seen.sets}

    def said(entries: Iterable) -> list:
        return [(entry, entry_words(entry, units)) for entry in entries]

    sets = [(each, set_words(each, units, points.get(each.pk))) for each in bow.setreadings.all()]
    braces = [(each, brace_words(each, units, seen.upper)) for each in bow.bracereadings.all()]
    tables = [
        (_("Work done"), said(bow.workdones.all())),
        (_("Set and string follow"), sets),
        (_("Brace height and tiller"), braces),
        (_("Dimensions measured"), said(each for each in bow.dimensions.all() if not each.planned)),
        (_("Dimensions planned"), said(each for each in bow.dimensions.all() if each.planned)),
        (_("Arrows shot"), said(bow.shotsfireds.all())),
        (_("Arrow speed"), said(bow.speeds.all())),
        (_("Weight of the bow itself"), said(bow.massreadings.all())),
        (_("Time at the bench"), said(bow.benchtimes.all())),
        (_("Notes"), [(note, "") for note in bow.bownotes.all()]),
        (_("Which limb is the upper"), said(bow.upper_decisions.all())),
        (_("Check lists"), said(bow.ticks.all())),
    ]
    made = [Table(heading, rows[::-1]) for heading, rows in tables if rows]
    return [*made, Table(_("Stages"), said(bow.stage_moves.all())[::-1], fixed=True)]
