"""How the shop's own past projections move the next one and its band."""

import math

import numpy as np
import pytest
from scipy import stats

from workshop.calc.errors import OutOfRange
from workshop.calc.learning import Outcome, learn, student_80
from workshop.calc.projection import Projection

MADE = Projection("solved_shape", 0.70, 200.0, 190.0, 210.0)
LAST_M = 0.42  # 60 % of the draw


def test_without_past_outcomes_nothing_changes():
    assert learn(MADE, LAST_M, []) == MADE


def test_a_shop_whose_bows_come_in_light_expects_less():
    learned = learn(MADE, LAST_M, [Outcome(0.96, 0.4), Outcome(0.95, 0.4), Outcome(0.97, 0.4)] * 10)
    assert learned.force_n == pytest.approx(200 * 0.96 ** (30 / 33), rel=1e-3)


def test_one_outcome_moves_it_only_a_little():
    learned = learn(MADE, LAST_M, [Outcome(0.90, 0.4)])
    assert 193 < learned.force_n < 200


def test_nearer_the_end_a_past_error_counts_for_less():
    past = [Outcome(0.92, 0.4)] * 20
    near, far = learn(MADE, 0.63, past), learn(MADE, LAST_M, past)
    assert far.force_n < near.force_n < 200


def test_scattered_outcomes_widen_the_band_and_close_ones_narrow_it():
    random = np.random.default_rng(3)
    wide = [Outcome(math.exp(each), 0.4) for each in random.normal(0, 0.10, 40)]
    close = [Outcome(math.exp(each), 0.4) for each in random.normal(0, 0.005, 40)]
    own = MADE.high_n - MADE.low_n
    assert learn(MADE, LAST_M, wide).high_n - learn(MADE, LAST_M, wide).low_n > 1.5 * own
    assert learn(MADE, LAST_M, close).high_n - learn(MADE, LAST_M, close).low_n < 0.6 * own


@pytest.mark.parametrize("count", [8, 20, 60])
def test_the_band_comes_to_hold_eight_outcomes_in_ten(count):
    # A shop that reads 4 % high with a spread of 5 % (the projection's own band says 3.9 % and no bias).
    random = np.random.default_rng(11)
    held = []
    for _ in range(600):
        ratios = np.exp(random.normal(-0.04, 0.05, count + 1))
        learned = learn(MADE, LAST_M, [Outcome(ratio, 0.4) for ratio in ratios[:-1]])
        held.append(learned.low_n <= 200 * ratios[-1] <= learned.high_n)
    # 600 repeats: two standard deviations of a share of 0.8 are 0.033; a few outcomes leave the bias half
    # learned.
    assert np.mean(held) == pytest.approx(0.8, abs=0.06)


@pytest.mark.parametrize("freedom", [7, 8, 12, 30, 200])
def test_students_interval_is_scipys(freedom):
    assert student_80(freedom) == pytest.approx(stats.t.ppf(0.9, freedom), abs=1e-3)


@pytest.mark.parametrize("outcome", [Outcome(0, 0.4), Outcome(-1, 0.4), Outcome(11, 0.4), Outcome(1, 1.2)])
def test_outcomes_that_cannot_be_are_refused(outcome):
    with pytest.raises(OutOfRange):
        learn(MADE, LAST_M, [outcome])
