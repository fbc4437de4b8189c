"""Twenty random bows, alike and unlike, against an independent boundary-value solver."""

import numpy as np
import pytest

from tests.calc.statics_bows import random_bow
from tests.calc.statics_bvp import Shooting, drawn_force
from workshop.calc.statics import draw

BRACE_M = 0.16
DRAWS_M = np.array([0.30, 0.48, 0.66])


@pytest.mark.parametrize("seed", range(20))
def test_a_random_bow_agrees_with_solve_bvp(seed):
    """To 1e-5 of the full force, of the string, and of a radian; every second bow has unlike limbs."""
    bow = random_bow(np.random.default_rng(seed), unlike=seed % 2 == 1)
    ours = draw(bow, DRAWS_M, brace_height_m=BRACE_M)
    assert ours.ok.all(), ours.why
    sides = bow.sides if len(bow.sides) == 2 else bow.sides * 2
    at_stations = [(limb.stations_m, limb.bending(limb.stations_m).stiffness_nm2) for limb, _ in sides]
    theirs = Shooting(bow, at_stations, tolerance=1e-6)
    lengths = [np.hypot(*ours.brace.upper.nock_m), np.hypot(*ours.brace.lower.nock_m)]
    p, z = theirs.brace(BRACE_M, None, np.array([200.0, 0.0, *lengths]))
    assert ours.brace.tension_n == pytest.approx(p[0], rel=1e-5)
    assert ours.brace.tilt_rad == pytest.approx(p[1], abs=1e-5)
    assert ours.brace.string_m == pytest.approx(p[2] + p[3], rel=1e-6)
    string = p[2] - bow.nocking_above_hand_m, p[3] + bow.nocking_above_hand_m
    guess = np.array([p[0], p[0], 0.1, 0.1, p[1] + np.arctan2(bow.nocking_above_hand_m, BRACE_M)])
    lean_at_rest = guess[4]
    forces = []
    for n, reach in enumerate(DRAWS_M):
        guess, z = theirs.draw(reach, string, z, guess)
        forces.append(drawn_force(guess))
        assert ours.turn_rad[n] == pytest.approx(guess[4] - lean_at_rest, abs=1e-5)
        for pose, x, y in ((ours.upper, *z[:2, -1]), (ours.lower, *z[3:5, -1])):
            assert pose.nock_m[n] == pytest.approx([x, y], abs=1e-5)
    assert ours.force_n == pytest.approx(forces, abs=1e-5 * forces[-1])
