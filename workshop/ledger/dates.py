"""Dates as a maker writes them: a day, a month or only a year."""

import calendar
import datetime as dt
import re

MONTHS = {
    name: n
    for n, names in enumerate(
        ("jan january", "feb february", "mar march", "apr april", "may", "jun june", "jul july", "aug august",
         "sep sept september", "oct october", "nov november", "dec december"),
        start=1,
    )
    for name in names.split()
}  # fmt: skip
_ISO = re.compile(r"(\d{4})(?:-(\d{1,2})(?:-(\d{1,2}))?)?")
_WORDS = re.compile(r"(?:(\d{1,2})\.? )?([a-z]+)\.?,? (\d{4})")
_DOTS = re.compile(r"(\d{1,2})\.(\d{1,2})\.(\d{4})")  # the day first; with strokes it is anybody's guess
_SLASH = re.compile(r"(\d{1,2})[/.](\d{4})")


class UnreadableDate(ValueError):
    """`text` is no date. Two that are: `2026-03-14`, `Mar 2026`."""


def read_date(text: str, today: dt.date) -> tuple[dt.date, str]:
    """Read `text` into its first day and how exactly it is known: "d", "m" or "y".

    >>> day = dt.date(2026, 11, 25)
    >>> read_date("today", day)
    (datetime.date(2026, 11, 25), 'd')
    >>> read_date("14 Mar 2019", day), read_date("3/2019", day), read_date("2019", day)
    ((datetime.date(2019, 3, 14), 'd'), (datetime.date(2019, 3, 1), 'm'), (datetime.date(2019, 1, 1), 'y'))
    >>> read_date("14.3.2019", day)
    (datetime.date(2019, 3, 14), 'd')
    """
    said = " ".join(text.lower().split())
    if len(said) > 40:
        raise UnreadableDate(text[:40])
    if said in ("today", "yesterday"):
        return today - dt.timedelta(days=said == "yesterday"), "d"
    if m := _ISO.fullmatch(said):
        year, month, day = m.groups()
    elif m := _WORDS.fullmatch(said):
        day, month, year = m.group(1), MONTHS.get(m.group(2)), m.group(3)
        if month is None:
            raise UnreadableDate(text)
    elif m := _DOTS.fullmatch(said.replace(". ", ".")):
        day, month, year = m.groups()
    elif m := _SLASH.fullmatch(said):
        day, (month, year) = None, m.groups()
    else:
        raise UnreadableDate(text)
    try:
        found = dt.date(int(year), int(month or 1), int(day or 1))
    except ValueError as error:
        raise UnreadableDate(text) from error
    return found, "d" if day else "m" if month else "y"


def show_date(day: dt.date, precision: str = "d") -> str:
    """The date as it is known.

    >>> show_date(dt.date(2019, 3, 14)), show_date(dt.date(2019, 3, 1), "m"), show_date(dt.date(2019, 1, 1), "y")
    ('14 Mar 2019', 'Mar 2019', '2019')
    """
    month = ("Jan", "Feb", "Mar", "Apr", "May", "Jun", "Jul", "Aug", "Sep", "Oct", "Nov", "Dec")[
        day.month - 1
    ]
    return {"d": f"{day.day} {month} {day.year}", "m": f"{month} {day.year}"}.get(precision, str(day.year))


def last_day(day: dt.date, precision: str = "d") -> dt.date:
    """The last day a date may mean: of the month, or of the year, where only that is known.

    >>> last_day(dt.date(2027, 9, 1), "m").isoformat(), last_day(dt.date(2027, 1, 1), "y").isoformat()
    ('2027-09-30', '2027-12-31')
    """
    if precision == "m":
        return day.replace(day=calendar.monthrange(day.year, day.month)[1])
    return day.replace(month=12, day=31) if precision == "y" else day
