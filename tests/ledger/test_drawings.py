"""What holds for every drawing: readable, named, harmless, within its sheet."""

import math
import re
from datetime import date
from pathlib import Path
from xml.etree import ElementTree

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from workshop.ledger.drawings import (
    Axis,
    BowShape,
    DrawCurve,
    Drawing,
    DryingForecast,
    Face,
    Flaw,
    FlawMap,
    Guide,
    LimbOutline,
    LimbStations,
    LimitOfPull,
    MoistureCurve,
    MoistureReading,
    Place,
    Projection,
    ReadyBand,
    SetHistory,
    SetReading,
    Shape,
    Station,
    Stay,
    Wanted,
    WeighInLine,
    bow_shape,
    draw_curve,
    flaw_map,
    limb_outline,
    moisture_curve,
    set_history,
    sparkline,
)
from workshop.ledger.drawings.paper import Paper
from workshop.ledger.drawings.scales import date_ticks, number_ticks

SVG = "{http://www.w3.org/2000/svg}"
CSS = Path(__file__).parents[2] / "static" / "css" / "drawings.css"
NASTY = '<script>alert("1")</script> & \' é \x07 ' + "long name " * 20


def full(words):
    """One of each drawing with everything in it, `words` in every place that takes words."""
    axis = Axis(words, 2)
    yield moisture_curve(
        MoistureCurve(
            words,
            words,
            (words,) * 3,
            words,
            readings=[
                MoistureReading(date(2024, 1, 5), 31.0, words),
                MoistureReading(date(2024, 9, 5), 18.0, words + "2", note=words),
                MoistureReading(date(2024, 10, 5), 81.0, words, struck=True),
            ],
            stays=[
                Stay(date(2023, 1, 1), date(2024, 8, 1), 16.0, words),
                Stay(date(2024, 8, 1), None, 10.0, words),
            ],
            ready=ReadyBand(8, 10, words),
            forecast=DryingForecast([(date(2024, 12, 1), 12, 15), (date(2025, 6, 1), 10, 12)], words),
            today=date(2024, 12, 1),
            today_label=words,
            struck_label=words,
        )
    )
    yield draw_curve(
        DrawCurve(
            words,
            words,
            (words,) * 3,
            axis,
            Axis(words, 5),
            lines=[
                WeighInLine(words, [(10, 9), (20, 27)], [(8, 0), (20, 27)], struck=[(22, 80)]),
                WeighInLine(words, [(10, 10), (20, 29)], earlier=True),
            ],
            wanted=Wanted(28, 45, words),
            limit=LimitOfPull(48, words),
            projections=[Projection(28, 42, 46, words), Projection(28, 43, 45, words)],
            struck_label=words,
        )
    )
    yield set_history(
        SetHistory(
            words,
            words,
            (words,) * 5,
            axis,
            axis,
            words,
            words,
            words,
            readings=[
                SetReading(words, 0.5, 0.2, 20),
                SetReading(words, None, 0.3, 24, new_zero=True, note=words),
            ],
            guides=[Guide(1, words)],
        )
    )
    stations = [Station(0, 0.5, 1.2), Station(15, 0.7, None), Station(33, 0.2, 0.4)]
    yield limb_outline(
        LimbOutline(
            words,
            words,
            (words,) * 4,
            LimbStations(words, stations),
            LimbStations(words, stations[:2]),
            axis,
            words,
            words,
            words,
            lambda factor: f"{words} {factor}",
            grip=(1, -3),
            grip_label=words,
            flaws=[Place(12, words), Place(-33, words)],
        )
    )
    yield flaw_map(
        FlawMap(
            words,
            words,
            (words,) * 4,
            0,
            72,
            words,
            words,
            axis,
            [Face("back", words)],
            words,
            words,
            words,
            flaws=[
                Flaw(words, 3, 9, "back", -1, True),
                Flaw(words, 200),
                Flaw(words),
                *[Flaw(words, 71, face="back")] * 30,
            ],
        )
    )
    yield bow_shape(
        BowShape(
            words,
            words,
            (words,) * 3,
            words,
            words,
            [Shape(words, [(0, 5), (30, 0), (60, 5)], [(0, 5), (60, 5)])],
        )
    )


def empty(words):
    """One of each drawing with nothing in it yet."""
    axis = Axis(words, 2)
    yield moisture_curve(MoistureCurve(words, "", (words,) * 3, words))
    yield draw_curve(DrawCurve(words, "", (words,) * 3, axis, axis))
    yield set_history(SetHistory(words, "", (words,) * 5, axis, axis, words, words, words))
    yield limb_outline(
        LimbOutline(
            words, "", (words,) * 4, LimbStations(words), LimbStations(words), axis, words, words, words, str
        )
    )
    yield flaw_map(FlawMap(words, "", (words,) * 4, 0, 0, words, words, axis, [], words, words))
    yield bow_shape(BowShape(words, "", (words,) * 3, words, words))


ALL = [*full("seasoning"), *empty("seasoning"), *full(NASTY), *empty(NASTY)]


def parsed(drawing):
    return ElementTree.fromstring(str(drawing.svg if isinstance(drawing, Drawing) else drawing))


def numbers_in(trace):
    return [float(number) for number in re.findall(r"-?[\d.]+", trace)]


@pytest.mark.parametrize("drawing", ALL)
def test_a_drawing_is_named_for_those_who_do_not_see_it(drawing):
    svg = parsed(drawing)
    assert svg.get("role") == "img"
    assert svg[0].tag == SVG + "title" and svg[0].text.strip()


@pytest.mark.parametrize("drawing", ALL)
def test_a_drawing_needs_no_inline_style_no_script_and_no_names(drawing):
    """The security policy drops style attributes, and names would clash when two drawings share a page."""
    for element in parsed(drawing).iter():
        assert element.tag.removeprefix(SVG) in {"svg", "title", "desc", "path", "circle", "text"}
        assert not [
            name for name in list(element.attrib) if name in ("style", "id", "href") or name.startswith("on")
        ]


@pytest.mark.parametrize("drawing", [*ALL, sparkline([3, 2, 1], "falling")])
def test_every_class_in_a_drawing_is_in_the_style_sheet(drawing):
    classes = {name for element in parsed(drawing).iter() for name in (element.get("class") or "").split()}
    assert classes and classes <= set(re.findall(r"\.([a-z]+)", CSS.read_text()))


@pytest.mark.parametrize("drawing", ALL)
def test_text_is_at_least_14_pixels_on_a_phone_of_390(drawing):
    svg = parsed(drawing)
    on_the_page = 390 - 2 * 18  # the sheet keeps a rem clear at either side
    scale = on_the_page / float(svg.get("viewBox").split()[2])
    assert float(svg.get("font-size")) * scale >= 14
    assert not [text for text in svg.iter(SVG + "text") if text.get("font-size")]


@pytest.mark.parametrize("drawing", ALL)
def test_all_that_is_drawn_stays_on_the_sheet(drawing):
    svg = parsed(drawing)
    _, _, width, height = map(float, svg.get("viewBox").split())
    for path in svg.iter(SVG + "path"):
        places = numbers_in(path.get("d"))
        assert all(-1 <= x <= width + 1 for x in places[::2])
        assert all(-1 <= y <= height + 1 for y in places[1::2])
    for text in svg.iter(SVG + "text"):
        x, wide = float(text.get("x")), 15 * 0.56 * len(text.text or "")
        left = x - wide * {"start": 0, "middle": 0.5, "end": 1}[text.get("text-anchor")]
        assert left >= -1 and left + wide <= width + 1, text.text
        assert 0 < float(text.get("y")) <= height


@pytest.mark.parametrize("drawing", [*full(NASTY)])
def test_words_are_escaped_and_control_characters_left_out(drawing):
    assert "<script" not in drawing.svg and "\x07" not in drawing.svg
    assert "&lt;script&gt;" in drawing.svg
    assert "é" in parsed(drawing)[0].text


@pytest.mark.parametrize("drawing", [*full("x"), *empty("x")])
def test_the_table_behind_a_drawing_has_a_cell_under_every_heading(drawing):
    assert all(len(row) == len(drawing.columns) for row in drawing.rows)
    assert all(isinstance(cell, str) for row in drawing.rows for cell in row)


def test_the_full_words_stand_in_the_table_where_the_drawing_cuts_them_short():
    long_name = "low brace with the long string, " * 6
    data = DrawCurve(
        "t", "", ("a", "b", "c"), Axis("draw"), Axis("weight"), [WeighInLine(long_name, [(10, 9)])]
    )
    assert draw_curve(data).rows == (("10", "9", long_name),)


def test_hatching_stays_within_its_rectangle():
    for width, height in ((200, 20), (20, 200), (50, 50), (3, 3), (0, 40)):
        paper = Paper()
        paper.hatch(10, 10, 10 + width, 10 + height)
        for path in parsed(paper.finished("t", "", 300)).iter(SVG + "path"):
            places = numbers_in(path.get("d"))
            assert all(10 <= x <= 10 + width for x in places[::2])
            assert all(10 <= y <= 10 + height for y in places[1::2])


def test_draw_is_counted_by_twos_and_weight_by_fives_or_tens():
    assert [mark for mark, _ in number_ticks([10, 28], Axis("", 2), 11).marks] == list(range(10, 29, 2))
    assert [mark for mark, _ in number_ticks([0, 38], Axis("", 5), 8).marks] == list(range(0, 41, 5))
    assert [mark for mark, _ in number_ticks([0, 62], Axis("", 5), 8).marks] == list(range(0, 71, 10))


believable = st.floats(-1e12, 1e12, allow_nan=False)


@settings(derandomize=True, deadline=None, max_examples=200)
@given(st.lists(believable, min_size=1, max_size=8), st.sampled_from([None, 0.25, 2, 5]), st.integers(3, 12))
def test_an_axis_holds_its_values_and_is_never_crowded(values, step, at_most):
    ticks = number_ticks(values, Axis("", step), at_most)
    slack = 1e-9 * max(map(abs, values)) + 1e-6
    assert ticks.low < ticks.high
    assert ticks.low - slack <= min(values) and max(values) <= ticks.high + slack
    assert 2 <= len(ticks.marks) <= at_most + 2


@settings(derandomize=True, deadline=None, max_examples=100)
@given(st.lists(st.dates(), min_size=1, max_size=5))
def test_dates_of_any_span_give_a_few_dates_along_the_axis(days):
    if min(days) <= date(1, 1, 5) or max(days) >= date(9999, 12, 27):
        return
    ticks = date_ticks(days, date.isoformat)
    assert ticks.low <= min(days).toordinal() <= max(days).toordinal() <= ticks.high
    assert len(ticks.marks) <= 6
    assert all(ticks.low <= place <= ticks.high for place, _ in ticks.marks)


@settings(derandomize=True, deadline=None, max_examples=60)
@given(st.lists(st.tuples(believable, believable), max_size=6))
def test_any_points_can_be_drawn(points):
    svg = parsed(
        draw_curve(DrawCurve("t", "", ("",) * 3, Axis("d", 2), Axis("w", 5), [WeighInLine("", points)]))
    )
    height = float(svg.get("viewBox").split()[3])
    for path in svg.iter(SVG + "path"):
        assert all(
            math.isfinite(place) and -1 <= place <= max(361, height) for place in numbers_in(path.get("d"))
        )


def test_places_where_the_arithmetic_had_no_answer_are_left_out():
    line = WeighInLine("t", [(10, 9)], [(10, 9), (12, math.nan), (math.inf, 3), (14, 17)])
    assert "nan" not in draw_curve(DrawCurve("t", "", ("",) * 3, Axis("d"), Axis("w"), [line])).svg
