"""Set is follow less the last zero, seen against the furthest draw. The sizes are invented."""

import datetime as dt

import pytest

from workshop.bows.models import SetReading, WorkDone
from workshop.bows.sets import Drawn, set_now, set_points, zero_is_due

UTC = dt.UTC
MM = 0.001


def at(day, hour=12):
    return {
        "happened_on": dt.date(2026, 3, day),
        "happened_to": "d",
        "entered_at": dt.datetime(2026, 3, day, hour, tzinfo=UTC),
        "pk": day * 100 + hour,
    }


def read(day, follow_mm, limb="both", hour=12, **more):
    return SetReading(limb=limb, follow_m=follow_mm * MM, **at(day, hour), **more)


def steamed(day, limb="both"):
    return WorkDone(deed="steamed", limb=limb, new_zero=True, **at(day))


def drawn(day, draw_m):
    when = at(day, 10)
    return Drawn(when["happened_on"], when["entered_at"], draw_m)


def sets_mm(points):
    return [None if point.set_m is None else round(point.set_m / MM, 6) for point in points]


def test_without_a_zero_there_is_follow_but_no_set():
    assert sets_mm(set_points([read(1, 10)], [], [])) == [None]


def test_a_bow_that_began_with_reflex_has_lost_that_too():
    assert sets_mm(set_points([read(1, -8, is_zero=True), read(4, 12)], [], [])) == [0, 20]


def test_each_limb_counts_from_its_own_zero():
    readings = [
        read(1, -4, "A", 8, is_zero=True),
        read(1, 2, "B", 9, is_zero=True),
        read(5, 6, "A", 8),
        read(5, 6, "B", 9),
    ]
    assert sets_mm(set_points(readings, [], [])) == [0, 0, 10, 4]


def test_a_figure_for_both_counts_from_the_mean_of_the_limbs_zeros():
    readings = [read(1, -4, "A", 8, is_zero=True), read(1, 2, "B", 9, is_zero=True), read(5, 9)]
    assert sets_mm(set_points(readings, [], []))[-1] == 10


def test_steaming_makes_a_new_zero_due_and_until_it_is_read_there_is_no_set():
    readings = [read(1, 0, is_zero=True), read(3, 10), read(6, 2)]
    assert sets_mm(set_points(readings, [steamed(5)], [])) == [0, 10, None]
    assert zero_is_due(readings, [steamed(5)])
    readings.append(read(7, 2, is_zero=True))
    readings.append(read(9, 5))
    assert sets_mm(set_points(readings, [steamed(5)], []))[-1] == 3
    assert not zero_is_due(readings, [steamed(5)])


def test_steaming_one_limb_leaves_the_others_zero():
    readings = [read(1, 0, is_zero=True), read(6, 4, "A"), read(6, 4, "B", 13)]
    assert sets_mm(set_points(readings, [steamed(5, "A")], [])) == [0, None, 4]


def test_the_furthest_draw_is_the_one_seen_until_then():
    points = set_points(
        [read(2, 0, is_zero=True), read(4, 5), read(8, 9)], [], [drawn(3, 0.5), drawn(6, 0.66), drawn(7, 0.6)]
    )
    assert [point.furthest_m for point in points] == [None, 0.5, 0.66]


def test_a_reading_entered_late_stands_on_the_day_it_was_made():
    late = SetReading(limb="both", follow_m=5 * MM, **{**at(9), "happened_on": dt.date(2026, 3, 2)})
    points = set_points([read(1, 0, is_zero=True), read(4, 8), late], [], [])
    assert sets_mm(points) == [0, 5, 8]


def test_the_set_now_is_that_of_both_limbs_read_on_the_last_day_the_same_way():
    readings = [
        read(1, 0, is_zero=True),
        read(4, 12, "A", 8),
        read(4, 9, "B", 9),
        read(5, 7, "A", 8, rested=True),
        read(5, 6, "B", 9, rested=True),
    ]
    now = set_now(set_points(readings, [], []))
    assert now.greatest_m == pytest.approx(7 * MM)
    assert {point.reading.limb for point in now.points} == {"A", "B"}


def test_of_a_bow_never_read_there_is_nothing_to_say():
    assert set_now([]) is None
    assert zero_is_due([], [])
