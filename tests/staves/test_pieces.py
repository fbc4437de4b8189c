"""Pieces are split, carried, culled; their states change by allowed steps only."""

import datetime as dt

import pytest
from django.core.exceptions import ValidationError

from workshop.ledger.services import entry_strike
from workshop.staves.models import StateMove, Stave, StaveMove, StaveWork
from workshop.staves.models.staves import GONE, STEPS, StaveState
from workshop.staves.services import moisture_add, place_add, stave_carry, stave_split, stave_step

from .conftest import FELLED

pytestmark = pytest.mark.django_db
LATER = FELLED + dt.timedelta(days=40)


def test_pieces_cut_from_a_piece_remember_it(owner, stave):
    pieces = stave_split(stave=stave, by=owner, many=2, happened_on=LATER, length_m=1.8)
    assert [p.tag for p in pieces] == ["25-001/1", "25-001/2"]
    assert {p.parent_id for p in pieces} == {stave.pk}
    assert {p.place_id for p in pieces} == {stave.place_id}
    stave.refresh_from_db()
    assert stave.state == StaveState.USED
    assert StaveWork.objects.get().starts_a_series


def test_a_stave_that_was_split_does_not_come_back_beside_its_halves(owner, stave):
    first, second = stave_split(stave=stave, by=owner, many=2, happened_on=LATER)
    stave.refresh_from_db()
    with pytest.raises(ValidationError, match="25-001/1, 25-001/2, which stand in its place"):
        stave_step(stave=stave, state=StaveState.SEASONING, by=owner)
    for half in (first, second):
        stave_step(stave=half, state=StaveState.LOST, cause="never were", by=owner)
    stave_step(stave=stave, state=StaveState.SEASONING, by=owner)


def test_a_strip_taken_off_leaves_the_piece(owner, stave):
    stave_split(stave=stave, by=owner, many=1, happened_on=LATER, used_up=False, form="strip")
    stave.refresh_from_db()
    assert stave.state == StaveState.SEASONING


def test_pieces_are_not_longer_than_what_they_are_cut_from(owner, stave):
    with pytest.raises(ValidationError) as refused:
        stave_split(stave=stave, by=owner, many=2, happened_on=LATER, length_m=2.5)
    assert "length_m" in refused.value.message_dict
    assert Stave.objects.count() == 3


def test_the_page_shows_parent_pieces_and_sisters(as_owner, owner, stave):
    first, second = stave_split(stave=stave, by=owner, many=2, happened_on=LATER)
    parent, child = (as_owner.get(f"/wood/pieces/{s.pk}").content.decode() for s in (stave, first))
    assert first.tag in parent
    assert stave.tag in child
    assert second.tag in child


def test_splitting_sent_twice_is_one_splitting(as_owner, stave):
    page = as_owner.get(f"/wood/pieces/{stave.pk}/split")
    key = page.context["form"]["entry_key"].value()
    typed = {"many": 2, "first_tag": "25-001/1", "form": "stave", "happened_on": "today", "entry_key": key}
    for _ in range(2):
        assert as_owner.post(f"/wood/pieces/{stave.pk}/split", typed).status_code == 302
    assert stave.pieces.count() == 2


@pytest.mark.parametrize("was", list(STEPS))
@pytest.mark.parametrize("to", StaveState.values)
def test_only_the_allowed_steps_are_taken(owner, stave, was, to):
    route = {StaveState.SEASONING: []}.get(was, [was])
    for state in route:
        stave_step(stave=stave, state=state, cause="told", by=owner)
    stave.refresh_from_db()
    if to == was:
        stave_step(stave=stave, state=to, cause="told", by=owner)
    elif to in STEPS[was]:
        assert stave_step(stave=stave, state=to, cause="told", by=owner).state == to
    else:
        with pytest.raises(ValidationError) as refused:
            stave_step(stave=stave, state=to, cause="told", by=owner)
        assert "state" in refused.value.message_dict
        stave.refresh_from_db()
        assert stave.state == was


def test_culling_wants_a_cause(owner, stave):
    with pytest.raises(ValidationError) as refused:
        stave_step(stave=stave, state="culled", by=owner)
    assert "cause" in refused.value.message_dict
    culled = stave_step(stave=stave, state="culled", cause="ring shake", by=owner)
    assert culled.state == "culled"
    assert StateMove.objects.get().cause == "ring shake"


def test_a_piece_lies_where_it_was_carried_last_by_its_day(owner, stave, shed):
    loft = place_add(by=owner, name="Loft", walk=2)
    stave_carry(stave=stave, place=loft, by=owner, happened_on=LATER)
    stave_carry(stave=stave, place=shed, by=owner, happened_on=FELLED + dt.timedelta(days=2))
    stave.refresh_from_db()
    assert stave.place == loft
    assert StaveMove.objects.filter(stave=stave).count() == 3


def test_a_carrying_written_by_a_slip_is_struck_and_the_piece_lies_where_it_lay(as_owner, owner, stave, shed):
    loft = place_add(by=owner, name="Loft", walk=2)
    right = stave_carry(stave=stave, place=loft, by=owner, happened_on=LATER)
    slip = stave_carry(stave=stave, place=shed, by=owner, happened_on=LATER + dt.timedelta(days=300))
    for struck, place in ((slip, loft), (right, shed)):
        address = f"/strike/staves.stavemove/{struck.pk}"
        assert address in as_owner.get(f"/wood/pieces/{stave.pk}").content.decode()
        as_owner.post(address, {"reason": "mistyped"})
        stave.refresh_from_db()
        assert stave.place == place
    sheet = as_owner.get(f"/wood/pieces/{stave.pk}").context["sheet"]
    assert [stay.move.place for stay in sheet.stays] == [shed]


def test_a_piece_whose_only_laying_down_is_struck_lies_nowhere_known(owner, stave):
    entry_strike(stave.moves.get(), by=owner)
    stave.refresh_from_db()
    assert stave.place is None


def test_nothing_happens_to_a_piece_before_its_tree_was_felled(owner, stave):
    with pytest.raises(ValidationError) as refused:
        moisture_add(stave=stave, by=owner, reading_pct=12, happened_on=FELLED - dt.timedelta(days=1))
    assert "12 Jan 2025" in refused.value.message_dict["happened_on"][0]


def test_only_a_year_counts_to_its_end(owner, stave):
    assert moisture_add(
        stave=stave, by=owner, reading_pct=40, happened_on=dt.date(2025, 1, 1), happened_to="y"
    ).pk


def test_a_helper_reads_but_does_not_make_change_or_cull(client, helper, felling, stave, ash, shed):
    client.force_login(helper, backend="django.contrib.auth.backends.ModelBackend")
    for path in (
        "fellings/add",
        f"fellings/{felling.pk}/change",
        f"fellings/{felling.pk}/pieces",
        f"pieces/{stave.pk}/change",
        f"pieces/{stave.pk}/split",
        "timbers/add",
        f"timbers/{ash.pk}/change",
        f"timbers/{ash.pk}/value/moe_12_pa",
        "places/add",
        f"places/{shed.pk}/change",
    ):
        assert client.get(f"/wood/{path}").status_code == 403, path
        assert client.post(f"/wood/{path}", {}).status_code == 403, path
    for path in (
        f"pieces/{stave.pk}/write/moisture",
        f"pieces/{stave.pk}/carry",
        f"places/{shed.pk}/climate",
        "round",
    ):
        assert client.get(f"/wood/{path}").status_code == 200, path


def test_a_helper_finds_only_seasoning_and_ready_among_the_states(client, helper, stave):
    client.force_login(helper, backend="django.contrib.auth.backends.ModelBackend")
    page = client.get(f"/wood/pieces/{stave.pk}/state")
    assert [value for value, label in page.context["form"].fields["state"].choices] == ["ready"]
    key = page.context["form"]["entry_key"].value()
    typed = {"state": "culled", "cause": "spite", "happened_on": "today", "entry_key": key}
    assert client.post(f"/wood/pieces/{stave.pk}/state", typed).status_code == 422
    stave.refresh_from_db()
    assert stave.state == "seasoning"


@pytest.mark.parametrize("was", [StaveState.BENCH, *GONE])
def test_a_helper_takes_no_piece_from_the_bench_and_brings_none_back(client, helper, owner, stave, was):
    stave_step(stave=stave, state=was, cause="told", by=owner)
    client.force_login(helper, backend="django.contrib.auth.backends.ModelBackend")
    assert f"/wood/pieces/{stave.pk}/state" not in client.get(f"/wood/pieces/{stave.pk}").content.decode()
    page = client.get(f"/wood/pieces/{stave.pk}/state")
    assert "an owner or maker takes it" in page.content.decode()
    key = page.context["form"]["entry_key"].value()
    typed = {"state": "seasoning", "happened_on": "today", "entry_key": key}
    assert client.post(f"/wood/pieces/{stave.pk}/state", typed).status_code == 422
    stave.refresh_from_db()
    assert stave.state == was


def test_nobody_signed_in_sees_no_wood(client, stave):
    for path in ("/wood/", f"/wood/pieces/{stave.pk}", "/wood/round"):
        assert client.get(path).url.startswith("/sign-in")


def test_a_tag_may_be_changed_but_not_to_another_piece_s(as_owner, stave):
    typed = {"version": 1, "tag": "25-002", "form": "stave", "length_m": "70"}
    answer = as_owner.post(f"/wood/pieces/{stave.pk}/change", typed)
    assert answer.status_code == 422
    assert "tag" in answer.context["form"].errors
    assert as_owner.post(f"/wood/pieces/{stave.pk}/change", {**typed, "tag": "25-900"}).status_code == 302
    assert "25-001" in as_owner.get(f"/wood/pieces/{stave.pk}").content.decode()  # in its history
