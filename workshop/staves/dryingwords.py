"""What the arithmetic says of a piece that dries, or takes moisture up, in sentences."""

import datetime as dt

from django.utils.translation import gettext as _
from django.utils.translation import ngettext

from workshop.calc import drying as calc
from workshop.ledger.dates import show_date


def _date(day: float) -> str:
    return show_date(dt.date.fromordinal(round(day)))


def drying_words(
    forecast: calc.Forecast, today: dt.date, *, thickness_known: bool, planned: bool = False
) -> str:
    """When it is as dry, or as damp, as the bench wants, and whether it stops there. Where the question is a move
    (`planned`) it is not told to plan one."""
    said = [_arrival(forecast, today, thickness_known=thickness_known)]
    if forecast.why in MOVE_HELPS and not planned:
        said.append(_("Plan a move."))
    if forecast.past is not None:
        said.append(_past(forecast.past))
    return " ".join(said)


# why there is no date to rely on, where another place would give one
MOVE_HELPS = ("no_place_dry_enough", "no_place_damp_enough", "may_not_arrive")


def _arrival(forecast: calc.Forecast, today: dt.date, *, thickness_known: bool) -> str:
    if forecast.why == "already_there":
        words = _(
            "By its readings and the air it lay in, it likely holds what the bench wants: about %(pct).1f %%."
        )
        return words % {"pct": forecast.now_pct}
    if forecast.ok:
        said = [_when(forecast, today)]
        if forecast.why == "usual_rate":
            said.append(
                _("Its readings do not tell yet how fast it goes: this stands on the usual rate.")
                if thickness_known
                else _(
                    "Its readings do not tell yet how fast it goes: this stands on the usual rate, for a piece of "
                    "any thickness; its sizes written down would narrow it."
                )
            )
        return " ".join(said)
    if forecast.why == "beyond_horizon":
        return _beyond_horizon(forecast, today)
    if forecast.why == "may_not_arrive":
        return _may_not_arrive(forecast, today)
    return {
        "no_place_dry_enough": _("It will not get dry enough there: no lower than about %(pct).1f %%."),
        "no_place_damp_enough": _("It will not take up enough there: no more than about %(pct).1f %%."),
        "too_few_readings": _(
            "When cannot be told while it is wetter than fibre saturation: one reading below that is the least."
        ),
        "readings_contradict": _(
            "When cannot be told: its readings fit no piece in these places. Wetted, mistyped, or another piece?"
        ),
    }[forecast.why] % {"pct": forecast.nearest_pct}


def _may_not_arrive(forecast: calc.Forecast, today: dt.date) -> str:
    """The day at even odds, if it has one, beside the chance that the day never comes."""
    tenths = round(forecast.never_pct / 10)
    chances = ngettext("about %(n)s chance in ten", "about %(n)s chances in ten", tenths) % {"n": tenths}
    words = (
        _("It may never get dry enough there: %(chances)s.")
        if forecast.falling
        else _("It may never take up enough there: %(chances)s.")
    ) % {"chances": chances}
    if forecast.likely_day is None:
        return f"{words} {_('At even odds it is only after %(late)s.') % {'late': _horizon(today)}}"
    return f"{words} {_('At even odds it is there by %(likely)s.') % {'likely': _date(forecast.likely_day)}}"


def _past(past: calc.Past) -> str:
    """Where its places bring it on to, past what the bench wants."""
    words = (
        _("Left there it dries on past the %(edge)g %% the bench wants, about %(day)s, toward %(pct).0f %%.")
        if past.falling
        else _(
            "Left there it takes up more than the %(edge)g %% the bench wants, about %(day)s, toward %(pct).0f %%."
        )
    )
    return words % {"edge": past.edge_pct, "day": _date(past.day), "pct": past.brought_pct}


def _when(forecast: calc.Forecast, today: dt.date) -> str:
    days = {"likely": _date(forecast.likely_day), "early": _date(forecast.earliest_day)}
    if forecast.latest_day is None:
        words = (
            _(
                "Dry enough about %(likely)s; one chance in ten before %(early)s, more than one after %(late)s."
            )
            if forecast.falling
            else _(
                "Damp enough about %(likely)s; one chance in ten before %(early)s, more than one after %(late)s."
            )
        )
        return words % {**days, "late": _horizon(today)}
    words = (
        _("Dry enough about %(likely)s; one chance in ten before %(early)s, one after %(late)s.")
        if forecast.falling
        else _("Damp enough about %(likely)s; one chance in ten before %(early)s, one after %(late)s.")
    )
    return words % {**days, "late": _date(forecast.latest_day)}


def _beyond_horizon(forecast: calc.Forecast, today: dt.date) -> str:
    """It gets there, but later than anybody plans for."""
    words = (
        _("It will get dry enough there, but slowly: more likely than not only after %(late)s.")
        if forecast.falling
        else _("It will take up enough there, but slowly: more likely than not only after %(late)s.")
    ) % {"late": _horizon(today)}
    if forecast.earliest_day is None:
        return words
    return f"{words} {_('One chance in ten before %(early)s.') % {'early': _date(forecast.earliest_day)}}"


def _horizon(today: dt.date) -> str:
    return _date(today.toordinal() + calc.HORIZON_DAYS)


def help_words(forecast: calc.Forecast) -> str:
    """The reading that would narrow the date most."""
    if forecast.help is None:
        return ""
    how = {
        calc.How.METER: _("Reading the meter"),
        calc.How.WEIGHING: _("Weighing it"),
        calc.How.OVEN_DRY: _("Drying a slice"),
    }[forecast.help.how]
    return _("%(how)s on %(day)s would tell most.") % {"how": how, "day": _date(forecast.help.day)}
