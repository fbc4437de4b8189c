"""The care sheet: nothing of what a new owner must be told may be missing from it."""

from dataclasses import replace

import pytest

from tests.documents.papers import CARE, codes, ink_margins_mm, pages, pictures, words_of, words_on
from workshop.documents.pdf.care_sheet import care_sheet
from workshop.documents.pdf.press import Edition

# What a care sheet tells; common practice, no source. Each line is one caution and the words that carry it.
CAUTIONS = {
    "no dry loose": "Never let the string go without an arrow",
    "not shot again until seen": "is not shot again until the maker has seen it",
    "dry-fired or overdrawn": "dry-fired (let go without an arrow) or overdrawn",
    "rated draw": "Never draw past the rated draw: 28 in",
    "strung as shown": "String it as shown, right way up, to the brace height given",
    "unstrung": "Unstring it when you are not shooting",
    "string as supplied": "Use the string as supplied",
    "low-stretch string": "Low-stretch material only if the nocks were made for it",
    "part draws first": "A few part draws first",
    "no holding": "Do not hold at full draw",
    "heat and weather": "Keep it from heat, hot cars, radiators, strong sun, frost and damp",
    "storage": "Hang it or lay it flat",
    "looked over": "Look over back, belly, nocks and string each time",
    "stop": "Stop when anything shows",
    "arrow weight": "Arrows not lighter than stated",
    "arrow soundness": "sound, straight and long enough",
    "people": "Nobody in front of the bow or beside the limbs",
    "backstop": "A backstop that holds every arrow",
    "eyes": "Eye protection the first times",
    "breakage": "A wooden bow can break without warning",
    "children": "Children only with a competent grown-up",
    "law first": "Local law and the rules of club and range come first",
    "restrictions": "Some places restrict carrying, shooting, hunting or selling bows",
    "maker": "Hazel Fenwick, bowyer",
    "address": "3 Alder Row Nether Wickham",
}


@pytest.mark.parametrize("caution", CAUTIONS.values(), ids=CAUTIONS.keys())
def test_the_care_sheet_says(caution, said=[]):  # noqa: B006 - one printing serves all cautions
    if not said:
        said.append(words_of(care_sheet(CARE)))
    assert caution in said[0]


def test_the_care_sheet_is_made_for_this_bow():
    said = words_of(care_sheet(CARE))
    for fact in (
        "Bow 2026-014",
        "45 lb at 28 in",
        "measured from the back of the bow",
        "6 ⅜ in, belly of grip to string",
        "linen, 12 strands",
        "450 gr",
        "marked with a cross on the back",
        "One year on the wood for the first owner.",
        "Ladislav Žák",
    ):
        assert fact in said
    assert codes(care_sheet(CARE)) == ["https://ledger.invalid/b/2026-014"]


def test_a_bow_without_a_measured_rating_gets_a_sheet_that_says_so():
    said = words_of(care_sheet(replace(CARE, weight="", draw="", measured_from="")))
    assert "No draw weight was measured for this sheet" in said
    assert "ask the maker before you draw it" in said


def test_what_the_maker_did_not_state_is_said_to_be_missing():
    said = words_of(care_sheet(replace(CARE, lightest_arrow="", upper_limb="")))
    assert said.count("not stated: ask the maker") == 2


@pytest.mark.parametrize(
    ("made_for_it", "words"),
    [
        (True, "The nocks of this bow were made for low-stretch material."),
        (False, "Nothing is written of nocks made for low-stretch material on this bow: do not use it."),
    ],
)
def test_the_sheet_says_whether_this_bows_nocks_bear_a_low_stretch_string(made_for_it, words):
    said = words_of(care_sheet(replace(CARE, low_stretch=made_for_it)))
    assert words in said


@pytest.mark.parametrize("size", ["A4", "Letter"])
def test_long_terms_run_on_to_numbered_pages_and_never_over_an_edge(size):
    paragraphs = [f"{number}. " + "Terms that go on and on. " * 20 for number in range(1, 31)]
    pdf = care_sheet(replace(CARE, terms="\n\n".join(paragraphs)), edition=Edition(page=size))
    count = len(pages(pdf))
    assert count > 2
    for number, (sheet, picture) in enumerate(zip(pages(pdf), pictures(pdf, 60), strict=True), start=1):
        assert f"page {number} of {count}" in words_on(sheet)
        assert min(ink_margins_mm(picture, 60)) > 10
    said = words_of(pdf)
    assert said.count("Terms") == 1 + 600  # the heading, and each sentence once
    assert "30. Terms" in said


def test_the_mark_of_an_invented_workshop_is_on_every_page():
    pdf = care_sheet(replace(CARE, terms="So be it. " * 800, demo=True))
    assert len(pages(pdf)) > 1
    assert all("An invented workshop – not a real bow" in words_on(page) for page in pages(pdf))


def test_fixed_texts_pass_through_the_translator_and_facts_do_not():
    said = words_of(care_sheet(CARE, edition=Edition(say=lambda text: f"‹{text}›")))
    for text in (
        "‹Care sheet›",
        "‹Brace height›",
        "‹Never let the string go without an arrow.›",
        "‹upper limb›",
    ):
        assert text in said
    assert "linen, 12 strands" in said
    assert "‹linen" not in said
