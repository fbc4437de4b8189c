"""What is looked at in each stage, and what the maker is warned of. Common practice, no source.

A line's code is kept in the ledger with each tick and never changes; its words may.
"""

from collections.abc import Iterable

from django.utils.translation import gettext_lazy as _

from workshop.bows.models.bow import Stage
from workshop.staves.models import Timber
from workshop.staves.published import dust_of

CHECKS: dict[str, dict[str, str]] = {
    Stage.LAID_OUT: {
        "dry": _("The wood is dry enough for the bench."),
        "back": _("The back: one ring in a stave, straight grain end to end in a board or a lamination."),
        "flaws": _("Knots, checks and twist are found and written down with their place."),
        "line": _("Centre line along the back, middle mark, grip and fades are drawn."),
        "stations": _("Widths and depths are planned at the stations."),
    },
    Stage.ROUGHING: {
        "outline": _("The outline is cut to the lines, both limbs alike."),
        "taper": _("The belly tapers evenly, with no step past the fades."),
        "corners": _("Corners are rounded, the back is free of tool marks."),
        "floor": _("Floor tiller: both limbs begin to bend alike."),
    },
    Stage.TILLERING: {
        "nocks": _("Nocks are cut, the long string is sound."),
        "even": _("On the long string the tips come evenly to about brace height before the low brace."),
        "line": _("At low brace the string runs over the middle of the grip."),
        "pulls": _("20 to 30 gentle pulls after each scraping, before looking again."),
        "faces": _("At each new draw the back is looked over for splinters, the belly for chrysals."),
        "upper": _("The upper limb is decided."),
    },
    Stage.SHOOTING_IN: {
        "first": _("The first arrows at part draw, then the rated draw."),
        "tiller": _("The tiller is looked at again after the shooting."),
        "set": _("Set is read at once and rested."),
        "faces": _("Back, belly and nocks are looked over."),
    },
    Stage.FINISHING: {
        "sanded": _("Sanded, edges broken, no tool mark left across the back."),
        "marked": _("Number and maker’s mark are on the bow."),
        "dry": _("The finish is dry."),
        "string": _("Its own string is made and fitted."),
        "final": _("Final weigh-in at full brace, to the rated draw."),
    },
    Stage.READY: {
        "papers": _("Rating tag and care sheet are issued."),
        "shown": _("Stringing, brace height and care are shown to the archer."),
    },
}

_DUST = _(
    "Dust of yew and several other woods is poisonous or makes one allergic; glues do so too: extraction, mask, gloves."
)
_TREE = _(
    "Pull on the tree by a rope, from well aside: a bow can jump the cradle or break at any new draw. Protect the eyes."
)
_LINE = _(
    "Nobody in front of the limbs or beside them, a backstop behind the mark; protect the eyes for the first arrows."
)

CAUTIONS: dict[str, tuple[str, ...]] = {
    Stage.LAID_OUT: (_DUST,),
    Stage.ROUGHING: (_DUST,),
    Stage.TILLERING: (_TREE, _DUST),
    Stage.SHOOTING_IN: (_LINE,),
    Stage.FINISHING: (_DUST,),
}


# what the table says of timbers of which nothing in particular is known
_NOTHING_PARTICULAR = "wood dust in general"


def cautions_of(stage: str, timbers: Iterable[Timber]) -> list[str]:
    """What to be warned of in that stage; where dust is made, also what is published of these timbers' dust."""
    lines = CAUTIONS.get(stage, ())
    said = [str(line) for line in lines]
    if _DUST in lines:
        dusts = {timber.name: dust_of(timber) for timber in timbers}
        said += [f"{name}: {dust}" for name, dust in dusts.items() if dust and dust != _NOTHING_PARTICULAR]
    return said


def open_of(stage: str, ticks: Iterable) -> list[str]:
    """The lines of a stage's list that nobody has ticked; `ticks` are the bow's that stand."""
    ticked = {tick.line for tick in ticks if tick.stage == stage}
    return [line for line in CHECKS.get(stage, {}) if line not in ticked]


def words_of(stage: str, line: str) -> str:
    """A line in words; one that is no longer on the list shows its code."""
    return str(CHECKS.get(stage, {}).get(line, line))
