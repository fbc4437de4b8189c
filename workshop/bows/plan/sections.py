"""The section a bow's limbs are reckoned with: as planned, as is usual for its kind, or as measured."""

from workshop.bows.models import Bow
from workshop.bows.models.bow import BowKind, Section
from workshop.calc.widths import Lines


def section_of(bow: Bow) -> str:
    """The section planned; where none is, a deep D for a full-compass bow and a flat limb for the others."""
    return bow.section or (Section.DEEP_D if bow.kind == BowKind.COMPASS else Section.FLAT)


def lines_of(bow: Bow) -> Lines:
    """The outline last written of a bow that was loaded, where its section is as measured; else nothing."""
    if bow.section != Section.MEASURED or not bow.outlines_standing:
        return ()
    return bow.outlines_standing[-1].as_lines
