"""What no bow can be: a place beyond its tip, a string that lies on it. A slip, refused beside its field.

How much is too much is common practice with a wide margin, no source.
"""

from django.core.exceptions import ValidationError
from django.utils.translation import gettext as _

from workshop.bows.models import Bow

PAST_TIP_M = 0.03  # a nock overlay reaches beyond the nock
MOST_TILLER_M = 0.10  # no limb stands so far off its fellow at brace
MOST_MASS_KG = 5.0
MOST_HOURS = 24


def check_on_limb(bow: Bow, name: str, at_m: float | None) -> None:
    """A place out of the middle lies on the bow."""
    if at_m is not None and bow.length_m and at_m > bow.length_m / 2 + PAST_TIP_M:
        words = _("%(at)s lies beyond the tip: the nock is at %(half)s.")
        params = {"at": (at_m, "place"), "half": (bow.length_m / 2, "place")}
        raise ValidationError({name: ValidationError(words, code="beyond_tip", params=params)})


def check_brace(brace_m: float | None, string_a_m: float | None, string_b_m: float | None) -> None:
    if brace_m == 0:
        raise ValidationError({"brace_m": _("A brace height is above zero.")})
    if None not in (string_a_m, string_b_m) and abs(string_a_m - string_b_m) > MOST_TILLER_M:
        words = _("No limb stands so far off the other: one of the two is a slip.")
        raise ValidationError({"string_a_m": words})


def check_mass(mass_kg: float) -> None:
    if mass_kg > MOST_MASS_KG:
        words = _("No wooden bow weighs so much: %(most)s at the most.")
        raise ValidationError({"mass_kg": ValidationError(words, params={"most": (MOST_MASS_KG, "mass")})})


def check_time(seconds: float, happened_to: str) -> None:
    """Only of a day: the hours of a month or a year may be written in one."""
    if happened_to == "d" and seconds > MOST_HOURS * 3600:
        words = _("A day has %(n)s hours: write each day by itself, or the month they were spent in.")
        raise ValidationError({"time_s": words % {"n": MOST_HOURS}})


def check_drawn(bow: Bow, draw_m: float | None) -> None:
    """A draw lies beyond the braced string; the brace is measured from the belly, so that is the least of it."""
    if draw_m is not None and bow.brace_m and draw_m <= bow.brace_m:
        words = _("%(draw)s is no further than the braced string: its brace height is %(brace)s.")
        params = {"draw": (draw_m, "draw"), "brace": (bow.brace_m, "brace")}
        raise ValidationError({"draw_m": ValidationError(words, code="short_of_brace", params=params)})
