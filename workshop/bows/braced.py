"""How the bow is braced now: as it was last weighed, or as it was read by itself since."""

from collections.abc import Iterable

from django.utils.translation import gettext as _

from workshop.bows.models import Bow, BraceReading, WeighIn
from workshop.bows.models.weighing import Strung
from workshop.bows.plan.facts import USUAL_BRACE_M
from workshop.bows.selectors.glance import standing
from workshop.bows.weighing.passes import Weighings, may_follow
from workshop.bows.words import tiller_words
from workshop.calc.imperial import INCH_M
from workshop.ledger.dates import show_date
from workshop.ledger.units import UnitsInUse

# So much below the full brace is a low one. Common practice, no source.
LOW_BY_M = 1 * INCH_M


def brace_read_since(readings: Iterable[BraceReading], weigh_in: WeighIn | None) -> BraceReading | None:
    """The last brace height that was read after that weigh-in, or may have been; with none, the last one."""
    read = [each for each in standing(readings) if each.brace_m is not None]
    return next((each for each in reversed(read) if weigh_in is None or may_follow(each, weigh_in)), None)


def strung_at(bow: Bow, brace_m: float) -> Strung:
    """Whether that is the bow's full brace or a low one."""
    full_m = bow.brace_m or USUAL_BRACE_M
    return Strung.FULL if brace_m > full_m - LOW_BY_M else Strung.LOW


def last_braced(known: Weighings) -> WeighIn | None:
    """The last weigh-in with a weight at the string whose brace height is written."""
    heads = (each.weigh_in for each in reversed(known.passes) if each.counts and not each.is_long)
    return next((head for head in heads if head.brace_m is not None), None)


def braced_words(
    readings: Iterable[BraceReading], known: Weighings, units: UnitsInUse, upper: str = ""
) -> str:
    """Brace height and tiller, each as it was last read, with its day."""
    readings, weighed = list(readings), last_braced(known)
    read = brace_read_since(readings, weighed)
    tillers = ((each, tiller_words(each, units, upper)) for each in reversed(standing(readings)))
    tillered, tiller = next(((each, words) for each, words in tillers if words), (None, ""))
    if read and read is tillered:
        return f"{units.show(read.brace_m, 'brace')}; {tiller} ({_on(read)})"
    said = []
    if read:
        said.append(f"{units.show(read.brace_m, 'brace')} ({_on(read)})")
    elif weighed:
        brace = {"brace": units.show(weighed.brace_m, "brace"), "day": _on(weighed)}
        said.append(_("%(brace)s (weighed %(day)s)") % brace)
    if tillered:
        said.append(f"{tiller} ({_tillered_at(tillered, units)})")
    return "; ".join(said)


def _tillered_at(reading: BraceReading, units: UnitsInUse) -> str:
    if reading.brace_m is None:
        return _on(reading)
    brace = {"day": _on(reading), "brace": units.show(reading.brace_m, "brace")}
    return _("%(day)s, braced %(brace)s") % brace


def _on(entry: BraceReading | WeighIn) -> str:
    return show_date(entry.happened_on, entry.happened_to)
