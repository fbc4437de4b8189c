"""That limbs, flaws and shapes lie where they were measured."""

import math

import pytest

from workshop.ledger.drawings import (
    Axis,
    BowShape,
    Face,
    Flaw,
    FlawMap,
    LimbOutline,
    LimbStations,
    Place,
    Shape,
    Station,
    bow_shape,
    flaw_map,
    limb_outline,
    sparkline,
)

from .sheet import Sheet, near


def limbs(a, b=(), **given):
    words = ("plan", "profile", "middle mark", lambda factor: f"{factor} times")
    data = LimbOutline(
        "t",
        "",
        ("",) * 4,
        LimbStations("limb A", a),
        LimbStations("limb B", b),
        Axis("in", 6),
        *words,
        **given,
    )
    return Sheet(limb_outline(data).svg), limb_outline(data)


def test_lengths_are_to_scale_and_the_stretch_across_is_the_one_it_says():
    stations = [Station(0, 0.6, 0.9), Station(30, 0.2, 0.4)]
    sheet, _ = limbs(stations, stations)
    factor = int(next(words for words in sheet.words if words.endswith(" times")).split()[0])
    unit = (360 - 24) / 60
    plan, profile = sheet.traces("ink", stroke_width="1.8")
    assert max(x for x, _ in plan) - min(x for x, _ in plan) == near(60 * unit)
    assert max(y for _, y in plan) - min(y for _, y in plan) == near(2 * 0.6 * unit * factor)
    assert max(y for _, y in profile) - min(y for _, y in profile) == near(0.9 * unit * factor)


def test_limb_a_is_at_the_left_and_a_shorter_limb_is_drawn_shorter():
    sheet, _ = limbs([Station(6, 0.6), Station(34, 0.2)], [Station(6, 0.6), Station(30, 0.2)])
    assert sheet.text("limb A")[0] < sheet.text("limb B")[0]
    plan = sheet.traces("ink", stroke_width="1.8")[0]
    assert 180 - min(x for x, _ in plan) > max(x for x, _ in plan) - 180


def test_a_flaw_on_limb_b_has_its_mark_to_the_right_of_the_middle_and_its_letter_in_the_key():
    sheet, _ = limbs([Station(34, 0.2)], flaws=[Place(-17, "pin knot")])
    diamonds = [trace for trace in sheet.traces("accent") if len(trace) == 4]
    assert sum(x for x, _ in diamonds[0]) / 4 == near(180 + 17 * (360 - 24) / 68)
    assert {"a", "pin knot"} <= set(sheet.words)


def test_the_table_gives_whole_widths():
    assert limbs([Station(6, 0.6, 0.5)])[1].rows == (("limb A", "6", "1.2", "0.5"),)


def flaws(*found):
    axis = Axis("in from the butt", 12)
    faces = [Face("back", "back"), Face("belly", "belly")]
    words = ("place not written down", "face not written down", "watched")
    data = FlawMap("t", "", ("",) * 4, 0, 72, "butt", "top", axis, faces, *words, found)
    return Sheet(flaw_map(data).svg), flaw_map(data)


def test_a_flaw_lies_over_its_place_on_the_strip_of_its_face():
    sheet, _ = flaws(Flaw("knot", 36, face="belly"))
    diamond = next(trace for trace in sheet.traces("ink") if len(trace) == 4 and trace[0][0] == trace[2][0])
    assert diamond[0][0] == near(sheet.text("36")[0])
    assert diamond[0][1] > sheet.text("belly")[1] > sheet.text("back")[1]


def test_a_flaw_whose_place_or_face_nobody_wrote_down_says_so():
    sheet, drawing = flaws(Flaw("shake"), Flaw("ring cut", 20))
    assert "shake, place not written down" in sheet.words
    assert "face not written down" in sheet.words
    assert drawing.rows == (
        ("a", "shake", "face not written down", "place not written down"),
        ("b", "ring cut", "face not written down", "20"),
    )


def test_a_watched_flaw_is_ringed_and_says_that_it_is_watched():
    sheet, _ = flaws(Flaw("drying check", 3, 9, "back", watched=True))
    assert "drying check, watched" in sheet.words
    assert len(sheet.circles(hollow=True)) == 2, "on the strip and in the key"


def test_letters_of_neighbouring_flaws_do_not_lie_on_each_other():
    sheet, _ = flaws(*(Flaw("pin knot", 71.5, face="back") for _ in range(40)))
    letters = [(x, y) for words, x, y in sheet.texts if len(words) <= 2 and words.isalpha() and x > 45]
    below = sorted(letters)
    assert all(
        abs(a[0] - b[0]) > 8 or abs(a[1] - b[1]) > 15 for i, a in enumerate(below) for b in below[i + 1 :]
    )


def test_a_drawn_bow_keeps_its_proportions():
    arc = [(30 * math.sin(t / 10), 30 * (1 - math.cos(t / 10))) for t in range(-15, 16)]
    sheet = Sheet(bow_shape(BowShape("t", "", ("",) * 3, "A", "B", [Shape("drawn", arc)])).svg)
    trace = sheet.traces("faint", stroke_width="2.2")[0]
    wide = max(x for x, _ in trace) - min(x for x, _ in trace)
    high = max(y for _, y in trace) - min(y for _, y in trace)
    true_wide, true_high = 60 * math.sin(1.5), 30 * (1 - math.cos(1.5))
    assert high / wide == pytest.approx(true_high / true_wide, rel=2e-3)  # a tenth of a unit in 165


def test_a_sparkline_rises_and_falls_with_its_values_and_says_them_in_words():
    sheet = Sheet(sparkline([12, 8, 10], "12, 8, 10 %"))
    first, lowest, last = sheet.traces("ink")[0]
    assert first[1] < last[1] < lowest[1] and first[0] < lowest[0] < last[0]
    assert "<title>12, 8, 10 %</title>" in sparkline([12, 8, 10], "12, 8, 10 %")


@pytest.mark.parametrize("values", [[], [12], [12, 12, 12], [math.nan, 3]])
def test_a_sparkline_of_few_or_equal_values_is_drawn_in_the_middle(values):
    sheet = Sheet(sparkline(values, "steady"))
    assert all(y == 12 for trace in sheet.traces("ink") for _, y in trace)
