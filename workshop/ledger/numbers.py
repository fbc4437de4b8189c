"""Numbers that count on within a year: `26-07`, `26-08`, … for bows, orders and pieces of wood."""

import datetime as dt
import re

from django.db import models

from workshop.ledger.models import Shop


def hold_numbers() -> None:
    """Within a transaction: allot numbers one at a time. Who comes second waits, then sees the first one's."""
    Shop.objects.select_for_update().first()


def next_of_year(model: type[models.Model], field: str, today: dt.date, *, figures: int = 2) -> str:
    """The number after this year's highest; the first of a year is `01` (to `figures` figures)."""
    year = f"{today:%y}-"
    pattern = re.compile(re.escape(year) + r"([0-9]+)")
    given = model.objects.filter(**{f"{field}__startswith": year}).values_list(field, flat=True)
    highest = max((int(m.group(1)) for text in given if (m := pattern.fullmatch(text))), default=0)
    return f"{year}{highest + 1:0{figures}d}"
