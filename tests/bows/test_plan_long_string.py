"""The planned bow on the tree before bracing, hung with a long string."""

from fractions import Fraction

import pytest
from django.db import connection
from django.test.utils import CaptureQueriesContext

from tests.bows.test_plan_pages import sheet
from workshop.calc.imperial import POUND_N

pytestmark = pytest.mark.django_db


def pulls(page):
    assert page.status_code == 200
    return [
        (pull.draw.replace("\xa0", " "), pull.reads.replace("\xa0", " "))
        for pull in page.context["long"].pulls
    ]


def pounds(reads):
    return 0.0 if reads == "slack" else float(reads.split()[0])


def test_a_long_string_pulls_nothing_until_it_is_taken_up(as_owner, planned):
    found = pulls(sheet(as_owner, planned, long_string="80"))
    assert [draw for draw, _reads in found] == ["18 in", "20 in", "22 in", "24 in", "26 in", "28 in"]
    read = [pounds(reads) for _draw, reads in found]
    assert read[0] == 0.0 and found[0][1] == "slack" and read == sorted(read) and read[-1] > 0


def test_the_longer_the_string_the_less_the_scale_reads_at_one_draw(as_owner, planned):
    """And less than the braced bow, whose weight is told above."""
    shorter, longer = (
        pounds(pulls(sheet(as_owner, planned, long_string=text))[-1][1]) for text in ("70", "74")
    )
    braced = sheet(as_owner, planned).context["page"].answer.force_n / POUND_N
    assert longer < shorter < braced


def test_what_the_scale_reads_is_not_solved_until_a_string_is_typed(as_owner, planned, monkeypatch):
    monkeypatch.setattr("workshop.bows.plan.longstring.draw", lambda *a, **k: pytest.fail("it was solved"))
    assert sheet(as_owner, planned).context["long"] is None


def test_the_figures_on_the_long_string_say_where_they_are_from_and_ask_the_store_nothing_more(
    as_owner,
    planned,
):
    def asked(**typed):
        with CaptureQueriesContext(connection) as found:
            page = sheet(as_owner, planned, **typed)
        return len(found), page

    plain, hung = asked(), asked(long_string="72")
    assert plain[0] == hung[0]
    assert "String, nock to nock" in dict(hung[1].context["long"].source.inputs)
    assert hung[1].context["form"]["wider"].value() == plain[1].context["form"]["wider"].value()


@pytest.mark.parametrize(
    ("typed", "said"),
    [("66", "it would brace it"), ("", "Write a measure here"), ("long", ""), ("0", "")],
)
def test_a_string_that_is_no_long_string_is_refused_beside_it_and_kept(as_owner, planned, typed, said):
    page = sheet(as_owner, planned, long_string=typed)
    assert page.status_code == 422
    form = page.context["long_form"]
    assert said in " ".join(form.errors["long_string"]) and form["long_string"].value() == typed
    assert page.context["page"] is not None, "the plan itself is solved as before"


def inches(text):
    """“27”, “5/8” and “1 3/4” of an inch."""
    return float(sum(map(Fraction, text.replace("\xa0", " ").removesuffix(" in").split())))


@pytest.mark.parametrize("follow", ["0", "1", "-1"])
def test_the_tips_come_on_from_where_they_stood_unstrung(as_owner, planned, follow):
    """Once the string is taken up they come along with the hand, whatever the natural bend."""
    page = sheet(as_owner, planned, long_string="78", follow=follow)
    long = page.context["long"]
    taken = [(inches(pull.draw) - inches(long.taut), inches(pull.tips)) for pull in long.pulls if pull.tips]
    # nearly as far as the hand, and less the further they bend; both are shown to 1/16 in
    assert taken and all(0.7 * beyond < tips < beyond + 1 / 8 for beyond, tips in taken)
    assert [tips for _beyond, tips in taken] == sorted(tips for _beyond, tips in taken)
