"""That a curve shows the values it was given: read off against its own axes."""

from datetime import date

from workshop.ledger.drawings import (
    Axis,
    DrawCurve,
    DryingForecast,
    LimitOfPull,
    MoistureCurve,
    MoistureReading,
    Projection,
    ReadyBand,
    SetHistory,
    SetReading,
    Stay,
    Wanted,
    WeighInLine,
    draw_curve,
    moisture_curve,
    set_history,
)

from .sheet import Sheet, level, near


def curve(**given):
    axes = {"draw_axis": Axis("draw, in", 2), "weight_axis": Axis("weight, lb", 5)}
    return Sheet(draw_curve(DrawCurve("t", "", ("Draw", "Weight", "Which"), **axes, **given)).svg)


def test_a_weighed_point_stands_over_its_draw_and_level_with_its_weight():
    sheet = curve(lines=[WeighInLine("today", [(12, 10), (22, 30), (28, 45)])])
    marks = sheet.circles(hollow=False)
    assert (sheet.text("22")[0], level(sheet, "30")) == (near(marks[1][0]), near(marks[1][1]))
    assert sheet.traces("ink", stroke_width="2")[0] == [near(mark) for mark in marks[:3]]


def test_points_typed_in_any_order_are_joined_by_draw():
    sheet = curve(lines=[WeighInLine("today", [(20, 30), (10, 10)])])
    trace = sheet.traces("ink", stroke_width="2")[0]
    assert trace == sorted(trace)


def test_the_last_pass_is_grey_and_marked_by_rings():
    sheet = curve(
        lines=[WeighInLine("now", [(10, 10)]), WeighInLine("last", [(10, 12), (12, 15)], earlier=True)]
    )
    rings = sheet.circles(hollow=True)
    assert len(rings) == 3, "two points and the sample in the key"
    assert [near(rings[0]), near(rings[1])] in sheet.traces("faint")
    assert {"now", "last"} <= set(sheet.words)


def test_a_struck_point_is_crossed_out_and_joined_to_nothing():
    sheet = curve(
        lines=[WeighInLine("now", [(10, 10), (14, 18)], struck=[(12, 41)])], struck_label="struck out"
    )
    assert len(sheet.traces("ink", stroke_width="2")[0]) == 2
    crosses = [trace for trace in sheet.traces("faint") if len(trace) == 4]
    assert len(crosses) == 2, "the entry and the sample in the key"
    assert "struck out" in sheet.words


def test_the_wanted_weight_is_a_cross_hair_with_its_words():
    sheet = curve(lines=[WeighInLine("now", [(10, 10)])], wanted=Wanted(28, 40, "wanted 40 lb at 28 in"))
    (aim,) = sheet.circles(hollow=True, radius=6)
    assert aim == (near(sheet.text("28")[0]), near(level(sheet, "40")))
    assert "wanted 40 lb at 28 in" in sheet.words


def test_the_words_of_limit_and_wanted_weight_never_lie_on_each_other():
    for wanted, limit in ((45, 45.5), (45, 49), (50, 45)):
        sheet = curve(wanted=Wanted(28, wanted, "wanted"), limit=LimitOfPull(limit, "limit"))
        assert abs(sheet.text("wanted")[1] - sheet.text("limit")[1]) >= 15
        assert min(sheet.text("wanted")[1], sheet.text("limit")[1]) > sheet.text("weight, lb")[1] + 10


def test_an_expectation_is_drawn_as_a_range_and_listed_as_one():
    sheet = curve(
        projections=[Projection(28, 40, 50, "by the last slope")], lines=[WeighInLine("n", [(10, 10)])]
    )
    upright = next(t for t in sheet.traces("accent") if len(t) == 2 and t[0][0] == t[1][0])
    assert [y for _, y in upright] == [near(level(sheet, "40")), near(level(sheet, "50"))]
    data = DrawCurve("t", "", ("",) * 3, Axis("d"), Axis("w"), projections=[Projection(28, 40, 50, "rule")])
    assert draw_curve(data).rows == (("28", "40–50", "rule"),)


def moisture(**given):
    data = MoistureCurve("t", "", ("Day", "Moisture", "How"), "moisture, %", **given)
    return Sheet(moisture_curve(data).svg)


def test_drier_is_lower_and_later_is_to_the_right():
    readings = [MoistureReading(date(2025, 1, 1), 20), MoistureReading(date(2024, 1, 1), 30)]
    first, last = moisture(readings=readings).circles(hollow=False)
    assert first[0] < last[0] and first[1] < last[1]


def test_the_ready_band_is_hatched_between_its_two_moistures():
    sheet = moisture(readings=[MoistureReading(date(2025, 1, 1), 14)], ready=ReadyBand(8, 10, "ready"))
    heights = [y for trace in sheet.traces("hatch")[:1] for _, y in trace]
    assert (min(heights), max(heights)) == (near(level(sheet, "10")), near(level(sheet, "8")))


def test_the_equilibrium_steps_where_the_wood_was_moved():
    stays = [Stay(date(2023, 1, 1), date(2024, 7, 1), 16, "shed"), Stay(date(2024, 7, 1), None, 10, "loft")]
    readings = [MoistureReading(date(2024, 1, 1), 30), MoistureReading(date(2025, 1, 1), 12)]
    sheet = moisture(readings=readings, stays=stays)
    (steps,) = [trace for trace in sheet.traces("faint") if len(trace) == 4]
    assert steps[1][0] == near(steps[2][0]), "the step is upright"
    assert steps[0][1] < steps[2][1], "the wetter place lies higher"
    assert sheet.circles(hollow=False)[0][0] < steps[1][0] < sheet.circles(hollow=False)[1][0]
    assert {"a", "b", "shed", "loft"} <= set(sheet.words)


def test_a_place_the_wood_left_before_the_first_reading_is_not_drawn():
    stays = [Stay(date(2019, 1, 1), date(2020, 1, 1), 60, "yard"), Stay(date(2020, 1, 1), None, 16, "shed")]
    sheet = moisture(readings=[MoistureReading(date(2024, 1, 1), 18)], stays=stays)
    assert "yard" not in sheet.words and "shed" in sheet.words


def test_a_struck_slip_does_not_squeeze_the_curve_flat():
    """240 lb typed for 24: the axis ends where it does without, and the cross stands at the edge."""

    def words(*struck):
        line = WeighInLine("now", [(10, 10), (14, 18)], struck=struck)
        return curve(lines=[line], struck_label="struck out").words

    assert words((14, 240)) == words((14, 18))


def test_a_struck_reading_stays_visible_and_no_longer_counts():
    readings = [
        MoistureReading(date(2024, 1, 1), 30),
        MoistureReading(date(2024, 6, 1), 3, struck=True),
        MoistureReading(date(2025, 1, 1), 20),
    ]
    data = MoistureCurve("t", "", ("",) * 3, "", readings, struck_label="struck out")
    assert len(Sheet(moisture_curve(data).svg).circles(hollow=False)) == 2
    assert moisture_curve(data).rows[1] == ("2024-06-01", "3", "struck out")


def test_meter_and_weighing_have_marks_of_their_own():
    readings = [
        MoistureReading(date(2024, m, 1), 20 - m, "by meter" if m % 2 else "by weighing") for m in range(1, 7)
    ]
    sheet = moisture(readings=readings)
    assert len(sheet.circles(hollow=False)) == len(sheet.circles(hollow=True)) == 3 + 1
    assert {"by meter", "by weighing"} <= set(sheet.words)


def test_the_forecast_is_a_band_and_the_sheet_reaches_to_its_end():
    forecast = DryingForecast([(date(2024, 1, 1), 18, 20), (date(2026, 1, 1), 10, 12)], "expected")
    sheet = moisture(
        readings=[MoistureReading(date(2024, 1, 1), 19)],
        forecast=forecast,
        today=date(2024, 1, 1),
        today_label="today",
    )
    low, high = (trace for trace in sheet.traces("accent", stroke_dasharray="1.5 4")[:2])
    assert low[-1][0] == high[-1][0] == 346 and low[-1][1] > high[-1][1]


def sets(*readings):
    axes = (Axis("set, in", 0.25, from_zero=True), Axis("draw, in", 2))
    return Sheet(
        set_history(SetHistory("t", "", ("",) * 5, *axes, "at once", "rested", "new zero", readings)).svg
    )


def test_set_is_not_joined_across_a_new_zero():
    sheet = sets(
        SetReading("1 May", rested=0.25),
        SetReading("2 May", rested=0.5),
        SetReading("9 May", rested=0.0, new_zero=True),
        SetReading("10 May", rested=0.25),
    )
    assert [len(trace) for trace in sheet.traces("ink", stroke_width="1.5")][:2] == [2, 2]
    assert "new zero" in sheet.words


def test_the_furthest_draw_rises_in_steps_under_the_set():
    sheet = sets(SetReading("1", 0.5, None, 20), SetReading("2", 0.75, None, 24))
    (steps,) = [trace for trace in sheet.traces("ink") if len(trace) == 3]
    assert steps[0][1] == near(level(sheet, "20")) and steps[2][1] == near(level(sheet, "24"))
