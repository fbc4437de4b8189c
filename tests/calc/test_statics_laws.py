"""Laws the statics must keep whatever the bow: energy, moments, scale, mirror images, and one answer two ways."""

import subprocess
import sys
from dataclasses import replace

import numpy as np
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from tests.calc.statics_bows import SI, T1, random_bow
from workshop.calc.statics import Bow, Limb, brace, draw, draw_batch

BRACE_M, FULL_M = 0.16, 0.66
seeds = st.integers(0, 10_000)
few = settings(derandomize=True, deadline=None, max_examples=25)


def bow_of(seed: int, *, unlike: bool) -> Bow:
    return random_bow(np.random.default_rng(seed), unlike=unlike)


@few
@given(seeds, st.booleans())
def test_the_energy_stored_is_the_work_of_the_draw(seed, unlike):
    """Gauss quadrature of the force over the draw, to 1e-6."""
    bow = bow_of(seed, unlike=unlike)
    begin = np.hypot(BRACE_M, bow.nocking_above_hand_m)
    at, weight = np.polynomial.legendre.leggauss(24)
    points = begin + (FULL_M - begin) * (at + 1) / 2
    drawn = draw(bow, [*points, FULL_M], brace_height_m=BRACE_M)
    assert drawn.ok.all()
    work = weight @ drawn.force_n[:-1] * (FULL_M - begin) / 2
    # The energy is exact for the sixteen-term shape, the force for its own: they part by the residual squared.
    assert drawn.energy_j[-1] == pytest.approx(work, rel=1e-6)


@few
@given(seeds)
def test_the_moment_at_the_grip_is_the_string_s_pull_times_its_distance(seed):
    bow = bow_of(seed, unlike=False)
    drawn = draw(bow, np.linspace(0.2, FULL_M, 5), brace_height_m=BRACE_M)
    at_root = drawn.brace.upper
    root_x, root_y = at_root.x_m[0], at_root.y_m[0]
    assert at_root.moment_nm[0] == pytest.approx(drawn.brace.tension_n * (BRACE_M - root_x), rel=1e-9)
    lean = drawn.upper.string_lean_rad
    by_hand = drawn.tension_n * np.cos(lean) * (drawn.draws_m - root_x) - drawn.force_n / 2 * root_y
    assert drawn.upper.moment_nm[:, 0] == pytest.approx(by_hand, rel=1e-9)


@few
@given(seeds)
def test_both_limbs_pull_in_balance_about_the_hand(seed):
    bow = bow_of(seed, unlike=True)
    drawn = draw(bow, np.linspace(0.2, FULL_M, 5), brace_height_m=BRACE_M)
    assert drawn.ok.all()
    moments = []
    for pose in (drawn.upper, drawn.lower):
        x, y = pose.nock_m.T
        fx, fy = pose.tension_n * np.sin(pose.string_lean_rad), -pose.tension_n * np.cos(pose.string_lean_rad)
        moments.append(fx * y - fy * x)
    assert moments[0] == pytest.approx(moments[1], rel=1e-8)


@few
@given(seeds, st.booleans(), st.floats(0.5, 2.0))
def test_a_stiffer_timber_draws_heavier_in_proportion(seed, unlike, factor):
    bow = bow_of(seed, unlike=unlike)
    stiff = replace(bow, upper=bow.upper.stiffened(factor), lower=bow.lower and bow.lower.stiffened(factor))
    draws = [0.3, FULL_M]
    plain, heavy = (draw(b, draws, brace_height_m=BRACE_M) for b in (bow, stiff))
    assert heavy.force_n == pytest.approx(factor * plain.force_n, rel=1e-9)
    assert heavy.upper.x_m == pytest.approx(plain.upper.x_m, abs=1e-9)


@few
@given(seeds, st.booleans(), st.floats(0.5, 3.0))
def test_a_bow_k_times_as_large_in_every_way_draws_k_squared_as_heavy(seed, unlike, k):
    """The same timber: stiffness grows by k^4, strains stay."""
    bow = bow_of(seed, unlike=unlike)

    def grown(limb: Limb) -> Limb:
        def bending(s):
            made = limb.bending(s / k)
            return type(made)(k**4 * made.stiffness_nm2, k * made.to_back_m, k * made.to_belly_m)

        return Limb(limb.stations_m * k, bending, lambda s: limb.natural_angle(s / k), limb.root_offset_m * k)

    large = Bow(
        grown(bow.upper),
        bow.lower and grown(bow.lower),
        bow.hand_above_middle_m * k,
        bow.nocking_above_hand_m * k,
    )
    small_drawn = draw(bow, [0.3, FULL_M], brace_height_m=BRACE_M)
    large_drawn = draw(large, [0.3 * k, FULL_M * k], brace_height_m=BRACE_M * k)
    assert large_drawn.force_n == pytest.approx(k**2 * small_drawn.force_n, rel=1e-9)
    assert large_drawn.energy_j == pytest.approx(k**3 * small_drawn.energy_j, rel=1e-9)
    assert large_drawn.upper.back_strain_pct == pytest.approx(small_drawn.upper.back_strain_pct, abs=1e-9)


@few
@given(seeds)
def test_a_bow_held_upside_down_turns_the_other_way(seed):
    bow = bow_of(seed, unlike=True)
    over = Bow(bow.lower, bow.upper, -bow.hand_above_middle_m, -bow.nocking_above_hand_m)
    up, down = (draw(b, [0.3, FULL_M], brace_height_m=BRACE_M) for b in (bow, over))
    assert up.force_n == pytest.approx(down.force_n, rel=1e-7)
    assert up.turn_rad == pytest.approx(-down.turn_rad, abs=1e-7)
    assert up.arrow_nock_m == pytest.approx(down.arrow_nock_m * [1, -1], abs=1e-7)
    assert up.nock_travel_m == pytest.approx(-down.nock_travel_m, abs=1e-7)
    assert up.upper.nock_m == pytest.approx(down.lower.nock_m, abs=1e-7)


@few
@given(seeds)
def test_two_equal_limbs_are_the_symmetric_bow(seed):
    bow = bow_of(seed, unlike=False)
    twin = Bow(bow.upper, replace(bow.upper))
    assert bow.mirrored
    assert not twin.mirrored
    one, two = (draw(b, [0.3, FULL_M], brace_height_m=BRACE_M) for b in (bow, twin))
    assert two.force_n == pytest.approx(one.force_n, rel=1e-9)
    assert two.turn_rad == pytest.approx([0, 0], abs=1e-9)
    assert two.brace.tiller_m(0.3)[0] == pytest.approx(one.brace.tiller_m(0.3)[1], abs=1e-9)


@few
@given(seeds, st.booleans())
def test_the_string_found_for_a_brace_height_gives_that_brace_height(seed, unlike):
    bow = bow_of(seed, unlike=unlike)
    by_height = brace(bow, brace_height_m=BRACE_M)
    by_string = brace(bow, string_length_m=by_height.string_m)
    assert by_string.ok
    assert by_string.brace_height_m == pytest.approx(BRACE_M, abs=1e-8)
    assert by_string.tension_n == pytest.approx(by_height.tension_n, rel=1e-7)


def test_a_batch_of_every_kind_answers_as_each_bow_alone():
    bows = [bow_of(seed, unlike=bool(seed % 2)) for seed in range(12)]
    draws = np.linspace(0.2, FULL_M, 7)
    together = draw_batch(bows, draws, brace_height_m=BRACE_M)
    for bow, one in zip(bows, together, strict=True):
        alone = draw(bow, draws, brace_height_m=BRACE_M)
        assert one.why == alone.why
        assert one.force_n == pytest.approx(alone.force_n, rel=1e-9)
        assert one.lower.belly_strain_pct == pytest.approx(alone.lower.belly_strain_pct, abs=1e-9)


def test_the_distance_to_the_string_is_what_a_rule_would_read():
    """Braced to 6 in, the string stands 6 in from the grip and closes in towards the nocks."""
    strung = brace(T1, brace_height_m=6.0)
    by_rule = 6.0 - strung.upper.x_m
    assert strung.upper.to_string_m == pytest.approx(by_rule, abs=1e-9)
    upper, lower = strung.tiller_m(10.0)
    assert upper == pytest.approx(
        np.interp(10.0, strung.upper.from_middle_m, by_rule), abs=5e-3
    )  # a straight line between points
    assert upper == lower


def test_a_stiffer_lower_limb_gives_a_positive_tiller():
    stations = [0.1, 0.9]
    bow = Bow(Limb.measured(stations, [60.0, 20.0]), Limb.measured(stations, [72.0, 24.0]))
    upper, lower = brace(bow, brace_height_m=0.16).tiller_m(0.25)
    assert 0.001 < upper - lower < 0.02


def test_the_stronger_limb_gives_way_towards_the_archer_and_the_weaker_bends_more():
    """As on the tillering tree: the bow rocks in its cradle until both limbs pull alike about the hand."""
    weak, strong = (
        Limb.measured([0.1, 0.9], [55.0 * more, 20.0 * more], to_back_m=0.007, to_belly_m=0.007)
        for more in (1.0, 1.25)
    )
    drawn = draw(Bow(weak, strong), [0.3, 0.5, 0.7], brace_height_m=0.16)
    assert (drawn.turn_rad < 0).all()
    assert (np.diff(drawn.turn_rad) < 0).all()
    assert (drawn.upper.nock_m[:, 0] > drawn.lower.nock_m[:, 0]).all()
    assert drawn.upper.most_strained()[0] > drawn.lower.most_strained()[0]
    assert drawn.most_strained()[1] == "upper"


def test_the_statics_need_no_scipy():
    """It is slow to load, so the hot path is numpy alone."""
    asked = "import sys, workshop.calc.statics, workshop.calc.section; print('scipy' in sys.modules)"
    said = subprocess.run([sys.executable, "-c", asked], capture_output=True, text=True, check=True)
    assert said.stdout.strip() == "False"


def test_the_draw_curve_starts_at_nothing_and_rises():
    drawn = draw(SI, np.linspace(0.15, 0.7, 12), brace_height_m=0.15)
    assert drawn.force_n[0] == 0
    assert drawn.why[0] == "braced"
    assert (np.diff(drawn.force_n) > 0).all()
    assert drawn.start_m == pytest.approx(0.15)
