"""The terms and warranty that held on a day."""

import datetime as dt

from workshop.ledger.models import Terms


def terms_on(day: dt.date) -> str:
    """The text last written among those that hold from that day or before."""
    held = Terms.objects.standing().filter(happened_on__lte=day).order_by("happened_on", "pk").last()
    return held.text if held else ""
