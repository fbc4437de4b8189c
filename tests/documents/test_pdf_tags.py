"""Tags: what hangs on a stave and on a bow."""

import io
from dataclasses import replace

import pypdf
import pytest

from tests.documents.papers import (
    PLAIN,
    RATING,
    codes,
    ink_margins_mm,
    lines_that_overlap,
    pages,
    pictures,
    rectangles_mm,
    stave,
    words_of,
    words_on,
)
from workshop.documents.pdf import qr
from workshop.documents.pdf.bow_tag import plain_tag, rating_tag
from workshop.documents.pdf.labels import A4_24, LabelStock, LabelStockError
from workshop.documents.pdf.stave_tag import stave_tags

CARD = LabelStock.roll(55, 90)


def test_a_stave_tag_says_all_that_is_known_of_the_piece():
    said = words_of(stave_tags([stave()], LabelStock.roll(62, 29)))
    for fact in (
        "26-001",
        "Yew",
        "felled Feb 2024",
        "stave 1 of 24, 6′ 2 ½″",
        "drying loft, rack 2",
        "Fenwick",
    ):
        assert fact in said


def test_each_of_the_24_tags_on_a_sheet_leads_back_to_its_own_stave():
    pdf = stave_tags([stave(number) for number in range(1, 25)])
    assert len(pages(pdf)) == 1
    assert sorted(codes(pdf)) == [f"https://ledger.invalid/s/26-{number:03d}" for number in range(1, 25)]


@pytest.mark.parametrize("size", [(62, 29), (29, 62), (40, 40), (89, 36), (30, 20)])
def test_a_code_on_a_small_label_can_still_be_read(size):
    assert codes(stave_tags([stave()], LabelStock.roll(*size))) == ["https://ledger.invalid/s/26-001"]


def test_an_address_too_long_for_a_small_code_is_refused_with_the_size_it_needs():
    with pytest.raises(qr.QrTooSmall) as refused:
        stave_tags([stave(code="https://ledger.invalid/s/" + "x" * 300)], LabelStock.roll(30, 15))
    assert refused.value.needed_mm > refused.value.size_mm


def test_a_half_used_sheet_begins_at_the_next_free_label():
    cut = replace(A4_24, cut_lines=True)
    left, lower, _, _ = rectangles_mm(pages(stave_tags([stave()], cut, start=5))[0])[0]
    # Label 5 is the second in the second row: one label and one gap in, two labels down.
    assert left == pytest.approx(7.25 + 63.5 + 2.5, abs=0.1)
    assert lower == pytest.approx(297 - 12.9 - 2 * 33.9, abs=0.1)


def test_tags_that_do_not_fit_the_first_sheet_go_on_the_next():
    pdf = stave_tags([stave(number) for number in range(1, 27)], start=24)
    assert [words_on(page).count("felled") for page in pages(pdf)] == [1, 24, 1]


@pytest.mark.parametrize("start", [0, 25, -1])
def test_a_start_label_the_sheet_does_not_have_is_refused(start):
    with pytest.raises(LabelStockError, match="1 to 24"):
        stave_tags([stave()], start=start)


def test_every_label_of_a_sheet_has_its_size_and_place_to_a_tenth_of_a_millimetre():
    cut = replace(A4_24, cut_lines=True)
    page = pages(stave_tags([stave(number) for number in range(1, 25)], cut))[0]
    assert [float(each) * 25.4 / 72 for each in page.mediabox[2:]] == pytest.approx([210, 297], abs=0.1)
    labels = rectangles_mm(page)
    assert len(labels) == 24
    for place, (left, lower, width, height) in enumerate(labels):
        row, column = divmod(place, 3)
        assert (width, height) == pytest.approx((63.5, 33.9), abs=0.1)
        assert left == pytest.approx(7.25 + column * 66, abs=0.1)
        assert 297 - lower - height == pytest.approx(12.9 + row * 33.9, abs=0.1)


def test_a_roll_label_is_a_page_of_just_that_size():
    page = pages(stave_tags([stave()], LabelStock.roll(62, 29)))[0]
    assert [float(each) * 25.4 / 72 for each in page.mediabox[2:]] == pytest.approx([62, 29], abs=0.1)


def test_a_swing_tag_cut_from_a_sheet_measures_55_by_90():
    _, _, width, height = rectangles_mm(pages(rating_tag(RATING))[0])[0]
    assert (width, height) == pytest.approx((55, 90), abs=0.1)


def test_the_check_ruler_on_a_sheet_is_100_mm_long_as_drawn():
    dpi = 600
    picture = pictures(stave_tags([stave()]), dpi)[0]
    foot = picture.crop((0, picture.height - 12 * dpi // 25, picture.width, picture.height))
    dark = foot.point(lambda grey: 255 if grey < 160 else 0)
    rows = [dark.crop((0, y, dark.width, y + 1)).tobytes() for y in range(dark.height)]
    longest = max(len(stroke) for row in rows for stroke in row.split(b"\0"))
    assert longest * 25.4 / dpi == pytest.approx(100, abs=0.25)  # half a line's width, 0.18 mm, at either end


def test_rolls_have_no_ruler_unless_asked_for():
    roll = LabelStock.roll(62, 29)
    assert "mm" not in words_of(stave_tags([stave()], roll))
    assert "40 mm" in words_of(stave_tags([stave()], roll, ruler=True))
    assert "100 mm" in words_of(stave_tags([stave()]))


def test_a_sheet_without_margins_still_gets_a_ruler_on_its_last_label():
    edge_to_edge = LabelStock(
        page_width_mm=210, page_height_mm=297, label_width_mm=70, label_height_mm=37, columns=3, rows=8
    )
    assert words_of(stave_tags([stave(1), stave(2)], edge_to_edge)).count("30 mm") == 1


@pytest.mark.parametrize(
    "changes",
    [
        {"columns": 4},
        {"rows": 9},
        {"label_width_mm": 5},
        {"gap_x_mm": -1},
        {"columns": 0},
        {"page_width_mm": float("nan")},
        {"label_height_mm": float("nan")},
    ],
)
def test_labels_that_do_not_fit_their_page_are_refused(changes):
    with pytest.raises(LabelStockError):
        replace(A4_24, **changes)


def test_a_rating_tag_says_weight_draw_and_where_the_draw_is_measured_from():
    said = words_of(rating_tag(RATING, CARD))
    for fact in ("45 lb", "at 28 in", "measured from the back of the bow", "2026-014", "Yew, self"):
        assert fact in said
    for fact in (
        "5′ 10 ½″ nock to nock",
        "6 ⅜ in",
        "linen, 12 strands",
        "12 May 2026",
        "Hazel Fenwick, bowyer",
    ):
        assert fact in said
    assert codes(rating_tag(RATING, CARD)) == ["https://ledger.invalid/b/2026-014"]


@pytest.mark.parametrize("missing", ["weight", "draw", "measured_from"])
def test_a_rating_without_its_weight_draw_or_starting_point_is_refused(missing):
    with pytest.raises(ValueError, match=missing):
        rating_tag(replace(RATING, **{missing: " "}))


def test_a_plain_tag_states_no_weight():
    said = words_of(plain_tag(PLAIN, CARD))
    assert "No draw weight is stated" in said
    assert "lb" not in said
    assert "28 in" not in said


@pytest.mark.parametrize("size", [(55, 90), (90, 55), (40, 70), (85, 54), (50, 50)])
def test_a_swing_tag_of_any_usual_size_keeps_its_words_inside(size):
    pdf = rating_tag(RATING, LabelStock.roll(*size))
    assert min(ink_margins_mm(pictures(pdf)[0])) > 1.5
    assert "measured from the back of the bow" in words_of(pdf)


LONG = {"maker": "Bartholomew-Maximilian Featherstonehaugh-Cholmondeley of Upper and Lower Wickham, bow"}


LONG_WORDS = {
    "maker": "Friedelinde von Oberhausen-Quillington, the younger",
    "timber": "European yew, spliced billets",
    "string": "Dacron replacement, twelve strands",
    "address": "A Very Long Street Indeed 123 B, Over Nether Wickham, hazel@fenwick.invalid",
}


@pytest.mark.parametrize("size", [(62, 29), (50, 25), (50, 30), (40, 40), (89, 36), (100, 50), (55, 90)])
@pytest.mark.parametrize("more", [{}, {"demo": True}, LONG_WORDS, LONG_WORDS | {"demo": True}])
def test_no_line_of_a_tag_is_printed_on_another(size, more):
    stock = LabelStock.roll(*size)
    assert lines_that_overlap(rating_tag(replace(RATING, **more), stock)) == []
    assert lines_that_overlap(plain_tag(replace(PLAIN, **more), stock)) == []


@pytest.mark.parametrize("size", [(62, 29), (50, 30), (38, 90), (55, 90)])
def test_a_number_is_not_broken_in_two_on_a_narrow_tag(size):
    stock, number = LabelStock.roll(*size), "2026-014-AB"
    assert words_of(plain_tag(replace(PLAIN, number=number), stock)).split().count(number) == 2
    assert number in words_of(stave_tags([stave(tag=number)], stock)).split()


def test_an_80_letter_name_and_a_300_letter_note_stay_inside_every_tag():
    assert len(LONG["maker"]) > 80
    wood = stave(timber="y" * 300, place="the place where it lies " * 13, **LONG)
    bow = replace(RATING, timber="W" * 300, string="a string of many words " * 13, **LONG)
    for stock in (
        LabelStock.roll(62, 29),
        LabelStock.roll(30, 60),
        LabelStock.roll(55, 90),
        LabelStock.roll(90, 55),
    ):
        for pdf in (stave_tags([wood], stock), rating_tag(bow, stock)):
            assert min(ink_margins_mm(pictures(pdf)[0])) > 1
            assert len(codes(pdf)) == 1


def test_a_tag_of_an_invented_workshop_says_so_on_each_label():
    pdf = stave_tags([stave(number, demo=True) for number in range(1, 4)])
    assert words_of(pdf).count("An invented workshop – not a real bow") == 3
    assert "An invented workshop" in words_of(rating_tag(replace(RATING, demo=True)))
    assert "invented" not in words_of(rating_tag(RATING))


def test_what_looks_like_markup_is_printed_as_typed():
    said = words_of(stave_tags([stave(place="<b>loft</b> & \x00shed")], LabelStock.roll(90, 40)))
    assert "<b>loft</b> & shed" in said


def test_a_tag_names_itself_its_maker_and_its_language_in_the_file():
    reader = pypdf.PdfReader(io.BytesIO(rating_tag(RATING)))
    assert reader.metadata.title == "Rating tag of bow 2026-014"
    assert reader.metadata.author == "Hazel Fenwick, bowyer"
    assert reader.trailer["/Root"]["/Lang"] == "en"
    assert reader.trailer["/Root"]["/ViewerPreferences"]["/DisplayDocTitle"] == True  # noqa: E712
