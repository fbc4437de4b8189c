"""A first plan's sizes, laid out in the way the maker chose: an arc of a circle, a straight taper, to one strain."""

from dataclasses import dataclass, replace

import numpy as np

from workshop.bows.plan.design import Plan, Sizes
from workshop.bows.plan.solving import Answer, solve
from workshop.calc.errors import NoSolution, OutOfRange, require
from workshop.calc.firstplan import TAPERS, Shape, first_plan
from workshop.calc.imperial import INCH_M
from workshop.calc.tapers import depths_for_strain, straight, widths_for_strain

# Common practice, no source: half an inch is left at the nock, never less than 10 mm by three eighths of an inch, or
# none can be cut; and a limb thins by a fifth on its way there.
TIP_WIDTH_M = 0.5 * INCH_M
TIP_DEPTH_SHARE = 0.8
LEAST_WIDTH_M, LEAST_DEPTH_M = 0.010, 3 / 8 * INCH_M
PLACES = 15
ROUNDS = 12
CLOSE = 2e-3  # in strain and weight: marks are coarser


@dataclass(frozen=True)
class Wanted:
    """What the lay-out has to come to: weight [N] at full draw, greatest strain as a fraction."""

    weight_n: float
    strain: float


def laid_out(plan: Plan, how: str, wanted: Wanted) -> Sizes:
    """Sizes from where the limbs begin to bend to the nocks, for two equal limbs of this plan's lengths and wood.

    `how` is one of `TAPERS` (an arc of a circle, in closed form), or of `FITTED`: fitted to the solved bow's own
    moments. Errors: those of `first_plan` and `solve`; `NoSolution` code `no_layout` where the fitting comes to none.
    """
    if how in TAPERS:
        return _arc(plan, how, wanted)
    require(how in FITTED, OutOfRange, "taper", allowed=", ".join((*TAPERS, *FITTED)), taper=how)
    even = replace(plan, grip_above_m=plan.grip_m / 2)
    sizes = _arc(even, "width", wanted)
    for turn in range(ROUNDS):
        answer = solve([even.with_limbs(lambda limb, sizes=sizes: replace(limb, sizes=sizes))])[0]
        fit = _Fit(answer, wanted, _at_most(answer) if how == "straight" else _at_grip(answer))
        if turn and fit.is_close:
            return sizes
        sizes = FITTED[how](fit)
    raise NoSolution("no_layout", given={"how": how}, allowed="another lay-out, or another strain")


def _at_most(answer: Answer) -> float:
    return answer.strained.pct / 100


def _at_grip(answer: Answer) -> float:
    """Strain where the limb leaves the grip: laid out to one strain, that of every place with wood to spare."""
    pose = answer.drawn.upper
    return max(abs(pose.back_strain_pct[-1][0]), abs(pose.belly_strain_pct[-1][0])) / 100


def _arc(plan: Plan, taper: str, wanted: Wanted) -> Sizes:
    rough = first_plan(
        bow_m=plan.length_m, stiff_m=sum(plan.start_m(limb) for limb in plan.limbs), draw_m=plan.draw_on_axis_m,
        brace_m=plan.brace_on_axis_m, weight_n=wanted.weight_n, strain=wanted.strain, taper=taper,
        modulus_pa=float(np.mean([wood.modulus.value for wood in plan.upper.woods])),
        shape=_shape(plan),
        least_width_m=LEAST_WIDTH_M, least_depth_m=LEAST_DEPTH_M, places=PLACES,
    )  # fmt: skip
    return Sizes(tuple(rough.stations_m), tuple(rough.widths_m), tuple(rough.depths_m))


def _shape(plan: Plan) -> Shape:
    """The section as a first plan takes it; all but a crown are of one shape however wide and deep."""
    width, depth = 0.040, 0.013
    made = plan.outline_at(width, depth).section(1.0)
    return Shape(made.second_moment_m4 / (width * depth**3), max(made.to_back_m, made.to_belly_m) / depth)


class _Fit:
    """One round's bow, and the next round's sizes from it.

    Bent to the same draw a limb is strained as it is deep, so the depth at the grip follows from the strain; then the
    width from the moment that the wanted weight makes.
    """

    def __init__(self, answer: Answer, wanted: Wanted, strained: float):
        self.answer, self.wanted, self.limb = answer, wanted, answer.plan.upper
        self.at = np.array(self.limb.sizes.stations_m)
        self.along, self.limb_m = self.at - self.at[0], self.at[-1] - self.at[0]
        self.to_strain, self.to_weight = wanted.strain / strained, wanted.weight_n / answer.force_n
        self.depth_m = self.limb.sizes.depths_m[0] * self.to_strain
        pose = answer.drawn.upper
        moments = np.interp(self.at, pose.from_middle_m, pose.moment_nm[-1])
        self.moments_nm = np.maximum(self.to_weight * moments, 0.0)

    @property
    def is_close(self) -> bool:
        return max(abs(self.to_strain - 1), abs(self.to_weight - 1)) < CLOSE

    @property
    def wood(self) -> dict:
        """What surface strain follows from, of the section where the limb leaves the grip."""
        width, depth = self.limb.sizes.widths_m[0], self.depth_m
        section = self.answer.plan.section_at(self.limb, np.array(width), np.array(depth))
        modulus = float(np.mean([wood.modulus.value for wood in self.limb.woods]))
        far = max(float(section.to_back_m), float(section.to_belly_m))
        factor = modulus * far * width * depth**2 / float(section.stiffness_nm2)
        return {"modulus_pa": modulus, "strain": self.wanted.strain, "fibre_factor": factor}

    def tapering(self, root_m: float) -> np.ndarray:
        return straight(self.along, self.limb_m, root_m=root_m, tip_m=min(TIP_WIDTH_M, root_m))

    def sizes(self, widths_m: np.ndarray, depths_m: np.ndarray) -> Sizes:
        return Sizes(tuple(self.at), tuple(map(float, widths_m)), tuple(map(float, depths_m)))


def _straight(fit: _Fit) -> Sizes:
    """Width falling straight to the tip, the depth even: stiffness goes with the cube of the depth."""
    root = fit.limb.sizes.widths_m[0] * fit.to_weight / fit.to_strain**3
    return fit.sizes(fit.tapering(root), np.full_like(fit.at, fit.depth_m))


def _strain_by_width(fit: _Fit) -> Sizes:
    """The depth falling straight by a fifth, the widths as the strain asks."""
    depths = straight(fit.along, fit.limb_m, root_m=fit.depth_m, tip_m=TIP_DEPTH_SHARE * fit.depth_m)
    depths = np.maximum(depths, LEAST_DEPTH_M)
    return fit.sizes(widths_for_strain(fit.moments_nm, depths, least_m=LEAST_WIDTH_M, **fit.wood), depths)


def _strain_by_depth(fit: _Fit) -> Sizes:
    """Width falling straight to the tip, the depths as the strain asks."""
    root = widths_for_strain(fit.moments_nm[:1], np.array([fit.depth_m]), **fit.wood)
    widths = fit.tapering(float(root[0]))
    return fit.sizes(widths, depths_for_strain(fit.moments_nm, widths, least_m=LEAST_DEPTH_M, **fit.wood))


FITTED = {"straight": _straight, "strain-width": _strain_by_width, "strain-depth": _strain_by_depth}
