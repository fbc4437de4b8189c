"""A word of a weigh-in as it is printed: in the reader's language and units."""

import datetime as dt
from dataclasses import dataclass

from django.utils.translation import gettext_lazy as _

from workshop.bows.weighing.changes import Change
from workshop.bows.weighing.words import Word
from workshop.ledger.dates import show_date
from workshop.ledger.units import UnitsInUse

SENTENCES = {
    "dying": (
        _("Dying wood"),
        _(
            "%(now)s at %(draw)s; on %(on)s it was %(was)s at the same brace, and no wood came off since. The belly "
            "may be crushing: stop, and look for where."
        ),
    ),
    "past_limit": (
        _("Past the limit of pull"),
        _(
            "%(force)s at %(draw)s is %(over)s past %(limit)s, the ordered weight and what finishing will "
            "take. Take wood off before drawing further."
        ),
    ),
    "past_draw": (
        _("Beyond the ordered draw"),
        _("Drawn to %(draw)s, %(over)s further than the %(wanted)s ordered."),
    ),
    "leap": (
        _("A long way at once"),
        _(
            "Drawn to %(draw)s, %(by)s further than ever before. Go on from where the tiller was last seen even, "
            "an inch at a time."
        ),
    ),
    "resting": (_("Still at rest"), _("%(work)s: the rest lasts until %(until)s.")),
    "long_string": (
        _("Long string"),
        _("This is not draw weight: it depends on how long the string is."),
    ),
    "final_not_full": (
        _("Not at full brace"),
        _("A final weigh-in rates the bow only at full brace."),
    ),
    "twice": (
        _("Weighed twice"),
        _("%(first)s and %(force)s at %(draw)s. The later one counts; strike out the one that is wrong."),
    ),
    "short_of_brace": (
        _("Short of the brace"),
        _(
            "The braced string lies at %(braced)s, and %(draw)s is no further. One of the two is wrong; "
            "the curve is drawn without the brace."
        ),
    ),
    "below_before": (
        _("Below the one before"),
        _("%(force)s at %(draw)s is less than %(before)s at %(before_draw)s. A slipped digit, or stop."),
    ),
    "jump": (
        _("Out of line"),
        _("%(force)s at %(draw)s; its neighbours say about %(expected)s. A slipped digit, or a wrong mark?"),
    ),
    "unlike_last": (
        _("Far from last time"),
        _("%(force)s at %(draw)s; it was %(was)s. A slipped digit, or another mark?"),
    ),
    "heavier": (
        _("Heavier than last time"),
        _(
            "%(now)s at %(draw)s; on %(on)s it was %(was)s at the same brace, and no work was done since. Wood that "
            "dries gains a little: look at the scale and the mark, or strike it out."
        ),
    ),
    "stacking": (
        _("Stacking"),
        _("From %(from)s on the weight rises ever faster: %(times)s times as fast at the end."),
    ),
    "converted": (
        _("Measured from elsewhere"),
        _(
            "Here draw is measured from %(measured)s, in the order from %(ordered)s. With this bow’s grip "
            "depth the ordered draw reads %(wanted)s here."
        ),
    ),
    "not_converted_no_grip_depth": (
        _("Measured from elsewhere"),
        _(
            "Here draw is measured from %(measured)s, in the order from %(ordered)s. Nothing is converted: "
            "this bow’s grip depth, back to pivot point, is not known."
        ),
    ),
    "not_converted_no_axis_depth": (
        _("Measured from elsewhere"),
        _(
            "Here draw is measured from %(measured)s, in the order from %(ordered)s. Nothing is converted: "
            "where the axis of the limb lies in a stiff grip is not known."
        ),
    ),
}
LESS_FURTHER_OUT = _(
    "%(now)s at %(draw)s; on %(on)s it was %(was)s already at %(shorter)s, at the same brace, and no wood came off "
    "since. The belly may be crushing: stop, and look for where."
)
ARROWS_SINCE = _("%(shots)s arrows were shot since; shooting in takes a little weight.")

CHANGED = {
    "lighter": (
        _("Lighter since"),
        _(
            "On %(on)s it had %(now)s at %(draw)s, %(by)s less than at the final weigh-in of %(rated)s, and no wood "
            "came off between. Look it over; where it stays so, rate it by a new final weigh-in."
        ),
    ),
    "heavier": (
        _("Heavier since"),
        _(
            "On %(on)s it had %(now)s at %(draw)s, %(by)s more than at the final weigh-in of %(rated)s, and no work "
            "was done between. Weigh it again, and rate it by a new final weigh-in where it stays so."
        ),
    ),
}


@dataclass(frozen=True)
class Sentence:
    """A word as it is printed: the word first, then the reason."""

    head: str
    reason: str


def sentence(word: Word, units: UnitsInUse) -> Sentence:
    """The word in the reader's language and units."""
    head, reason = SENTENCES[word.code]
    if "shorter" in word.values:
        reason = LESS_FURTHER_OUT
    if word.code == "dying" and word.values["shots"]:
        reason = f"{reason} {ARROWS_SINCE}"
    return Sentence(
        str(head), str(reason) % {name: _shown(value, units) for name, value in word.values.items()}
    )


def change_sentence(change: Change, units: UnitsInUse) -> Sentence:
    """What a later weigh-in found otherwise than the one that rates the bow."""
    lighter = change.lighter
    head, reason = CHANGED["lighter" if lighter.loss_n > 0 else "heavier"]
    if change.shots:
        reason = f"{reason} {ARROWS_SINCE}"
    rated, later = change.before.weigh_in, change.after.weigh_in
    values = {
        "on": show_date(later.happened_on, later.happened_to),
        "rated": show_date(rated.happened_on, rated.happened_to),
        "now": units.show(lighter.after_n, "force"),
        "draw": units.show(lighter.draw_m, "draw"),
        "by": units.show(abs(lighter.loss_n), "force"),
        "shots": change.shots,
    }
    return Sentence(str(head), str(reason) % values)


def _shown(value, units: UnitsInUse) -> str:
    if isinstance(value, tuple):
        return units.show(*value)
    return show_date(value) if isinstance(value, dt.date) else str(value)
