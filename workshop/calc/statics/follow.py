"""Following a solution outward (or a brace downward) in small steps, where Newton from a guess fails."""

from collections.abc import Callable

import numpy as np

from workshop.calc.statics.newton import DRAW, State

SMALLEST_STEP = 1e-3  # as a part of the bow's half length


def follow(solve_at: Callable[[State, float], State], start: State, want: float) -> tuple[State, float]:
    """From one bow's solved draw towards `want`: the last state found, and the draw it stands for.

    The step halves where Newton fails and doubles where it succeeds. Short of `want` the solution has ended:
    the limb cannot be bent on, or a reflex snaps through.
    """
    state, have = start, float(start.shared[0, 0, DRAW])
    step, steps = want - have, 0
    while have != want:
        target = want if abs(step) >= abs(want - have) else have + step
        tried = solve_at(state, target)
        steps += int(tried.steps[0, 0])
        if tried.good[0, 0]:
            state, have, step = tried, target, 2 * step
        else:
            step /= 2
            if abs(step) < SMALLEST_STEP:
                break
    return State(state.c, state.shared, np.full((1, 1), steps), state.change), have


def single(state: State, bow: int, draw: int) -> State:
    """One bow at one draw out of a stack."""
    return State(
        state.c[bow : bow + 1, :, draw : draw + 1].copy(),
        state.shared[bow : bow + 1, draw : draw + 1].copy(),
        state.steps[bow : bow + 1, draw : draw + 1].copy(),
        state.change[bow : bow + 1, draw : draw + 1].copy(),
    )
