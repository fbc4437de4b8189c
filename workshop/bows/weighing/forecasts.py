"""What is expected of the next pull, and how far to go. Nothing here is measured, and all of it is kept:
`services` stores each forecast that is shown before a pull and joins it to what came of it."""

from collections.abc import Sequence
from dataclasses import dataclass

from workshop.bows.models import Bow
from workshop.bows.models.weighing import Purpose
from workshop.bows.weighing.passes import Pass, Weighings
from workshop.calc.drawcurve import SAME_DRAW_M, weight_at
from workshop.calc.errors import CalcError
from workshop.calc.imperial import INCH_M
from workshop.calc.learning import Outcome, learn
from workshop.calc.projection import Projection, combine, no_surer_than, rules_of_thumb
from workshop.calc.weighin import limit_of_pull

# Where nothing was ordered: most bows are rated at 28 in. Common practice, no source.
USUAL_DRAW_M = 28 * INCH_M
STEPS_M = {"imperial": 2 * INCH_M, "metric": 0.05}  # of the full series
FURTHER_M = {"imperial": INCH_M, "metric": 0.025}  # the next pull while tillering
# A series begins a little beyond the braced string; 10 in where the brace is not known.
BEYOND_BRACE_M, USUAL_FIRST_M = 0.05, 10 * INCH_M


@dataclass(frozen=True)
class BeforePull:
    """What a maker is told before the bow is drawn again: how far, what it weighed there, what to expect."""

    draw_m: float | None  # None when the series is done, or where it ends cannot be said
    last_n: float | None
    expected: Projection | None
    too_heavy: bool = False  # past the limit of pull as it was last drawn, and no wood came off since
    no_end: str = ""  # why the ordered draw cannot be carried to where this weigh-in measures


def limit_n(bow: Bow, shop) -> float | None:
    """The weight not to go past: as ordered, and what shooting in and finishing will take."""
    if bow.wanted_n is None:
        return None
    return limit_of_pull(bow.wanted_n, allowance_n=shop.allowance_n, allowance_pct=shop.allowance_pct)


def full_draw_m(one: Pass) -> float | None:
    """The draw a series goes to, as this weigh-in measures. None where a draw is ordered that cannot be carried
    to where this one measures: the usual one may be far beyond it."""
    return USUAL_DRAW_M if one.bow.wanted_draw_m is None else one.wanted_draw_m


def no_end(one: Pass) -> str:
    """Why it cannot be said how far a series goes; nothing where it can."""
    return one.shift_from(one.bow.draw_from).why if full_draw_m(one) is None else ""


def series_m(one: Pass, system: str) -> list[float]:
    """The draws of the full series: by even steps from beyond the brace to the ordered draw. None at all where
    that draw cannot be said."""
    step, end = STEPS_M[system], full_draw_m(one)
    if end is None:
        return []
    first = USUAL_FIRST_M if one.braced_draw_m is None else one.braced_draw_m + BEYOND_BRACE_M
    count = int(first / step - 1e-6) + 1 if one.braced_draw_m is not None else round(first / step)
    draws = []
    while count * step < end - SAME_DRAW_M:
        draws.append(round(count * step, 5))
        count += 1
    return [*draws, end]


def next_draw_m(one: Pass, system: str) -> float | None:
    """The next draw of the series: the first one further than any weighed; None when it is done."""
    reached = one.furthest.draw_m if one.furthest else 0.0
    return next((draw for draw in series_m(one, system) if draw > reached + SAME_DRAW_M), None)


def next_pull_m(known: Weighings, one: Pass, limit: float | None, system: str) -> float | None:
    """How far to draw for one figure: where it was last drawn to when wood came off since or the limit of pull
    was passed there; otherwise an inch further, and never beyond the ordered draw by itself. None where that draw
    cannot be said."""
    last = known.before(one) if not one.counts else one
    shift, full = last.shift_to(one.weigh_in.draw_from) if last else None, full_draw_m(one)
    if last is None or not shift.ok or last.short_of_brace:
        return next(iter(series_m(one, system)), None)
    reached = last.furthest.draw_m + shift.metres
    too_heavy = limit is not None and last.furthest.force_n > limit
    if too_heavy or (last is not one and known.work_since(last.weigh_in)):
        return reached if full is None else min(reached, full)
    return None if full is None else round(min(reached + FURTHER_M[system], full), 5)


def basis(known: Weighings, one: Pass) -> Pass | None:
    """The pass a forecast may start from: this one, or the last when no work was done since."""
    if one.is_long or not known.is_latest(one) or one.short_of_brace:
        return None
    if one.counts:
        return one
    last = known.before(one)
    if last is None or known.work_since(last.weigh_in) or last.short_of_brace:
        return None
    return last


def expected_at(start: Pass, draw_m: float, place: str) -> list[Projection]:
    """By every rule of thumb and by the last slope, at a draw not reached yet; nothing where it was."""
    curve = start.curve(place)
    if curve is None or draw_m <= curve.draws_m[-1] + SAME_DRAW_M:
        return []
    try:
        return rules_of_thumb(curve, draw_m)
    except CalcError:
        return []


def too_heavy(known: Weighings, one: Pass, limit: float | None) -> bool:
    """Whether the bow as it is now was past the limit of pull already."""
    start = basis(known, one)
    return limit is not None and start is not None and start.furthest.force_n > limit


def before_pull(
    known: Weighings,
    one: Pass,
    draw_m: float | None,
    limit: float | None,
    past: Sequence[Outcome] = (),
) -> BeforePull:
    """What to say before drawing to `draw_m`. `past` is how far out the rules of thumb together were before."""
    if draw_m is None:
        return BeforePull(None, None, None, too_heavy(known, one, limit), no_end(one))
    place = one.weigh_in.draw_from
    last, last_n = known.before(one), None
    curve = last.curve(place) if last else None
    if curve is not None:
        try:
            last_n = weight_at(curve, draw_m).force_n
        except CalcError:
            last_n = None
    start = basis(known, one)
    ways = expected_at(start, draw_m, place) if start else []
    expected = learned(start, ways, place, past) if ways else None
    return BeforePull(draw_m, last_n, expected, too_heavy(known, one, limit), no_end(one))


def learned(start: Pass, ways: Sequence[Projection], place: str, past: Sequence[Outcome]) -> Projection:
    """The ways together, moved and its range widened or narrowed by the workshop's own outcomes; no surer
    than the scale it will be read on."""
    return no_surer_than(learn(combine(list(ways)), after_draw_m(start, place), past), start.doubt_n)


def after_draw_m(start: Pass, place: str) -> float:
    """The furthest draw a forecast is made from, measured from `place`."""
    return start.furthest.draw_m + start.shift_to(place).metres


def thumb_before_pull(
    known: Weighings, one: Pass, system: str, limit: float | None, past: Sequence[Outcome] = ()
) -> list[tuple[Projection, dict]]:
    """Each rule of thumb for the next pull and for the full draw, and what they make together: to be kept as
    expectations, with what they were before anything was learned."""
    start, place, made = basis(known, one), one.weigh_in.draw_from, []
    if start is None:
        return []
    for draw_m in dict.fromkeys((pull_to_m(known, one, limit, system), full_draw_m(one))):
        ways = expected_at(start, draw_m, place) if draw_m is not None else []
        if ways:
            raw = {"raw_n": combine(ways).force_n}
            made += [(way, {}) for way in ways] + [(learned(start, ways, place, past), raw)]
    return made


def pull_to_m(known: Weighings, one: Pass, limit: float | None, system: str) -> float | None:
    """The draw to go to next: of the series, or a little further while tillering."""
    if one.weigh_in.purpose == Purpose.TILLERING:
        return next_pull_m(known, one, limit, system)
    return next_draw_m(one, system)
