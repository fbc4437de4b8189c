"""A limb as measured or planned, and two of them on a grip."""

from collections.abc import Callable
from dataclasses import dataclass, replace

import numpy as np
from numpy.typing import ArrayLike

from workshop.calc.cubic import Cubic, monotone, parabolic
from workshop.calc.errors import Mismatch, OutOfOrder, OutOfRange, TooFew, require
from workshop.calc.section import Section


@dataclass(frozen=True)
class Bending:
    """Stiffness EI [N m2] and the distances [m] of the outermost fibres from the neutral axis."""

    stiffness_nm2: np.ndarray
    to_back_m: np.ndarray
    to_belly_m: np.ndarray


@dataclass(frozen=True)
class Limb:
    """One limb from the end of the stiff grip to its nock.

    `stations_m` are distances along the limb from the bow's middle mark; the first is where the limb begins
    to bend (0 for a bow that bends through the grip), the last is the nock. `bending` gives the section
    anywhere between, `natural_angle` the unstrung limb's lean from the grip's line [rad], towards the
    archer positive. Made by `Limb.measured`, `Limb.dimensioned` or `Limb.smooth`, each of which takes the
    unstrung shape as one of

    - `natural_offset_m`: offsets of the limb's axis from the grip's line at the stations, towards the archer
      positive: string follow and deflex positive, reflex and a set-back grip negative; or
    - `natural_curvature_per_m`, starting from `root_angle_rad` at the end of the grip.

    Without either the limb is straight.
    """

    stations_m: np.ndarray
    bending: Callable[[np.ndarray], Bending]
    natural_angle: Callable[[np.ndarray], np.ndarray]
    root_offset_m: float = 0.0

    @classmethod
    def measured(
        cls,
        stations_m: ArrayLike,
        stiffness_nm2: ArrayLike,
        *,
        to_back_m: ArrayLike | None = None,
        to_belly_m: ArrayLike | None = None,
        **natural: ArrayLike,
    ) -> "Limb":
        """A limb known by its stiffness at stations, monotone between them.

        Without the distances to the outermost fibres the strains come out as NaN.

        >>> limb = Limb.measured([0.1, 0.9], [60.0, 60.0], to_back_m=0.007, to_belly_m=0.007)
        >>> round(limb.length_m, 3)
        0.8
        """
        stations = _stations(stations_m)
        stiffness = monotone(stations, _values("stiffness_nm2", stations, stiffness_nm2, "above"))
        back, belly = (
            (lambda s: np.full(np.shape(s), np.nan))
            if given is None
            else monotone(stations, _values(name, stations, given, "from"))
            for name, given in (("to_back_m", to_back_m), ("to_belly_m", to_belly_m))
        )
        return cls(
            stations, lambda s: Bending(stiffness(s), back(s), belly(s)), *_natural(stations, **natural)
        )

    @classmethod
    def dimensioned(
        cls,
        stations_m: ArrayLike,
        width_m: ArrayLike,
        depth_m: ArrayLike,
        section: Callable[[np.ndarray, np.ndarray], Section],
        **natural: ArrayLike,
    ) -> "Limb":
        """A limb known by width and depth at stations; `section` makes the cross-section from the two.

        Width and depth, not stiffness, run monotone between stations, as wood does between two marks.

        >>> from workshop.calc.section import rectangle
        >>> wood = lambda width, depth: rectangle(width, depth).section(modulus_pa=10e9)
        >>> limb = Limb.dimensioned([0.1, 0.9], [0.04, 0.01], [0.015, 0.015], wood)
        >>> limb.bending(np.array([0.5])).stiffness_nm2.round(4)
        array([70.3125])
        """
        stations = _stations(stations_m)
        width = monotone(stations, _values("width_m", stations, width_m, "above"))
        depth = monotone(stations, _values("depth_m", stations, depth_m, "above"))

        def bending(s: np.ndarray) -> Bending:
            made = section(width(s), depth(s))
            return Bending(*np.broadcast_arrays(made.stiffness_nm2, made.to_back_m, made.to_belly_m))

        return cls(stations, bending, *_natural(stations, **natural))

    @classmethod
    def smooth(
        cls, stations_m: ArrayLike, bending: Callable[[np.ndarray], Bending], **natural: ArrayLike
    ) -> "Limb":
        """A limb whose section is a smooth function of the distance from the middle mark."""
        stations = _stations(stations_m)
        return cls(stations, bending, *_natural(stations, **natural))

    def stiffened(self, factor: float) -> "Limb":
        """The same limb in wood so many times as stiff, as one weigh-in may show it to be.

        >>> limb = Limb.measured([0.1, 0.9], [60.0, 60.0]).stiffened(1.1)
        >>> float(limb.bending(np.array(0.5)).stiffness_nm2)
        66.0
        """
        require(factor > 0, OutOfRange, "stiffness", factor=factor, allowed="above 0")

        def bending(s: np.ndarray) -> Bending:
            made = self.bending(s)
            return replace(made, stiffness_nm2=factor * made.stiffness_nm2)

        return replace(self, bending=bending)

    def towards(self, other: "Limb", part: float) -> "Limb":
        """A limb between this one (part 0) and another (part 1): in length, stiffness and unstrung shape.

        >>> even, other = Limb.measured([0.1, 0.9], [60, 60]), Limb.measured([0.1, 0.5], [20, 20])
        >>> half_way = even.towards(other, 0.5)
        >>> round(half_way.length_m, 3), float(half_way.bending(np.array(0.3)).stiffness_nm2)
        (0.6, 40.0)
        """
        stations = np.linspace(*self._between(other, part), len(self.stations_m))

        def places(s: np.ndarray) -> tuple[np.ndarray, np.ndarray]:
            along = np.clip((s - stations[0]) / (stations[-1] - stations[0]), 0, 1)
            return tuple(limb.stations_m[0] + along * limb.length_m for limb in (self, other))

        def bending(s: np.ndarray) -> Bending:
            here, there = (limb.bending(at) for limb, at in zip((self, other), places(s), strict=True))
            names = ("stiffness_nm2", "to_back_m", "to_belly_m")
            return Bending(*((1 - part) * getattr(here, n) + part * getattr(there, n) for n in names))

        def natural_angle(s: np.ndarray) -> np.ndarray:
            here, there = (limb.natural_angle(at) for limb, at in zip((self, other), places(s), strict=True))
            return (1 - part) * here + part * there

        root = (1 - part) * self.root_offset_m + part * other.root_offset_m
        return Limb(stations, bending, natural_angle, root)

    def _between(self, other: "Limb", part: float) -> tuple[float, float]:
        """Root and nock of a limb between this one and another."""
        ends = ((limb.stations_m[0], limb.stations_m[-1]) for limb in (self, other))
        return tuple((1 - part) * here + part * there for here, there in zip(*ends, strict=True))

    @property
    def length_m(self) -> float:
        """Length of what bends."""
        return float(self.stations_m[-1] - self.stations_m[0])


@dataclass(frozen=True)
class Bow:
    """Two limbs clamped in a rigid grip, held by the hand at one point of it.

    `lower` may be left out of a bow with two equal limbs. `hand_above_middle_m` puts the hand's pressure
    point above (or, negative, below) the middle mark; `nocking_above_hand_m` the arrow's nock on the braced
    string above the point straight across from the hand. All lie on the limb's axis (`draws` converts from
    back or belly). A bow that bends through its grip is clamped at the middle mark wherever the hand is.
    """

    upper: Limb
    lower: Limb | None = None
    hand_above_middle_m: float = 0.0
    nocking_above_hand_m: float = 0.0

    @property
    def mirrored(self) -> bool:
        """Whether the lower half is the upper half's mirror image, so that one limb answers for both."""
        alike = self.lower is None or self.lower is self.upper
        return alike and self.hand_above_middle_m == 0 and self.nocking_above_hand_m == 0

    @property
    def sides(self) -> tuple[tuple[Limb, float], ...]:
        """The limbs to be solved, each with the distance from the hand to where it begins to bend."""
        upper, lower = self.upper, self.lower or self.upper
        above = float(upper.stations_m[0]) - self.hand_above_middle_m
        below = float(lower.stations_m[0]) + self.hand_above_middle_m
        return ((upper, above),) if self.mirrored else ((upper, above), (lower, below))


def _stations(stations_m: ArrayLike) -> np.ndarray:
    stations = np.atleast_1d(np.asarray(stations_m, float))
    require(stations.size >= 2, TooFew, "stations", stations=stations.size, allowed="two or more")
    rising = bool(np.all(np.isfinite(stations)) and np.all(np.diff(stations) > 0))
    require(rising, OutOfOrder, "stations", stations_m=stations.tolist(), allowed="rising from grip to nock")
    require(stations[0] >= 0, OutOfRange, "stations", first_m=float(stations[0]), allowed="0 or more")
    return stations


def _values(name: str, stations: np.ndarray, given: ArrayLike, least: str | None = None) -> np.ndarray:
    values = np.asarray(given, float)
    fits = values.ndim == 0 or values.shape == stations.shape
    require(fits, Mismatch, name, values=values.size, stations=stations.size, allowed="one value a station")
    good = np.isfinite(values)
    if least is not None:
        good &= values > 0 if least == "above" else values >= 0
    allowed = {"above": "above 0", "from": "0 or more", None: "a number"}[least]
    require(bool(np.all(good)), OutOfRange, name, **{name: values.tolist()}, allowed=allowed)
    return np.broadcast_to(values, stations.shape)


def _natural(
    stations: np.ndarray,
    *,
    natural_offset_m: ArrayLike | None = None,
    natural_curvature_per_m: ArrayLike | None = None,
    root_angle_rad: float = 0.0,
) -> tuple[Callable[[np.ndarray], np.ndarray], float]:
    """The lean of the unstrung limb anywhere along it, and where its root stands off the grip's line."""
    if natural_offset_m is not None:
        both = natural_curvature_per_m is not None or root_angle_rad != 0.0
        require(not both, Mismatch, "natural", allowed="offsets, or curvature and root angle")
        profile: Cubic = parabolic(stations, _values("natural_offset_m", stations, natural_offset_m))
        # The limb's length is measured along it, so the offset's rise per length is the sine of the lean.
        steep = float(
            np.max(np.abs(profile.slope(np.linspace(stations[0], stations[-1], 8 * stations.size))))
        )
        require(steep < 1, OutOfRange, "natural_offset_m", rise_per_length=steep, allowed="less than 1 in 1")
        return lambda s: np.arcsin(profile.slope(s)), float(profile.y[0])
    if natural_curvature_per_m is None:
        return lambda s: np.full(np.shape(s), root_angle_rad), 0.0
    curve = monotone(stations, _values("natural_curvature_per_m", stations, natural_curvature_per_m))
    return lambda s: root_angle_rad + curve.area(s), 0.0
