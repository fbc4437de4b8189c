"""What is to be done next on a bow: facts go in, one step comes out. A word of advice, never a rule.

`next_step` decides on facts alone; `step_words` says it in the reader's language and units. The order of what comes
first is common practice, no source.
"""

import datetime as dt
from collections.abc import Iterable, Iterator
from dataclasses import dataclass, field

from django.utils.translation import gettext as _
from django.utils.translation import ngettext

from workshop.bows.models.bow import ON_BENCH, Stage
from workshop.bows.models.weighing import Strung
from workshop.calc.imperial import POUND_N
from workshop.ledger.dates import show_date
from workshop.ledger.units import UnitsInUse

SCALE_STEP_N = 0.5 * POUND_N  # what a bow scale is read to; less is not light. Common practice


@dataclass(frozen=True)
class Rest:
    work: str
    until: dt.date


@dataclass(frozen=True)
class StepFacts:
    """What is known of a bow when its next step is found. Weights and draws are those of the last weigh-in."""

    stage: str
    ordered: bool = False
    visiting: bool = False
    looked_over: bool = False  # what was found at the visit is written down
    wood_known: bool = True
    wood_at_bench: bool = False
    planned: bool = True  # length, weight and draw
    rests: tuple[Rest, ...] = ()
    # dying wood not passed over yet: the weight lost, and at what draw
    lost: tuple[float, float] | None = None
    # less weight at one draw than at one short of it, weight and draw of each; not struck, nor passed over
    falls: tuple[tuple[float, float], tuple[float, float]] | None = None
    seen_in: dict = field(default_factory=dict)  # of which weigh-in each of these is, by the code of its step
    overdrawn_m: float | None = None  # drawn past the ordered draw; its set not read since, nor passed over
    grown: str = ""  # a watched flaw that has grown since
    found: str = ""  # a flaw that weakens a limb, found and not looked at again
    upper_known: bool = True
    zero_due: bool = False
    set_read: bool = True
    strung: str = ""
    force_n: float | None = None
    draw_m: float | None = None
    wanted_n: float | None = None
    wanted_draw_m: float | None = None  # as the last weigh-in measures
    tolerance_n: float | None = None
    limit_n: float | None = None  # of pull: as ordered, and what shooting in and finishing will take
    next_draw_m: float | None = None
    draw_unknown: bool = False  # ordered, but cannot be carried to where the last weigh-in measures
    work_since: bool = False
    shots: int = 0
    shots_wanted: int = 0
    rated: bool = False

    @property
    def to_come_n(self) -> float:
        """What shooting in and finishing will still take; 0 where no weight was asked for."""
        return self.limit_n - self.wanted_n if self.limit_n is not None else 0.0


@dataclass(frozen=True)
class Step:
    """The next step: its code, and values: (SI, kind) for measures, else as they are."""

    code: str
    values: dict = field(default_factory=dict)
    weigh_in: int | None = None  # where it stands, and may be passed over


def next_step(facts: StepFacts) -> Step:
    """The first thing that stands to be done.

    >>> next_step(StepFacts(stage="tillering", strung="full", force_n=150.0, draw_m=0.6, next_draw_m=0.63)).code
    'draw_further'
    >>> next_step(StepFacts(stage="shooting-in", shots=40, shots_wanted=150)).values
    {'left': 110}
    """
    return next(_steps(facts), Step("decide"))


def _steps(facts: StepFacts) -> Iterator[Step]:
    if facts.stage in (Stage.BROKEN, Stage.GIVEN_UP):
        yield Step("see_to_wood" if facts.wood_at_bench else "ended")
    if facts.visiting and not facts.looked_over:
        yield Step("look_over")
    yield from halts(facts)
    if facts.visiting:
        yield Step("mend")
    steps = {
        Stage.LAID_OUT: _laid_out,
        Stage.ROUGHING: _roughing,
        Stage.TILLERING: _tillering,
        Stage.SHOOTING_IN: _shooting_in,
        Stage.FINISHING: _finishing,
        Stage.READY: _ready,
        Stage.STOCK: _stock,
        Stage.DELIVERED: _delivered,
    }
    yield from steps[facts.stage](facts)


def halts(facts: StepFacts) -> Iterator[Step]:
    """What stands before any further pull, the gravest first. Said on the bow, the bench, Today and the weigh-in.

    >>> [step.code for step in halts(StepFacts(stage="tillering", grown="chrysal, limb B", lost=(18.0, 0.66)))]
    ['dying', 'flaw_grown']
    """
    if facts.stage in (Stage.BROKEN, Stage.GIVEN_UP):
        return
    if facts.lost:
        values = {"loss": (facts.lost[0], "force"), "draw": (facts.lost[1], "draw")}
        yield Step("dying", values, facts.seen_in.get("dying"))
    if facts.falls:
        (was, at_short), (now, at) = facts.falls
        values = {
            "now": (now, "force"),
            "draw": (at, "draw"),
            "was": (was, "force"),
            "short": (at_short, "draw"),
        }
        yield Step("falls", values, facts.seen_in.get("falls"))
    if facts.grown:
        yield Step("flaw_grown", {"flaw": facts.grown})
    if facts.found:
        yield Step("flaw_found", {"flaw": facts.found})
    if facts.overdrawn_m is not None:
        yield Step("overdrawn", {"draw": (facts.overdrawn_m, "draw")}, facts.seen_in.get("overdrawn"))
    if facts.visiting and not facts.looked_over:
        yield Step("look_over")
    if facts.stage in ON_BENCH or facts.visiting:
        for rest in sorted(facts.rests, key=lambda rest: rest.until, reverse=True):
            yield Step("rest", {"work": rest.work, "until": rest.until})


def _laid_out(facts: StepFacts) -> Iterator[Step]:
    if facts.strung:
        yield Step("to_tillering")
    if not facts.wood_known:
        yield Step("name_wood")
    if not facts.planned:
        yield Step("plan")
    yield Step("rough_out")


def _roughing(facts: StepFacts) -> Iterator[Step]:
    if facts.strung:
        yield Step("to_tillering")
    if facts.zero_due:
        yield Step("read_zero")
    yield Step("floor_tiller")


def _tillering(facts: StepFacts) -> Iterator[Step]:
    if facts.zero_due:
        yield Step("read_zero")
    if not facts.strung:
        yield Step("long_string")
    if facts.work_since and facts.draw_m is not None and facts.strung != Strung.LONG:
        yield Step("weigh_again", {"draw": (min(facts.draw_m, facts.wanted_draw_m or facts.draw_m), "draw")})
    if facts.strung == Strung.LONG:
        yield Step("low_brace")
    if facts.force_n is None or facts.draw_m is None:
        yield Step("long_string")
    elif facts.limit_n is not None and facts.force_n > facts.limit_n:
        over = facts.force_n - facts.limit_n
        yield Step("too_heavy", {"over": (over, "force"), "draw": (facts.draw_m, "draw")})
    if facts.draw_unknown:
        yield Step("grip_depth")
    if facts.wanted_draw_m is None:
        yield Step("draw_further", _to(facts))
    elif facts.draw_m is not None and facts.draw_m < facts.wanted_draw_m - 0.001:
        yield Step(
            "full_brace" if facts.strung == Strung.LOW and _half_way(facts) else "draw_further", _to(facts)
        )
    if facts.strung == Strung.LOW:
        yield Step("full_brace")
    if not facts.upper_known:
        yield Step("upper")
    if by := _light_by(facts):
        yield Step("light", {"by": (by, "force"), "takes": (facts.to_come_n, "force")})
    yield Step("shoot_in")


def _to(facts: StepFacts) -> dict:
    return {"draw": (facts.next_draw_m, "draw")} if facts.next_draw_m is not None else {}


def _half_way(facts: StepFacts) -> bool:
    """Drawn far enough at low brace that the full brace comes next: three quarters of the way."""
    return facts.draw_m >= 0.75 * facts.wanted_draw_m


def _light_by(facts: StepFacts) -> float:
    """How far below what is allowed the bow will come out, once shooting in and finishing took their share; 0 where
    it will not, or nothing was asked."""
    if facts.wanted_n is None or facts.force_n is None:
        return 0.0
    by = facts.wanted_n - (facts.tolerance_n or 0.0) - (facts.force_n - facts.to_come_n)
    return by if by > SCALE_STEP_N else 0.0


def _shooting_in(facts: StepFacts) -> Iterator[Step]:
    if facts.shots < facts.shots_wanted:
        yield Step("shoot", {"left": facts.shots_wanted - facts.shots})
    if not facts.set_read:
        yield Step("read_set")
    yield Step("finish")


def _finishing(facts: StepFacts) -> Iterator[Step]:
    if not facts.upper_known:
        yield Step("upper")
    if not facts.rated:
        yield Step("final", {"draw": (facts.wanted_draw_m, "draw")} if facts.wanted_draw_m else {})
    yield Step("make_ready")


def _ready(facts: StepFacts) -> Iterator[Step]:
    if not facts.rated:
        yield Step("final", {"draw": (facts.wanted_draw_m, "draw")} if facts.wanted_draw_m else {})
    yield Step("hand_over" if facts.ordered else "find_archer")


def _stock(facts: StepFacts) -> Iterator[Step]:
    yield Step("find_archer")  # kept back, also from the order it was begun for


def _delivered(facts: StepFacts) -> Iterator[Step]:
    yield Step("with_owner")


def step_words(step: Step, units: UnitsInUse) -> str:
    """The step in the reader's words."""
    if step.code == "shoot":
        left = step.values["left"]
        return ngettext("Shoot it in: %(n)s arrow to go.", "Shoot it in: %(n)s arrows to go.", left) % {
            "n": left
        }
    shown = {name: _shown(value, units) for name, value in step.values.items()}
    return _sentences(bool(step.values))[step.code] % shown


@dataclass(frozen=True)
class Halt:
    """What stands before any further pull, in words, and the weigh-in it may be answered at."""

    words: str
    weigh_in: int | None = None

    def __str__(self):
        return self.words


def halts_told(steps: Iterable[Step], units: UnitsInUse) -> list[Halt]:
    return [Halt(step_words(step, units), step.weigh_in) for step in steps]


def _shown(value, units: UnitsInUse) -> str:
    if isinstance(value, tuple):
        return units.show(*value)
    return show_date(value) if isinstance(value, dt.date) else str(value)


def _sentences(known: bool) -> dict[str, str]:
    return {
        "decide": _("Decide what becomes of it."),
        "see_to_wood": _("See to its wood: a sound limb may be used again."),
        "ended": _("Nothing more."),
        "look_over": _("It came back: look it over and write down what you find."),
        "mend": _(
            "It came back: do what it wants, bring it up from part draws, weigh it again if a limb was touched, and "
            "let it go."
        ),
        "dying": _("Do not draw it further: it lost %(loss)s at %(draw)s with no wood off. Look for where."),
        "falls": _(
            "It held %(now)s at %(draw)s, less than the %(was)s at %(short)s: strike out the one that is wrong; if "
            "neither is, the bow is giving way."
        ),
        "flaw_found": _("A flaw was found (%(flaw)s): look at it and decide before it is drawn again."),
        "overdrawn": _("It was drawn to %(draw)s, past its ordered draw: look it over, and read the set."),
        "flaw_grown": _("A watched flaw has grown (%(flaw)s): decide before it is drawn again."),
        "rest": _("Let it rest until %(until)s (%(work)s)."),
        "name_wood": _("Name the wood it is made of."),
        "plan": _("Work out its plan: no length, weight or draw may be wanting."),
        "rough_out": _("Rough it out."),
        "to_tillering": _(
            "It was weighed already: take it to the tillering, and the ledger says how to go on."
        ),
        "read_zero": _("Read where its tips lie before it is bent: the zero for set."),
        "floor_tiller": _("Rough it out to the floor tiller."),
        "long_string": _("On the long string, a few inches at a time."),
        "low_brace": _("Bring it to a low brace once the tips come evenly."),
        "full_brace": _("Bring it to full brace, and weigh it there."),
        "weigh_again": _("Weigh it again at %(draw)s: it was worked on since."),
        "too_heavy": _(
            "Take wood off, evenly: %(over)s past the limit of pull at %(draw)s. No further draw before."
        ),
        "draw_further": _("Look at the tiller; if both limbs are even, weigh it at %(draw)s.")
        if known
        else _("Look at the tiller; if both limbs are even, draw it a little further."),
        "grip_depth": _(
            "Measure the depth of its grip, or weigh it from where its draw is ordered: how far to draw it cannot "
            "be said before."
        ),
        "upper": _("Decide which limb is the upper."),
        "light": _(
            "Finishing will take about %(takes)s: it comes out %(by)s lighter than is allowed. Pike it, agree on less, "
            "or keep it for stock."
        ),
        "shoot_in": _("At its draw and weight: shoot it in."),
        "read_set": _("Read the set, at once and rested."),
        "finish": _("Finish it."),
        "final": _("Final weigh-in at full brace, to %(draw)s.")
        if known
        else _("Final weigh-in at full brace."),
        "make_ready": _("Sanded, dry, weighed: it is ready."),
        "hand_over": _("It goes out with its tag and care sheet: hand it over."),
        "find_archer": _("It waits for its archer."),
        "with_owner": _("With its owner."),
    }
