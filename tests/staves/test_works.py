"""Work on a piece: the record follows it, and goes back when it is struck out."""

import datetime as dt
import uuid

import pytest

from workshop.ledger.services import entry_strike, history
from workshop.ledger.units import UnitsInUse
from workshop.staves.models import StaveWork
from workshop.staves.models.staves import GONE, StaveState
from workshop.staves.services import stave_change, stave_split, stave_step, stave_work_add

from .conftest import FELLED

pytestmark = pytest.mark.django_db
LATER = FELLED + dt.timedelta(days=40)


def worked(stave, by, work, **values):
    return stave_work_add(stave=stave, by=by, work=work, happened_on=LATER, **values)


def said(stave):
    stave.refresh_from_db()
    return stave.bark_on, stave.sealed, stave.length_m


def test_work_struck_out_leaves_the_piece_as_it_was_before(owner, stave):
    done = [
        worked(stave, owner, "debarked"),
        worked(stave, owner, "sealed"),
        worked(stave, owner, "cut", length_m=0.18),  # 1.8 was meant
    ]
    assert said(stave) == (False, True, 0.18)
    for work in done:
        entry_strike(work, by=owner)
    assert said(stave) == (True, False, 1.8)
    assert "struck out: bark taken off" in [change.deed for change in history(stave)]


def test_a_cut_says_how_long_the_piece_was_then(as_owner, owner, stave):
    worked(stave, owner, "cut", length_m=0.18)
    page = as_owner.get(f"/wood/pieces/{stave.pk}").content.decode()
    assert f'<td data-label="Length then">{UnitsInUse("imperial").show(0.18, "length")}</td>' in page


def test_what_was_changed_by_hand_since_stays(owner, stave):
    cut = worked(stave, owner, "cut", length_m=0.18)
    stave_change(stave=stave, by=owner, length_m=1.75)
    entry_strike(cut, by=owner)
    assert said(stave) == (True, False, 1.75)


@pytest.mark.parametrize("order", [(0, 1), (1, 0)])
def test_of_two_cuts_each_may_be_struck_first(owner, stave, order):
    cuts = [worked(stave, owner, "cut", length_m=length) for length in (1.7, 1.6)]
    first, then = (cuts[n] for n in order)
    entry_strike(first, by=owner)
    assert said(stave)[2] == (1.6 if first is cuts[0] else 1.7)
    entry_strike(then, by=owner)
    assert said(stave)[2] == 1.8


def test_bark_written_off_twice_is_off_until_both_are_struck(owner, stave):
    first, second = (worked(stave, owner, "debarked") for _ in range(2))
    entry_strike(first, by=owner)
    assert said(stave)[0] is False
    entry_strike(second, by=owner)
    assert said(stave)[0] is True


def test_a_splitting_is_not_struck_while_its_pieces_lie_in_the_store(as_owner, owner, stave):
    pieces = stave_split(stave=stave, by=owner, many=2, happened_on=LATER)
    split = StaveWork.objects.get()
    address = f"/strike/staves.stavework/{split.pk}"
    sent = {"next": f"/wood/pieces/{stave.pk}", "reason": "not cut after all"}
    page = as_owner.post(address, sent, follow=True).content.decode()
    assert "These pieces were cut from it: 25-001/1, 25-001/2." in page
    split.refresh_from_db()
    assert not split.is_struck
    for piece in pieces:
        stave_step(stave=piece, state="culled", cause="was never cut", by=owner)
    as_owner.post(address, sent)
    split.refresh_from_db()
    assert split.is_struck
    stave.refresh_from_db()
    assert stave.state == StaveState.SEASONING


def test_a_ready_piece_not_split_after_all_is_ready_again(owner, stave):
    stave_step(stave=stave, state="ready", by=owner, happened_on=LATER)
    (piece,) = stave_split(stave=stave, by=owner, many=1, happened_on=LATER)
    stave_step(stave=piece, state="lost", cause="was never cut", by=owner)
    entry_strike(StaveWork.objects.get(), by=owner)
    stave.refresh_from_db()
    assert stave.state == StaveState.READY


def test_work_whose_form_comes_twice_is_done_once(owner, stave):
    key = uuid.uuid4()
    first = worked(stave, owner, "cut", length_m=1.7, entry_key=key)
    stave_change(stave=stave, by=owner, length_m=1.65)
    assert worked(stave, owner, "cut", length_m=1.7, entry_key=key) == first
    assert said(stave)[2] == 1.65


@pytest.mark.parametrize("state", GONE)
def test_nothing_is_cut_from_a_piece_that_is_gone(as_owner, owner, stave, state):
    stave_step(stave=stave, state=state, cause="told", by=owner)
    typed = {
        "many": 2,
        "first_tag": "25-001/1",
        "form": "stave",
        "happened_on": "today",
        "entry_key": uuid.uuid4(),
    }
    answer = as_owner.post(f"/wood/pieces/{stave.pk}/split", typed)
    assert answer.status_code == 422
    assert "nothing can be cut from it" in answer.content.decode()
    assert not stave.pieces.exists()
