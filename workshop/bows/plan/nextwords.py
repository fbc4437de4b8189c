"""The next pull in words, for the page of a bow."""

from collections.abc import Sequence
from dataclasses import dataclass

from django.utils.translation import gettext as _
from django.utils.translation import ngettext

from workshop.bows.plan.nextpull import NextPull, Pull
from workshop.bows.plan.refusals import refusal
from workshop.bows.plan.sources import OWN, wood_inputs
from workshop.bows.plan.words import percent, place_words
from workshop.bows.selectors.forecasts import Past
from workshop.bows.weighing.picture import method_label
from workshop.calc.learning import NO_BIAS_COUNTS
from workshop.ledger.figures import Source
from workshop.ledger.units import UnitsInUse

WHY_NOT = {
    "no_weigh_in": lambda: _("One weigh-in at the string, and the next pull is foretold here."),
    "long_string": lambda: _("On the long string nothing can be said of the draw weight further on."),
    "work_since": lambda: _("The bow was worked on since it was weighed: weigh it again first."),
    "no_length": lambda: _("The bow’s length is not written: with it the next pull could be foretold."),
    "no_brace": lambda: _(
        "With the brace height of the weigh-in, and the depth of the grip, the next pull could be foretold."
    ),
    "falls": lambda: _("The last weigh-in falls from one draw to a further one: nothing is foretold from that."),
    "no_grip_depth": lambda: _(
        "The draw is ordered from another place than it was weighed from: with the grip’s depth, back to pivot point, "
        "the next pull could be foretold."
    ),
    "no_axis_depth": lambda: _(
        "The draw is ordered from another place than it was weighed from: weigh it from there, and the next pull is "
        "foretold here."
    ),
    "reached": lambda: "",
    "measured_elsewhere": lambda: _(
        "The last weigh-in measured its draws from another place: one pull from here, and the next is foretold."
    ),
    "shape_does_not_fit": lambda: _(
        "The points do not lie on the curve of a bow of this length, brace and natural bend: weigh it again, or look "
        "whether these are written rightly."
    ),
}  # fmt: skip
WAYS = {
    "solved_shape": lambda: _(
        "by the curve of a bow of this length, brace and natural bend, scaled to the points"
    ),
    "solved_bow": lambda: _("by this bow as measured, its stiffness corrected by the points"),
}


@dataclass(frozen=True)
class PullRow:
    """One draw: where, the weight with its range, the strain there, and where it is from."""

    at: str
    weight: str
    between: str
    strain: str
    source: Source


@dataclass(frozen=True)
class PullPage:
    """What the page says of the next pull. `why` where nothing can be said."""

    why: str = ""
    rows: Sequence[PullRow] = ()
    place: str = ""
    notes: Sequence[str] = ()
    past_warning: str = ""
    record: Sequence[str] = ()


def pull_page(found: NextPull, shop, units: UnitsInUse) -> PullPage:
    if found.why:
        return PullPage(_why_not(found, units))
    facts = found.facts
    upper = facts.upper if facts.upper_decided else ""
    last = found.pulls[-1]
    strained = last.strained
    own = facts.timber.strain_word_pct if facts.timber else None
    limit = shop.strain_word_pct if own is None else own
    return PullPage(
        rows=[_row(pull, found, units) for pull in found.pulls],
        place=place_words(strained, units, upper) if strained else "",
        notes=_notes(found, units),
        past_warning=percent(limit, 1) if strained and strained.pct > limit else "",
        record=record_words(found.past),
    )


def _why_not(found: NextPull, units: UnitsInUse) -> str:
    """The reason in a sentence; what the statics refused as the plan page says it."""
    if found.why in WHY_NOT:
        return " ".join([WHY_NOT[found.why](), *_farthest(found, units)])
    said = refusal(found.refused, units)[1] if found.refused else ""
    return _("The next pull is not foretold. %(why)s") % {"why": said}


def _farthest(found: NextPull, units: UnitsInUse) -> list[str]:
    """The point that is farthest off the curve, where the points do not lie on one."""
    given = found.refused.given if found.refused else {}
    if found.why != "shape_does_not_fit" or "curve_n" not in given:
        return []
    words = _("Farthest from the curve of the others is %(force)s at %(draw)s: there it has %(curve)s.")
    return [
        words
        % {
            "force": units.show(given["off_n"], "force"),
            "draw": units.show(given["off_draw_m"], "draw"),
            "curve": units.show(given["curve_n"], "force"),
        }
    ]


def record_words(past: Past) -> list[str]:
    """How far out the workshop's forecasts were, way by way, the nearest first."""
    said = []
    for each in past.records:
        words = ngettext(
            "%(way)s: %(held)s of %(n)s outcome within its range, %(away)s out",
            "%(way)s: %(held)s of %(n)s outcomes within their range, %(away)s out on average",
            each.tried,
        ) % {"way": each.name, "held": each.held, "n": each.tried, "away": percent(each.away_pct, 1)}
        if abs(each.off_pct) >= 0.5:
            side = _("%(pct)s too low") if each.off_pct > 0 else _("%(pct)s too high")
            words += ", " + side % {"pct": percent(abs(each.off_pct), 1)}
        said.append(words + ".")
    return said


def _row(pull: Pull, found: NextPull, units: UnitsInUse) -> PullRow:
    at = units.show(pull.draw_m, "draw")
    full = _("at full draw, %(draw)s") % {"draw": at}
    return PullRow(
        at=full if pull is found.full else _("at %(draw)s") % {"draw": at},
        weight=units.show(pull.expected.force_n, "force"),
        between=_range(pull.expected, units),
        strain=percent(pull.strained.pct) if pull.strained else "",
        source=_source(pull, found, units),
    )


def _range(way, units: UnitsInUse) -> str:
    return _("%(low)s to %(high)s") % {
        "low": units.show(way.low_n, "force"),
        "high": units.show(way.high_n, "force"),
    }


def _source(pull: Pull, found: NextPull, units: UnitsInUse) -> Source:
    show = units.show
    rows = [
        (
            WAYS.get(way.method, lambda way=way: method_label(way.method))(),
            f"{show(way.force_n, 'force')}; {_range(way, units)}",
        )
        for way in pull.ways
    ]
    rows.append(
        (
            _("the solved ways together, elastic"),
            f"{show(pull.elastic.force_n, 'force')}; {_range(pull.elastic, units)}",
        )
    )
    rows.append(
        (
            _("less the set still to come"),
            f"{show(pull.tempered.force_n, 'force')}; {_range(pull.tempered, units)}",
        )
    )
    rows.append(
        (
            _("moved by this workshop’s own forecasts"),
            f"{show(pull.expected.force_n, 'force')}; {_range(pull.expected, units)}",
        )
    )
    return Source(
        _(
            "The curve of the solved bow is scaled to the points of the last weigh-in; what the wood will lose to set "
            "on the way is taken off; then the weight is moved, and its range widened or narrowed, by how far out "
            "this workshop’s own solved forecasts were. The range should hold eight outcomes in ten."
        ),
        (*rows, *(wood_inputs(found.facts, units) if found.strained_now else ())),
        OWN,
    )  # fmt: skip


def _notes(found: NextPull, units: UnitsInUse) -> list[str]:
    notes, last = [], found.pulls[-1]
    words = _("Elastic, without the set still to come: %(force)s at %(draw)s.")
    notes.append(
        words % {"force": units.show(last.elastic.force_n, "force"), "draw": units.show(last.draw_m, "draw")}
    )
    default = _("The set is the stated default: no finished bow of this shop has told of its own yet.")
    learned = ngettext(
        "The set is learned from %(n)s finished bow of this shop.",
        "The set is learned from %(n)s finished bows of this shop.",
        found.set_bows,
    ) % {"n": found.set_bows}
    notes.append(learned if found.set_bows else default)
    if found.outcomes:
        shift = 100 * (last.expected.force_n / last.tempered.force_n - 1)
        words = ngettext(
            "%(n)s forecast of this workshop has met its outcome and moves this one by %(pct)s.",
            "%(n)s forecasts of this workshop have met their outcome and move this one by %(pct)s.",
            found.outcomes,
        )
        notes.append(words % {"n": found.outcomes, "pct": f"{shift:+.1f}\N{NO-BREAK SPACE}%"})
        if found.outcomes < NO_BIAS_COUNTS:
            notes.append(_("So few say little yet."))
    if found.stiffness is not None:
        words = _("By its weight the wood is %(n)s times as stiff as taken.")
        notes.append(words % {"n": f"{found.stiffness:.2f}"})
    if found.strained_now is None:
        notes.append(_("Measure the limbs, and it will say how far the wood is strained, and where."))
    elif found.worked_since:
        notes.append(_("Wood may have come off since the limbs were measured: measure them again."))
    return notes
