"""A paper issued is the paper kept: the same bytes for ever, or an honest word why not."""

import hashlib
import json
import logging
import uuid
from concurrent.futures import ThreadPoolExecutor

import pytest
from django.db import Error, connection
from django.urls import reverse
from django.utils import timezone

from tests.documents.papers import codes, words_of
from workshop.bows.services.bows import bow_change
from workshop.ledger.guards import lift_guards, put_guards
from workshop.ledger.services import entry_strike
from workshop.orders.models import IssuedPaper
from workshop.orders.services.papers import paper_is_whole, paper_issue
from workshop.orders.services.persons import person_make_nameless

pytestmark = pytest.mark.django_db


def paper(bow, owner, **more):
    return paper_issue(
        kind="care-sheet", subject=bow, by=owner, facts={"number": "26-014"}, pdf=b"%PDF", **more
    )


def test_issuing_keeps_facts_bytes_checksum_number_day_and_who(as_owner, owner, finished, issue):
    answer = issue(as_owner, "rating-tag", finished)
    kept = IssuedPaper.objects.get()
    assert answer.status_code == 302 and answer.url == f"/papers/{kept.pk}"
    assert kept.number == 1 and kept.bow == finished and kept.entered_by == owner
    assert kept.happened_on == timezone.localdate()
    assert kept.facts["weight"] == "44.5\xa0lb" and kept.facts["draw"] == "28\xa0in"
    assert kept.sha256 == hashlib.sha256(bytes(kept.pdf)).hexdigest()
    assert "44.5 lb" in words_of(bytes(kept.pdf))


def test_a_reprint_is_the_same_bytes_after_the_bow_changed(as_owner, owner, finished, issue, work):
    first = as_owner.get(issue(as_owner, "rating-tag", finished).url)
    bow_change(bow=finished, by=owner, bowstring="hemp", brace_m=0.17)
    work(finished)
    again = as_owner.get(f"/papers/{IssuedPaper.objects.get().pk}")
    assert first["Content-Type"] == again["Content-Type"] == "application/pdf"
    assert first.content == again.content
    assert again["Content-Disposition"] == 'inline; filename="rating-tag-26-014-1.pdf"'


def test_the_facts_of_an_issued_paper_cannot_be_written_over(owner, bow):
    kept = paper(bow, owner)
    with (
        pytest.raises(Error, match="written once"),
        connection.cursor() as db,
    ):
        db.execute("UPDATE orders_issuedpaper SET facts = '{}' WHERE id = %s", [kept.pk])


def test_bytes_that_no_longer_match_their_checksum_are_not_handed_out(as_owner, finished, issue, caplog):
    issue(as_owner, "care-sheet", finished)
    kept = IssuedPaper.objects.get()
    lift_guards("default")
    with connection.cursor() as db:
        db.execute("UPDATE orders_issuedpaper SET pdf = %s WHERE id = %s", [b"%PDF another", kept.pk])
    put_guards("default")
    kept.refresh_from_db()
    assert not paper_is_whole(kept)
    as_owner.raise_request_exception = False
    with caplog.at_level(logging.CRITICAL):
        answer = as_owner.get(f"/papers/{kept.pk}")
    assert answer.status_code == 500 and "This paper is damaged" in answer.content.decode()
    assert kept.sha256 in answer.content.decode()


def test_a_form_sent_twice_issues_one_paper(as_owner, finished):
    form = as_owner.get(f"/papers/care-sheet/{finished.pk}").context["form"]
    sent = {"entry_key": form.initial["entry_key"], "seen": form.initial["seen"]}
    answers = [as_owner.post(f"/papers/care-sheet/{finished.pk}/issue", sent) for _ in range(2)]
    assert answers[0].url == answers[1].url
    assert IssuedPaper.objects.count() == 1


def test_the_same_entry_key_is_the_same_paper(owner, bow):
    key = uuid.uuid4()
    assert paper(bow, owner, entry_key=key) == paper(bow, owner, entry_key=key)


def test_numbers_count_on_and_are_never_given_twice(owner, bow):
    papers = [paper(bow, owner) for _ in range(3)]
    entry_strike(papers[2], by=owner)
    papers.append(paper(bow, owner))
    assert [each.number for each in papers] == [1, 2, 3, 4]


@pytest.mark.django_db(transaction=True)
def test_papers_issued_at_one_moment_get_numbers_of_their_own(owner, bow):
    def one(_n):
        try:
            return paper(bow, owner).number
        finally:
            connection.close()

    with ThreadPoolExecutor(8) as many:
        assert sorted(many.map(one, range(24))) == list(range(1, 25))


def test_what_changed_between_looking_and_issuing_is_looked_at_again(as_owner, owner, finished):
    form = as_owner.get(f"/papers/care-sheet/{finished.pk}").context["form"]
    bow_change(bow=finished, by=owner, bowstring="hemp", length_m=1.7)
    sent = {"entry_key": form.initial["entry_key"], "seen": form.initial["seen"], "note": "for the fair"}
    answer = as_owner.post(f"/papers/care-sheet/{finished.pk}/issue", sent)
    page = answer.content.decode()
    assert answer.status_code == 422 and "changed since you looked" in page and "for the fair" in page
    assert not IssuedPaper.objects.exists()
    sent["seen"] = answer.context["form"]["seen"].value()
    assert as_owner.post(f"/papers/care-sheet/{finished.pk}/issue", sent).status_code == 302


def test_papers_of_a_person_made_nameless_say_so(as_owner, owner, finished, archer, issue):
    issue(as_owner, "care-sheet", finished)
    name = archer.name
    person_make_nameless(person=archer, by=owner)
    kept = IssuedPaper.objects.get()
    answer = as_owner.get(f"/papers/{kept.pk}")
    page = answer.content.decode()
    assert answer.status_code == 410 and "made nameless" in page and kept.sha256 in page
    assert name not in page
    fresh = as_owner.get(f"/papers/care-sheet/{finished.pk}").context["draft"].facts
    assert fresh.archer == ""


def test_the_code_on_the_issued_tag_leads_to_the_bows_page(as_owner, finished, issue):
    pdf = as_owner.get(issue(as_owner, "rating-tag", finished).url).content
    (code,) = codes(pdf, dpi=300)
    assert code == "https://ledger.invalid/b/26-014"
    answer = as_owner.get(code.removeprefix("https://ledger.invalid"))
    assert answer.status_code == 302 and answer.url == reverse("bow", args=[finished.pk])


@pytest.mark.parametrize("kind", ["rating-tag", "care-sheet", "bench-card", "curve-sheet", "plain-tag"])
def test_facts_are_kept_as_plain_words(as_owner, finished, issue, kind):
    issue(as_owner, kind, finished)
    facts = IssuedPaper.objects.get(kind=kind).facts
    assert facts["number"] == "26-014"
    assert json.loads(json.dumps(facts)) == facts


def test_a_struck_paper_is_still_shown_and_still_handed_out(as_owner, owner, finished, issue):
    issue(as_owner, "care-sheet", finished)
    kept = IssuedPaper.objects.get()
    entry_strike(kept, by=owner, reason="wrong string")
    page = as_owner.get(f"/papers/care-sheet/{finished.pk}").content.decode()
    assert "wrong string" in page and 'class="struck"' in page
    assert as_owner.get(f"/papers/{kept.pk}").status_code == 200
