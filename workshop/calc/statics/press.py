"""One limb clamped at the grip and pushed at its nock: the floor tiller, or a cantilever on the bench."""

import numpy as np

from workshop.calc.errors import OutOfRange, require
from workshop.calc.statics.bow import Bow, Limb
from workshop.calc.statics.newton import ANGLE, NOTHING_SHARED, SHARED, TENSION, balance, solve
from workshop.calc.statics.report import one_pose
from workshop.calc.statics.rest import prepare
from workshop.calc.statics.results import Pose

SHARES = 8  # the load is put on in this many parts at most


def press(limb: Limb, *, across_n: float, along_n: float = 0.0) -> Pose:
    """Bend one limb by a force at its nock that keeps its direction.

    `across_n` pushes towards the archer, `along_n` outward along the grip's line (negative towards the grip).
    A push straight along a straight limb leaves it straight, stable or not. Raises OutOfRange where no
    bent shape is found.

    An even straight limb, a force across of EI / l^2 (Mattiasson 1981, as quoted in public test files):

    >>> tip = press(Limb.measured([0.0, 1.0], [1.0, 1.0]), across_n=1.0).nock_m
    >>> f"{tip[0]:.8f} across, {1 - tip[1]:.8f} short"
    '0.30172077 across, 0.05643324 short'
    """
    batch = prepare([Bow(limb)])
    unit = batch.stiffness_nm2[0] / batch.length_m[0] ** 2
    shared = np.zeros((1, 1, SHARED))
    shared[..., ANGLE] = np.arctan2(across_n, -along_n)
    c = np.zeros((1, 1, 1, batch.grid.project.shape[2]))
    for part in np.linspace(0, 1, SHARES + 1)[1:]:
        shared[..., TENSION] = part * np.hypot(across_n, along_n) / unit
        state = solve(batch.grid, c, shared, NOTHING_SHARED, balance)
        c = state.c
    require(bool(state.good.all()), OutOfRange, "force", across_n=across_n, along_n=along_n, allowed="less")
    return one_pose(batch, state)
