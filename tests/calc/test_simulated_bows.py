"""Four hundred simulated bows weighed to part of the draw: how far out the projections are, and whether bands hold.

Nothing here is published: the bows are invented (tests/calc/simulated.py) and solved by the project's own statics,
which has its own checks. What is tested is the way from a few doubtful readings to an expected weight. Thresholds
of the 60 % case: elastic median error below 2 %, with set below 4 % and without bias over 1 %, bands holding 75 to
88 % of the outcomes.
"""

from dataclasses import dataclass, replace

import numpy as np
import pytest

from tests.calc.simulated import Made, make, measured, solve, stock_shapes, weighed
from workshop.calc.cubic import monotone
from workshop.calc.drawcurve import DrawCurve, end_slope
from workshop.calc.foresee import Known, foresee
from workshop.calc.imperial import INCH_M
from workshop.calc.learning import Outcome, learn
from workshop.calc.projection import Projection, by_last_slope, combine, rules_of_thumb
from workshop.calc.setloss import (
    BowSet,
    default_rule,
    expected_set,
    learn_set,
    permanent_strain,
    set_still_to_come,
    temper,
    usual_strain,
)
from workshop.calc.solvedshape import OWN_STRAY, by_solved_shape, fit_shape

BOWS = 400
# The follow of the tips is read with a rule against a straight edge.
READ_M = 0.003
# A band is meant to hold four of five. Of 400 bows a share of 0.8 is known to 2 in a hundred (one standard
# deviation); four of those either way are no chance any more: the band is too narrow, or too wide.
HELD_PCT = (72, 88)


@dataclass
class Score:
    """Expected against measured: errors as shares of the measured weight, and whether the band held it."""

    errors: list[float]
    held: list[bool]

    def add(self, expected: Projection, measured_n: float) -> None:
        self.errors.append(expected.force_n / measured_n - 1)
        self.held.append(expected.low_n <= measured_n <= expected.high_n)

    @property
    def median_pct(self) -> float:
        return 100 * float(np.median(np.abs(self.errors)))

    @property
    def bias_pct(self) -> float:
        return 100 * float(np.mean(self.errors))

    @property
    def held_pct(self) -> float:
        return 100 * float(np.mean(self.held))

    def __str__(self) -> str:
        return f"median {self.median_pct:.2f} %, bias {self.bias_pct:+.2f} %, held {self.held_pct:.1f} %"


@pytest.fixture(scope="module")
def elastic():
    """Bows, their forces, and the stock shapes a maker would have for them."""
    random = np.random.default_rng(20)
    bows = [make(random) for _ in range(BOWS)]
    forces, _ = solve(bows)
    forces *= np.array([bow.weight_n for bow in bows])[:, None] / forces[:, -1:]
    tips = np.array([bow.offsets_m[-1] for bow in bows])
    own, _ = solve([measured(bow, random) for bow in bows])
    return bows, forces, stock_shapes(bows, tips + random.normal(0, READ_M, BOWS)), own


def by_every_way(
    bow: Made, curve: DrawCurve, shape: np.ndarray, own: np.ndarray | None = None
) -> dict[str, Projection]:
    """Every way by its name, and what the rules alone, and all without the bow's own dimensions, make together."""
    ways = rules_of_thumb(curve, bow.draw_m)
    rules = combine(ways)
    ways.append(by_solved_shape(fit_shape(curve, bow.draws_m, shape), bow.draw_m))
    together = {"rules": rules, "combined": combine(ways)}
    if own is not None:
        fit = fit_shape(curve, bow.draws_m, own, stray=OWN_STRAY)
        ways.append(by_solved_shape(fit, bow.draw_m, method="solved_bow", stray=OWN_STRAY))
        together["combined with dimensions"] = combine(ways)
    return {each.method: each for each in ways} | together


def scores(elastic, to_share: float, seed: int = 7) -> dict[str, Score]:
    random, made = np.random.default_rng(seed), {}
    for bow, forces, shape, own in zip(*elastic, strict=True):
        curve = weighed(bow, forces, random, to_share=to_share)
        assert not curve.falls  # every bow is scored: none is left out for being awkward
        for method, expected in by_every_way(bow, curve, shape, own).items():
            made.setdefault(method, Score([], [])).add(expected, forces[-1])
    return made


def test_weighed_to_60_percent_of_the_draw_an_elastic_bow_is_foreseen(elastic):
    by = scores(elastic, 0.6)
    assert by["combined"].median_pct < 2, by["combined"]
    assert 75 <= by["combined"].held_pct <= 88, by["combined"]
    # What the solved shape is for: it is more than twice as near as any rule.
    assert by["combined"].median_pct < by["rules"].median_pct / 2, by["rules"]
    assert by["combined"].median_pct < by["last_slope"].median_pct / 2, by["last_slope"]


def test_with_its_dimensions_measured_it_is_foreseen_nearer_still(elastic):
    by = scores(elastic, 0.6)
    assert by["solved_bow"].median_pct < by["solved_shape"].median_pct
    assert by["combined with dimensions"].median_pct < 1, by["combined with dimensions"]
    assert 75 <= by["combined with dimensions"].held_pct <= 88, by["combined with dimensions"]


@pytest.mark.parametrize("to_share", [0.45, 0.6, 0.75, 0.9])
def test_the_bands_hold_from_wherever_a_bow_is_weighed_to(elastic, to_share):
    by = scores(elastic, to_share)
    least, most = HELD_PCT
    assert least <= by["combined"].held_pct <= most, by["combined"]
    assert least <= by["rules"].held_pct <= most, by["rules"]


def test_the_nearer_a_bow_has_been_drawn_the_nearer_the_projection(elastic):
    medians = [scores(elastic, to_share)["combined"].median_pct for to_share in (0.45, 0.6, 0.75, 0.9)]
    assert medians == sorted(medians, reverse=True)


def test_a_straight_last_slope_reads_low_so_it_is_carried_on_a_little_steeper(elastic):
    random, straight, steeper = np.random.default_rng(7), Score([], []), Score([], [])
    for bow, forces, _shape, _own in zip(*elastic, strict=True):
        curve = weighed(bow, forces, random, to_share=0.6)
        expected = by_last_slope(curve, bow.draw_m)
        rise_n = end_slope(curve).newton_per_m * (bow.draw_m - curve.draws_m[-1])
        straight.add(replace(expected, force_n=curve.forces_n[-1] + rise_n), forces[-1])
        steeper.add(expected, forces[-1])
    assert straight.bias_pct < -4
    assert straight.bias_pct < steeper.bias_pct < 1, steeper


def test_what_is_scored_here_is_what_the_ledger_foresees():
    """The bows above are solved side by side, which is quicker; `foresee` solves each by itself, at other draws."""
    random = np.random.default_rng(3)
    bows = [make(random) for _ in range(12)]
    forces, _ = solve(bows)
    forces *= np.array([bow.weight_n for bow in bows])[:, None] / forces[:, -1:]
    tips = np.array([bow.offsets_m[-1] for bow in bows])
    for bow, force, tip, shape in zip(bows, forces, tips, stock_shapes(bows, tips), strict=True):
        curve = weighed(bow, force, random)
        (seen,) = foresee(curve, [bow.draw_m], known_of(bow, tip))
        scored = by_every_way(bow, curve, shape)["combined"]
        # Between 20 solved draws and between 24 the curve is the same to well under a tenth of a percent.
        assert seen.expected.force_n == pytest.approx(scored.force_n, rel=1e-3)
        assert seen.expected.low_n == pytest.approx(scored.low_n, rel=1e-3)


def known_of(bow: Made, follow_m: float) -> Known:
    return Known(2 * bow.stations_m[-1], stiff_m=2 * bow.stations_m[0], follow_m=follow_m)


class Shop:
    """A shop whose wood takes more set than the default says, keeping what it foresaw and what came of it.

    Its wood does not follow the rule the arithmetic assumes: set begins sooner, grows with the strain's power of one
    and a half, and sits anywhere from the inner limb to evenly along it. What it knows of a bow is read with its
    callipers and rules: strain and depth are those of the measured bow, not of the true one.
    """

    ONSET, RATE, SCATTER, A_PERCENT_WETTER = 0.003, 2.7, 0.25, 0.08

    def __init__(self, seed: int):
        random = self.random = np.random.default_rng(seed)
        self.bows = [make(random) for _ in range(BOWS)]
        unset, strains = solve(self.bows)
        # Depth scaled so that every bow is strained as makers strain them; strain goes with depth.
        times = random.uniform(0.0065, 0.0100, BOWS) / strains[:, -1]
        self.strains = strains * times[:, None]
        self.depths_m = np.array([bow.depths_m[0] for bow in self.bows]) * times
        read = [measured(bow, random) for bow in self.bows]
        self.strains_read = solve(read)[1] * times[:, None]
        self.depths_read_m = np.array([bow.depths_m[0] for bow in read]) * times
        self.limbs_m = np.array([bow.limb_m for bow in self.bows])
        self.moistures = random.normal(9.5, 1.2, BOWS).clip(6, 14)
        wetter = 1 + self.A_PERCENT_WETTER * (self.moistures - 9)
        self.rates = self.RATE * wetter * np.maximum(0, random.normal(1, self.SCATTER, BOWS))
        # A bow that would take more than three inches is given up before it is finished.
        self.rates *= np.minimum(1, 3 * INCH_M / self.set_at(self.strains[:, -1]))
        sits = random.uniform(1.4, 2.4, BOWS)
        set_now, set_then = self.set_at(self.half_way(self.strains)), self.set_at(self.strains[:, -1])
        self.strain_now_read = self.half_way(self.strains_read)
        scale = np.array([bow.weight_n for bow in self.bows]) / unset[:, -1]
        self.forces_now = solve(self.bows, more_set_m=set_now, power=sits)[0] * scale[:, None]
        # Shooting in creeps off 0 to 2 %; between the two weigh-ins lies a season's moisture, 1.5 % of the weight.
        creep = 1 - random.uniform(0, 0.02, BOWS)
        season = 1 + random.normal(0, 0.015, BOWS)
        self.final_n = solve(self.bows, more_set_m=set_then, power=sits)[0][:, -1] * scale * creep * season
        tips = np.array([bow.offsets_m[-1] for bow in self.bows]) + set_now
        self.tips_read_m = tips + random.normal(0, READ_M, BOWS)
        self.set_now_read = set_now + random.normal(0, READ_M, BOWS)
        self.set_then_read = set_then + random.normal(0, READ_M, BOWS)

    def half_way(self, strains: np.ndarray) -> np.ndarray:
        """The strains where the bows are weighed to: three fifths of the draw."""
        pairs = zip(self.bows, strains, strict=True)
        return np.array([float(monotone(bow.draws_m, each)(0.6 * bow.draw_m)) for bow, each in pairs])

    def set_at(self, strains: np.ndarray) -> np.ndarray:
        permanent = self.rates * np.maximum(0, strains - self.ONSET) ** 1.5
        return permanent * self.limbs_m**2 / self.depths_m

    def foresee(
        self, i: int, records: list[BowSet], past: list[Outcome]
    ) -> tuple[Projection, Projection, Projection]:
        """Elastic, tempered, and tempered by what the shop has learned of its own errors."""
        bow = self.bows[i]
        curve = weighed(bow, self.forces_now[i], self.random)
        (seen,) = foresee(curve, [bow.draw_m], known_of(bow, self.tips_read_m[i]))
        elastic = seen.expected
        limb = {"limb_m": self.limbs_m[i], "depth_m": self.depths_read_m[i]}
        to_come = set_still_to_come(
            learn_set(records),
            strain_now=self.strain_now_read[i],
            strain_then=self.strains_read[i, -1],
            taken=permanent_strain(self.set_now_read[i], **limb),
            taken_doubt=permanent_strain(READ_M, **limb),
            moisture_pct=self.moistures[i],
        )
        tempered = temper(elastic, to_come, **limb)
        return elastic, tempered, learn(tempered, curve.draws_m[-1], past)

    def finished(self, i: int) -> BowSet:
        permanent = permanent_strain(self.set_then_read[i], self.limbs_m[i], self.depths_read_m[i])
        return BowSet(float(self.strains_read[i, -1]), permanent, moisture_pct=float(self.moistures[i]))


@pytest.fixture(scope="module")
def shop():
    return Shop(31)


@pytest.fixture(scope="module")
def shop_scores(shop):
    """A shop's first forty bows teach; the others are foreseen one after another, each with all before it."""
    records, past = [], []
    made = {name: Score([], []) for name in ("elastic", "tempered", "learned")}
    for i in range(BOWS):
        elastic, tempered, learned = shop.foresee(i, records[:60], past[-60:])
        if i >= 40:
            for name, expected in zip(made, (elastic, tempered, learned), strict=True):
                made[name].add(expected, shop.final_n[i])
        records.append(shop.finished(i))
        past.append(Outcome(shop.final_n[i] / tempered.force_n, 0.4))
    return made


def test_the_elastic_figure_reads_high_once_wood_takes_set(shop_scores):
    assert shop_scores["elastic"].bias_pct > 4, shop_scores["elastic"]
    assert shop_scores["elastic"].held_pct < 60


def test_with_set_creep_and_season_the_tempered_weight_is_foreseen(shop_scores):
    learned = shop_scores["learned"]
    assert learned.median_pct < 4, learned
    assert abs(learned.bias_pct) < 1, learned
    assert 75 <= learned.held_pct <= 88, learned


def test_set_alone_brings_most_of_it_and_the_shops_own_errors_the_rest(shop_scores):
    elastic, tempered, learned = (shop_scores[name] for name in ("elastic", "tempered", "learned"))
    assert abs(tempered.bias_pct) < abs(elastic.bias_pct) / 2
    assert abs(learned.bias_pct) < abs(tempered.bias_pct)


def test_the_shop_learns_how_much_set_its_bows_take(shop):
    rule = learn_set([shop.finished(i) for i in range(60)])
    # In the middle of what its bows are strained to; ends of the range follow the assumed straight line less well.
    foreseen = expected_set(rule, 0.0083, 9.5).strain
    true = Shop.RATE * (1 + 0.5 * Shop.A_PERCENT_WETTER) * (0.0083 - Shop.ONSET) ** 1.5
    # Sixty bows with a scatter of a quarter know their mean to 3 %.
    assert foreseen == pytest.approx(true, rel=0.08)
    assert expected_set(default_rule(), 0.0083, 9.5).strain < 0.8 * true


def test_the_usual_strain_is_what_simulated_bows_bear_on_the_way():
    random = np.random.default_rng(5)
    bows = [make(random) for _ in range(100)]
    _, strains = solve(bows)
    bow = bows[0]
    usual = [usual_strain(draw, brace_m=bow.brace_m, full_draw_m=bow.draw_m) for draw in bow.draws_m]
    # Bows of reflex and follow spread by a tenth about it at brace, less further on.
    assert np.median(strains / strains[:, -1:], axis=0) == pytest.approx(
        np.array(usual) / usual[-1], abs=0.03
    )
