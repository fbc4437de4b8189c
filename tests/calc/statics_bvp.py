"""A second way to the same bow: the elastica's differential equations by scipy's `solve_bvp`.

Nothing of the solver is used but the question: stiffness goes through scipy's own PCHIP, the unstrung lean through
the limb's own definition. For each limb, with s from grip to nock, x' = sin t, y' = cos t, and
t' = t0' + K (distance to the line of the string) / EI; the string's line passes through the arrow's nock, known
once the line of force is. Unknown constants are solved along: drawn, two tensions, two string angles, the turn;
braced, tension, lean and the two lengths.
"""

import numpy as np
from scipy.integrate import solve_bvp
from scipy.interpolate import PchipInterpolator

from workshop.calc.statics import Bow


class Shooting:
    """One bow, ready to be braced and drawn."""

    def __init__(self, bow: Bow, stiffness: list[tuple[np.ndarray, np.ndarray]], tolerance: float):
        self.tolerance = tolerance
        self.limbs = bow.sides if len(bow.sides) == 2 else bow.sides * 2
        self.stiffness = [PchipInterpolator(*pair) for pair in stiffness]
        self.first = [limb.stations_m[0] for limb, _ in self.limbs]
        self.length = [limb.length_m for limb, _ in self.limbs]
        marks = [(limb.stations_m - limb.stations_m[0]) / limb.length_m for limb, _ in self.limbs]
        self.mesh = np.unique(np.concatenate([np.linspace(0, 1, 25), *marks]).round(9))

    def rates(self, u, z, forces, through):
        """dz/du for z = (x, y, bend) of each limb; t = t0 + bend, so that t0 is never differentiated."""
        out = []
        for n, (limb, _) in enumerate(self.limbs):
            s = self.first[n] + self.length[n] * u
            x, y, bend = z[3 * n : 3 * n + 3]
            lean = limb.natural_angle(s) + bend
            (fx, fy), (px, py) = forces[n], through[n]
            moment = fx * (py - y) - fy * (px - x)
            out += [np.sin(lean), np.cos(lean), moment / self.stiffness[n](s)]
            out[-3:] = [self.length[n] * rate for rate in out[-3:]]
        return np.array(out)

    def clamped(self, z):
        return [
            value
            for n, (limb, root) in enumerate(self.limbs)
            for value in (z[3 * n] - limb.root_offset_m, z[3 * n + 1] - root, z[3 * n + 2])
        ]

    def brace(self, height, guess_z, guess_p):
        """Tension, lean of the string, and its two lengths from the foot of the perpendicular from the hand."""

        def line(p):
            tension, lean = p[:2]
            sides = [(lean, 1.0), (-lean, -1.0)]
            forces = [(tension * np.sin(a), -tension * np.cos(a)) for a, _ in sides]
            feet = [(height * np.cos(a), height * np.sin(a)) for a, _ in sides]
            return sides, forces, feet

        def rates(u, z, p):
            _, forces, feet = line(p)
            return self.rates(u, z, forces, feet)

        def ends(start, end, p):
            sides, _, feet = line(p)
            gaps = []
            for n, ((a, _), foot, part) in enumerate(zip(sides, feet, p[2:], strict=True)):
                gaps += [end[3 * n] + part * np.sin(a) - foot[0], end[3 * n + 1] - part * np.cos(a) - foot[1]]
            return np.array([*self.clamped(start), *gaps])

        return self.solve(rates, ends, guess_z, guess_p)

    def draw(self, reach, string, guess_z, guess_p):
        """Two tensions, two string angles, and the lean of the line of force."""

        def line(p):
            forces = [(k * np.sin(a), -k * np.cos(a)) for k, a in ((p[0], p[2]), (p[1], p[3]))]
            nock = [(reach * np.cos(p[4]), sign * reach * np.sin(p[4])) for sign in (1, -1)]
            return forces, nock

        def rates(u, z, p):
            return self.rates(u, z, *line(p))

        def ends(start, end, p):
            _, nock = line(p)
            gaps = []
            for n in (0, 1):
                a = p[2 + n]
                gaps += [end[3 * n] + string[n] * np.sin(a) - nock[n][0]]
                gaps += [end[3 * n + 1] - string[n] * np.cos(a) - nock[n][1]]
            uneven = p[0] * np.cos(p[2] - p[4]) - p[1] * np.cos(p[3] + p[4])
            return np.array([*self.clamped(start), *gaps, uneven / 100])

        return self.solve(rates, ends, guess_z, guess_p)

    def solve(self, rates, ends, guess_z, guess_p):
        start = guess_z if guess_z is not None else self.arcs()
        found = solve_bvp(rates, ends, self.mesh, start, p=guess_p, tol=self.tolerance, max_nodes=20000)
        assert found.success, found.message
        return found.p, found.sol(self.mesh)

    def arcs(self):
        """A first guess that owes nothing to the solver: each limb bent evenly by 0.3 rad."""
        out = []
        for n, (limb, root) in enumerate(self.limbs):
            lean = limb.natural_angle(self.first[n] + self.length[n] * self.mesh) + 0.3 * self.mesh
            step = np.diff(self.mesh, prepend=0) * self.length[n]
            out += [
                limb.root_offset_m + np.cumsum(np.sin(lean) * step),
                root + np.cumsum(np.cos(lean) * step),
            ]
            out += [0.3 * self.mesh]
        return np.array(out)


def drawn_force(p) -> float:
    return p[0] * np.sin(p[2] - p[4]) + p[1] * np.sin(p[3] + p[4])
