"""Sections against closed forms, a textbook's layered beam and an independent finite-element library."""

import math

import numpy as np
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from workshop.calc.errors import Mismatch, OutOfOrder, OutOfRange, TooFew
from workshop.calc.section import (
    Layer,
    Outline,
    crowned,
    d_shape,
    half_oval,
    measured,
    oval,
    rectangle,
    trapezoid,
)

MM = 1e-3
MM2, MM4 = 1e-6, 1e-12
# Closed forms summed in double precision: only rounding separates them.
ROUNDING = 1e-12

widths = st.floats(0.008, 0.080)
depths = st.floats(0.006, 0.045)
parts = st.floats(0.05, 0.95)


def homogeneous(outline: Outline):
    return outline.section(modulus_pa=1.0)


@pytest.mark.parametrize(
    ("outline", "area", "from_back", "second_moment"),
    [  # Gere, Mechanics of Materials, App. E, and Roark on areas (remembered; confirmed by quadrature)
        (rectangle(40 * MM, 12 * MM), 480, 6, 40 * 12**3 / 12),
        (oval(30 * MM, 20 * MM), math.pi * 150, 10, math.pi * 30 * 20**3 / 64),
        (half_oval(30 * MM, 12 * MM), 282.743339, 5.092958, 2844.9004),
        (trapezoid(30 * MM, 20 * MM, 15 * MM), 375, 7, 6937.5),
    ],
    ids=["rectangle", "oval", "half-oval", "trapezoid"],
)
def test_a_section_agrees_with_the_textbook_closed_form(outline, area, from_back, second_moment):
    section = homogeneous(outline)
    assert section.area_m2 == pytest.approx(area * MM2, rel=1e-7)  # sources give 7 figures
    assert section.neutral_axis_m == pytest.approx(from_back * MM, rel=1e-6)
    assert section.second_moment_m4 == pytest.approx(second_moment * MM4, rel=1e-7)


def test_a_half_circle_has_the_second_moment_printed_by_roark_and_gere():
    section = homogeneous(half_oval(2.0, 1.0))
    assert section.second_moment_m4 == pytest.approx(0.1097569, abs=1e-6)
    assert section.neutral_axis_m == pytest.approx(0.4244132, abs=1e-6)


@pytest.mark.parametrize(
    ("width", "flat", "ellipse", "area", "from_back", "second_moment", "belly_over_back", "of_rectangle"),
    [  # our own computation, closed form against quadrature
        (30, 8, 12, 522.7433, 8.918233, 14858.0085, 1.242597, 0.742900),
        (30, 10, 15, 653.4292, 11.147791, 29019.5479, 1.242597, 0.742900),
        (28, 14, 14, 699.8761, 12.693102, 39501.2185, 1.205923, 0.771187),
        (1.25, 0.40, 0.60, 1.089049, 0.445912, 0.0773855, 1.242597, 0.742900),
    ],
)
def test_a_d_section_has_its_belly_more_strained_than_its_back(
    width, flat, ellipse, area, from_back, second_moment, belly_over_back, of_rectangle
):
    section = homogeneous(d_shape(width, flat + ellipse, flat_m=flat))
    assert section.area_m2 == pytest.approx(area, rel=1e-6)
    assert section.neutral_axis_m == pytest.approx(from_back, abs=1e-5)
    assert section.second_moment_m4 == pytest.approx(second_moment, rel=1e-6)
    assert section.to_belly_m / section.to_back_m == pytest.approx(belly_over_back, abs=1e-6)
    box = homogeneous(rectangle(width, flat + ellipse))
    assert section.second_moment_m4 / box.second_moment_m4 == pytest.approx(of_rectangle, abs=1e-6)


def test_geres_wood_and_steel_beam():
    """Goodno & Gere, Mechanics of Materials, Example 5-16: wood 4 x 6 in over a steel plate 4 x 0.5 in.

    The neutral axis was read in print; the stresses (1310, 251, 5030, 7620 psi) are remembered.
    """
    wood, steel, moment = 1500e3, 30000e3, 60e3
    beam = rectangle(4.0, 6.5).layered([Layer(wood, 6.0), Layer(steel, 0.5)])
    assert beam.to_back_m == pytest.approx(5.031, abs=0.0005)
    assert beam.to_belly_m == pytest.approx(1.469, abs=0.0005)
    assert beam.stiffness_nm2 / wood == pytest.approx(231.27, abs=0.01)
    curvature = moment / beam.stiffness_nm2
    assert wood * curvature * beam.to_back_m == pytest.approx(1310, abs=5)
    assert wood * curvature * (6.0 - beam.neutral_axis_m) == pytest.approx(251, abs=0.5)
    assert steel * curvature * (6.0 - beam.neutral_axis_m) == pytest.approx(5030, abs=5)
    assert steel * curvature * beam.to_belly_m == pytest.approx(7620, abs=5)


def test_a_three_layer_limb_by_the_transformed_section():
    """Our own arithmetic by hand: 30 mm wide; 3 mm at 15, 9 at 12 and 3 at 14 GPa from the back."""
    limb = rectangle(30 * MM, 15 * MM).layered(
        [Layer(15e9, 3 * MM), Layer(12e9, 9 * MM), Layer(14e9, 3 * MM)]
    )
    assert limb.neutral_axis_m / MM == pytest.approx(7.407692, abs=1e-5)
    assert limb.stiffness_nm2 == pytest.approx(117.73765, abs=1e-4)


def fem(parts_with_moduli):
    """Area, depth of the elastic centroid and EI by the library sectionproperties."""
    from sectionproperties.analysis import Section as Analysis
    from sectionproperties.pre import Geometry, Material
    from shapely.geometry import Polygon

    whole = None
    for n, (polygon, modulus) in enumerate(parts_with_moduli):
        material = Material(f"timber {n}", modulus, 0.3, 1.0, 600.0, "white")
        part = Geometry(Polygon(polygon), material=material)
        whole = part if whole is None else whole + part
    whole.create_mesh(mesh_sizes=[0.0])
    analysis = Analysis(whole)
    analysis.calculate_geometric_properties()
    return analysis.get_area(), analysis.get_c()[1], analysis.get_eic()[0]


IRREGULAR = {
    "leaning stave": [(0, 1), (14, 0), (30, 2), (31, 9), (24, 15), (11, 17), (3, 12)],
    "knobbly back": [(0, 3), (4, 0), (9, 2), (15, 0.5), (22, 2.5), (28, 0), (33, 4), (27, 14), (8, 13)],
    "split hollow": [(0, 0), (12, 4), (26, 0), (28, 10), (14, 16), (2, 11)],
}


@pytest.mark.parametrize("points", IRREGULAR.values(), ids=IRREGULAR)
def test_a_measured_outline_agrees_with_sectionproperties(points):
    """To 0.1 %, though both are exact for straight-sided shapes."""
    ours, (area, depth, ei) = measured(points).section(12.0), fem([(points, 12.0)])
    assert ours.area_m2 == pytest.approx(area, rel=1e-3)
    assert ours.neutral_axis_m == pytest.approx(depth, rel=1e-3)
    assert ours.stiffness_nm2 == pytest.approx(ei, rel=1e-3)


def clipped(points, above, below):
    from shapely.geometry import Polygon, box

    return list(Polygon(points).intersection(box(-100, above, 200, below)).exterior.coords)


@pytest.mark.parametrize("points", [IRREGULAR["leaning stave"], [(0, 0), (30, 0), (24, 15), (6, 15)]])
def test_a_layered_outline_agrees_with_sectionproperties(points):
    depth = max(y for _, y in points)
    bounds, moduli = [0, 3, 0.7 * depth, depth], [15.0, 9.0, 13.0]
    layers = [Layer(e, b - a) for e, a, b in zip(moduli, bounds[:-1], bounds[1:], strict=True)]
    ours = measured(points).layered(layers)
    cut = [(clipped(points, a, b), e) for e, a, b in zip(moduli, bounds[:-1], bounds[1:], strict=True)]
    area, axis, ei = fem(cut)
    assert ours.area_m2 == pytest.approx(area, rel=1e-3)
    assert ours.neutral_axis_m == pytest.approx(axis, rel=1e-3)
    assert ours.stiffness_nm2 == pytest.approx(ei, rel=1e-3)


@pytest.mark.parametrize("kind", ["d", "oval", "crowned"])
def test_a_rounded_layered_section_agrees_with_sectionproperties(kind):
    w, d, sides = 28.0, 24.0, 400  # 400 sides to the curve: the polygon itself is short by less than 0.01 %
    turn = np.linspace(0, np.pi, sides)
    if kind == "d":
        outline = d_shape(w, d, flat_m=10.0)
        points = [(-w / 2, 0), (w / 2, 0)]
        points += list(zip(w / 2 * np.cos(turn), 10 + 14 * np.sin(turn), strict=True))
    elif kind == "oval":
        outline = oval(w, d)
        whole = np.linspace(0, 2 * np.pi, sides, endpoint=False)
        points = list(zip(w / 2 * np.cos(whole), d / 2 + d / 2 * np.sin(whole), strict=True))
    else:
        outline, radius = crowned(w, d, crown_m=4.0), w**2 / 32 + 2
        half = math.asin(w / 2 / radius)
        arc = np.linspace(-half, half, sides)
        points = list(zip(radius * np.sin(arc), radius - radius * np.cos(arc), strict=True))
        points += [(w / 2, d), (-w / 2, d)]
    ours = outline.layered([Layer(16.0, 5.0), Layer(9.0)])
    area, axis, ei = fem([(clipped(points, 0, 5), 16.0), (clipped(points, 5, d), 9.0)])
    assert ours.area_m2 == pytest.approx(area, rel=1e-3)
    assert ours.neutral_axis_m == pytest.approx(axis, rel=1e-3)
    assert ours.stiffness_nm2 == pytest.approx(ei, rel=1e-3)


outlines = st.one_of(
    st.builds(rectangle, widths, depths),
    st.builds(trapezoid, widths, widths, depths),
    st.builds(lambda w, d, p: d_shape(w, d, p * d), widths, depths, parts),
    st.builds(oval, widths, depths),
    st.builds(half_oval, widths, depths),
    st.builds(lambda w, d, p: crowned(w, d, p * min(d, w / 2)), widths, depths, parts),
)


@settings(derandomize=True, deadline=None)
@given(outlines, parts, st.floats(1e9, 30e9))
def test_a_limb_glued_up_from_one_timber_is_as_stiff_as_the_solid_limb(outline, part, modulus):
    glued = outline.layered([Layer(modulus, part * outline.depth_m, 600.0), Layer(modulus, None, 600.0)])
    solid = outline.section(modulus, 600.0)
    assert glued.stiffness_nm2 == pytest.approx(solid.stiffness_nm2, rel=1e-9)
    assert glued.mass_kg_per_m == pytest.approx(600.0 * solid.area_m2, rel=1e-9)


@settings(derandomize=True, deadline=None)
@given(outlines, st.floats(1e9, 30e9))
def test_the_extreme_fibres_span_the_depth_and_the_section_is_less_than_its_box(outline, modulus):
    section = outline.section(modulus)
    assert section.to_back_m > 0
    assert section.to_belly_m > 0
    assert section.to_back_m + section.to_belly_m == pytest.approx(section.depth_m, rel=ROUNDING)
    # No section of depth d and area A resists bending better than its area split between back and belly.
    assert section.second_moment_m4 < section.area_m2 * section.depth_m**2 / 4


@settings(derandomize=True, deadline=None)
@given(widths, depths, parts)
def test_a_d_between_rectangle_and_half_oval(width, depth, part):
    d = homogeneous(d_shape(width, depth, part * depth)).stiffness_nm2
    least = homogeneous(half_oval(width, depth)).stiffness_nm2
    assert least < d < homogeneous(rectangle(width, depth)).stiffness_nm2


def test_a_whole_limb_of_stations_at_once_equals_one_station_at_a_time():
    width, depth = np.array([40, 34, 25, 12]) * MM, np.array([14, 13, 12, 11]) * MM
    layers = [Layer(15e9, 2 * MM, 700.0), Layer(10e9, None, 600.0)]
    together = d_shape(width, depth, flat_m=4 * MM).layered(layers)
    for n in range(4):
        alone = d_shape(width[n], depth[n], flat_m=4 * MM).layered(layers)
        assert together.stiffness_nm2[n] == pytest.approx(alone.stiffness_nm2, rel=ROUNDING)
        assert together.mass_kg_per_m[n] == pytest.approx(alone.mass_kg_per_m, rel=ROUNDING)


def test_a_crown_of_nothing_is_a_flat_back():
    assert homogeneous(crowned(0.03, 0.02, 0.0)).stiffness_nm2 == pytest.approx(0.03 * 0.02**3 / 12, rel=1e-6)


def test_an_outline_may_be_drawn_either_way_round():
    points = IRREGULAR["knobbly back"]
    there, back = measured(points).section(1.0), measured(points[::-1]).section(1.0)
    assert there.stiffness_nm2 == pytest.approx(back.stiffness_nm2, rel=ROUNDING)


@pytest.mark.parametrize(
    ("make", "error", "code"),
    [
        (lambda: rectangle(0.0, 0.01), OutOfRange, "size"),
        (lambda: rectangle(0.03, -0.01), OutOfRange, "size"),
        (lambda: oval(math.nan, 0.01), OutOfRange, "size"),
        (lambda: rectangle([0.03, 0.0], 0.01), OutOfRange, "size"),
        (lambda: rectangle(0.03, 0.01).section(0.0), OutOfRange, "size"),
        (lambda: rectangle(0.03, 0.01).section(1e10, density_kg_m3=0.0), OutOfRange, "size"),
        (lambda: d_shape(0.03, 0.01, flat_m=0.01), OutOfRange, "flat"),
        (lambda: crowned(0.03, 0.01, crown_m=0.012), OutOfRange, "crown"),
        (lambda: crowned(0.01, 0.02, crown_m=0.006), OutOfRange, "crown"),
        (lambda: rectangle(0.03, 0.01).layered([]), TooFew, "layers"),
        (lambda: rectangle(0.03, 0.01).layered([Layer(1e10, 0.004)]), Mismatch, "layers"),
        (lambda: rectangle(0.03, 0.01).layered([Layer(1e10, 0.012)]), Mismatch, "layers"),
        (lambda: rectangle(0.03, 0.01).layered([Layer(1e10, 0.012), Layer(1e10)]), Mismatch, "layers"),
        (lambda: rectangle(0.03, 0.01).layered([Layer(1e10), Layer(1e10, 0.002)]), Mismatch, "layers"),
        (lambda: measured([(0, 0), (1, 1)]), TooFew, "outline"),
        (lambda: measured([(0, 0), (1, 0), (2, 0)]), OutOfRange, "outline"),
        (lambda: measured([(0, 0), (1, 1), (1, 0), (0, 1)]), OutOfOrder, "outline"),
    ],
)
def test_a_size_that_cannot_be_is_refused_by_name(make, error, code):
    with pytest.raises(error) as refusal:
        make()
    assert refusal.value.code == code
    assert refusal.value.allowed
