"""A bow's plan as the arithmetic takes it. Plain figures in, no database.

The bow is solved as it hangs on the tillering tree: held at the middle of its grip, drawn straight across from
there.
"""

import itertools
from dataclasses import dataclass, replace
from functools import cached_property

import numpy as np

from workshop.calc.cubic import monotone
from workshop.calc.draws import on_limb_axis_m
from workshop.calc.errors import Mismatch, OutOfRange, require
from workshop.calc.section import (
    Layer,
    Outline,
    Section,
    crowned,
    d_shape,
    half_oval,
    oval,
    rectangle,
    trapezoid,
)
from workshop.calc.statics import Bow, Limb
from workshop.calc.timber import Known
from workshop.calc.widths import Lines, by_widths

ALONG = 60  # places along a limb at which it is weighed
# Handles are shaped by hand; the middle of one is reckoned as a block of this width. Common practice, no source.
HANDLE_WIDTH_M = 0.028

# How a section follows from width and depth where a bow's plan says no more of it. Common practice, no source: a deep
# D flat for two fifths of its depth, a trapezoid whose belly is two thirds as wide, a back crowned by a tenth of its
# width.
OUTLINES = {
    "d": lambda width, depth: d_shape(width, depth, 0.4 * depth),
    "flat": rectangle,
    "oval": oval,
    "half-oval": half_oval,
    "trapezoid": lambda width, depth: trapezoid(width, width * 2 / 3, depth),
    "crowned": lambda width, depth: crowned(width, depth, np.minimum(width / 10, depth / 3)),
}

AS_MEASURED = "measured"


@dataclass(frozen=True)
class Wood:
    """One layer's wood: its stiffness [Pa] and density [kg/m3] as known; no depth takes what the others leave."""

    name: str
    modulus: Known
    density: Known
    moisture_pct: float
    depth_m: float | None = None
    code: str = ""

    @property
    def layer(self) -> Layer:
        known = self.modulus.value
        require(known is not None, Mismatch, "stiffness_unknown", allowed="a known timber", wood=self.name)
        return Layer(known, self.depth_m, self.density.value)

    @property
    def doubt_share(self) -> float:
        return (self.modulus.doubt or 0.0) / self.modulus.value


@dataclass(frozen=True)
class Sizes:
    """Width and depth at stations from the middle mark, outward."""

    stations_m: tuple[float, ...]
    widths_m: tuple[float, ...]
    depths_m: tuple[float, ...]

    def scaled(self, *, along: float = 1.0, width: float = 1.0, depth: float = 1.0) -> "Sizes":
        factors = zip((self.stations_m, self.widths_m, self.depths_m), (along, width, depth), strict=True)
        return Sizes(*(tuple(factor * value for value in values) for values, factor in factors))

    def between(self, start_m: float, nock_m: float) -> tuple[np.ndarray, np.ndarray, np.ndarray]:
        """The sizes from where the limb begins to bend to its nock; beyond the marks they stay as at the last."""
        at = np.array(self.stations_m)
        inside = at[(at > start_m + 1e-6) & (at < nock_m - 1e-6)]
        wanted = np.r_[start_m, inside, nock_m]
        held = np.clip(wanted, at[0], at[-1])
        return wanted, monotone(at, self.widths_m)(held), monotone(at, self.depths_m)(held)


@dataclass(frozen=True)
class LimbPlan:
    """One limb: its sizes, its wood from the back to the belly, its tip's place unstrung (reflex below zero)."""

    name: str
    sizes: Sizes
    woods: tuple[Wood, ...]
    follow_m: float = 0.0


@dataclass(frozen=True)
class Plan:
    """A whole bow. Lengths [m]; the grip stands `grip_above_m` over the middle mark, `fade_m` is stiff beyond it."""

    upper: LimbPlan
    lower: LimbPlan
    length_m: float
    draw_m: float
    draw_from: str
    brace_m: float
    grip_above_m: float
    grip_m: float
    fade_m: float = 0.0
    stiff: bool = True
    section: str = "flat"
    lines: Lines = ()  # of a section that is as measured
    grip_depth_m: float | None = None
    nocking_above_m: float = 0.0  # of the arrow, above the point straight across from the hand

    def __post_init__(self):
        for limb in self.limbs:
            _check_sizes(limb.sizes)
        require(self.length_m > 0, OutOfRange, "bow_length", allowed="above zero", bow_m=self.length_m)
        require(self.brace_m > 0, OutOfRange, "brace", allowed="above zero", brace_m=self.brace_m)

    @property
    def limbs(self) -> tuple[LimbPlan, LimbPlan]:
        return self.upper, self.lower

    def with_limbs(self, change) -> "Plan":
        """The same plan, each limb changed alike."""
        return replace(self, upper=change(self.upper), lower=change(self.lower))

    def grip_end_m(self, limb: LimbPlan) -> float:
        """From the middle mark to the end of the grip on this limb's side."""
        return self.grip_above_m if limb is self.upper else self.grip_m - self.grip_above_m

    def start_m(self, limb: LimbPlan) -> float:
        """From the middle mark to where this limb begins to bend."""
        return max(self.grip_end_m(limb), 0.0) + self.fade_m if self.stiff else 0.0

    @cached_property
    def root_depth_m(self) -> float:
        """How deep the limbs are where they begin to bend: the axis lies half of it beneath the back."""
        return float(
            np.mean([limb.sizes.between(self.start_m(limb), self._nock_m(limb))[2][0] for limb in self.limbs])
        )

    @cached_property
    def _grip_depth_m(self) -> float | None:
        return self.grip_depth_m or (None if self.stiff else self.root_depth_m)

    def on_axis_m(self, draw_m: float, place: str) -> float:
        """A draw measured from `place` as the statics take it, from the limb's axis."""
        return on_limb_axis_m(draw_m, place, limb_depth_m=self.root_depth_m, grip_depth_m=self._grip_depth_m)

    @property
    def draw_on_axis_m(self) -> float:
        return self.on_axis_m(self.draw_m, self.draw_from)

    @property
    def axis_shorter_m(self) -> float:
        """How much shorter its draws read from the limb's axis than from where they are measured."""
        return self.draw_m - self.draw_on_axis_m

    @property
    def brace_on_axis_m(self) -> float:
        return self.on_axis_m(self.brace_m, "belly")

    def _nock_m(self, limb: LimbPlan) -> float:
        nock, start = self.length_m / 2, self.start_m(limb)
        require(
            start < nock - 0.05, Mismatch, "grip_and_fades", allowed="limbs longer than that", grip_m=start
        )
        return nock

    def outline_at(self, width: np.ndarray | float, depth: np.ndarray | float) -> Outline:
        if self.section == AS_MEASURED:
            return by_widths(self.lines, width, depth)
        return OUTLINES[self.section](width, depth)

    def section_at(self, limb: LimbPlan, width: np.ndarray, depth: np.ndarray) -> Section:
        outline = self.outline_at(width, depth)
        layers = [wood.layer for wood in limb.woods]
        return outline.layered([*layers[:-1], replace(layers[-1], thickness_m=None)])

    def statics_limb(self, limb: LimbPlan) -> Limb:
        """The limb for the statics, with the even natural bend its tip's place unstrung speaks of."""
        at, width, depth = limb.sizes.between(self.start_m(limb), self._nock_m(limb))
        _check_layers(limb, at, depth)
        natural = {}
        if limb.follow_m:
            natural["natural_offset_m"] = limb.follow_m * ((at - at[0]) / (at[-1] - at[0])) ** 2
        return Limb.dimensioned(at, width, depth, lambda w, d: self.section_at(limb, w, d), **natural)

    @property
    def bends_m(self) -> float:
        """Length of what bends of one limb, in the mean of both."""
        return self.length_m / 2 - float(np.mean([self.start_m(limb) for limb in self.limbs]))

    @property
    def depth_m(self) -> float:
        """Depth of the limbs, in the mean along both."""
        found = []
        for limb in self.limbs:
            at, _width, depth = limb.sizes.between(self.start_m(limb), self._nock_m(limb))
            found.append(float(np.trapezoid(depth, at) / (at[-1] - at[0])))
        return sum(found) / 2

    @cached_property
    def bow(self) -> Bow:
        upper, lower = (self.statics_limb(limb) for limb in self.limbs)
        hand_m = self.grip_above_m - self.grip_m / 2
        return Bow(upper, lower, hand_m, self.nocking_above_m)

    def doubt_share(self) -> float:
        """How far stiffness, and with it weight, may be out: each wood's doubt by its share in the bending."""
        limb = self.upper
        at = (self.start_m(limb) + self._nock_m(limb)) / 2
        _at, width, depth = limb.sizes.between(at, self._nock_m(limb))
        stiffness = [float(self._nudged(limb, n, width[0], depth[0])) for n in range(-1, len(limb.woods))]
        shares = [(each - stiffness[0]) / (0.01 * stiffness[0]) for each in stiffness[1:]]
        # layers of one timber are out together, different ones each for itself
        by_timber: dict[str, float] = {}
        for wood, share in zip(limb.woods, shares, strict=True):
            by_timber[wood.name] = by_timber.get(wood.name, 0.0) + share * wood.doubt_share
        return float(np.linalg.norm(list(by_timber.values())))

    def _nudged(self, limb: LimbPlan, number: int, width: float, depth: float) -> float:
        woods = list(limb.woods)
        if number >= 0:
            known = woods[number].modulus
            woods[number] = replace(woods[number], modulus=replace(known, value=1.01 * known.value))
        return self.section_at(replace(limb, woods=tuple(woods)), width, depth).stiffness_nm2

    def limb_kg(self, limb: LimbPlan) -> float | None:
        """Mass of what bends of one limb; None where a wood's density is not known."""
        if any(wood.density.value is None for wood in limb.woods):
            return None
        at, width, depth = limb.sizes.between(self.start_m(limb), self._nock_m(limb))
        places = np.linspace(at[0], at[-1], ALONG)
        section = self.section_at(limb, monotone(at, width)(places), monotone(at, depth)(places))
        return float(np.trapezoid(section.mass_kg_per_m, places))

    @property
    def mass_kg(self) -> float | None:
        """The whole bow without its string: both limbs, and a stiff handle as a plain block."""
        limbs = [self.limb_kg(limb) for limb in self.limbs]
        if None in limbs:
            return None
        handle = 0.0
        if self.stiff and self.grip_depth_m:
            long = sum(self.start_m(limb) for limb in self.limbs)
            density = np.mean([wood.density.value for wood in self.upper.woods])
            handle = long * HANDLE_WIDTH_M * (self.grip_depth_m + self.root_depth_m) / 2 * density
        return float(sum(limbs) + handle)


def _check_sizes(sizes: Sizes) -> None:
    at = sizes.stations_m
    require(len(at) >= 2, OutOfRange, "one_station", allowed="two stations or more", stations=len(at))
    rising = all(later > earlier for earlier, later in itertools.pairwise(at))
    require(rising, OutOfRange, "stations_order", allowed="rising from the middle outward", stations_m=at)
    above = all(value > 0 for value in (*sizes.widths_m, *sizes.depths_m))
    require(above, OutOfRange, "size", allowed="above zero", sizes_m=(*sizes.widths_m, *sizes.depths_m))


def _check_layers(limb: LimbPlan, at: np.ndarray, depth: np.ndarray) -> None:
    """All layers but the belly's have a depth of their own, and leave it some at every station."""
    for number, wood in enumerate(limb.woods[:-1], 1):
        require(
            wood.depth_m is not None, Mismatch, "layer_depth", allowed="a depth", layer=number, wood=wood.name
        )
    fixed = sum(wood.depth_m for wood in limb.woods[:-1])
    thin = depth <= fixed
    if np.any(thin):
        where = float(at[np.argmax(thin)])
        given = {
            "layers_m": fixed,
            "depth_m": float(depth[np.argmax(thin)]),
            "station_m": where,
            "limb": limb.name,
        }
        raise Mismatch("layers", given=given, allowed="layers thinner than the limb")
