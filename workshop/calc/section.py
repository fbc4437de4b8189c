"""Cross-sections of a limb: area, neutral axis, bending stiffness, extreme fibres, mass.

A section is described from the back (depth 0) to the belly. Its outline is a stack of pieces whose width is
linear or elliptic in depth, so any outline can be cut into layers of different timbers. Sizes may be
floats or arrays over stations; they broadcast against each other.

    >>> limb = d_shape(0.030, 0.020, flat_m=0.008).section(modulus_pa=10e9, density_kg_m3=640)
    >>> f"{limb.neutral_axis_m * 1000:.6f} mm from the back, EI {limb.stiffness_nm2:.5f} N m2"
    '8.918233 mm from the back, EI 148.58009 N m2'

Bending is taken about the axis parallel to the back. An outline that leans to one side is treated as if the
limb could not twist or bend sideways, which is how a bow must work anyway.

Sources: areas and second moments as in Gere, Mechanics of Materials, and Roark; the transformed section for
layers as in Goodno & Gere, Mechanics of Materials, ch. on composite beams.
"""

from collections.abc import Sequence
from dataclasses import dataclass

import numpy as np
from numpy.typing import ArrayLike

from workshop.calc.errors import Mismatch, OutOfOrder, OutOfRange, TooFew, require, require_numbers
from workshop.calc.outline import Elliptic, Linear, Moments, crosses_itself, strips


@dataclass(frozen=True)
class Section:
    """What bending and weighing need to know of a section; floats, or arrays over stations.

    `neutral_axis_m` lies that far from the back; `second_moment_m4` is geometric, about the neutral axis;
    `mass_kg_per_m` is None where a density was not given.
    """

    area_m2: ArrayLike
    depth_m: ArrayLike
    neutral_axis_m: ArrayLike
    second_moment_m4: ArrayLike
    stiffness_nm2: ArrayLike
    mass_kg_per_m: ArrayLike | None = None

    @property
    def to_back_m(self) -> ArrayLike:
        """Distance of the back's outermost fibre from the neutral axis."""
        return self.neutral_axis_m

    @property
    def to_belly_m(self) -> ArrayLike:
        """Distance of the belly's outermost fibre from the neutral axis."""
        return self.depth_m - self.neutral_axis_m


@dataclass(frozen=True)
class Layer:
    """One timber of a layered limb. Without a thickness it takes what the layers before it leave."""

    modulus_pa: ArrayLike
    thickness_m: ArrayLike | None = None
    density_kg_m3: ArrayLike | None = None


@dataclass(frozen=True)
class Outline:
    """A section's outline: pieces from the back to the belly, and the depth they make together."""

    pieces: tuple[Linear | Elliptic, ...]
    depth_m: ArrayLike

    def moments(self, above_m: ArrayLike, below_m: ArrayLike) -> Moments:
        """Area [m2], first [m3] and second moment [m4] about the back of what lies between two depths."""
        parts = [piece.moments(np.asarray(above_m), np.asarray(below_m)) for piece in self.pieces]
        area, first, second = (sum(moment) for moment in zip(*parts, strict=True))
        return area, first, second

    def section(self, modulus_pa: ArrayLike, density_kg_m3: ArrayLike | None = None) -> Section:
        """The section in one timber of stiffness E [Pa] and, for its mass, density [kg/m3].

        Raises OutOfRange where either is zero or less.

        >>> round(rectangle(0.030, 0.015).section(modulus_pa=12e9).stiffness_nm2, 6)
        101.25
        """
        return self.layered([Layer(modulus_pa, density_kg_m3=density_kg_m3)])

    def layered(self, layers: Sequence[Layer]) -> Section:
        """The section in several timbers, from the back, by the transformed section.

        EI = sum of E_i (I_i + A_i d_i^2) about the neutral axis, where the sum of E_i Q_i vanishes.
        The layers must fill the depth; the last may leave its thickness open, since tillering takes
        wood from the belly. Raises TooFew without a layer, OutOfRange for a stiffness or density of
        zero or less, Mismatch where the layers do not add up to the depth.

        >>> glass, wood = Layer(15e9, 0.003), Layer(10e9)
        >>> backed = rectangle(0.030, 0.015).layered([glass, wood])
        >>> f"{backed.neutral_axis_m * 1000:.6f} mm, {backed.stiffness_nm2:.6f} N m2"
        '6.954545 mm, 99.439773 N m2'
        """
        edges = _layer_edges(layers, np.asarray(self.depth_m, float))
        cut = [self.moments(*edge) for edge in edges]
        area, first, second = (sum(moment) for moment in zip(*cut, strict=True))
        es = [np.asarray(layer.modulus_pa, float) for layer in layers]
        e_area, e_first, e_second = (
            sum(e * moment for e, moment in zip(es, moments, strict=True))
            for moments in zip(*cut, strict=True)
        )
        axis = e_first / e_area
        return Section(
            area_m2=_plain(area),
            depth_m=_plain(np.asarray(self.depth_m, float)),
            neutral_axis_m=_plain(axis),
            second_moment_m4=_plain(second - 2 * axis * first + axis**2 * area),
            stiffness_nm2=_plain(e_second - axis * e_first),
            mass_kg_per_m=_mass(layers, [moments[0] for moments in cut]),
        )


def rectangle(width_m: ArrayLike, depth_m: ArrayLike) -> Outline:
    """Flat back, flat belly. I = w d^3 / 12.

    >>> round(rectangle(0.040, 0.012).section(1.0).second_moment_m4 * 1e12, 6)
    5760.0
    """
    return trapezoid(width_m, width_m, depth_m)


def trapezoid(back_m: ArrayLike, belly_m: ArrayLike, depth_m: ArrayLike) -> Outline:
    """Width running straight from back to belly. I = d^3 (a^2 + 4ab + b^2) / 36(a + b).

    >>> round(trapezoid(0.030, 0.020, 0.015).section(1.0).second_moment_m4 * 1e12, 6)
    6937.5
    """
    back, belly, depth = _sizes(back_m=back_m, belly_m=belly_m, depth_m=depth_m)
    return Outline((Linear(np.zeros_like(depth), depth, back, belly),), _plain(depth))


def d_shape(width_m: ArrayLike, depth_m: ArrayLike, flat_m: ArrayLike) -> Outline:
    """A D: rectangle `flat_m` deep at the back, half an ellipse for the rest of the depth at the belly.

    `flat_m` runs from 0 (half-oval) to less than the depth.

    >>> round(d_shape(0.030, 0.020, flat_m=0.008).section(1.0).second_moment_m4 * 1e12, 4)
    14858.0085
    """
    width, depth = _sizes(width_m=width_m, depth_m=depth_m)
    flat = np.asarray(flat_m, float)
    _between("flat", 0, flat, depth)
    width, depth, flat = np.broadcast_arrays(width, depth, flat)
    belly = Elliptic(flat, depth, 2 * flat - depth, depth - flat, width)
    return Outline((*_slab(np.zeros_like(flat), flat, width), belly), _plain(depth))


def half_oval(width_m: ArrayLike, depth_m: ArrayLike) -> Outline:
    """Flat back, belly half an ellipse. I = (pi/16 - 4/9pi) w d^3.

    >>> round(half_oval(2.0, 1.0).section(1.0).second_moment_m4, 7)
    0.109757
    """
    return d_shape(width_m, depth_m, 0.0)


def oval(width_m: ArrayLike, depth_m: ArrayLike) -> Outline:
    """A whole ellipse. I = pi w d^3 / 64."""
    width, depth = _sizes(width_m=width_m, depth_m=depth_m)
    return Outline(
        (Elliptic(np.zeros_like(depth), depth, np.zeros_like(depth), depth / 2, width),), _plain(depth)
    )


def crowned(width_m: ArrayLike, depth_m: ArrayLike, crown_m: ArrayLike) -> Outline:
    """Back the arc of a circle rising `crown_m` over its edges, sides square, belly flat.

    The arc's radius is w^2 / 8c + c / 2, so the crown is at most half the width (a half circle) and less than
    the depth. The back under a small tree's bark is such an arc.

    >>> crowned(0.030, 0.020, crown_m=0.003).section(1.0).to_back_m > 0.010
    True
    """
    width, depth = _sizes(width_m=width_m, depth_m=depth_m)
    crown = np.asarray(crown_m, float)
    _between("crown", 0, crown, depth)
    require(
        bool(np.all(crown <= width / 2)),
        OutOfRange,
        "crown",
        crown_m=crown_m,
        allowed="at most half the width",
    )
    width, depth, crown = np.broadcast_arrays(width, depth, crown)
    # A crown of nothing would need an endless radius; a ten-millionth of the width is as flat.
    rise = np.maximum(crown, 1e-7 * width)
    radius = width**2 / (8 * rise) + rise / 2
    back = Elliptic(np.zeros_like(rise), rise, np.zeros_like(rise), radius, 2 * radius)
    return Outline((back, *_slab(rise, depth, width)), _plain(depth))


def measured(points_m: ArrayLike) -> Outline:
    """An outline measured point by point: (across, depth from the back) pairs in order round the section.

    The outline closes itself and may be drawn either way round; its shallowest point is the back.
    Raises TooFew for fewer than three points, OutOfRange for an outline without depth, OutOfOrder for
    one that crosses itself.

    >>> square = [(0, 0), (0.02, 0), (0.02, 0.02), (0, 0.02)]
    >>> round(measured(square).section(1.0).second_moment_m4 * 1e12, 6)
    13333.333333
    """
    points = np.asarray(points_m, float)
    shaped = points.ndim == 2 and points.shape[-1] == 2
    require(
        shaped and len(points) >= 3, TooFew, "outline", points=points.shape, allowed="three points (x, depth)"
    )
    require_numbers(points_m=points.tolist())
    across, depth = points[:, 0], points[:, 1] - points[:, 1].min()
    require(bool(depth.max() > 0), OutOfRange, "outline", depth_m=depth.max(), allowed="some depth")
    require(
        not crosses_itself(points),
        OutOfOrder,
        "outline",
        points=len(points),
        allowed="points in order round it",
    )
    return Outline(strips(across, depth), float(depth.max()))


def _slab(top: np.ndarray, end: np.ndarray, width: np.ndarray) -> tuple[Linear, ...]:
    if not np.any(end > top):
        return ()
    return (Linear(top, np.maximum(end, top + 1e-12), width, width),)


def _layer_edges(layers: Sequence[Layer], depth: np.ndarray) -> list[tuple[np.ndarray, np.ndarray]]:
    require(len(layers) > 0, TooFew, "layers", layers=0, allowed="at least one")
    _sizes(**{f"modulus_pa of layer {n}": layer.modulus_pa for n, layer in enumerate(layers, 1)})
    edges, top = [], np.zeros_like(depth)
    for n, layer in enumerate(layers, 1):
        if layer.thickness_m is None:
            require(
                n == len(layers), Mismatch, "layers", layer=n, allowed="only the last without a thickness"
            )
            end = depth
        else:
            end = top + np.asarray(layer.thickness_m, float)
        thick_enough = bool(np.all(end > top))
        require(
            thick_enough, Mismatch, "layers", layer=n, thickness_m=_plain(end - top), allowed="above zero"
        )
        edges.append((top, end))
        top = end
    require(
        bool(np.allclose(top, depth, rtol=1e-6)),
        Mismatch,
        "layers",
        together_m=_plain(top),
        depth_m=_plain(depth),
        allowed="layers that add up to the depth",
    )
    return edges


def _mass(layers: Sequence[Layer], areas: list[np.ndarray]) -> ArrayLike | None:
    densities = [layer.density_kg_m3 for layer in layers]
    if any(density is None for density in densities):
        return None
    _sizes(**{f"density_kg_m3 of layer {n}": density for n, density in enumerate(densities, 1)})
    return _plain(sum(np.asarray(d, float) * area for d, area in zip(densities, areas, strict=True)))


def _sizes(**given: ArrayLike) -> list[np.ndarray]:
    """The sizes as arrays of one shape, refused unless all are finite and above zero."""
    for name, value in given.items():
        size = np.asarray(value, float)
        require(
            bool(np.all(np.isfinite(size) & (size > 0))),
            OutOfRange,
            "size",
            **{name: value},
            allowed="above 0",
        )
    return list(np.broadcast_arrays(*(np.asarray(value, float) for value in given.values())))


def _between(code: str, least: float, value: np.ndarray, depth: np.ndarray) -> None:
    inside = bool(np.all((value >= least) & (value < depth)))
    require(inside, OutOfRange, code, **{f"{code}_m": _plain(value)}, allowed="from 0 to less than the depth")


def _plain(value: np.ndarray) -> ArrayLike:
    """A float where one section was asked for, an array where stations were."""
    return float(value) if np.ndim(value) == 0 else np.asarray(value)
