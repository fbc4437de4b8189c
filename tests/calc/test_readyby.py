"""When an order is ready: the played-through bench against closed forms."""

from datetime import date
from itertools import pairwise

import numpy as np
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st
from scipy import stats

from workshop.calc.errors import OutOfRange, TooFew
from workshop.calc.readyby import PACE_DOUBT, STAGE_SPREAD, Took, ready

# 49 hours a week are 7 a day: a stage of 7 hours is a day. The pace is held exact where a closed form is.
WEEK = {"hours_a_week": 49, "doubt": 0}


def test_with_one_time_only_every_day_is_that_day():
    (bow,) = ready(
        [["roughing", "tillering"]], {"roughing": [Took(14)] * 3, "tillering": [Took(7)] * 3}, **WEEK
    )
    assert bow.day(50) == bow.day(90) == pytest.approx(3)


def test_two_times_for_a_stage_make_a_binomial():
    # Ten stages of 1 or 3 days, even chance: days = 10 + 2 x binomial(10, 1/2).
    past = {f"stage {n}": [Took(7), Took(21), Took(7), Took(21)] for n in range(10)}
    (bow,) = ready([list(past)], past, **WEEK, times=20000)
    exact = stats.binom(10, 0.5)
    for chance in (10, 50, 75, 90):
        assert bow.day(chance) == pytest.approx(10 + 2 * exact.ppf(chance / 100), abs=1e-9)
    # 20 000 plays: a mean to 0.02 days, a share to 0.7 of a hundred (two standard deviations).
    assert bow.days.mean() == pytest.approx(20, abs=0.07)
    assert bow.chance_by(date(2024, 5, 1), date(2024, 5, 21)) == pytest.approx(100 * exact.cdf(5), abs=1.0)


def test_a_long_queue_comes_to_a_normal_sum():
    # 40 bows of one stage ahead of one's own: mean and variance of the sum are 41 times those of the stage.
    random = np.random.default_rng(8)
    hours = random.gamma(4, 2, 60)
    (*_, last) = ready(
        [["tillering"]] * 41, {"tillering": [Took(each) for each in hours]}, **WEEK, times=10000
    )
    mean, spread = 41 * hours.mean() / 7, (41 * hours.var()) ** 0.5 / 7
    assert last.days.mean() == pytest.approx(mean, rel=0.003)
    assert last.days.std() == pytest.approx(spread, rel=0.03)
    # Skewness of the sum is left out: 0.1 of a standard deviation.
    assert last.day(90) == pytest.approx(mean + 1.2816 * spread, abs=0.1 * spread)


def test_while_one_bow_rests_the_bench_is_free_for_the_next():
    past = {"gluing": [Took(7, rest_days=5)] * 3, "tillering": [Took(14)] * 3}
    first, second = ready([["gluing", "tillering"], ["tillering"]], past, **WEEK)
    # Glued on day 1, rests to day 6; meanwhile the other is tillered by day 3; then the first from 6 to 8.
    assert second.day(90) == pytest.approx(3)
    assert first.day(90) == pytest.approx(8)


def test_the_front_of_the_queue_goes_first_when_both_may():
    past = {"tillering": [Took(14)] * 3}
    assert [each.day(50) for each in ready([["tillering"], ["tillering"]], past, **WEEK)] == [2, 4]


def test_a_bow_still_resting_waits_for_its_day():
    past = {"tillering": [Took(14)] * 3}
    (bow,) = ready([["tillering"]], past, **WEEK, resting_days=[10])
    assert bow.day(50) == pytest.approx(12)


def test_a_bow_with_no_stage_left_is_ready_now():
    past = {"tillering": [Took(14)] * 3}
    done, other = ready([[], ["tillering"]], past, **WEEK)
    assert (done.day(90), other.day(90)) == (0, 2)


@settings(derandomize=True, max_examples=40, deadline=None)
@given(
    st.lists(st.lists(st.sampled_from("abc"), max_size=4), min_size=1, max_size=5),
    st.lists(st.tuples(st.floats(0, 30), st.floats(0, 20)), min_size=3, max_size=6),
)
def test_the_bench_is_never_idle_for_nothing_nor_in_two_places(queue, times):
    past = {stage: [Took(*each) for each in times] for stage in "abc"}
    bows = ready(queue, past, hours_a_week=7, times=50, doubt=0)
    hours, rests = np.array(times).T
    stages = sum(len(bow) for bow in queue)
    latest = max(bow.days.max() for bow in bows)
    # All the work and all the rests one after another bound it above, the longest bow alone bounds it below.
    assert latest <= stages * (hours.max() + rests.max()) + 1e-9
    assert latest >= stages * hours.min() - 1e-9
    for bow, stages in zip(bows, queue, strict=True):
        assert bow.days.min() >= len(stages) * (hours + rests).min() - 1e-9


def test_without_rests_the_last_bow_is_ready_when_all_the_work_is_done():
    past = {"a": [Took(3)] * 3, "b": [Took(5)] * 3}
    bows = ready([["a", "b"], ["b"], ["b", "a", "a"]], past, hours_a_week=7, doubt=0)
    assert max(bow.day(90) for bow in bows) == pytest.approx(3 + 5 + 5 + 5 + 3 + 3)


def test_the_same_question_has_the_same_answer():
    past = {"a": [Took(1), Took(4), Took(9)]}
    first, again = (ready([["a", "a"]], past, **WEEK)[0].days for _ in range(2))
    assert np.array_equal(first, again)


def test_dates_and_the_chance_of_keeping_a_promise():
    (bow,) = ready([["a"] * 3], {"a": [Took(7), Took(14), Took(21)]}, **WEEK, times=20000)
    today = date(2024, 2, 27)
    assert bow.on(today, 50) == date(2024, 3, 4)
    # Three stages of 1, 2 or 3 days: 5 days or fewer in 10 of 27.
    assert bow.chance_by(today, date(2024, 3, 3)) == pytest.approx(100 * 10 / 27, abs=1.0)
    assert bow.chance_by(today, date(2024, 2, 1)) == 0
    assert bow.on(today, 50) <= bow.on(today, 90)


def test_where_nothing_is_usual_too_few_past_bows_are_refused_and_it_is_said_for_which_stage():
    with pytest.raises(TooFew) as said:
        ready([["nocks"]], {"nocks": [Took(3)]}, **WEEK)
    assert said.value.given == {"stage": "nocks", "past": 1}


def test_before_the_first_bow_a_stage_is_log_normal_about_the_usual():
    (bow,) = ready([["nocks"]], {}, hours_a_week=49, usual={"nocks": Took(7, rest_days=3)}, times=20000)
    spread = (PACE_DOUBT**2 + STAGE_SPREAD**2) ** 0.5
    for chance in (10, 50, 90):
        # 20 000 plays: a tenth or nine tenths to 0.013 of a standard deviation of the logarithm, times two
        exact = stats.lognorm(spread, scale=4).ppf(chance / 100)
        assert np.log(bow.day(chance) / exact) == pytest.approx(0, abs=0.026)


STAGES = {"roughing": Took(8, 6), "tillering": Took(10, 7), "finishing": Took(5, 7)}


def width(bow):
    """How far the likely day lies beyond the early one, as a logarithm."""
    return np.log(bow.day(90) / bow.day(10))


def test_a_shop_with_no_record_is_told_a_wide_band():
    (bow,) = ready([list(STAGES)], {}, hours_a_week=15, usual=STAGES)
    assert bow.day(90) > 2 * bow.day(50) and bow.day(10) < bow.day(50) / 2


def test_the_doubt_of_the_pace_does_not_average_out_over_a_long_queue():
    short, *_, long = ready([list(STAGES)] * 12, {}, hours_a_week=15, usual=STAGES)
    # what is left over however long the queue: four fifths of a normal spread of the pace alone
    least = 2 * stats.norm.ppf(0.9) * PACE_DOUBT
    assert width(short) > width(long) > 0.93 * least


def test_usual_times_move_toward_the_shops_own():
    slow = {stage: [Took(4 * took.hours, 4 * took.rest_days)] for stage, took in STAGES.items()}
    (usual,) = ready([list(STAGES)], {}, hours_a_week=15, usual=STAGES)
    (one,) = ready([list(STAGES)], slow, hours_a_week=15, usual=STAGES)
    (many,) = ready([list(STAGES)], {s: 30 * took for s, took in slow.items()}, hours_a_week=15, usual=STAGES)
    assert usual.day(50) < one.day(50) < many.day(50)
    # thirty bows outweigh what is usual, which counts as one: to 5 %
    assert many.day(50) == pytest.approx(
        4 * sum(t.hours * 7 / 15 + t.rest_days for t in STAGES.values()), rel=0.05
    )


some_bows = st.lists(st.floats(0.7, 1.4), min_size=1, max_size=3)
queues = st.lists(st.lists(st.sampled_from(list(STAGES)), min_size=1, max_size=4), min_size=1, max_size=4)


@settings(derandomize=True, max_examples=40, deadline=None)
@given(queues, some_bows, st.floats(0.3, 3))
def test_more_bows_of_ones_own_narrow_the_band(queue, paces, pace):
    """The same few bows, made once, four times and sixteen times, by a shop that works about evenly."""
    past = {s: [Took(pace * k * t.hours, pace * k * t.rest_days) for k in paces] for s, t in STAGES.items()}
    known = [
        ready(queue, {s: n * took for s, took in past.items()}, hours_a_week=15, usual=STAGES)
        for n in (0, 1, 4, 16)
    ]
    for wider, narrower in pairwise(known):
        assert all(width(new) < width(old) for old, new in zip(wider, narrower, strict=True))


@settings(derandomize=True, max_examples=40, deadline=None)
@given(queues, st.lists(st.tuples(st.floats(0, 30), st.floats(0, 20)), max_size=5))
def test_the_band_is_never_inverted_and_the_likely_day_comes_after_the_even_one(queue, times):
    past = {stage: [Took(*each) for each in times] for stage in STAGES}
    for bow in ready(queue, past, hours_a_week=15, usual=STAGES, times=400):
        assert 0 <= bow.day(10) <= bow.day(50) <= bow.day(90)
        assert bow.day(90) > bow.day(50) or len(times) > 0


@pytest.mark.parametrize(
    "asked",
    [
        lambda: ready([["a"]], {"a": [Took(1)] * 3}, hours_a_week=0),
        lambda: ready([["a"]], {"a": [Took(-1)] * 3}, hours_a_week=40),
        lambda: ready([["a"]], {"a": [Took(float("nan"))] * 3}, hours_a_week=40),
        lambda: ready([["a"]], {"a": [Took(1)] * 3}, hours_a_week=40, resting_days=[1, 2]),
        lambda: ready([["a"]], {"a": [Took(1)] * 3}, hours_a_week=40, resting_days=[-1]),
        lambda: ready([["a"]], {"a": [Took(1)] * 3}, hours_a_week=40)[0].day(100),
    ],
)
def test_times_that_cannot_be_are_refused(asked):
    with pytest.raises(OutOfRange):
        asked()
