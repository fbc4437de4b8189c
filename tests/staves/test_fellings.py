"""Wood comes in: many pieces in one go, tags that count on, nothing half made."""

import datetime as dt
from concurrent.futures import ThreadPoolExecutor

import pytest
from django.core.exceptions import ValidationError
from django.db import connection
from django.urls import reverse

from workshop.ledger.models import Change
from workshop.ledger.services import entry_strike
from workshop.staves.models import Felling, Stave, StaveMove
from workshop.staves.services import (
    felling_add,
    felling_change,
    moisture_add,
    place_add,
    stave_carry,
    stave_change,
    staves_add,
)
from workshop.staves.tags import next_tag

from .conftest import FELLED

pytestmark = pytest.mark.django_db
TODAY = dt.date(2026, 11, 25)


def came(owner, ash, **values):
    return felling_add(
        **{"by": owner, "timber": ash, "came_by": "tree", "happened_on": FELLED, "many": 2, **values}
    )


def tags():
    return list(Stave.objects.values_list("tag", flat=True))


def test_the_next_tags_count_on_from_the_first(owner, ash):
    came(owner, ash, many=3, first_tag="26-014")
    assert tags() == ["26-014", "26-015", "26-016"]


def test_tags_may_outgrow_their_figures(owner, ash):
    came(owner, ash, first_tag="26-999")
    assert tags() == ["26-999", "26-1000"]


def test_every_piece_is_a_record_of_its_own_with_its_place(owner, ash, shed):
    came(owner, ash, many=2, first_tag="A1", length_m=1.8, place=shed)
    assert [s.length_m for s in Stave.objects.all()] == [1.8, 1.8]
    assert StaveMove.objects.filter(place=shed, happened_on=FELLED).count() == 2
    assert Change.objects.filter(record="staves.stave").count() == 2


def test_without_a_first_tag_the_next_free_one_is_allotted(owner, ash, today):
    came(owner, ash, first_tag="")
    came(owner, ash, first_tag="")
    year = f"{today:%y}"
    assert tags() == [f"{year}-001", f"{year}-002", f"{year}-003", f"{year}-004"]


def test_the_proposed_tag_begins_anew_with_the_year(owner, ash):
    came(owner, ash, first_tag="25-031")
    assert next_tag(TODAY) == "26-001"
    came(owner, ash, first_tag="26-014")
    assert next_tag(TODAY) == "26-016"


def test_a_workshop_with_tags_of_its_own_is_proposed_the_next_of_those(owner, ash):
    came(owner, ash, first_tag="K7")
    assert next_tag(TODAY) == "K9"


def test_a_duplicate_tag_is_refused_beside_the_field_and_nothing_is_made(owner, ash):
    came(owner, ash, many=1, first_tag="26-016")
    with pytest.raises(ValidationError) as refused:
        came(owner, ash, many=5, first_tag="26-014")
    assert "26-016" in refused.value.message_dict["first_tag"][0]
    assert tags() == ["26-016"]
    assert Felling.objects.count() == 1


def test_a_tag_in_other_letters_is_the_same_tag(owner, ash):
    came(owner, ash, many=1, first_tag="ash-1")
    with pytest.raises(ValidationError):
        came(owner, ash, many=1, first_tag="ASH-1")


@pytest.mark.parametrize(
    ("many", "first_tag", "field"),
    [(2, "gift", "first_tag"), (0, "1", "many"), (201, "1", "many"), (2, "x" * 23 + "9", "first_tag")],
)
def test_what_cannot_be_counted_on_is_refused(owner, ash, many, first_tag, field):
    with pytest.raises(ValidationError) as refused:
        came(owner, ash, many=many, first_tag=first_tag)
    assert field in refused.value.message_dict
    assert not Felling.objects.exists()


@pytest.mark.django_db(transaction=True)
def test_many_who_write_at_once_get_tags_of_their_own(owner, ash):
    """The tag is allotted in the transaction that saves the piece, one writer after the other."""

    def write(_):
        try:
            return [s.tag for s in came(owner, ash, many=3, first_tag="").staves.all()]
        finally:
            connection.close()

    with ThreadPoolExecutor(6) as pool:
        allotted = [tag for tags_of_one in pool.map(write, range(6)) for tag in tags_of_one]
    assert len(set(allotted)) == len(allotted) == 18


def test_one_piece_may_bear_a_name(owner, ash):
    came(owner, ash, many=1, first_tag="the crooked one")
    assert tags() == ["the crooked one"]


def test_more_pieces_of_the_same_felling_come_later(owner, felling):
    staves_add(felling=felling, by=owner, many=2, first_tag="25-101", happened_on=FELLED)
    assert felling.staves.count() == 5


def typed(ash, **values):
    return {
        "timber": ash.pk,
        "came_by": "gift",
        "happened_on": "2025",
        "many": "2",
        "first_tag": "25-001",
        "form": "board",
        "length_m": "6 ft",
        **values,
    }


def test_the_form_proposes_the_next_tag_and_cautions(as_owner, ash, today):
    text = as_owner.get("/wood/fellings/add").content.decode()
    assert f"{today:%y}-001" in text
    assert "leave" in text
    assert "training" in text


def test_a_refused_form_keeps_what_was_typed(as_owner, ash, felling):
    answer = as_owner.post("/wood/fellings/add", typed(ash, where="<b>Invented</b> Down"))
    assert answer.status_code == 422
    text = answer.content.decode()
    assert "Another piece bears the tag 25-001." in text
    assert "&lt;b&gt;Invented&lt;/b&gt; Down" in text
    assert Felling.objects.count() == 1


@pytest.mark.parametrize(
    ("field", "text"),
    [
        ("many", "0"),
        ("many", "1000"),
        ("many", "some"),
        ("length_m", "-3"),
        ("length_m", "NaN"),
        ("length_m", "280 ft"),
        ("length_m", "1e9"),
        ("happened_on", "2999"),
        ("happened_on", "the other day"),
        ("timber", "999999"),
        ("came_by", "stolen"),
        ("first_tag", "x" * 25),
        ("first_tag", "a\x07b"),
        ("where", "x" * 10_000),
        ("cost_minor", "-3"),
        ("cost_minor", "a lot"),
    ],
)
def test_bad_input_is_refused_beside_its_field(as_owner, ash, field, text):
    answer = as_owner.post("/wood/fellings/add", typed(ash, **{field: text}))
    assert answer.status_code == 422
    assert field in answer.context["form"].errors
    assert not Felling.objects.exists()
    assert not Stave.objects.exists()


def test_the_cost_is_for_those_who_may_see_money(client, owner, maker, helper, shop, ash):
    felling = came(owner, ash, cost_minor=12345)
    seen = {}
    for member in (owner, maker, helper):
        client.force_login(member, backend="django.contrib.auth.backends.ModelBackend")
        pages = [client.get(f"/wood/fellings/{felling.pk}").content.decode()]
        if member != helper:
            pages.append(client.get(f"/wood/fellings/{felling.pk}/change").content.decode())
        seen[member.role] = "123.45" in "".join(pages)
    assert seen == {"owner": True, "maker": False, "helper": False}


def test_whoever_sees_a_record_reads_what_changed_in_it_and_prices_if_he_may_see_money(
    client, owner, helper, ash
):
    felling = came(owner, ash, cost_minor=12345)
    felling_change(felling=felling, by=owner, cost_minor=54321, where="Upper wood")
    address = reverse("record-history", args=["staves.felling", felling.pk])
    for member, prices in ((owner, True), (helper, False)):
        client.force_login(member, backend="django.contrib.auth.backends.ModelBackend")
        for page in (f"/wood/fellings/{felling.pk}", address):
            changes = client.get(page).content.decode().split('class="changes"')[1]
            assert "Upper wood" in changes
            assert ("cost" in changes) is prices


def test_a_maker_who_may_not_see_the_cost_does_not_blank_it(client, owner, maker, ash):
    felling = came(owner, ash, cost_minor=12345)
    client.force_login(maker, backend="django.contrib.auth.backends.ModelBackend")
    change = {
        "timber": ash.pk,
        "came_by": "tree",
        "happened_on": "2025-01-12",
        "where": "Elsewhere",
        "version": 1,
    }
    assert client.post(f"/wood/fellings/{felling.pk}/change", change).status_code == 302
    felling.refresh_from_db()
    assert (felling.where, felling.cost_minor) == ("Elsewhere", 12345)


def test_two_people_changing_a_felling_see_each_other(as_owner, maker, ash, felling):
    felling_change(felling=felling, by=maker, seen=1, where="Upper wood")
    change = {
        "timber": ash.pk,
        "came_by": "tree",
        "happened_on": "2025-01-12",
        "where": "Lower wood",
        "version": 1,
    }
    answer = as_owner.post(f"/wood/fellings/{felling.pk}/change", change)
    assert answer.status_code == 422
    text = answer.content.decode()
    assert "Jory Penhale changed this" in text
    assert "Lower wood" in text


# --- the day it was felled ---


def redated(client, felling, day):
    page = client.get(f"/wood/fellings/{felling.pk}/change")
    typed = {
        "timber": felling.timber_id,
        "came_by": "tree",
        "where": felling.where,
        "version": page.context["form"]["version"].value(),
        "happened_on": day,
    }
    return client.post(f"/wood/fellings/{felling.pk}/change", typed)


def test_the_day_of_felling_is_not_moved_past_what_was_written_since(as_owner, owner, felling, stave):
    moisture_add(stave=stave, by=owner, reading_pct=30, happened_on=dt.date(2025, 3, 14))
    answer = redated(as_owner, felling, "2025-04-01")
    assert answer.status_code == 422
    assert "Readings were written before that day: 25-001, 14 Mar 2025." in answer.content.decode()
    assert "2025-04-01" in answer.content.decode()  # what was typed stays
    felling.refresh_from_db()
    assert felling.happened_on == FELLED


def test_up_to_the_first_reading_it_may_be_moved(as_owner, owner, felling, stave):
    moisture_add(stave=stave, by=owner, reading_pct=30, happened_on=dt.date(2025, 3, 14))
    assert redated(as_owner, felling, "2025-03-14").status_code == 302
    felling.refresh_from_db()
    assert felling.happened_on == dt.date(2025, 3, 14)


def test_a_reading_known_only_to_its_month_or_year_does_not_hold_the_day(as_owner, owner, felling, stave):
    moisture_add(
        stave=stave, by=owner, reading_pct=30, happened_on=dt.date(2025, 3, 1), happened_to="m"
    )  # fmt: skip
    moisture_add(stave=stave, by=owner, reading_pct=30, happened_on=dt.date(2025, 1, 1), happened_to="y")
    assert redated(as_owner, felling, "2025-03-20").status_code == 302
    assert redated(as_owner, felling, "2025-04-01").status_code == 422


def test_a_struck_reading_does_not_hold_the_day(as_owner, owner, felling, stave):
    wrong = moisture_add(stave=stave, by=owner, reading_pct=30, happened_on=dt.date(2025, 2, 1))
    entry_strike(wrong, by=owner)
    assert redated(as_owner, felling, "2025-04-01").status_code == 302


def test_a_felling_moved_later_can_be_changed_again(as_owner, felling, stave):
    assert redated(as_owner, felling, "2025-01-20").status_code == 302
    assert redated(as_owner, felling, "2025-01-20").status_code == 302
    assert redated(as_owner, felling, "2025-01-25").status_code == 302


def test_a_piece_carried_since_holds_the_day(as_owner, owner, felling, stave):
    loft = place_add(by=owner, name="Loft", walk=2)
    stave_carry(stave=stave, place=loft, by=owner, happened_on=dt.date(2025, 2, 1))
    assert redated(as_owner, felling, "2025-01-20").status_code == 302
    assert "25-001, 1 Feb 2025" in redated(as_owner, felling, "2025-03-01").content.decode()


# --- one piece bears a tag, in small letters or in capitals, whatever the database folds ---


@pytest.mark.parametrize(("tag", "again"), [("Ash-1", "aSH-1"), ("É-1", "é-1"), ("Æ 7", "æ 7")])
def test_a_tag_in_capitals_is_the_same_tag(owner, ash, tag, again):
    came = {"by": owner, "timber": ash, "came_by": "gift", "happened_on": FELLED, "many": 1}
    felling_add(**came, first_tag=tag)
    with pytest.raises(ValidationError) as refused:
        felling_add(**came, first_tag=again)
    assert f"Another piece bears the tag {again}." in refused.value.message_dict["first_tag"][0]
    other = felling_add(**came, first_tag="other").staves.get()
    with pytest.raises(ValidationError) as refused:
        stave_change(stave=other, by=owner, tag=again)
    assert refused.value.message_dict == {"tag": ["Another piece bears this tag."]}


def test_a_piece_may_change_the_capitals_of_its_own_tag(owner, ash):
    came = {"by": owner, "timber": ash, "came_by": "gift", "happened_on": FELLED, "many": 1}
    piece = felling_add(**came, first_tag="É-1").staves.get()
    assert stave_change(stave=piece, by=owner, tag="é-1").tag == "é-1"
