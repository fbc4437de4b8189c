"""What holds for every paper: same facts, same bytes; and never a promise about a bow."""

import dataclasses
import hashlib
import io
import json
import re
import subprocess
import sys
import time
from concurrent.futures import ThreadPoolExecutor
from pathlib import Path

import pypdf
import pytest
import segno
import zxingcpp
from reportlab.pdfbase.ttfonts import TTFontParser

import tests.documents.papers as given
from tests.documents.papers import filled_with, ink_margins_mm, pages, pictures, words_of
from workshop.documents.pdf import fonts, words
from workshop.documents.pdf.bench_card import bench_card
from workshop.documents.pdf.bow_tag import plain_tag, rating_tag
from workshop.documents.pdf.care_sheet import care_sheet
from workshop.documents.pdf.draw_curve_sheet import draw_curve_sheet
from workshop.documents.pdf.order_sheet import order_sheet
from workshop.documents.pdf.press import Edition
from workshop.documents.pdf.stave_tag import stave_tags

MARKS = "ł ž Ж Größe ½ ⅜ 5′ 10″ − ✓"
SHEETS = {
    "bench card": (bench_card, given.BENCH),
    "order sheet": (order_sheet, given.ORDER),
    "care sheet": (care_sheet, given.CARE),
    "draw-curve sheet": (draw_curve_sheet, given.CURVE),
}
PAPERS = {
    "stave tags": lambda: stave_tags([given.stave(1), given.stave(2)]),
    "rating tag": lambda: rating_tag(given.RATING),
    "plain tag": lambda: plain_tag(given.PLAIN),
    **{name: lambda make=make, facts=facts: make(facts) for name, (make, facts) in SHEETS.items()},
}
FACTS = [given.stave(), given.RATING, given.PLAIN, *(facts for _, facts in SHEETS.values())]
LONG = {
    "a name of 80 letters": "Bartholomew-Maximilian Featherstonehaugh-Cholmondeley of Upper and Lower Wickham",
    "a word of 300 letters": "w" * 300,
    "a note of 300 letters": "This was said at length. " * 12,
    "markup": "<b>bold</b> & <script>alert('x')</script> {braces} %s \\",
}


@pytest.mark.parametrize("paper", PAPERS.values(), ids=PAPERS)
def test_the_same_facts_make_the_same_bytes(paper):
    assert paper() == paper()


def test_another_process_makes_the_same_bytes_too():
    program = (
        "import hashlib; from tests.documents.test_pdf_all import PAPERS;"
        "print(*(hashlib.sha256(paper()).hexdigest() for paper in PAPERS.values()))"
    )
    root = Path(__file__).resolve().parents[2]
    run = subprocess.run(
        [sys.executable, "-c", program], cwd=root, capture_output=True, text=True, check=True
    )
    assert run.stdout.split() == [hashlib.sha256(paper()).hexdigest() for paper in PAPERS.values()]


def test_papers_printed_side_by_side_do_not_mix(monkeypatch):
    # A hand that looks up after every turn of the typeface's file meets the others there, which is else seldom.
    seek = TTFontParser.seek
    monkeypatch.setattr(TTFontParser, "seek", lambda face, at: (seek(face, at), time.sleep(0)))
    makers = list(PAPERS.values()) * 4
    alone = [make() for make in makers]
    with ThreadPoolExecutor(8) as hands:
        assert list(hands.map(lambda make: make(), makers)) == alone


@pytest.mark.parametrize("paper", PAPERS.values(), ids=PAPERS)
def test_no_paper_calls_a_bow_safe(paper):
    assert not re.search(r"\bsafe", words_of(paper()), re.IGNORECASE)


def test_no_fixed_text_says_safe_and_all_can_be_printed():
    texts = [
        text
        for name, value in vars(words).items()
        if name.isupper()
        for text in ([value] if isinstance(value, str) else value)
    ]
    assert len(texts) > 40
    for text in texts:
        assert not re.search(r"\bsafe", text, re.IGNORECASE)
        assert fonts.unprintable(text) == ""


@pytest.mark.parametrize("facts", FACTS, ids=lambda facts: type(facts).__name__)
def test_facts_are_frozen_and_can_be_kept_as_json(facts):
    with pytest.raises(dataclasses.FrozenInstanceError):
        facts.demo = True
    assert json.loads(json.dumps(dataclasses.asdict(facts)))["demo"] is False


@pytest.mark.parametrize("paper", PAPERS.values(), ids=PAPERS)
def test_only_the_workshops_own_typeface_is_in_the_file(paper):
    for page in pages(paper()):
        for font in page["/Resources"]["/Font"].values():
            assert "DejaVuSansCondensed" in font["/BaseFont"]


def test_every_mark_a_maker_writes_is_read_back():
    facts = dataclasses.replace(given.CARE, notes=MARKS, archer=MARKS)
    assert words_of(care_sheet(facts)).count(MARKS) == 2


def test_a_paper_size_that_is_not_kept_is_refused():
    with pytest.raises(ValueError, match="A4, Letter"):
        Edition(page="A5")


@pytest.mark.parametrize("size", ["A4", "Letter"])
@pytest.mark.parametrize("text", LONG.values(), ids=LONG)
@pytest.mark.parametrize(("make", "facts"), SHEETS.values(), ids=SHEETS)
def test_nothing_typed_runs_over_an_edge(make, facts, text, size):
    pdf = make(filled_with(facts, text), edition=Edition(page=size))
    for picture in pictures(pdf, 50):
        assert min(ink_margins_mm(picture, 50)) > 10
    assert text[:12] in words_of(pdf)


@pytest.mark.parametrize(("make", "facts"), SHEETS.values(), ids=SHEETS)
def test_markup_is_printed_as_typed(make, facts):
    assert "<b>bold</b> & <script>" in words_of(make(filled_with(facts, LONG["markup"])))


@pytest.mark.parametrize(("make", "facts"), SHEETS.values(), ids=SHEETS)
def test_an_invented_workshop_is_named_as_such_on_every_page(make, facts):
    for page in pages(make(dataclasses.replace(facts, demo=True))):
        assert "An invented workshop – not a real bow" in page.extract_text()
    assert "invented" not in words_of(make(facts))


@pytest.mark.parametrize(("make", "facts"), SHEETS.values(), ids=SHEETS)
def test_a_sheet_names_itself_its_workshop_and_its_language_in_the_file(make, facts):
    reader = pypdf.PdfReader(io.BytesIO(make(facts, edition=Edition(lang="cs"))))
    assert facts.number in reader.metadata.title
    assert reader.metadata.author == "Hazel Fenwick, bowyer"
    assert reader.trailer["/Root"]["/Lang"] == "cs"
    assert reader.trailer["/Root"]["/ViewerPreferences"]["/DisplayDocTitle"].value is True


@pytest.mark.parametrize(("make", "facts"), SHEETS.values(), ids=SHEETS)
def test_the_code_on_a_sheet_leads_to_its_record(make, facts):
    assert given.codes(make(facts)) == [facts.code]


@pytest.mark.parametrize("paper", PAPERS.values(), ids=PAPERS)
def test_four_modules_of_white_stand_round_every_code(paper):
    """The quiet zone of ISO/IEC 18004; half a module is left for the rounding of the picture."""
    (picture, *_) = pictures(paper(), 300)
    codes = zxingcpp.read_barcodes(picture)
    assert codes
    for found in codes:
        modules = len(segno.make(found.text, error="m", micro=False, boost_error=False).matrix)
        corners = found.position
        box = (corners.top_left.x, corners.top_left.y, corners.bottom_right.x, corners.bottom_right.y)
        quiet = 3.5 * (box[2] - box[0]) / modules
        grown = [round(edge + sign * quiet) for edge, sign in zip(box, (-1, -1, 1, 1), strict=True)]
        dark = picture.crop(grown).point(lambda grey: 255 if grey < 200 else 0)
        left, top, right, bottom = dark.getbbox()
        assert min(left, top, dark.width - right, dark.height - bottom) > 0.8 * quiet


@pytest.mark.parametrize(("make", "facts"), SHEETS.values(), ids=SHEETS)
def test_a_sheet_prints_with_nothing_but_what_it_must_know(make, facts):
    """Old bows come with few facts; what is unknown leaves no empty heading behind and stops nothing."""
    bare = {
        field.name: field.default
        for field in dataclasses.fields(facts)
        if field.default is not dataclasses.MISSING
    }
    assert facts.number in words_of(make(dataclasses.replace(facts, **bare)))
