"""What holds for every paper: same facts, same bytes; and never a promise about a bow."""

import dataclasses
import hashlib
import json
import re
import subprocess
import sys
from pathlib import Path

import pytest

import tests.documents.papers as given
from tests.documents.papers import pages, words_of
from workshop.documents.pdf import fonts, words
from workshop.documents.pdf.bow_tag import plain_tag, rating_tag
from workshop.documents.pdf.care_sheet import care_sheet
from workshop.documents.pdf.press import Edition
from workshop.documents.pdf.stave_tag import stave_tags

MARKS = "ł ž Ж Größe ½ ⅜ 5′ 10″ − ✓"
PAPERS = {
    "stave tags": lambda **edition: stave_tags([given.stave(1), given.stave(2)], edition=Edition(**edition)),
    "rating tag": lambda **edition: rating_tag(given.RATING, edition=Edition(**edition)),
    "plain tag": lambda **edition: plain_tag(given.PLAIN, edition=Edition(**edition)),
    "care sheet": lambda **edition: care_sheet(given.CARE, edition=Edition(**edition)),
}
FACTS = [given.stave(), given.RATING, given.PLAIN, given.CARE]


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
