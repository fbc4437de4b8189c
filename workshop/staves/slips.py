"""A moisture above what the timber can hold or under what a meter can tell, a weight that does not follow from the
last: slips are said in words at once, and never refused."""

from django.utils.translation import gettext as _

from workshop.calc.errors import CalcError
from workshop.calc.moisture import WETTEST_PCT
from workshop.calc.timber import greatest_moisture_pct, specific_gravity
from workshop.staves.models import Timber, Weighing
from workshop.staves.moisture import Track
from workshop.staves.wood import figures_of

# No wood in store drinks a fifth of its weight, nor loses half of it between two weighings: common practice, no source.
MOST_GAIN = 1.2
MOST_LOSS = 0.5
# No wood in a shop or store is so dry, and under 6 to 7 % a pin meter tells nothing: common practice, no source.
DRIEST_BY_METER_PCT = 5.0


def weights_out_of_line(track: Track, weighings: list[Weighing]) -> list[tuple[Weighing, Weighing]]:
    """Each weight that does not follow from the one before it in its series, and that one.

    A slip is not taken as the one before. Where the next weight follows from it after all, it was none: the piece was
    cut. But the first of a series, from which nothing follows, is then itself the slip.
    """
    runs: dict[object, list[Weighing]] = {}
    standing = sorted((w for w in weighings if not w.is_struck), key=lambda w: (w.happened_on, w.pk))
    for weighing in standing:
        runs.setdefault(track.began[weighing.pk], []).append(weighing)
    return [pair for run in runs.values() for pair in _slips_of(run)]


def _slips_of(run: list[Weighing]) -> list[tuple[Weighing, Weighing]]:
    found, before, doubted = [], run[0], None
    for weighing in run[1:]:
        if _follows(weighing, before):
            before, doubted = weighing, None
        elif doubted and _follows(weighing, doubted):
            found.pop()
            if before is run[0]:
                found.append((before, doubted))
            before, doubted = weighing, None
        else:
            found.append((weighing, before))
            doubted = weighing
    return found


def _follows(weighing: Weighing, before: Weighing) -> bool:
    return MOST_LOSS <= weighing.mass_kg / before.mass_kg <= MOST_GAIN


def most_water_pct(timber: Timber) -> float | None:
    """The most water a timber can hold, by its own or its published specific gravity; None where neither is known.

    Green wood no longer shrinks, so its gravity at any moisture above fibre saturation is the basic one.
    """
    try:
        basic = specific_gravity(figures_of(timber), WETTEST_PCT)
        return None if basic.value is None else greatest_moisture_pct(basic.value)
    except CalcError:  # a figure of the maker's own beyond what the formulas carry on from
        return None


def slip_word(pct: float, timber: Timber, *, by_meter: bool = True) -> str:
    """What to say of a moisture that cannot be; nothing where it can, or where the timber's gravity is not known.

    A slice or a weight may tell of wood drier than any meter can.
    """
    if by_meter and pct < DRIEST_BY_METER_PCT:
        return _(
            "A pin meter tells nothing under 6 to 7 %, and wood in a store is not so dry: a slip of the figure?"
        )
    most_pct = most_water_pct(timber)
    if most_pct is None or pct <= most_pct:
        return ""
    return _(
        "%(timber)s holds no more water than about %(most).0f %%: a slip of the figure, or another timber?"
    ) % {"timber": timber, "most": most_pct}
