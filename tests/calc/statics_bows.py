"""Bows the statics tests share, in the units their sources use (any consistent units will do)."""

import numpy as np

from workshop.calc.statics import Bow, Limb

# Bow T1: 72 in nock to nock, rigid middle 8 in, thickness 0.60 in, width 1.75 in falling straight to a
# quarter, E = 1.5e6 psi; inches and pounds.
T1_ROOT_STIFFNESS = 47250.0
T1 = Bow(
    Limb.measured([4.0, 36.0], [T1_ROOT_STIFFNESS, T1_ROOT_STIFFNESS / 4], to_back_m=0.3, to_belly_m=0.3)
)
# The SI bow: 1.80 m nock to nock, rigid middle 0.20 m, 60 N m2 throughout.
SI = Bow(Limb.measured([0.1, 0.9], [60.0, 60.0]))


def straight_taper(fraction: float, *, length=36 / 28, grip=4 / 28, **natural) -> Bow:
    """Stiffness 1 at the grip falling straight to `fraction`; lengths in full draws."""
    return Bow(Limb.measured([grip, length], [1.0, fraction], **natural))


def random_limb(rng: np.random.Generator, *, bends_through: bool = False) -> Limb:
    """A limb as callipers might find it: 6 to 12 stations, uneven taper, some reflex or follow."""
    count = rng.integers(6, 13)
    length, grip = rng.uniform(0.78, 0.98), 0.0 if bends_through else rng.uniform(0.04, 0.12)
    stations = np.linspace(grip, length, count)
    stations[1:-1] += rng.uniform(-0.3, 0.3, count - 2) * (stations[1] - stations[0])
    part = (stations - grip) / (length - grip)
    stiffness = rng.uniform(40, 120) * (1 - rng.uniform(0.4, 0.95) * part)
    stiffness *= np.exp(rng.normal(0, 0.08, count))
    offset = rng.choice([0.0, rng.uniform(-0.05, 0.05)]) * part ** rng.uniform(1.5, 3)
    return Limb.measured(stations, stiffness, to_back_m=0.007, to_belly_m=0.008, natural_offset_m=offset)


def random_bow(rng: np.random.Generator, *, unlike: bool) -> Bow:
    """Two equal limbs, or two of their own with the hand and the arrow off the middle."""
    through = bool(rng.integers(2))
    upper = random_limb(rng, bends_through=through)
    if not unlike:
        return Bow(upper)
    lower = random_limb(rng, bends_through=through)
    return Bow(upper, lower, rng.uniform(-0.04, 0.0), rng.uniform(0.0, 0.03))
