"""How stiff and how strong the wood is: measured here, else published, else guessed from its density.

*Stiffness* is the modulus of elasticity along the grain, *bending strength* the modulus of rupture, both in
Pa.
"""

from collections.abc import Sequence

import numpy as np

from workshop.calc.errors import OutOfRange, require
from workshop.calc.offcut import BendTest
from workshop.calc.tables import Kind, Timber
from workshop.calc.tapers import surface_strain
from workshop.calc.timber import Known, MeasuredGravity, Origin, specific_gravity

# Coefficients of variation within a species: Wood Handbook FPL-GTR-190 (2010), Table 5-6.
VARIATION_PCT = {"stiffness": 22.0, "bending_strength": 16.0}
# Printed stiffness holds the shear of a beam 14 times as long as deep; the handbook allows 10 % for it
# (FPL-GTR-190, Table 5-3, footnote c).
SHEAR_ALLOWANCE = 1.10
# Our own allowance, no source: an offcut is one place of the stave, the limbs are others.
OFFCUT_DOUBT_PCT = 5.0
# How far a piece may differ from its timber in what drying adds, as a share of the step (of the logarithm of the
# ratio). The steps from green to 12 %, of the 16 timbers printed with both, differ from each other by that much (a test
# reckons it from their figures); that pieces of one timber do so too is our own allowance, no source.
DRYING_STEP_SHARE = 0.35
# How far the line on density misses the mean of a species (12 hardwoods: 0.81 to 1.13 of the print).
_LINE_DOUBT_PCT = 8.0
# A value that cannot be carried to another moisture still serves this near: 3 % of moisture changes
# stiffness by about 5 %, far inside its doubt.
_NEAR_PCT = 3.0


def property_at_moisture(
    at12_pa: float, green_pa: float, moisture_pct: float, intersection_pct: float = 25.0
) -> float:
    """A strength or stiffness [Pa] at a moisture [%]: P = P12 (P12/Pg)^((12 - M)/(Mp - 12)), eq. 5-3.

    Range: 0 <= M <= Mp; above Mp the green value holds and the equation is refused (`OutOfRange`). Mp is 25
    % for any timber not in the handbook's Table 5-13. Not for work to maximum load, nor for pull across the
    grain. Source: Wood Handbook FPL-GTR-282 (2021), p. 5-34.

    >>> round(property_at_moisture(103e6, 66e6, 8, 24), -5)  # white ash; the handbook prints 119,500 kPa
    119500000.0
    """
    require(
        at12_pa > 0 and green_pa > 0,
        OutOfRange,
        "property",
        allowed="above zero",
        at12_pa=at12_pa,
        green_pa=green_pa,
    )
    require(
        12 < intersection_pct <= 40,
        OutOfRange,
        "intersection_moisture",
        allowed="above 12, up to 40 %",
        intersection_moisture_pct=intersection_pct,
    )
    require(
        0 <= moisture_pct <= intersection_pct,
        OutOfRange,
        "moisture_above_intersection",
        allowed=f"0 to {intersection_pct:g} %; above it the green value holds",
        moisture_pct=moisture_pct,
    )
    return at12_pa * (at12_pa / green_pa) ** ((12 - moisture_pct) / (intersection_pct - 12))


def published(timber: Timber, name: str, moisture_pct: float) -> Known:
    """The printed "stiffness" or "bending_strength" [Pa] of a timber, carried to a moisture [%] by eq. 5-3.

    The value is as printed, shear and all. `why`: "only_at_12", "only_green" where one column is missing
    (`ok` holds while the moisture is near it); "nothing_published". Any other property is refused: eq. 5-3
    is not for it.

    >>> from workshop.calc.tables import timbers
    >>> round(published(timbers()["ash-white"], "stiffness", 8).value, -6)
    12795000000.0
    >>> osage = published(timbers()["osage-orange"], "stiffness", 9)
    >>> osage.value, osage.ok, osage.why
    (9200000000.0, False, 'only_green')
    """
    require(name in VARIATION_PCT, OutOfRange, "property_name", allowed=" or ".join(VARIATION_PCT), name=name)
    require(0 <= moisture_pct <= 300, OutOfRange, "moisture", allowed="0 to 300 %", moisture_pct=moisture_pct)
    at12, green = getattr(timber, f"at12_{name}_pa"), getattr(timber, f"green_{name}_pa")
    driest_green = timber.intersection_moisture_pct
    ok, why, group = True, "", "at12"
    if at12 is None and green is None:
        return Known.nothing("nothing_published")
    if moisture_pct >= driest_green and green is not None:
        value, group = green, "green"
    elif at12 is None:
        value, ok, why, group = green, moisture_pct > driest_green - _NEAR_PCT, "only_green", "green"
    elif green is None:
        value, ok, why = at12, abs(moisture_pct - 12) <= _NEAR_PCT, "only_at_12"
    else:
        value = property_at_moisture(at12, green, moisture_pct, driest_green)
    doubt = value * VARIATION_PCT[name] / 100
    return Known(value, doubt, Origin.PUBLISHED, timber.source_of(group), ok, why)


# --- the best that is known ---


def stiffness(
    timber: Timber,
    moisture_pct: float,
    *,
    tests: Sequence[BendTest] = (),
    gravity: MeasuredGravity | None = None,
) -> Known:
    """Stiffness in pure bending [Pa] at a moisture [%], from the best that is known.

    Offcuts bent here come first (the mean of the trustworthy ones, each carried to the moisture asked by
    the timber's own printed ratio, whose doubt is added); then what is printed, raised by a tenth for the shear
    it holds; last the line on density, the piece's own if it was weighed. **Never the line for yew**: it reads
    a third too high there ("never_for_yew"). `why` "drying_in_doubt": of an offcut's doubt the most comes from
    its step from the moisture it was bent at to this one.

    >>> from workshop.calc.tables import timbers
    >>> ash = stiffness(timbers()["ash-white"], 12)
    >>> round(ash.value, -8), ash.origin.value
    (13200000000.0, 'published')
    """
    trusted = [test for test in tests if test.ok]
    if trusted:
        return _from_tests(timber, moisture_pct, trusted)
    printed = published(timber, "stiffness", moisture_pct)
    if printed.value is not None:
        return Known(
            printed.value * SHEAR_ALLOWANCE,
            printed.doubt * SHEAR_ALLOWANCE,
            printed.origin,
            printed.source,
            printed.ok,
            printed.why,
        )
    return _from_density(timber, moisture_pct, gravity)


def _from_tests(timber: Timber, moisture_pct: float, tests: Sequence[BendTest]) -> Known:
    wanted = published(timber, "stiffness", moisture_pct)
    values, doubts, steps, carried = [], [], [], True
    for test in tests:
        there = published(timber, "stiffness", test.moisture_pct)
        both = wanted.value is not None and not wanted.why and not there.why
        ratio = wanted.value / there.value if both else 1.0
        carried &= both or abs(moisture_pct - test.moisture_pct) <= _NEAR_PCT
        values.append(test.stiffness_pa * ratio)
        doubts.append(test.doubt_pa * ratio)
        steps.append(abs(np.log(ratio)))
    value = float(np.mean(values))
    tools = float(np.linalg.norm(doubts)) / len(tests)
    # the spread of several offcuts says how much the wood differs; it may say more than our allowance
    spread = float(np.std(values, ddof=1)) / len(tests) ** 0.5 if len(tests) > 1 else 0.0
    place = max(spread, value * OFFCUT_DOUBT_PCT / 100 / len(tests) ** 0.5)
    # all offcuts of a piece share what it differs from its timber in drying: more of them do not lessen it
    drying = value * DRYING_STEP_SHARE * float(np.mean(steps))
    why = "moisture_not_allowed_for" if not carried else "drying_in_doubt" if drying > place else ""
    return Known(value, float(np.linalg.norm([tools, place, drying])), Origin.MEASURED, "", carried, why)


# Property (MPa) = a G^b; key: property, softwood, green. Wood Handbook FPL-GTR-190 (2010), Table 5-11a.
_LINES = {
    ("stiffness", True, False): (20_500, 0.84),
    ("stiffness", False, False): (16_500, 0.70),
    ("stiffness", True, True): (16_100, 0.76),
    ("stiffness", False, True): (13_900, 0.72),
    ("bending_strength", True, False): (170.7, 1.01),
    ("bending_strength", False, False): (171.3, 1.13),
    ("bending_strength", True, True): (109.6, 1.01),
    ("bending_strength", False, True): (118.7, 1.16),
}


def line_on_density_pa(name: str, kind: Kind, gravity: float, *, green: bool = False) -> float:
    """The "stiffness" or "bending_strength" [Pa] as printed for a wood of that specific gravity: a G^b.

    G on the volume at 12 %, or the basic one when `green`; range 0.2 to 1.2. It says nothing of yew. Source:
    Wood Handbook FPL-GTR-190 (2010), Table 5-11a, **from memory (certain)**.

    >>> round(line_on_density_pa("stiffness", Kind.RING_POROUS, 0.60), -7)
    11540000000.0
    """
    require(name in VARIATION_PCT, OutOfRange, "property_name", allowed=" or ".join(VARIATION_PCT), name=name)
    require(0.2 <= gravity <= 1.2, OutOfRange, "specific_gravity", allowed="0.2 to 1.2", gravity=gravity)
    factor_mpa, power = _LINES[name, kind == Kind.SOFTWOOD, green]
    return factor_mpa * 1e6 * gravity**power


def _from_density(timber: Timber, moisture_pct: float, gravity: MeasuredGravity | None) -> Known:
    if timber.is_yew:
        return Known.nothing("never_for_yew")
    if timber.kind is None:
        return Known.nothing("kind_unknown")
    at12, basic = (specific_gravity(timber, moisture, gravity) for moisture in (12.0, 300.0))
    if at12.value is None:
        return Known.nothing(at12.why)
    dry = line_on_density_pa("stiffness", timber.kind, at12.value)
    wet = line_on_density_pa("stiffness", timber.kind, basic.value, green=True)
    highest = timber.intersection_moisture_pct
    value = SHEAR_ALLOWANCE * property_at_moisture(dry, wet, min(moisture_pct, highest), highest)
    doubt = value / 100 * float(np.hypot(VARIATION_PCT["stiffness"], _LINE_DOUBT_PCT))
    source = "Wood Handbook FPL-GTR-190 (2010), Table 5-11a"
    why = "from_density" if gravity is None else "from_own_density"
    return Known(value, doubt, Origin.REGRESSION, source, True, why)


# --- strain ---


def nominal_strain_pct(timber: Timber, moisture_pct: float) -> Known:
    """Printed bending strength over printed stiffness [%] at a moisture: a nominal figure from small beams.

    **Not a breaking strain and no limit**: good bows run near or past it. The doubt joins both variations
    as if they were independent, which is on the wide side.

    >>> from workshop.calc.tables import timbers
    >>> round(nominal_strain_pct(timbers()["ash-white"], 12).value, 3)
    0.858
    """
    strength, stiff = (published(timber, name, moisture_pct) for name in ("bending_strength", "stiffness"))
    if strength.value is None or stiff.value is None:
        return Known.nothing("nothing_published")
    value = 100 * strength.value / stiff.value
    doubt = value / 100 * float(np.hypot(VARIATION_PCT["bending_strength"], VARIATION_PCT["stiffness"]))
    # strength and stiffness change together, so the quotient bears a missing column better than either
    return Known(
        value, doubt, Origin.PUBLISHED, strength.source, strength.ok and stiff.ok, strength.why or stiff.why
    )


def radius_rule_pct(timber: Timber) -> Known:
    """Strain [%] by the published rule of radius to thickness: 45 for yew, 35 for Osage-orange.

    Klopsteg calls these rough guides that vary greatly from stave to stave, so no doubt is given. `why`
    "no_rule" for every other timber.

    >>> from workshop.calc.tables import timbers
    >>> round(radius_rule_pct(timbers()["osage-orange"]).value, 3)
    1.429
    """
    if timber.is_yew:
        ratio = 45
    elif timber.botanical_name.startswith("Maclura"):
        ratio = 35
    else:
        return Known.nothing("no_rule")
    source = "Klopsteg, Getting the most out of the bowstave, part 4"
    return Known(100 * surface_strain(1, ratio), None, Origin.PUBLISHED, source, True)
