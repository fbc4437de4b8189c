"""The grip of a bow and its fades, as planned; where nothing is written, by common practice. One answer for all."""

from dataclasses import dataclass

from workshop.bows.models import Bow
from workshop.bows.models.bow import BowKind
from workshop.calc.layout import FADE_M, GRIP_ABOVE_M, GRIP_BELOW_M


@dataclass(frozen=True)
class Grip:
    """From the middle mark up and down [m], and each fade beyond that. `written` says that it was planned so."""

    above_m: float
    below_m: float
    fade_m: float
    written: bool

    @property
    def whole_m(self) -> float:
        return self.above_m + self.below_m


def grip_of(bow: Bow) -> Grip:
    whole = GRIP_ABOVE_M + GRIP_BELOW_M if bow.grip_m is None else bow.grip_m
    above = min(GRIP_ABOVE_M, whole) if bow.grip_above_m is None else bow.grip_above_m
    fade = usual_fade_m(bow.kind) if bow.fade_m is None else bow.fade_m
    return Grip(above, max(0.0, whole - above), fade, bow.grip_m is not None)


def usual_fade_m(kind: str) -> float:
    """A full-compass bow bends through its grip."""
    return 0.0 if kind == BowKind.COMPASS else FADE_M


def stiff_half_m(bow: Bow) -> float:
    """Half of what does not bend: grip and fades of a stiff-handled bow, nothing of a full-compass one."""
    grip = grip_of(bow)
    return 0.0 if bow.kind == BowKind.COMPASS else grip.whole_m / 2 + grip.fade_m


def grip_depth_m(bow: Bow, limb_depth_m: float) -> float | None:
    """As written; a full-compass bow's grip is as deep as its limbs there, a stiff handle's nobody knows."""
    return bow.grip_depth_m or (limb_depth_m if bow.kind == BowKind.COMPASS else None)
