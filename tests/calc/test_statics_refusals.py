"""Hard bows and wrong questions: answered rightly, or refused with the reason, never wrong in silence."""

import math

import numpy as np
import pytest

from tests.calc.statics_bows import SI, T1
from workshop.calc.errors import CalcError, Mismatch, OutOfOrder, OutOfRange, TooFew
from workshop.calc.statics import Bending, Bow, Limb, brace, draw, draw_batch, press

STATIONS = np.linspace(0.1, 0.9, 9)
PART = (STATIONS - 0.1) / 0.8


def reflexed(tip_m: float, power: float = 2.0, tip_stiffness: float = 12.0) -> Bow:
    stiffness = 60 + (tip_stiffness - 60) * PART
    return Bow(Limb.measured(STATIONS, stiffness, natural_offset_m=-tip_m * PART**power))


# --- hard, and answered ---


@pytest.mark.parametrize("tip_m", [0.05, 0.10, 0.15, 0.20])
def test_a_deep_reflex_is_braced_and_drawn(tip_m):
    drawn = draw(reflexed(tip_m), np.linspace(0.20, 0.70, 11), brace_height_m=0.19)
    assert drawn.ok.all(), drawn.why
    assert (np.diff(drawn.force_n) > 0).all()


def test_a_deep_reflex_too_low_for_newton_is_reached_from_a_higher_brace():
    """Close above the brace at which this limb would snap through, where the tension climbs steeply."""
    tensions = [brace(reflexed(0.20), brace_height_m=height).tension_n for height in (0.20, 0.18, 0.16)]
    assert np.isfinite(tensions).all()
    assert tensions[0] < tensions[1] < tensions[2]


def test_a_brace_below_the_snap_through_is_refused_and_so_is_its_draw():
    low = brace(reflexed(0.25), brace_height_m=0.05)
    assert not low.ok
    assert low.why == "unbraced"
    assert math.isnan(low.tension_n)
    drawn = draw(reflexed(0.25), [0.3, 0.6], brace_height_m=0.05)
    assert drawn.why == ("unbraced", "unbraced")
    assert np.isnan(drawn.force_n).all()
    assert np.isnan(drawn.upper.back_strain_pct).all()


def test_a_string_past_square_to_the_limb_still_draws():
    """At 42 in T1's string stands beyond a right angle to the nock's limb; stacking, but still a bow."""
    drawn = draw(T1, [38.0, 42.0, 46.0], brace_height_m=6.0)
    assert drawn.ok.all()
    assert math.degrees(drawn.upper.nock_angle_rad[-1]) > 90
    slopes = np.diff(drawn.force_n) / 4
    assert slopes[1] > slopes[0]


def test_a_very_short_bow_says_how_far_it_can_be_drawn():
    short = Bow(Limb.measured([0.05, 0.45], [20.0, 8.0]))
    drawn = draw(short, [0.2, 0.4, 0.6, 0.9, 1.2], brace_height_m=0.12)
    assert drawn.why[:2] == ("", "")
    assert drawn.why[-1] == "beyond"
    assert not drawn.ok[-1]
    assert np.isnan(drawn.force_n[-1])
    assert drawn.draws_m[drawn.ok].max() <= drawn.limit_m < 1.0  # no string reaches twice a limb's length


def test_a_brace_of_next_to_nothing_keeps_the_buckling_load():
    low = brace(SI, brace_height_m=0.002)
    assert low.ok
    assert low.tension_n == pytest.approx(math.pi**2 / 4 * 60 / 0.8**2, rel=1e-4)


def test_stiff_tips_and_a_weak_spot_are_drawn():
    stiffness = np.array([60, 55, 50, 16, 40, 30, 20, 900, 900.0])
    drawn = draw(Bow(Limb.measured(STATIONS, stiffness)), np.linspace(0.2, 0.7, 6), brace_height_m=0.16)
    assert drawn.ok.all(), drawn.why
    weakest = STATIONS[3]
    assert drawn.upper.from_middle_m[np.argmax(drawn.upper.bend_per_m[-1])] == pytest.approx(
        weakest, abs=0.02
    )


def unlike(times_as_long: float, times_as_stiff: float, reflex_m: tuple[float, float] = (0.0, 0.0)) -> Bow:
    """A bow whose upper limb is so many times as long as its lower one, the hand an inch and a half below."""
    part = np.linspace(0, 1, 7)
    upper, lower = (
        Limb.measured(
            0.1 + (tip - 0.1) * part, stiffness * (1 - 0.7 * part), natural_offset_m=-reflex * part**2
        )
        for tip, stiffness, reflex in zip(
            (0.60, 0.60 / times_as_long), (60, 60 * times_as_stiff), reflex_m, strict=True
        )
    )
    return Bow(upper, lower, hand_above_middle_m=-0.038)


@pytest.mark.parametrize("times_as_stiff", [0.5, 1.0, 2.0, 2.5])
@pytest.mark.parametrize("times_as_long", [1.5, 1.8, 2.0, 2.2])
def test_a_limb_twice_as_long_as_the_other_is_braced(times_as_long, times_as_stiff):
    """The bow turns far in the hand. String and line of force still meet: the moments about the hand are even."""
    strung = brace(unlike(times_as_long, times_as_stiff), brace_height_m=0.15)
    assert strung.ok or strung.why == "touch", strung.why
    if strung.ok:
        tips = [
            np.array([pose.x_m[-1], sign * pose.y_m[-1]])
            for pose, sign in ((strung.upper, 1), (strung.lower, -1))
        ]
        chord = tips[0] - tips[1]
        # the string is straight, as long as its tips are apart, and the brace height off the hand
        assert np.hypot(*chord) == pytest.approx(strung.string_m, abs=1e-7)
        off = abs(tips[0][0] * chord[1] - tips[0][1] * chord[0]) / np.hypot(*chord)
        assert off == pytest.approx(0.15, abs=1e-7)


def test_the_way_from_equal_limbs_ends_at_the_same_bow_as_the_straight_way(monkeypatch):
    """Where both ways are open they meet: the road by equal limbs, taken by force, gives the same string."""
    from workshop.calc.statics import rest

    bow = unlike(1.5, 1.5)
    straight = brace(bow, brace_height_m=0.15)
    solve = rest.solve_braced
    calls = []

    def lost_at_first(grid, c, shared, height, string):
        state = solve(grid, c, shared, height, string)
        if not calls:
            state.change[:] = np.inf
        calls.append(1)
        return state

    monkeypatch.setattr(rest, "solve_braced", lost_at_first)
    monkeypatch.setattr(rest, "_brace_from_above", lambda *_: False)
    roundabout = brace(bow, brace_height_m=0.15)
    assert len(calls) > 3
    assert roundabout.string_m == pytest.approx(straight.string_m, rel=1e-9)
    assert roundabout.tension_n == pytest.approx(straight.tension_n, rel=1e-6)


def test_limbs_too_unlike_to_be_held_are_called_so():
    """Past a certain unlikeness the branch of braced shapes turns back: there is none to be found."""
    part = np.linspace(0, 1, 7)
    upper = Limb.measured(0.1 + 0.41 * part, 60 * (1 - 0.63 * part), natural_offset_m=-0.1 * part**2)
    lower = Limb.measured(0.1 + 0.24 * part, 120 * (1 - 0.4 * part), natural_offset_m=-0.03 * part**2)
    strung = brace(Bow(upper, lower, -0.02), brace_height_m=0.192)
    assert (strung.ok, strung.why) == (False, "unlike")


# --- hard, and refused ---


def test_a_string_that_would_cross_the_limb_is_refused():
    """Tips recurved so far that the braced string lies on them: contact is not in this model."""
    offset = 0.05 * PART - 0.30 * np.maximum(PART - 0.7, 0)
    recurved = Bow(Limb.measured(STATIONS, 60 - 10 * PART, natural_offset_m=offset))
    strung = brace(recurved, brace_height_m=0.10)
    assert not strung.ok
    assert strung.why == "touch"
    drawn = draw(recurved, [0.2, 0.3], brace_height_m=0.10)
    assert set(drawn.why) == {"touch"}
    assert math.isnan(drawn.holds_to_m)
    assert drawn.failure == ("touch_braced", 0.0)


def test_a_higher_brace_lifts_the_string_off_the_limb():
    offset = 0.05 * PART - 0.20 * np.maximum(PART - 0.7, 0)
    recurved = Bow(Limb.measured(STATIONS, 60 - 10 * PART, natural_offset_m=offset))
    low, high = (draw(recurved, [0.2, 0.4, 0.6], brace_height_m=height) for height in (0.10, 0.16))
    assert low.failure == ("touch_braced", 0.0) and high.failure is None


def test_how_far_the_answer_holds_is_said():
    short = draw(Bow(Limb.measured([0.05, 0.45], [20.0, 8.0])), [0.2, 0.4, 0.3, 1.2], brace_height_m=0.12)
    assert short.why[-1] == "beyond"
    assert short.holds_to_m == pytest.approx(0.4)
    assert short.failure == ("beyond", short.limit_m) and 0.4 < short.limit_m < 1.2
    assert draw(SI, [0.3, 0.6], brace_height_m=0.15).holds_to_m == pytest.approx(0.6)


def waves(per_m: float, decades: float) -> Bow:
    """A stiffness that swings evenly up and down along the limb, by so many powers of ten each way."""

    def bending(s):
        return Bending(60 * 10.0 ** (decades * np.sin(per_m * s)), np.zeros_like(s), np.zeros_like(s))

    return Bow(Limb.smooth([0.1, 0.9], bending))


def test_a_section_too_wild_for_the_solver_is_called_coarse():
    drawn = draw(waves(60, 2.5), [0.3, 0.6], brace_height_m=0.15)
    assert drawn.why == ("coarse", "coarse")
    assert np.isnan(drawn.force_n).all()


def test_a_wavy_section_between_two_stations_is_not_overlooked():
    """Forty waves on a limb, a hundredfold each: averaged over a wave, 1 / EI is I0(ln 10) times the even limb's."""
    fine = draw(waves(300, 1.0), [0.3, 0.6], brace_height_m=0.15)
    assert fine.ok.all()
    even = draw(Bow(Limb.measured([0.1, 0.9], [60.0, 60.0])), [0.3, 0.6], brace_height_m=0.15)
    assert fine.force_n * np.i0(np.log(10)) == pytest.approx(even.force_n, rel=0.05)  # not whole waves


# --- the slack long string ---


def test_a_long_string_gives_nothing_until_it_is_taken_up():
    """On the straight SI bow a string 1.84 m long comes taut at the height of a right-angled triangle."""
    taut = math.sqrt(0.92**2 - 0.90**2)
    drawn = draw(SI, [0.05, 0.15, taut + 0.01, 0.3, 0.5], long_string_m=1.84)
    assert drawn.start_m == pytest.approx(taut, abs=1e-9)
    assert drawn.why == ("slack", "slack", "", "", "")
    assert drawn.ok.all()
    assert (drawn.force_n[:2] == 0).all()
    assert (np.diff(drawn.force_n[1:]) > 0).all()
    assert drawn.upper.x_m[0] == pytest.approx(np.zeros_like(drawn.upper.x_m[0]), abs=1e-9)
    assert drawn.brace is None


def test_the_long_string_reads_lighter_than_the_braced_bow_at_the_same_draw():
    """Its weight reading is not draw weight: the string's length changes it (common practice, no source)."""
    braced = draw(SI, [0.5], brace_height_m=0.15).force_n[0]
    long = draw(SI, [0.5], long_string_m=1.84).force_n[0]
    assert long < braced


def test_the_energy_on_the_long_string_is_the_work_since_it_came_taut():
    at, weight = np.polynomial.legendre.leggauss(24)
    start = draw(SI, [0.5], long_string_m=1.84).start_m
    points = start + (0.6 - start) * (at + 1) / 2
    drawn = draw(SI, [*points, 0.6], long_string_m=1.84)
    assert drawn.energy_j[-1] == pytest.approx(weight @ drawn.force_n[:-1] * (0.6 - start) / 2, rel=1e-6)


def test_unlike_limbs_hang_slack_as_well():
    bow = Bow(SI.upper, Limb.measured([0.1, 0.87], [70.0, 50.0]), -0.02, 0.01)
    drawn = draw(bow, [0.1, 0.3, 0.5], long_string_m=1.83)
    assert drawn.ok.all()
    assert drawn.why[0] == "slack"
    assert drawn.force_n[1] > 0


def test_a_long_string_that_is_too_short_would_brace_the_bow():
    with pytest.raises(Mismatch, match="long_string"):
        draw(SI, [0.5], long_string_m=1.79)


# --- wrong questions ---

STRAIGHT = Limb.measured([0.1, 0.9], [60.0, 20.0])
FOLLOWED = Bow(Limb.measured(STATIONS, 60 - 40 * PART, natural_offset_m=0.15 * PART**2))


@pytest.mark.parametrize(
    ("ask", "error", "code"),
    [
        (lambda: Limb.measured([0.1], [60.0]), TooFew, "stations"),
        (lambda: Limb.measured([0.1, 0.5, 0.4], [60.0, 50.0, 40.0]), OutOfOrder, "stations"),
        (lambda: Limb.measured([0.1, 0.5, 0.5], [60.0, 50.0, 40.0]), OutOfOrder, "stations"),
        (lambda: Limb.measured([-0.1, 0.5], [60.0, 50.0]), OutOfRange, "stations"),
        (lambda: Limb.measured([0.1, math.nan], [60.0, 50.0]), OutOfOrder, "stations"),
        (lambda: Limb.measured([0.1, 0.5], [60.0, 0.0]), OutOfRange, "stiffness_nm2"),
        (lambda: Limb.measured([0.1, 0.5], [60.0, -1.0]), OutOfRange, "stiffness_nm2"),
        (lambda: Limb.measured([0.1, 0.5], [60.0, 50.0, 40.0]), Mismatch, "stiffness_nm2"),
        (lambda: Limb.measured([0.1, 0.5], [60.0, 50.0], to_back_m=-0.01), OutOfRange, "to_back_m"),
        (lambda: STRAIGHT.stiffened(0.0), OutOfRange, "stiffness"),
        (lambda: Limb.dimensioned([0.1, 0.5], [0.03, 0.0], 0.01, None), OutOfRange, "width_m"),
        (lambda: Limb.dimensioned([0.1, 0.5], 0.03, [0.01, -0.01], None), OutOfRange, "depth_m"),
        (
            lambda: Limb.measured([0.1, 0.5], 60.0, natural_offset_m=[0.0, 0.5]),
            OutOfRange,
            "natural_offset_m",
        ),
        (
            lambda: Limb.measured([0, 0.5], 60.0, natural_offset_m=[0, 0.1], natural_curvature_per_m=0.1),
            Mismatch,
            "natural",
        ),
        (lambda: brace(SI), Mismatch, "stringing"),
        (lambda: brace(SI, brace_height_m=0.15, string_length_m=1.7), Mismatch, "stringing"),
        (lambda: brace(SI, brace_height_m=0.0), OutOfRange, "stringing"),
        (lambda: brace(SI, brace_height_m=-0.1), OutOfRange, "stringing"),
        (lambda: brace(SI, brace_height_m=math.nan), OutOfRange, "stringing"),
        (lambda: brace(SI, brace_height_m=0.85), OutOfRange, "brace_height"),
        (lambda: brace(FOLLOWED, brace_height_m=0.14), OutOfRange, "brace_height"),
        (lambda: draw(SI, [], brace_height_m=0.15), TooFew, "draws"),
        (lambda: draw(SI, [0.14], brace_height_m=0.15), OutOfRange, "draw"),
        (lambda: draw(SI, [math.inf], brace_height_m=0.15), OutOfRange, "draws"),
        (lambda: draw(SI, [0.0], long_string_m=1.84), OutOfRange, "draw"),
        (lambda: draw_batch([], [0.3], brace_height_m=0.15), TooFew, "bows"),
        (lambda: draw_batch([SI, T1], [[0.3]] * 3, brace_height_m=0.15), Mismatch, "draws"),
        (lambda: draw_batch([SI, T1], [0.3], brace_height_m=[0.15] * 3), Mismatch, "stringing"),
        (lambda: brace(SI, brace_height_m=0.15).tiller_m(0.05), OutOfRange, "tiller"),
    ],
)
def test_a_question_that_cannot_be_is_refused_by_name(ask, error, code):
    with pytest.raises(error) as refusal:
        ask()
    assert refusal.value.code == code
    assert refusal.value.allowed


def test_a_string_longer_than_the_bow_braces_nothing():
    slack = brace(SI, string_length_m=1.9)
    assert not slack.ok
    assert slack.why == "unbraced"


def test_without_fibre_distances_there_is_no_strain_rather_than_none():
    drawn = draw(SI, [0.5], brace_height_m=0.15)
    assert np.isnan(drawn.upper.back_strain_pct).all()
    with pytest.raises(CalcError, match="strain"):
        drawn.most_strained()


def test_no_strain_is_named_where_nothing_was_solved():
    drawn = draw(reflexed(0.25), [0.3], brace_height_m=0.05)
    with pytest.raises(CalcError):
        drawn.most_strained()


def test_a_push_with_no_shape_is_refused():
    with pytest.raises(OutOfRange, match="force"):
        press(STRAIGHT, across_n=math.nan)
