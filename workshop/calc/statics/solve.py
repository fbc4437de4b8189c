"""Brace and draw: the questions a maker asks of a bow."""

from collections.abc import Sequence

import numpy as np
from numpy.typing import ArrayLike

from workshop.calc.errors import Mismatch, OutOfRange, TooFew, require
from workshop.calc.statics import guess
from workshop.calc.statics.bow import Bow
from workshop.calc.statics.follow import follow, single
from workshop.calc.statics.grid import FINE_TERMS, QUICK_TERMS, Grid, some
from workshop.calc.statics.newton import DRAW, LEAN, STRING, State, solve_drawn
from workshop.calc.statics.report import braced_results, drawn_results
from workshop.calc.statics.rest import Batch, Rest, hung, prepare, strung
from workshop.calc.statics.results import Braced, Drawn

FINE_ENOUGH = 1e-4  # residual; the force was seen to be out by at most a tenth of it


def brace(bow: Bow, *, brace_height_m: float | None = None, string_length_m: float | None = None) -> Braced:
    """String the bow to a brace height, or with a string of a given length (nock to nock along the string).

    Raises OutOfRange for a brace height that no string can hold: zero or less, not above the unstrung nocks
    (the natural bend would already touch the string), or as high as the limb is long; Mismatch unless
    exactly one of the two is given.

    >>> from workshop.calc.statics import Bow, Limb
    >>> bow = Bow(Limb.measured([0.1, 0.9], [60.0, 60.0]))
    >>> strung = brace(bow, brace_height_m=0.15)
    >>> f"string {strung.string_m:.7f} m, tension {strung.tension_n:.4f} N"
    'string 1.7648187 m, tension 233.8939 N'
    >>> round(brace(bow, string_length_m=strung.string_m).brace_height_m, 9)
    0.15
    """
    _one_of(brace_height_m=brace_height_m, string_length_m=string_length_m)
    height, string = _each(brace_height_m, 1), _each(string_length_m, 1)
    for terms in (QUICK_TERMS, FINE_TERMS):
        batch = prepare([bow], terms)
        made = braced_results(batch, strung(batch, height, string))[0]
        if not made.residual > FINE_ENOUGH:
            break
    return made


def draw(
    bow: Bow,
    draws_m: ArrayLike,
    *,
    brace_height_m: float | None = None,
    string_length_m: float | None = None,
    long_string_m: float | None = None,
) -> Drawn:
    """Draw the bow to each of `draws_m`, from the hand's pressure point to the arrow's nock on the string.

    The bow is strung to `brace_height_m`, or with `string_length_m`, or hung with a `long_string_m` that is
    slack until taken up, as on the tillering tree. Raises as `brace` does, and OutOfRange for a draw below
    the brace.
    """
    return draw_batch(
        [bow],
        draws_m,
        brace_height_m=brace_height_m,
        string_length_m=string_length_m,
        long_string_m=long_string_m,
    )[0]


def draw_batch(
    bows: Sequence[Bow],
    draws_m: ArrayLike,
    *,
    brace_height_m: ArrayLike | None = None,
    string_length_m: ArrayLike | None = None,
    long_string_m: ArrayLike | None = None,
) -> list[Drawn]:
    """Draw many bows at once: far quicker than one by one.

    `draws_m` is one list for all or one row a bow; the three ways of stringing are one figure or one a bow.
    """
    _one_of(brace_height_m=brace_height_m, string_length_m=string_length_m, long_string_m=long_string_m)
    require(len(bows) > 0, TooFew, "bows", bows=0, allowed="at least one")
    draws = np.atleast_1d(np.asarray(draws_m, float))
    require(draws.size > 0, TooFew, "draws", draws=0, allowed="at least one")
    require(bool(np.all(np.isfinite(draws))), OutOfRange, "draws", draws_m=draws.tolist(), allowed="numbers")
    fits = draws.ndim == 1 or (draws.ndim == 2 and len(draws) == len(bows))
    require(fits, Mismatch, "draws", shape=draws.shape, allowed="one list, or one row a bow")
    draws = np.broadcast_to(draws, (len(bows), draws.shape[-1]))
    height, string, slack = (_each(v, len(bows)) for v in (brace_height_m, string_length_m, long_string_m))
    results: dict[int, Drawn] = {}
    for terms in (QUICK_TERMS, FINE_TERMS):
        for mirrored in (True, False):
            asked = [n for n, bow in enumerate(bows) if bow.mirrored == mirrored and n not in results]
            if not asked:
                continue
            rows = np.array(asked)
            batch = prepare([bows[n] for n in rows], terms)
            solved = _draw(batch, draws[rows], height[rows], string[rows], slack[rows])
            for n, made in zip(asked, solved, strict=True):
                if terms == FINE_TERMS or not np.any(made.residual > FINE_ENOUGH):
                    results[n] = made
    return [results[n] for n in range(len(bows))]


def _draw(
    batch: Batch, draws_m: np.ndarray, height_m: np.ndarray, string_m: np.ndarray, slack_m: np.ndarray
) -> list[Drawn]:
    """Every bow of one kind at its draws, strung or hung with a slack string first."""
    grid = batch.grid
    rest = strung(batch, height_m, string_m) if np.isnan(slack_m).all() else hung(batch, slack_m)
    _check_draws(batch, draws_m, rest)
    start = rest.start.shared[:, 0]
    at = np.maximum(draws_m / batch.length_m[:, None], start[:, None, DRAW])
    c, shared, _ = guess.drawn(grid, start[:, STRING], start[:, LEAN], at)
    state = solve_drawn(grid, c, shared)
    limit = np.full(len(at), np.inf)
    for bow in np.flatnonzero(~state.good.all(1) & rest.found):
        limit[bow] = _follow_draws(grid, state, rest.start, bow, at[bow])
    return drawn_results(batch, draws_m, state, rest, limit)


def _check_draws(batch: Batch, draws_m: np.ndarray, rest: Rest) -> None:
    """Refuse a draw short of the brace; between it and the nock's first pull the bow stands braced."""
    height = np.zeros(len(draws_m)) if rest.slack else rest.state.shared[:, 0, DRAW] * batch.length_m
    for asked, least in zip(draws_m.min(1)[rest.found], height[rest.found], strict=True):
        reached = asked >= least - 1e-9 and asked > 0
        require(reached, OutOfRange, "draw", draw_m=float(asked), allowed=f"{least:.4f} m (brace) or more")


def _follow_draws(grid: Grid, state: State, rest: State, bow: int, at: np.ndarray) -> float:
    """Reach draws Newton missed from the nearest it did not; the furthest draw there is, or inf."""
    one = some(grid, np.array([bow]))

    def solve_at(near: State, draw: float) -> State:
        shared = near.shared.copy()
        shared[..., DRAW] = draw
        return solve_drawn(one, near.c, shared)

    limit = np.inf
    for n in np.argsort(at):
        if state.good[bow, n] or at[n] >= limit:
            continue
        solved = np.flatnonzero(state.good[bow])
        below, above = solved[at[solved] < at[n]], solved[at[solved] > at[n]]
        starts = [single(state, bow, below[at[below].argmax()]) if below.size else single(rest, bow, 0)]
        starts += [single(state, bow, above[at[above].argmin()])] if above.size else []
        furthest = []
        for start in starts:
            reached, have = follow(solve_at, start, at[n])
            furthest.append(have)
            if have == at[n]:
                state.put(bow, n, reached)
                break
        else:
            limit = limit if above.size else furthest[0]
    return limit


def _one_of(**given: ArrayLike | None) -> None:
    named = [name for name, value in given.items() if value is not None]
    require(len(named) == 1, Mismatch, "stringing", named=named, allowed=f"exactly one of {', '.join(given)}")


def _each(value: ArrayLike | None, count: int) -> np.ndarray:
    if value is None:
        return np.full(count, np.nan)
    each = np.atleast_1d(np.asarray(value, float))
    require(each.shape in ((1,), (count,)), Mismatch, "stringing", given=each.size, allowed=f"1 or {count}")
    good = bool(np.all(np.isfinite(each) & (each > 0)))
    require(good, OutOfRange, "stringing", given_m=each.tolist(), allowed="above 0")
    return np.broadcast_to(each, count)
