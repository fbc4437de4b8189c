"""Ready for the bench or not, with the reason. A word of advice: nothing is refused because of it."""

import datetime as dt
from dataclasses import dataclass

from django.utils.translation import gettext as _
from django.utils.translation import ngettext

from workshop.calc.errors import CalcError
from workshop.calc.moisture import WHITE_WOODS_BAND, Band, bench_ready
from workshop.ledger.models import Shop
from workshop.staves.models import Stave, Timber
from workshop.staves.models.staves import GONE, StaveState
from workshop.staves.moisture import Track

BRITTLE_PCT = 6.0  # under it wood breaks rather than bends; common practice, no source


@dataclass(frozen=True)
class Readiness:
    """`ok`: dry enough, by a reading that can be trusted and is not old. `code` is stable, `why` is for people."""

    ok: bool
    code: str
    why: str


def band_of(timber: Timber, shop: Shop) -> Band:
    """The moisture wanted at the bench: the timber's own, else the workshop's."""
    low, high = timber.ready_low_pct, timber.ready_high_pct
    if low is None or high is None:
        low, high = shop.ready_low_pct, shop.ready_high_pct
    try:
        return Band(low, high)
    except CalcError:  # a workshop's setting written the wrong way round
        return WHITE_WOODS_BAND


def readiness(stave: Stave, track: Track, *, shop: Shop, today: dt.date) -> Readiness:
    """The first reason that stands against the piece, or that none does."""
    if stave.state in GONE:
        return Readiness(
            False, "gone", _("no longer in the store: %(state)s") % {"state": stave.get_state_display()}
        )
    latest = track.latest
    if latest is None:
        return Readiness(
            False, "no_reading", _("nothing says how dry it is yet: read it with a meter, or weigh it")
        )
    if not latest.ok:
        return Readiness(
            False, "untrusted", UNTRUSTED.get(latest.why, lambda: _("the last reading cannot be trusted"))()
        )
    days = (today - latest.on).days
    if days > shop.reading_due_days:
        return Readiness(
            False,
            "old_reading",
            ngettext("the last reading is %(n)s day old", "the last reading is %(n)s days old", days)
            % {"n": days},
        )
    answer = bench_ready(latest.pct, band_of(stave.timber, shop))
    if answer.why == "too_wet":
        return Readiness(
            False,
            "too_wet",
            _("%(pct).1f %% too wet for the bench; it would take set") % {"pct": answer.away_pct},
        )
    if answer.why == "too_dry":
        return Readiness(
            False,
            "too_dry",
            (
                _("%(pct).1f %% too dry for the bench; it is brittle")
                if latest.pct < BRITTLE_PCT
                else _("%(pct).1f %% drier than the bench wants; let it take up moisture")
            )
            % {"pct": answer.away_pct},
        )
    if stave.state == StaveState.BENCH:
        return Readiness(True, "bench", _("dry enough, and at the bench"))
    return Readiness(True, "", _("dry enough for the bench"))


UNTRUSTED = {
    "below_range": lambda: _("under 7 % a pin meter only guesses; weigh it, or dry a slice"),
    "above_fibre_saturation": lambda: _("over 25 % a pin meter only shows that it is wet"),
    "beyond_meter": lambda: _("the last reading is beyond what a pin meter can tell"),
    "tests_disagree": lambda: _(
        "the tests of its weighings do not agree: did bark or wood come off unwritten?"
    ),
    "lighter_than_dry": lambda: _(
        "it weighs less than its own dry wood: did bark or wood come off unwritten?"
    ),
}
