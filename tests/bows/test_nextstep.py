"""The next step, as a maker would say it (common practice, no source)."""

import datetime as dt
from dataclasses import replace

import pytest

from workshop.bows.models.bow import Stage
from workshop.bows.nextstep import Rest, StepFacts, next_step, step_words
from workshop.calc.imperial import INCH_M, POUND_N
from workshop.ledger.units import UnitsInUse

LB, INCH = POUND_N, INCH_M
TILLERING = StepFacts(
    stage="tillering", strung="full", force_n=30 * LB, draw_m=20 * INCH, wanted_n=45 * LB, wanted_draw_m=28 * INCH,
    tolerance_n=2 * LB, limit_n=48 * LB, next_draw_m=21 * INCH,
)  # fmt: skip


@pytest.mark.parametrize(
    ("facts", "code"),
    [
        (StepFacts(stage="laid-out", wood_known=False), "name_wood"),
        (StepFacts(stage="laid-out", planned=False), "plan"),
        (StepFacts(stage="laid-out", strung="full"), "to_tillering"),
        (StepFacts(stage="roughing", strung="long"), "to_tillering"),
        (StepFacts(stage="laid-out"), "rough_out"),
        (StepFacts(stage="roughing", zero_due=True), "read_zero"),
        (StepFacts(stage="roughing"), "floor_tiller"),
        (StepFacts(stage="tillering"), "long_string"),
        (replace(TILLERING, strung="long"), "low_brace"),
        (TILLERING, "draw_further"),
        (replace(TILLERING, wanted_draw_m=None, next_draw_m=None, draw_unknown=True), "grip_depth"),
        (replace(TILLERING, strung="low", draw_m=22 * INCH), "full_brace"),
        (replace(TILLERING, work_since=True), "weigh_again"),
        (replace(TILLERING, force_n=50 * LB), "too_heavy"),
        (replace(TILLERING, draw_m=28 * INCH, force_n=46 * LB), "shoot_in"),
        (replace(TILLERING, draw_m=28 * INCH, force_n=46 * LB, upper_known=False), "upper"),
        (replace(TILLERING, draw_m=28 * INCH, force_n=41 * LB), "light"),
        (replace(TILLERING, draw_m=28 * INCH, force_n=44 * LB), "light"),  # finishing takes 3 lb more
        (replace(TILLERING, lost=(4 * LB, 24 * INCH)), "dying"),
        (replace(TILLERING, found="chrysal, limb B"), "flaw_found"),
        (replace(TILLERING, overdrawn_m=30 * INCH), "overdrawn"),
        (StepFacts(stage="shooting-in", shots=40, shots_wanted=150), "shoot"),
        (StepFacts(stage="shooting-in", shots=150, shots_wanted=150, set_read=False), "read_set"),
        (StepFacts(stage="shooting-in", shots=150, shots_wanted=150), "finish"),
        (StepFacts(stage="finishing"), "final"),
        (StepFacts(stage="finishing", rated=True), "make_ready"),
        (StepFacts(stage="ready"), "final"),
        (StepFacts(stage="ready", rated=True, ordered=True), "hand_over"),
        (StepFacts(stage="stock"), "find_archer"),
        (StepFacts(stage="stock", ordered=True), "find_archer"),
        (StepFacts(stage="delivered"), "with_owner"),
        (StepFacts(stage="delivered", visiting=True), "look_over"),
        (StepFacts(stage="delivered", visiting=True, looked_over=True), "mend"),
        (StepFacts(stage="broken"), "ended"),
        (StepFacts(stage="broken", wood_at_bench=True), "see_to_wood"),
    ],
)
def test_what_comes_first_is_said_first(facts, code):
    assert next_step(facts).code == code


def test_a_rest_comes_before_any_pull_and_the_longest_counts():
    rests = (Rest("glued", dt.date(2026, 3, 4)), Rest("steamed", dt.date(2026, 3, 9)))
    step = next_step(replace(TILLERING, rests=rests))
    assert step_words(step, UnitsInUse()) == "Let it rest until 9 Mar 2026 (steamed)."


def test_a_flaw_that_has_grown_comes_before_the_rest():
    rests = (Rest("steamed", dt.date(2026, 3, 9)),)
    assert next_step(replace(TILLERING, rests=rests, grown="crack, limb A")).code == "flaw_grown"


def test_a_heavy_bow_is_not_sent_further():
    step = next_step(replace(TILLERING, force_n=50 * LB, draw_m=24 * INCH))
    words = step_words(step, UnitsInUse()).replace("\xa0", " ")
    assert "2 lb past the limit of pull at 24 in" in words


@pytest.mark.parametrize("system", ["imperial", "metric"])
@pytest.mark.parametrize("stage", Stage.values)
def test_every_stage_has_a_step_in_words(stage, system):
    for facts in (
        StepFacts(stage=stage),
        StepFacts(stage=stage, wanted_draw_m=0.7, force_n=1.0, draw_m=0.2, shots_wanted=9),
    ):
        words = step_words(next_step(facts), UnitsInUse(system))
        assert words.strip()
        assert "%(" not in words
