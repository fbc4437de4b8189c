"""Persons outside the workshop, and how one is made nameless."""

import pytest
from django.core.exceptions import ValidationError
from django.urls import reverse

from tests.orders.conftest import INCH
from workshop.ledger import backups
from workshop.ledger.models import Change
from workshop.ledger.services import entry_add
from workshop.orders.models import IssuedPaper
from workshop.orders.selectors.persons import person_whole
from workshop.orders.services.handover import bow_start_for_line
from workshop.orders.services.persons import measure_add, papers_naming, person_change, person_make_nameless

pytestmark = pytest.mark.django_db


@pytest.fixture
def paper(owner, line, today):
    bow = bow_start_for_line(line=line, by=owner)
    return entry_add(
        IssuedPaper(
            number=1, kind="care-sheet", bow=bow, facts={"owner": "Edda Quill"}, pdf=b"%PDF", sha256="ab" * 32,
            happened_on=today,
        ),
        by=owner,
    )  # fmt: skip


def test_an_archers_measurements_carry_their_date(owner, payer, today):
    measure_add(person=payer, by=owner, draw_m=27.5 * INCH, happened_on=today)
    assert person_whole(payer).measures[0].happened_on == today


def test_measurements_of_nothing_are_not_kept(owner, payer, today):
    with pytest.raises(ValidationError):
        measure_add(person=payer, by=owner, happened_on=today)


def test_a_person_made_nameless_is_gone_from_record_history_measurements_and_papers(
    owner, payer, paper, today
):
    measure_add(person=payer, by=owner, draw_m=27.5 * INCH, note="left eye", happened_on=today)
    person_change(person=payer, by=owner, name="Edda Quill-Marsh")
    payer.refresh_from_db()
    person_make_nameless(person=payer, by=owner)
    payer.refresh_from_db()
    paper.refresh_from_db()
    measure = payer.measures.get()
    assert (payer.name, payer.address, payer.phone, payer.mail) == ("", "", "", "")
    assert (measure.draw_m, measure.note) == (None, "")
    assert (bytes(paper.pdf), paper.facts, paper.sha256, paper.number) == (b"", {}, "ab" * 32, 1)
    lines = Change.objects.filter(record="orders.person", record_id=payer.pk)
    assert "Quill" not in str([(c.fields, c.deed) for c in lines])
    assert str(payer) == "made nameless"


def test_the_backups_that_still_hold_a_nameless_person_are_named(as_owner, payer, settings, tmp_path):
    settings.DATA_DIR = tmp_path
    older = backups.shelf() / "ledger-20260101T080000Z-hand.zip"
    older.write_bytes(b"")
    address = reverse("person-nameless", args=[payer.pk])
    said = as_owner.post(address, {"sure": "on"}, follow=True)
    assert older.name in said.content.decode(), said.context["form"].errors


def test_papers_of_others_keep_their_contents(owner, payer, paper):
    from workshop.orders.services.persons import person_add

    stranger = person_add(by=owner, name="Somebody Else")
    assert papers_naming(stranger) == []
    assert papers_naming(payer) == [paper]
