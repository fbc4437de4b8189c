"""Bench card, order sheet and draw-curve sheet: what each must say and draw."""

from dataclasses import replace

import pytest

from tests.documents.papers import (
    BENCH,
    CURVE,
    INCH,
    ORDER,
    POUND,
    WEIGHED,
    pages,
    polylines_mm,
    words_of,
    words_on,
)
from workshop.documents.pdf.bench_card import bench_card
from workshop.documents.pdf.chart import Axis, Tick
from workshop.documents.pdf.draw_curve_sheet import draw_curve_sheet
from workshop.documents.pdf.order_sheet import order_sheet
from workshop.documents.pdf.outline import Layout, Station


def span(line):
    return line[-1][0] - line[0][0]


def test_the_bench_card_says_what_is_wanted_and_where_to_stop():
    said = words_of(bench_card(BENCH))
    for fact in (
        "45 lb at 28 in",
        "from the back of the bow, give or take 2 lb",
        "49 lb at any draw",
        "1 in above the middle mark, 3 in below it",
        "along the back, with the run of the grain",
        "26-001, whole: yew, felled Feb 2024",
        "The back follows one ring",
    ):
        assert fact in said


@pytest.mark.parametrize(
    "caution",
    [
        "Dust of yew and several other timbers is poisonous or sensitising",
        "glues sensitise: extraction, mask, gloves",
        "Pull on the tree by a rope, from well aside",
        "a bow can jump the cradle or break at any new draw",
        "Eye protection",
        "Yew: irritant, and poisonous in wood and dust.",
    ],
)
def test_the_bench_card_warns_the_maker(caution):
    assert caution in words_of(bench_card(BENCH))


def test_every_station_stands_in_the_table_with_its_width_and_depth():
    said = words_of(bench_card(BENCH))
    for row in ("0 in 32 mm 16 mm 28 mm", "12 in 34 mm 17 mm 24 mm", "35 in 13 mm 6.5 mm 12 mm"):
        assert f"both {row}" in said


@pytest.mark.parametrize("lines", range(0, 16, 3))
def test_neither_a_check_list_nor_the_table_of_stations_is_torn_between_pages(lines):
    """However long the note above them is."""
    said = [words_on(page) for page in pages(bench_card(replace(BENCH, notes="\n".join(["a knot"] * lines))))]
    for together in (("The back follows one ring", "Corners rounded"), ("From middle mark", "13 mm")):
        assert [page for page in said if all(each in page for each in together)], together


def test_the_half_outline_is_drawn_to_the_scale_it_states():
    pdf = bench_card(BENCH)
    assert "lengths 1 : 12, widths and depths 1 : 2" in words_of(pdf)
    outlines = [line for line in polylines_mm(pages(pdf)[0]) if len(line) == 11]
    half, depth = outlines
    # From tip to tip 70 in; half the width grows from 6.5 mm at the tip to 17.5 mm six inches from the middle.
    assert span(half) == pytest.approx(70 * 25.4 / 12, abs=0.1)
    assert half[4][1] - half[0][1] == pytest.approx((17.5 - 6.5) / 2, abs=0.05)
    # The depth hangs under the back: 28 mm in the middle, 12 mm at the tip.
    assert depth[0][1] - depth[5][1] == pytest.approx((28 - 12) / 2, abs=0.05)
    middle = half[5][0]
    assert half[4][0] - middle == pytest.approx(-6 * 25.4 / 12, abs=0.05)


def test_limbs_laid_out_unlike_keep_their_own_stations():
    stations = [
        Station(at=at, limb=limb, at_m=at_m, width_m=0.03, depth_m=depth_m)
        for limb, at, at_m, depth_m in (
            ("A", "0", 0, 0.028),
            ("A", "30 in", 0.762, 0.012),
            ("B", "0", 0, 0.028),
            ("B", "29 in", 0.7366, 0.013),
        )
    ]
    layout = Layout(stations=stations, limb_a_m=0.762, limb_b_m=0.7366)
    assert layout.along(lambda station: station.depth_m) == [(-0.762, 0.012), (0, 0.028), (0.7366, 0.013)]
    said = words_of(bench_card(replace(BENCH, layout=layout)))
    assert "A 30 in" in said
    assert "B 29 in" in said


@pytest.mark.parametrize("reach", [0, -0.1, 5, float("nan")])
def test_a_limb_of_no_believable_length_is_refused(reach):
    with pytest.raises(ValueError, match="limbs"):
        Layout(stations=(), limb_a_m=reach, limb_b_m=0.9)


def test_a_station_belongs_to_limb_a_or_b_or_both():
    with pytest.raises(ValueError, match="limb"):
        Station(at="6 in", at_m=0.1524, limb="upper")


def test_the_order_sheet_holds_what_was_agreed():
    said = words_of(order_sheet(ORDER))
    for fact in (
        "Order 2026-07",
        "1 May 2026",
        "Mirela Žáková 8 Mill Lane Over Wickham m@wickham.invalid",
        "Ladislav Žák",
        "1 × Bow, full-compass, yew € 640.00",
        "45 lb at 28 in, give or take 2 lb",
        "2 × Strings, linen € 36.00",
        "Deposit agreed € 200.00",
        "Paid so far € 150.00",
        "Still to pay € 526.00",
        "The bow is made to the weight above within the tolerance.",
        "Hazel Fenwick, bowyer",
    ):
        assert fact in said


def test_an_order_sheet_without_prices_names_no_money():
    lines = tuple(replace(line, price="") for line in ORDER.lines)
    said = words_of(order_sheet(replace(ORDER, lines=lines, price="", deposit="", paid="", still_due="")))
    assert "Money" not in said
    assert "€" not in said


def test_an_order_of_many_lines_goes_on_over_pages():
    pdf = order_sheet(replace(ORDER, lines=ORDER.lines * 20))
    assert len(pages(pdf)) > 2
    assert words_of(pdf).count("Strings, linen") == 20


def test_the_draw_curve_sheet_says_how_much_how_measured_and_what_is_stored():
    said = words_of(draw_curve_sheet(CURVE))
    for fact in (
        "45 lb at 28 in",
        "measured from the back of the bow",
        "39.6 ft·lb",
        "2.5 lb an inch",
        "Spring balance no. 2, checked 1 May 2026",
        "10 in 6.2 lb",
        "28 in 45.0 lb",
    ):
        assert fact in said


def test_the_curve_on_paper_stands_where_the_points_were_weighed():
    lines = polylines_mm(pages(draw_curve_sheet(CURVE))[0])
    (curve,) = (line for line in lines if len(line) == len(WEIGHED) + 1)
    wide, high = 172 - 15 - 8, 72 - 12 - 8  # the field between the axes [mm]
    draws, weights = [6.5, *(draw for draw, _ in WEIGHED)], [0, *(weight for _, weight in WEIGHED)]
    for (x, y), draw, weight in zip(curve, draws, weights, strict=True):
        assert x - curve[0][0] == pytest.approx((draw - 6.5) / 24 * wide, abs=0.05)
        assert y - curve[0][1] == pytest.approx(weight / 50 * high, abs=0.05)


def test_without_a_curve_the_points_themselves_are_joined():
    lines = polylines_mm(pages(draw_curve_sheet(replace(CURVE, line=())))[0])
    assert any(len(line) == len(WEIGHED) for line in lines)


def test_a_weigh_in_of_one_point_still_has_a_sheet():
    assert "28 in 45.0 lb" in words_of(draw_curve_sheet(replace(CURVE, points=CURVE.points[-1:], line=())))


@pytest.mark.parametrize("places", [(), (1.0,), (1.0, 1.0), (2.0, 1.0)])
def test_an_axis_needs_two_rising_ticks(places):
    with pytest.raises(ValueError, match="two or more, rising"):
        Axis(name="draw", ticks=tuple(Tick(at=at * INCH * POUND, said="") for at in places))
