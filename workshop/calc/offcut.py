"""Stiffness of an offcut bent over two supports: the best guide to a stave short of a bow made from it."""

from collections.abc import Sequence
from dataclasses import dataclass

import numpy as np

from workshop.calc.errors import OutOfRange, require, require_numbers


def shear_share(span_m: float, depth_m: float, stiffness_ratio: float = 16.0) -> float:
    """Shear's part of the sag of a centre-loaded rectangular beam, against its bending: 1.2 (E/G)(h/L)².

    E/G about 16 for wood along the grain (handbooks; from memory, certain).

    >>> round(shear_share(14, 1), 3)
    0.098
    """
    require(
        span_m > 0 and depth_m > 0, OutOfRange, "beam", allowed="above zero", span_m=span_m, depth_m=depth_m
    )
    require_numbers(stiffness_ratio=stiffness_ratio)
    return 1.2 * stiffness_ratio * (depth_m / span_m) ** 2


@dataclass(frozen=True, slots=True)
class BendTest:
    """An offcut's stiffness. `apparent_pa` leaves shear out of account, `stiffness_pa` takes it out.

    `doubt_pa` is one standard deviation from the tools. `why`: "", "span_short" (under 10 depths: the guess
    at shear weighs too much), "bent_far" (sag over a tenth of the span), "not_straight" (load against sag
    is no line: it slipped, was crushed at the supports, or took set).
    """

    stiffness_pa: float
    apparent_pa: float
    doubt_pa: float
    moisture_pct: float
    ok: bool
    why: str


def bend_test(
    loads_n: Sequence[float],
    sags_m: Sequence[float],
    *,
    span_m: float,
    width_m: float,
    depth_m: float,
    moisture_pct: float,
    stiffness_ratio: float = 16.0,
    size_doubt_m: float = 0.00005,
    sag_doubt_m: float = 0.00002,
) -> BendTest:
    """Stiffness [Pa] of a rectangular offcut on two supports, loaded in the middle.

    E_apparent = (F/d) L³/(4 b h³); E = E_apparent (1 + shear share). F/d is the slope of the best line
    through loads [N] and sags [m]; one pair alone is taken from zero. Sizes [m] must be above zero, loads
    and sags rise together; else `OutOfRange`. The sizes are trusted to 0.05 mm, the sag to 0.02 mm
    (calliper, dial) unless told.

    >>> test = bend_test([20, 40], [0.002, 0.004], span_m=0.3, width_m=0.02, depth_m=0.01, moisture_pct=9)
    >>> round(test.apparent_pa, -6), round(test.stiffness_pa, -6), test.ok
    (3375000000.0, 3447000000.0, True)
    """
    for name, size in (("span_m", span_m), ("width_m", width_m), ("depth_m", depth_m)):
        require(size > 0, OutOfRange, "beam", allowed="above zero", **{name: size})
    require_numbers(moisture_pct=moisture_pct, size_doubt_m=size_doubt_m, sag_doubt_m=sag_doubt_m)
    loads, sags = _pairs(loads_n, sags_m)
    slope, offset = (loads[0] / sags[0], 0.0) if loads.size == 1 else np.polyfit(sags, loads, 1)
    share = shear_share(span_m, depth_m, stiffness_ratio)
    apparent = float(slope * span_m**3 / (4 * width_m * depth_m**3))
    reach = float(np.ptp(sags)) if sags.size > 1 else float(sags[0])
    relative = np.linalg.norm(
        [
            sag_doubt_m / reach,
            0.01,
            size_doubt_m / width_m,
            3 * size_doubt_m / depth_m,
            3 * 0.0005 / span_m,
            share / 4,
        ]
    )  # 1 % of load, half a millimetre of span, a quarter of the guess at shear
    bent_off = float(np.max(np.abs(slope * sags + offset - loads)) / np.max(loads))
    why = _objection(span_m, depth_m, float(sags[-1]), bent_off)
    stiffness_pa = apparent * (1 + share)
    return BendTest(stiffness_pa, apparent, float(stiffness_pa * relative), moisture_pct, not why, why)


def _pairs(loads_n: Sequence[float], sags_m: Sequence[float]) -> tuple[np.ndarray, np.ndarray]:
    """Loads and sags that make sense together."""
    loads, sags = np.asarray(loads_n, float), np.asarray(sags_m, float)
    require(
        loads.ndim == 1 and loads.shape == sags.shape and loads.size > 0,
        OutOfRange,
        "pairs",
        allowed="as many sags as loads, one at least",
        loads=loads.size,
        sags=sags.size,
    )
    require(
        loads.size > 1 or (loads[0] > 0 and sags[0] > 0),
        OutOfRange,
        "pairs",
        allowed="above zero",
        load_n=loads[0],
        sag_m=sags[0],
    )
    require(
        bool(np.all(np.diff(loads) > 0) and np.all(np.diff(sags) > 0)),
        OutOfRange,
        "pairs",
        allowed="loads and sags that rise together",
        loads_n=loads_n,
        sags_m=sags_m,
    )
    return loads, sags


def _objection(span_m: float, depth_m: float, furthest_sag_m: float, bent_off: float) -> str:
    """Why the test may not be trusted; `bent_off` is the furthest any load lies off the line, as a share of all."""
    if span_m < 10 * depth_m:
        return "span_short"
    if furthest_sag_m > span_m / 10:
        return "bent_far"
    return "not_straight" if bent_off > 0.05 else ""
