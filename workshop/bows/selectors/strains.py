"""How far the wood of a bow was strained at its furthest draw, as far as its measures tell.

Reckoned as if the limbs bent in an arc of a circle; the deepest station measured stands for the limb. That is what
may be compared across many bows, without solving each.
"""

import math
from collections import defaultdict
from collections.abc import Iterable

import numpy as np

from workshop.bows.grip import grip_depth_m, stiff_half_m
from workshop.bows.models import Bow, Dimension
from workshop.calc.draws import on_limb_axis_m
from workshop.calc.errors import CalcError
from workshop.calc.tapers import arc_limb, surface_strain


def strains_reached_pct(furthest: Iterable[tuple[Bow, float | None]]) -> dict[int, float]:
    """Surface strain [%] at the furthest draw of each bow whose depths were measured, by its key. One query."""
    drawn = {bow: draw_m for bow, draw_m in furthest if draw_m and bow.length_m and bow.brace_m}
    depths: dict[int, dict[tuple, float]] = defaultdict(dict)
    for each in Dimension.objects.standing().filter(bow__in=list(drawn), planned=False):
        depths[each.bow_id][each.limb, round(each.station_m, 3)] = each.depth_m  # the last word on a station
    found = {}
    for bow, draw_m in drawn.items():
        bending = [depth for (_, at), depth in depths[bow.pk].items() if at >= stiff_half_m(bow)]
        strain = strain_of_arc_pct(bow, max(bending), draw_m) if bending else None
        if strain is not None:
            found[bow.pk] = strain
    return found


def strain_of_arc_pct(bow: Bow, depth_m: float, draw_m: float) -> float | None:
    """Strain [%] at back and belly of a limb of that depth, drawn into an arc; None where no arc reaches.

    The draw is measured as the bow's draws are; draw and brace height are both taken from the limb's axis.
    """
    grip = stiff_half_m(bow)
    limb = bow.length_m / 2 - grip
    if limb <= 0:
        return None
    try:
        draw_m, brace_m = (
            on_limb_axis_m(each, place, limb_depth_m=depth_m, grip_depth_m=grip_depth_m(bow, depth_m))
            for each, place in ((draw_m, bow.draw_from), (bow.brace_m, "belly"))
        )
        turn = 2 * brace_m / limb  # braced, the arc's tips stand off the grip by the brace height
        string_half = grip + limb * math.sin(turn) / turn
        arc = arc_limb(
            np.array([0.0]), limb_m=limb, grip_half_m=grip, draw_m=draw_m, string_half_m=string_half
        )
        return 100 * surface_strain(depth_m, arc.radius_m)
    except CalcError:
        return None
