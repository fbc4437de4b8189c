"""What the statics answer: the braced bow, the drawn bow, and each limb's pose in them."""

from collections.abc import Sequence
from dataclasses import dataclass

import numpy as np

from workshop.calc.cubic import parabolic
from workshop.calc.errors import NoSolution, OutOfRange, require


@dataclass(frozen=True)
class Pose:
    """One limb bent: its line, its change of curvature, its surface strains, and its end of the string.

    Arrays over points of the limb carry the draw as first axis in a `Drawn` and have no such axis in a
    `Braced`. The frame is the limb's own: the hand at the origin, x towards the archer, y outward along the
    grip, so the lower limb's y also grows towards its nock. Stretch is a positive strain: in ordinary
    bending the back's strain is positive and the belly's negative.
    """

    from_middle_m: np.ndarray
    x_m: np.ndarray
    y_m: np.ndarray
    lean_rad: np.ndarray
    bend_per_m: np.ndarray
    moment_nm: np.ndarray
    back_strain_pct: np.ndarray
    belly_strain_pct: np.ndarray
    tension_n: np.ndarray
    string_lean_rad: np.ndarray
    nock_angle_rad: np.ndarray
    string_m: float

    @property
    def nock_m(self) -> np.ndarray:
        """(x, y) of the nock; drawn, one pair a draw."""
        return np.stack([self.x_m[..., -1], self.y_m[..., -1]], axis=-1)

    @property
    def to_string_m(self) -> np.ndarray:
        """Distance of the limb's axis straight across to its part of the string: moment over tension."""
        with np.errstate(invalid="ignore", divide="ignore"):
            return self.moment_nm / self.tension_n[..., None]

    def most_strained(self) -> tuple[float, float, str]:
        """Largest strain in percent without its sign, how far from the middle [m], and "back" or "belly"."""
        surfaces = np.stack([np.abs(self.back_strain_pct), np.abs(self.belly_strain_pct)])
        _require_solved(surfaces)
        place = np.unravel_index(np.nanargmax(surfaces), surfaces.shape)
        return float(surfaces[place]), float(self.from_middle_m[place[-1]]), ("back", "belly")[place[0]]


@dataclass(frozen=True)
class Braced:
    """The bow strung and at rest. `why` says what is wrong where `ok` is False; then the figures are NaN."""

    brace_height_m: float
    string_m: float
    tension_n: float
    tilt_rad: float  # the string's lean from the grip's line, upper end towards the archer negative
    energy_j: float  # both limbs, against the unstrung bow
    upper: Pose
    lower: Pose
    residual: float
    iterations: int
    ok: bool
    why: str = ""

    def tiller_m(self, from_middle_m: float) -> tuple[float, float]:
        """Distance from limb to string at this distance from the middle mark: upper, lower.

        Their difference is the tiller; upper larger is a positive tiller. Measured to the limb's axis.
        """
        return tuple(_tiller(pose, from_middle_m) for pose in (self.upper, self.lower))


@dataclass(frozen=True)
class Drawn:
    """The bow at each of the asked draws, in the order asked.

    `ok` and `why` are per draw. `why` is "" (drawn), "slack" or "braced" (no force yet; trusted), or, not
    trusted and NaN: "unbraced" (no braced shape was found), "unlike" (none for two limbs so unlike, though there
    is one for limbs more alike), "beyond" (no shape was found so far out; `limit_m` is the furthest that was),
    "touch" (string and limb would cross), "coarse" (the residual is too large). `failure` tells the first of them.
    """

    draws_m: np.ndarray
    force_n: np.ndarray
    energy_j: np.ndarray  # work done since the brace, or since the string came taut
    turn_rad: np.ndarray  # how far the bow has turned in the hand, upper end towards the archer positive
    arrow_nock_m: np.ndarray  # (x, y) of the arrow's nock a draw, from the hand, y up along the grip
    nock_travel_m: np.ndarray  # how far it has moved up along the grip (down negative)
    upper: Pose
    lower: Pose
    start_m: float  # the draw at which force begins
    limit_m: float
    residual: np.ndarray  # of the moment, as a part of the largest; NaN where nothing was found
    iterations: np.ndarray
    ok: np.ndarray
    why: tuple[str, ...]
    brace: Braced | None = None

    @property
    def holds_to_m(self) -> float:
        """The furthest of the draws asked up to which, from the brace on, every one may be trusted; NaN if none."""
        order = np.argsort(self.draws_m)
        trusted = np.cumprod(self.ok[order]).astype(bool)
        return float(self.draws_m[order][trusted][-1]) if trusted.any() else np.nan

    @property
    def failure(self) -> tuple[str, float] | None:
        """Why the bow cannot be drawn as asked, and the draw [m] up to which the answer holds; None where it can be.

        The code is of the first draw that may not be trusted; "touch_braced" where the braced string lies on a limb
        already, so that nothing holds at any draw: the draw is then 0.
        """
        return self._failure_but(())

    def _failure_but(self, allowed: Sequence[str]) -> tuple[str, float] | None:
        failed = [
            (draw, why)
            for draw, why, ok in zip(self.draws_m, self.why, self.ok, strict=True)
            if not ok and why not in allowed
        ]
        if not failed:
            return None
        _draw, why = min(failed)
        holds_m = float(self.limit_m if why == "beyond" else self.holds_to_m)
        if why == "touch" and self.brace is not None and not self.brace.ok:
            why = "touch_braced"
        return why, holds_m if np.isfinite(holds_m) else 0.0

    def refuse(self, shorter_m: float = 0.0, *, but: Sequence[str] = ()) -> None:
        """Raise NoSolution with the code of `failure`, unless every draw was solved or failed by a code in `but`.

        shorter_m is how much shorter a draw reads from the limb's axis than from where the bow's draws are measured;
        `limit_m` of the error is the draw from there up to which the answer holds, 0 where it does nowhere.
        """
        if failed := self._failure_but(but):
            why, holds_m = failed
            limit_m = holds_m + shorter_m if holds_m else 0.0
            allowed = f"draws to {limit_m:.4g} m" if holds_m else "a shorter draw or a longer bow"
            raise NoSolution(why, given={"limit_m": limit_m}, allowed=allowed)

    @property
    def tension_n(self) -> np.ndarray:
        """Tension of the string's upper part; the lower part's is in `lower`."""
        return self.upper.tension_n

    def most_strained(self) -> tuple[float, str, float, str]:
        """Largest strain [percent], limb, distance from the middle mark [m], and surface, over all draws."""
        found = [
            (*pose.most_strained(), limb) for limb, pose in (("upper", self.upper), ("lower", self.lower))
        ]
        strain, place, surface, limb = max(found, key=lambda one: one[0])
        return strain, limb, place, surface


def _tiller(pose: Pose, from_middle_m: float) -> float:
    first, last = float(pose.from_middle_m[0]), float(pose.from_middle_m[-1])
    require(
        first <= from_middle_m <= last,
        OutOfRange,
        "tiller",
        from_middle_m=from_middle_m,
        allowed=f"on the limb, {first:g} to {last:g} m",
    )
    return float(parabolic(pose.from_middle_m, pose.to_string_m)(np.asarray(from_middle_m)))


def _require_solved(values: np.ndarray) -> None:
    require(
        bool(np.isfinite(values).any()), OutOfRange, "strain", solved=0, allowed="at least one solved draw"
    )
