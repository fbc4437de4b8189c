"""No entry of a bow is dated before the bow was started."""

import datetime as dt

from django.core.exceptions import ValidationError
from django.utils.translation import gettext as _

from workshop.bows.models import Bow
from workshop.bows.models.bow import Origin
from workshop.ledger.dates import last_day, show_date


def check_day(bow: Bow, happened_on: dt.date, happened_to: str = "d") -> None:
    """Nothing happens to a bow made here before it was started; a month or a year counts to its end."""
    if bow.started_on is None or bow.origin != Origin.HERE:
        return
    if last_day(happened_on, happened_to) < bow.started_on:
        started = show_date(bow.started_on, bow.started_to)
        raise ValidationError(
            {"happened_on": _("That is before the bow was started: %(day)s.") % {"day": started}}
        )
