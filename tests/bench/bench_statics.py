"""The draw curve against scipy's boundary-value solver at equal accuracy, and a batch against one bow at a time."""

import subprocess
import sys
import time

import numpy as np

from tests.bench.registry import bench, best_ms
from tests.calc.statics_bows import T1, random_bow
from tests.calc.statics_bvp import Shooting, drawn_force
from workshop.calc.statics import Bow, draw, draw_batch

BRACE_M, DRAWS_M = 0.16, np.linspace(0.20, 0.66, 19)
WANTED = 1e-5  # of the full draw's force


def curve_by_bvp(bow: Bow, tolerance: float) -> np.ndarray:
    """Forces at every draw, each draw started from the last: what scipy alone would do."""
    stiffness = [(limb.stations_m, limb.bending(limb.stations_m).stiffness_nm2) for limb, _ in bow.sides]
    solver = Shooting(bow, stiffness, tolerance)
    lengths = [limb.length_m + root for limb, root in bow.sides]
    p, z = solver.brace(BRACE_M, None, np.array([200.0, 0.0, *lengths]))
    above = bow.nocking_above_hand_m
    guess = np.array([p[0], p[0], 0.1, 0.1, p[1] + np.arctan2(above, BRACE_M)])
    forces = []
    for reach in DRAWS_M:
        guess, z = solver.draw(reach, (p[2] - above, p[3] + above), z, guess)
        forces.append(drawn_force(guess))
    return np.array(forces)


@bench("draw curve")
def draw_curve():
    """19 draws and the brace of a measured bow with unlike limbs."""
    bow = random_bow(np.random.default_rng(1), unlike=True)
    exact = curve_by_bvp(bow, 1e-9)

    def out_by(forces: np.ndarray) -> float:
        return float(np.abs(forces - exact).max() / exact[-1])

    ours = best_ms(lambda: draw(bow, DRAWS_M, brace_height_m=BRACE_M))
    error = out_by(draw(bow, DRAWS_M, brace_height_m=BRACE_M).force_n)
    tolerance = 1e-2
    while (theirs_error := out_by(curve_by_bvp(bow, tolerance))) > max(error, WANTED):
        tolerance /= 10
    theirs = best_ms(lambda: curve_by_bvp(bow, tolerance), rounds=3)
    yield f"statics      {ours:8.2f} ms, out by {error:.1e}   (hold: 10 ms, 1e-5)"
    yield f"solve_bvp    {theirs:8.2f} ms, out by {theirs_error:.1e}, tolerance {tolerance:.0e}"
    yield f"ratio        {theirs / ours:8.1f} times as fast   (hold: 10)"
    equal = best_ms(lambda: draw(T1, np.linspace(6, 28, 19), brace_height_m=6.0))
    yield f"equal limbs  {equal:8.2f} ms   (bow T1)"


@bench("batch of bows")
def batch():
    """200 different bows at 19 draws, together and one by one."""
    for kind, unlike in (("equal limbs", False), ("unlike limbs", True)):
        rng = np.random.default_rng(2)
        bows = [random_bow(rng, unlike=unlike) for _ in range(200)]
        together = best_ms(lambda bows=bows: draw_batch(bows, DRAWS_M, brace_height_m=BRACE_M), rounds=3)
        begun = time.perf_counter()
        for bow in bows:
            draw(bow, DRAWS_M, brace_height_m=BRACE_M)
        alone = 1000 * (time.perf_counter() - begun)
        yield f"{kind:13} {together:7.0f} ms together (hold: 2000), {alone:7.0f} ms one by one"
        yield f"{'':13} {together / 200:7.2f} ms a bow, ratio {alone / together:.1f}"


@bench("import of scipy")
def import_cost():
    """What the pages are spared: the statics alone against the statics with scipy's solvers."""

    def spawn(code: str) -> None:
        subprocess.run([sys.executable, "-c", code], check=True)

    bare = best_ms(lambda: spawn("import numpy"), rounds=5)
    for name, code in (
        ("the statics", "import workshop.calc.statics"),
        ("scipy.integrate and interpolate", "import numpy, scipy.integrate, scipy.interpolate"),
    ):
        yield f"{best_ms(lambda code=code: spawn(code), rounds=5) - bare:7.1f} ms over numpy alone: {name}"
