"""What a weigh-in tells at once: a point out of line, stacking, dying wood, past the limit of pull.

Everything here informs and nothing refuses. Each criterion is stated where it is applied, and its figures are
parameters: makers see them differently.
"""

from dataclasses import dataclass

import numpy as np

from workshop.calc.drawcurve import SAME_DRAW_M, DrawCurve, end_slope, fallen, weight_at
from workshop.calc.errors import OutOfRange, require

# A point is out of line when it stands off the straight line between its neighbours by more than this share
# of their rise. Bow T1 (a straight 72 in bow, weighed by 4 in from brace) bends its curve by 0.11 at the
# most.
JUMP_SHARE = 0.25
# At an end there is one neighbour only: the chord may be this many times the next chord, or one part of it.
JUMP_CHORDS = 2.5
# Stacking: the last chord against the flattest one, drawn to 28 in by steps of two: a straight 72 in bow has
# 1.3, one as short as the rule of thumb allows (62 in with 6 in stiff) 1.5, the same with 2 in of follow 1.7;
# 52 in has 2.1.
STACKING_RATIO = 1.75


@dataclass(frozen=True)
class Oddity:
    """A point out of line: which (in order of draw), `falls` or `jump`, and the weight expected there."""

    index: int
    draw_m: float
    force_n: float
    kind: str
    expected_n: float


@dataclass(frozen=True)
class Stacking:
    """Whether the weight rises ever faster at the end: the last chord over the flattest before it."""

    stacks: bool
    ratio: float
    from_m: float
    ok: bool
    why: str


@dataclass(frozen=True)
class Lighter:
    """Two weigh-ins compared at their deepest common draw.

    `dying` when the later one is lighter beyond doubt. `doubt_n` is what scales and draw marks may be out by,
    `by_season_n` what the wood's moisture accounts for. `ok` is false, with the reason in `why`, when they
    cannot be compared: `work_done`, `no_brace`, `another_brace`, `another_string`,
    `no_common_draw`.
    """

    dying: bool
    draw_m: float
    before_n: float
    after_n: float
    doubt_n: float
    ok: bool
    why: str
    by_season_n: float = 0.0
    shorter_m: float | None = None  # where `before_n` was read, when that is short of `draw_m`

    @property
    def loss_n(self) -> float:
        """Weight lost at that draw [N]; negative when it has gained."""
        return self.before_n - self.after_n

    @property
    def gained(self) -> bool:
        """Heavier beyond the same doubt, and by more than it dried: no bow else gains weight without work on it."""
        return self.ok and -self.loss_n > self.doubt_n + max(0.0, self.by_season_n)


def limit_of_pull(ordered_n: float, *, allowance_n: float = 0.0, allowance_pct: float = 0.0) -> float:
    """The weight not to go past at any draw [N]: the order, and what shooting in and finishing will take.

    ordered_n [N] above zero; allowance_n [N] and allowance_pct [% of the order] zero or more; both may be
    given.
    Errors: `OutOfRange`. Common practice, no source: 2 to 5 lb, or 5 %.

    >>> round(limit_of_pull(200.0, allowance_n=15.0), 6), round(limit_of_pull(200.0, allowance_pct=5), 6)
    (215.0, 210.0)
    """
    require(ordered_n > 0, OutOfRange, "ordered_weight", allowed="above zero", ordered_n=ordered_n)
    require(
        allowance_n >= 0 and allowance_pct >= 0,
        OutOfRange,
        "allowance",
        allowed="zero or more",
        allowance_n=allowance_n,
        allowance_pct=allowance_pct,
    )
    return ordered_n * (1 + allowance_pct / 100) + allowance_n


def odd_points(curve: DrawCurve) -> list[Oddity]:
    """Points below the one before, and points out of line with their neighbours, in order of draw.

    A fall is any drop greater than the scale's doubt. A jump is a point that stands off the line between its
    neighbours by more than `JUMP_SHARE` of their rise and four times the scale's doubt; at an end, a chord
    more than `JUMP_CHORDS` times, or less than one such part of, the chord beside it. One slip makes its
    neighbours look odd too, so the point is named whose leaving out puts the rest best in line (the later one
    of two), and the rest is looked at again. Brace counts as a point but is never named.

    >>> from workshop.calc.drawcurve import draw_curve
    >>> slip = draw_curve([0.4, 0.45, 0.5, 0.55], [80, 95, 11, 125], braced_draw_m=0.2)
    >>> [(odd.index, odd.kind, odd.expected_n) for odd in odd_points(slip)]
    [(2, 'falls', 110.0)]
    """
    brace = [] if curve.braced_draw_m is None else [curve.braced_draw_m]
    x, y = np.r_[brace, curve.draws_m], np.r_[[0.0] * len(brace), curve.forces_n]
    index, found = np.arange(len(x)) - len(brace), []
    while True:
        scores, expected = _out_of_line(x, y, curve.scale_doubt_n)
        suspects = [i for i in np.flatnonzero(scores > 1) if index[i] >= 0]
        if not suspects:
            return sorted(found, key=lambda odd: odd.index)
        worst = min(
            suspects, key=lambda i: (_left_odd(np.delete(x, i), np.delete(y, i), curve.scale_doubt_n), -i)
        )
        kind = "falls" if worst and y[worst] < y[worst - 1] else "jump"
        found.append(
            Oddity(int(index[worst]), float(x[worst]), float(y[worst]), kind, float(expected[worst]))
        )
        x, y, index = (np.delete(values, worst) for values in (x, y, index))


def _left_odd(x: np.ndarray, y: np.ndarray, doubt_n: float) -> float:
    return float(_out_of_line(x, y, doubt_n)[0].max(initial=0.0))


def _out_of_line(x: np.ndarray, y: np.ndarray, doubt_n: float) -> tuple[np.ndarray, np.ndarray]:
    """How far each point is out of line (above one is odd), and the weight its neighbours expect."""
    scores, expected = np.zeros(len(x)), y.copy()
    for i in range(len(x) if len(x) > 2 else 0):
        if 0 < i < len(x) - 1:
            expected[i] = np.interp(x[i], x[[i - 1, i + 1]], y[[i - 1, i + 1]])
            room = max(JUMP_SHARE * abs(y[i + 1] - y[i - 1]), 4 * doubt_n, 1e-9)
            scores[i] = abs(y[i] - expected[i]) / room
        else:
            near, far = (1, 2) if i == 0 else (i - 1, i - 2)
            foreseen = (y[near] - y[far]) / (x[near] - x[far]) * (x[i] - x[near])
            expected[i] = y[near] + foreseen
            scores[i] = _chord_score(y[i] - y[near], foreseen, 4 * doubt_n)
    for i in fallen(y, doubt_n):
        scores[[i - 1, i]] = np.maximum(scores[[i - 1, i]], 2.0)
        if len(x) == 2:
            expected[1] = y[0]
    return scores, expected


def _chord_score(rise: float, expected: float, doubt_n: float) -> float:
    if abs(rise - expected) <= doubt_n:
        return 0.0
    if expected == 0 or rise / expected <= 0:
        return 2.0
    times = rise / expected
    return max(times, 1 / times) / JUMP_CHORDS


def stacking(curve: DrawCurve, *, ratio: float = STACKING_RATIO) -> Stacking:
    """Weight rising ever faster in the last inches.

    Criterion: the last chord is at least `ratio` times the flattest chord before it, the chords have not
    fallen since the flattest one, and the difference is more than twice what the scale's doubt makes of it.
    Three points at least (brace counts); `ok` is false with fewer. A falling curve is not judged.

    >>> from workshop.calc.drawcurve import draw_curve
    >>> short = draw_curve([0.40, 0.45, 0.50, 0.55], [80, 90, 103, 123], braced_draw_m=0.15)
    >>> stacking(short).stacks, round(stacking(short).ratio, 3)
    (True, 2.0)
    """
    end_m = float(curve.draws_m[-1])
    if len(curve.draws_m) + (curve.braced_draw_m is not None) < 3:
        return Stacking(False, 1.0, end_m, False, "too_few_points")
    if curve.falls:
        return Stacking(False, 1.0, end_m, False, "falls")
    line = curve.curve
    steps = np.diff(line.x)
    chords = np.diff(line.y) / steps
    flattest = int(np.argmin(chords[:-1]))
    later = chords[flattest:]
    if chords[flattest] <= 0:
        return Stacking(False, 1.0, end_m, False, "flat")
    times = float(chords[-1] / chords[flattest])
    doubt = curve.scale_doubt_n * np.sqrt(2 / steps[-1] ** 2 + 2 / steps[flattest] ** 2)
    beyond = chords[-1] - chords[flattest] > 2 * doubt
    rising = bool(np.all(np.diff(later) >= -2 * doubt))
    return Stacking(bool(times >= ratio and beyond and rising), times, float(line.x[flattest + 1]), True, "")


def lighter_than_before(
    before: DrawCurve,
    after: DrawCurve,
    *,
    work_done_since: bool,
    same_string: bool = True,
    same_brace: bool | None = None,
    brace_within_m: float = 0.003,
    draw_doubt_m: float = 0.001,
    by_season_n: float = 0.0,
) -> Lighter:
    """Whether the bow weighs less at the same draw and brace although no wood came off: dying wood.

    Compared at the deepest draw that both weigh-ins hold (interpolated inside the points where need be). One that
    begins beyond where the other ended is compared only where it holds less there than the other did short of it.
    Lighter beyond doubt: loss > 2 sqrt(doubt_before^2 + doubt_after^2 + 2 (slope x draw_doubt_m)^2), and what a
    wetter season accounts for besides.

    same_brace: whether the two brace heights are one, where the caller knows; otherwise the braced draws are
    compared. brace_within_m [m]: braces further apart than this are another brace; two unknown braces are not
    compared.
    draw_doubt_m [m]: how well a draw mark is met. by_season_n [N]: what the change of the wood's moisture makes
    the bow weigh more, negative where it was wetted and weighs less (common practice, no source: 3 % of moisture is
    worth a couple of pounds). It excuses a change its own way only: a wetting no gain, a drying no loss.

    >>> from workshop.calc.drawcurve import draw_curve
    >>> first = draw_curve([0.5, 0.6], [100, 140], braced_draw_m=0.16, scale_doubt_n=1.0)
    >>> again = draw_curve([0.6], [131], braced_draw_m=0.16, scale_doubt_n=1.0)
    >>> lighter_than_before(first, again, work_done_since=False).dying
    True
    """
    if same_brace is None:
        brace = _another_brace(before, after, brace_within_m)
    else:
        brace = "" if same_brace else "another_brace"
    reason = "work_done" if work_done_since else brace if same_string else "another_string"
    common = _deepest_common_draw(before, after)
    if not reason and common is None and (less := _less_further_out(before, after, by_season_n)):
        return less
    if reason or common is None:
        nothing = float("nan")
        return Lighter(False, nothing, nothing, nothing, nothing, False, reason or "no_common_draw")
    was, now = weight_at(before, common), weight_at(after, common)
    mark = _rise(before, common, was.force_n) * draw_doubt_m
    doubt = 2 * float(np.sqrt(was.doubt_n**2 + now.doubt_n**2 + 2 * mark**2))
    dying = was.force_n - now.force_n > doubt + max(0.0, -by_season_n)
    return Lighter(dying, common, was.force_n, now.force_n, doubt, True, "", by_season_n)


def _less_further_out(before: DrawCurve, after: DrawCurve, by_season_n: float) -> Lighter | None:
    """A bow drawn further than before and holding less than it did at the shorter draw: lighter without a doubt."""
    if after.draws_m[0] <= before.draws_m[-1]:
        return None
    was, now = float(before.forces_n[-1]), float(after.forces_n[0])
    doubt = 2 * float(np.hypot(before.scale_doubt_n, after.scale_doubt_n))
    if was - now <= doubt + max(0.0, -by_season_n):
        return None
    at, short = float(after.draws_m[0]), float(before.draws_m[-1])
    return Lighter(True, at, was, now, doubt, True, "", by_season_n, shorter_m=short)


def _rise(curve: DrawCurve, draw_m: float, force_n: float) -> float:
    """How fast the weight rises [N/m]; from nothing, where one point is all that is known."""
    alone = curve.braced_draw_m is None and len(curve.draws_m) == 1
    return force_n / draw_m if alone else end_slope(curve).newton_per_m


def _another_brace(before: DrawCurve, after: DrawCurve, within_m: float) -> str:
    if before.braced_draw_m is None or after.braced_draw_m is None:
        return "no_brace"
    return "another_brace" if abs(before.braced_draw_m - after.braced_draw_m) > within_m else ""


def _deepest_common_draw(before: DrawCurve, after: DrawCurve) -> float | None:
    low = max(before.draws_m[0], after.draws_m[0])
    high = min(before.draws_m[-1], after.draws_m[-1])
    if high < low - SAME_DRAW_M:
        return None
    return float(high)
