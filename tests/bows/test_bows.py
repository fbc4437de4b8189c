"""A bow from its wood to its end: what it is made of, how it steps, and who may."""

import datetime as dt
import uuid

import pytest
from django.core.exceptions import ValidationError

from workshop.bows.models import Bow, Piece, StageMove
from workshop.bows.services.bows import bow_change, bow_start, upper_decide
from workshop.bows.services.pieces import piece_add
from workshop.bows.services.stages import stage_step, ticks_add
from workshop.calc.imperial import INCH_M
from workshop.ledger.models import Change
from workshop.ledger.services import entry_strike
from workshop.staves.services import stave_split, stave_step

pytestmark = pytest.mark.django_db
DAY = dt.date(2026, 3, 14)


def end(bow, by, stage="broken"):
    return stage_step(bow=bow, stage=stage, cause="the back lifted", where="limb A, 9 in out", by=by)


def test_a_bow_without_a_number_takes_the_next(owner, begin):
    year = f"{dt.date.today():%y}"
    begin(number=f"{year}-07")
    assert begin().number == f"{year}-08"


def test_two_bows_do_not_bear_one_number_whatever_the_case(owner, begin):
    begin(number="yew-1")
    with pytest.raises(ValidationError) as refused:
        begin(number="YEW-1")
    assert "number" in refused.value.message_dict


def test_a_form_that_comes_twice_begins_one_bow(owner):
    key = uuid.uuid4()
    first, second = (bow_start(by=owner, entry_key=key) for _ in range(2))
    assert first == second
    assert Bow.objects.count() == 1


def test_taking_a_stave_brings_it_to_the_bench_and_finishing_the_bow_uses_it_up(owner, begin, staves):
    bow = begin(staves[0])
    staves[0].refresh_from_db()
    assert staves[0].state == "bench"
    stage_step(bow=bow, stage="ready", by=owner)
    staves[0].refresh_from_db()
    assert staves[0].state == "used"


def state_of(stave):
    stave.refresh_from_db()
    return stave.state


@pytest.mark.parametrize("was", ["seasoning", "ready"])
def test_a_stave_named_for_a_bow_by_mistake_is_again_what_it_was(owner, begin, staves, was):
    if was == "ready":
        stave_step(stave=staves[0], state=was, by=owner)
    bow = begin(staves[0], number="26-01")
    entry_strike(bow.pieces.get(), by=owner)
    assert state_of(staves[0]) == was
    assert staves[0].state_moves.last().cause == "not in bow 26-01 after all"
    begin(staves[0], number="26-02")
    assert state_of(staves[0]) == "bench"


@pytest.mark.parametrize("was", ["seasoning", "ready"])
def test_a_stave_that_a_finished_bow_was_not_made_of_is_not_used_up(owner, begin, staves, was):
    if was == "ready":
        stave_step(stave=staves[0], state=was, by=owner)
    bow = begin(staves[0])
    stage_step(bow=bow, stage="ready", by=owner)
    entry_strike(bow.pieces.get(), by=owner)
    assert state_of(staves[0]) == was


def test_a_stave_stays_at_the_bench_while_another_piece_is_of_it(owner, begin, staves):
    bow = begin(staves[0])
    overlay = piece_add(bow=bow, stave=staves[0], part="overlay", by=owner, happened_on=DAY)
    entry_strike(bow.pieces.get(part="whole"), by=owner)
    assert state_of(staves[0]) == "bench"
    entry_strike(overlay, by=owner)
    assert state_of(staves[0]) == "seasoning"


def test_what_became_of_a_stave_otherwise_is_not_taken_back_with_the_piece(owner, begin, staves):
    by_hand, culled, cut = staves
    stave_step(stave=by_hand, state="bench", by=owner)
    bows = [begin(stave, number=f"26-{stave.tag}") for stave in staves]
    stave_step(stave=culled, state="culled", cause="a check", by=owner)
    stave_split(stave=cut, by=owner, many=2, happened_on=DAY)
    for bow in bows:
        entry_strike(bow.pieces.get(), by=owner)
    assert [state_of(stave) for stave in staves] == ["bench", "culled", "used"]


def test_the_sound_part_of_a_broken_bow_is_still_that_bows_when_the_new_one_goes_without(
    owner, begin, staves
):
    old = begin(staves[0], number="26-01")
    end(old, owner)
    new = begin(number="26-02")
    entry_strike(piece_add(bow=new, stave=staves[0], part="limb-a", by=owner, happened_on=DAY), by=owner)
    assert state_of(staves[0]) == "bench" and old.pieces.standing().exists()


def test_a_solid_stave_makes_one_bow(owner, begin, staves):
    begin(staves[0], number="26-01")
    with pytest.raises(ValidationError) as refused:
        begin(staves[0], number="26-02")
    assert "24-001 is in bow 26-01 already" in str(refused.value.message_dict["staves"])
    assert not Bow.objects.filter(number="26-02").exists()


def test_beside_the_field_a_stave_used_twice_is_refused(owner, begin, staves):
    begin(staves[0])
    other = begin()
    with pytest.raises(ValidationError) as refused:
        piece_add(bow=other, stave=staves[0], part="limb-a", happened_on=DAY, by=owner)
    assert "stave" in refused.value.message_dict


def test_a_sound_limb_of_a_broken_bow_is_used_again(owner, begin, staves):
    bow = begin(staves[0])
    end(bow, owner)
    other = begin()
    piece_add(bow=other, stave=staves[0], part="limb-b", happened_on=DAY, by=owner)
    assert [piece.bow for piece in Piece.objects.filter(stave=staves[0])] == [bow, other]


def test_a_limb_of_a_finished_bow_that_broke_later_is_used_again_though_its_wood_was_used_up(
    owner, begin, staves
):
    bow = begin(staves[0])
    stage_step(bow=bow, stage="ready", by=owner)
    end(bow, owner)
    piece = piece_add(bow=begin(), stave=staves[0], part="limb-a", happened_on=DAY, by=owner)
    assert piece.pk


def test_a_stave_that_was_sold_makes_no_bow(owner, begin, staves):
    stave_step(stave=staves[0], state="sold", by=owner)
    with pytest.raises(ValidationError) as refused:
        begin(staves[0])
    assert "sold" in str(refused.value.message_dict["staves"])


def test_a_bow_is_not_begun_before_its_tree_was_felled(owner, begin, staves):
    with pytest.raises(ValidationError) as refused:
        begin(staves[0], started_on=dt.date(2023, 5, 1))
    assert "started_on" in refused.value.message_dict


@pytest.mark.parametrize(
    ("make_up", "parts"),
    [
        ("self", [("whole", None)]),
        ("backed", [("whole", None), ("backing", None)]),
        ("laminated", [("layer", 1), ("layer", 2), ("layer", 3)]),
        ("spliced", [("limb-a", None), ("limb-b", None)]),
    ],
)
def test_the_pieces_take_their_part_from_the_make_up(owner, begin, staves, make_up, parts):
    bow = begin(*staves[: len(parts)], make_up=make_up)
    assert [(piece.part, piece.layer) for piece in bow.pieces.all()] == parts


def test_a_self_bow_is_one_piece(owner, begin, staves):
    with pytest.raises(ValidationError, match="at most 1"):
        begin(*staves[:2], make_up="self")


def test_an_old_notebooks_bow_has_no_wood_and_perhaps_no_date(owner):
    bow = bow_start(by=owner, origin="notebook", timber_words="yew, from the old orchard")
    assert bow.started_on is None
    assert bow.pieces.count() == 0


def test_a_bow_that_was_begun_before_the_ledger_enters_at_its_stage(owner, begin, staves):
    bow = begin(staves[0], stage="ready")
    assert [(move.was, move.stage) for move in bow.stage_moves.all()] == [("", "ready")]
    staves[0].refresh_from_db()
    assert staves[0].state == "used"


def test_another_makers_bow_is_not_signed_with_our_name(owner):
    assert bow_start(by=owner, origin="other").maker == ""
    assert bow_start(by=owner).maker == owner.name


def test_a_bow_steps_back_and_that_is_written(owner, bow):
    stage_step(bow=bow, stage="tillering", by=owner)
    stage_step(bow=bow, stage="roughing", by=owner)
    moves = [(move.was, move.stage) for move in StageMove.objects.filter(bow=bow)]
    assert moves == [("", "laid-out"), ("laid-out", "tillering"), ("tillering", "roughing")]
    assert Change.objects.filter(record="bows.bow", record_id=bow.pk).count() == 3


@pytest.mark.parametrize("stage", ["broken", "given-up"])
def test_an_end_wants_its_cause_and_place(owner, bow, stage):
    with pytest.raises(ValidationError) as refused:
        stage_step(bow=bow, stage=stage, by=owner)
    assert set(refused.value.message_dict) == {"cause", "where"}
    assert Bow.objects.get().stage == "laid-out"


def test_the_upper_limb_is_decided_late_and_turned_round_later(owner, bow):
    upper_decide(bow=bow, limb="A", happened_on=DAY, by=owner)
    upper_decide(bow=bow, limb="B", happened_on=DAY + dt.timedelta(days=3), by=owner)
    assert [each.limb for each in bow.upper_decisions.all()] == ["A", "B"]


def test_a_grip_as_long_as_the_bow_is_refused(owner, bow):
    with pytest.raises(ValidationError) as refused:
        bow_change(bow=bow, by=owner, grip_m=68 * INCH_M, grip_above_m=34 * INCH_M)
    assert "grip_m" in refused.value.message_dict


def test_a_line_is_ticked_once_and_only_where_it_stands(owner, bow):
    ticks_add(bow=bow, by=owner, stage="laid-out", lines=["dry", "back"], happened_on=DAY)
    assert not ticks_add(bow=bow, by=owner, stage="laid-out", lines=["dry"], happened_on=DAY)
    with pytest.raises(ValidationError):
        ticks_add(bow=bow, by=owner, stage="laid-out", lines=["final"], happened_on=DAY)


@pytest.mark.parametrize("state", ["seasoning", "ready", "sold", "given"])
def test_wood_that_is_a_bow_goes_neither_back_to_the_store_nor_to_a_buyer(owner, begin, staves, state):
    bow = begin(staves[0], number="26-07")
    with pytest.raises(ValidationError) as refused:
        stave_step(stave=staves[0], state=state, cause="told", by=owner)
    assert "24-001 is in bow 26-07." in refused.value.message_dict["state"][0]
    end(bow, owner)
    assert stave_step(stave=staves[0], state=state, cause="told", by=owner).state == state


def test_a_board_that_gave_a_layer_may_go_back_to_the_store(owner, begin, staves):
    begin(staves[0], number="26-07", make_up="laminated")
    assert stave_step(stave=staves[0], state="ready", by=owner).state == "ready"
