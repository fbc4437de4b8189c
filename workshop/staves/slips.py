"""A moisture above what the timber can hold is a slip: said in words at once, and never refused."""

from django.utils.translation import gettext as _

from workshop.calc.errors import CalcError
from workshop.calc.moisture import WETTEST_PCT
from workshop.calc.timber import greatest_moisture_pct, specific_gravity
from workshop.staves.models import Timber
from workshop.staves.wood import figures_of


def most_water_pct(timber: Timber) -> float | None:
    """The most water a timber can hold, by its own or its published specific gravity; None where neither is known.

    Green wood no longer shrinks, so its gravity at any moisture above fibre saturation is the basic one.
    """
    try:
        basic = specific_gravity(figures_of(timber), WETTEST_PCT)
        return None if basic.value is None else greatest_moisture_pct(basic.value)
    except CalcError:  # a figure of the maker's own beyond what the formulas carry on from
        return None


def slip_word(pct: float, timber: Timber) -> str:
    """What to say of a moisture that cannot be; nothing where it can, or where the timber's gravity is not known."""
    most_pct = most_water_pct(timber)
    if most_pct is None or pct <= most_pct:
        return ""
    return _(
        "%(timber)s holds no more water than about %(most).0f %%: a slip of the figure, or another timber?"
    ) % {"timber": timber, "most": most_pct}
