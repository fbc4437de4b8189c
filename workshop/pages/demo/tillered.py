"""A bow of the invented workshop while it is tillered: how heavy it is now, how far it was drawn, what set it took."""

import random
from dataclasses import dataclass

from workshop.bows.models import Bow
from workshop.pages.demo.nature import INCH_M, Behaviour, behaviour, set_m

LB_N = 4.4482216152605
SHOT_IN, SANDED = 0.975, 0.988


@dataclass
class Tillered:
    """`heavy` is the weight it would have at full draw, as a part of the weight wanted."""

    bow: Bow
    full_set_m: float
    follow_m: float
    wide_m: float
    deep_m: float
    dice: random.Random
    heavy: float = 1.0
    furthest_m: float = 0.0

    @property
    def behaves(self) -> Behaviour:
        bow = self.bow
        return behaviour(bow.kind == "stiff", bow.length_m, bow.brace_m, bow.wanted_draw_m)

    def scrape_for(self, draw_m: float) -> None:
        """Wood comes off until the draw shows about the ordered weight: no bow is pulled past it."""
        about = self.dice.uniform(1.0, 1.045) if draw_m < self.bow.wanted_draw_m - 0.001 else 1.05
        self.heavy = min(self.heavy_or_rough, about / self.behaves.share(draw_m))

    @property
    def heavy_or_rough(self) -> float:
        """A bow that was never scraped is as heavy as it came off the axe."""
        return self.heavy if self.furthest_m else 9.9

    def weight_lb(self, draw_m: float, *, long: bool = False) -> float:
        """What the scale shows, to the half pound."""
        self.furthest_m = max(self.furthest_m, 0.0 if long else draw_m)
        shown = self.heavy * self.bow.wanted_n / LB_N * self.behaves.share(draw_m, long=long)
        return round(2 * shown) / 2

    def draws_of_series(self, every: int) -> list[float]:
        """From ten or twelve inches on, and the full draw [in]."""
        full = self.bow.wanted_draw_m / INCH_M
        return [*range(8 + every, round(full - 0.51), every), round(2 * full) / 2]

    def set_now_m(self, *, rested: bool) -> float:
        """Where the tips stand off the straight edge: what they lost, of which some comes back with rest."""
        lost = set_m(self.furthest_m, self.bow.wanted_draw_m, self.full_set_m) if self.furthest_m else 0.0
        return self.follow_m + lost * (0.8 if rested else 1.0)
