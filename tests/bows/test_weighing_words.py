"""The words of a weigh-in, from facts alone: no database, no page."""

import datetime as dt

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from workshop.bows.models import Bow, WeighIn, WeighPoint
from workshop.bows.models.weighing import Purpose, Strung
from workshop.bows.weighing.forecasts import limit_n, series_m, thumb_before_pull
from workshop.bows.weighing.page import facts_of
from workshop.bows.weighing.passes import Pass, Weighings
from workshop.bows.weighing.picture import draw_curve, pass_names
from workshop.bows.weighing.sentences import sentence
from workshop.bows.weighing.words import At, Facts, Rest, Word, words_of
from workshop.calc.imperial import INCH_M, POUND_N
from workshop.calc.weighin import Lighter
from workshop.ledger.models import Shop
from workshop.ledger.models.shop import DrawFrom
from workshop.ledger.units import UnitsInUse

DAY = dt.date(2026, 3, 14)
AT = At(1, 26 * INCH_M, 41 * POUND_N)
DRAWS = ("draw", "wanted", "over", "braced", "before_draw", "from")
WEIGHTS = ("force", "limit", "now", "was", "loss", "first", "before", "expected")
MEASURES = dict.fromkeys(DRAWS, (0.66, "draw")) | dict.fromkeys(WEIGHTS, (180.0, "force"))
PLAIN = {"on": "3 Mar 2026", "shots": 150, "work": "steamed", "until": DAY, "times": 1.6}
PLACES = {"measured": "the belly of the grip", "ordered": "the back of the bow"}
CODES = [
    "dying", "past_limit", "past_draw", "resting", "long_string", "final_not_full", "twice", "short_of_brace",
    "below_before", "jump", "unlike_last", "heavier", "stacking", "converted", "not_converted_no_grip_depth",
    "not_converted_no_axis_depth",
]  # fmt: skip


@pytest.mark.parametrize("system", ["imperial", "metric"])
@pytest.mark.parametrize("code", CODES)
def test_every_word_has_its_sentence(code, system):
    said = sentence(Word(code, 1, {**MEASURES, **PLAIN, **PLACES}), UnitsInUse(system))
    assert said.head and said.reason.endswith((".", "?")) and "%" not in said.reason
    assert "safe" not in (said.head + said.reason).lower()


def test_dying_wood_says_what_it_was_and_when():
    lighter = Lighter(True, 26 * INCH_M, 44 * POUND_N, 41 * POUND_N, 2.0, True, "")
    (word,) = words_of(
        Facts(points=(AT,), change=lighter, dying=True, compared_on="3 Mar 2026", shots_between=150)
    )
    said = sentence(word, UnitsInUse("imperial")).reason.replace("\xa0", " ")
    assert said.startswith("41 lb at 26 in; on 3 Mar 2026 it was 44 lb at the same brace")
    assert "150 arrows" in said and word.point == 1


def test_the_gravest_word_comes_first():
    lighter = Lighter(True, AT.draw_m, 60 * POUND_N, AT.force_n, 2.0, True, "")
    facts = Facts(
        points=(AT,),
        limit_n=40 * POUND_N,
        wanted_then_m=25 * INCH_M,
        change=lighter,
        dying=True,
        rests=(Rest("steamed", DAY),),
    )
    assert [word.code for word in words_of(facts)] == ["dying", "past_limit", "past_draw", "resting"]


def test_nothing_known_says_nothing():
    assert words_of(Facts()) == []


draws = st.floats(0.0254, 1.016)
forces = st.floats(0.01, 1334.0)


def passes(pk: int, bow: Bow):
    """Any weigh-in a form lets through, with any points in any order, some struck."""

    def build(head, points):
        weigh_in = WeighIn(pk=pk, bow=bow, happened_on=DAY, **head)
        kept = (
            WeighPoint(pk=pk * 100 + i, draw_m=draw, force_n=force, struck_at=DAY if struck else None)
            for i, (draw, force, struck) in enumerate(points)
        )
        return Pass(bow, weigh_in, tuple(kept))

    head = st.fixed_dictionaries(
        {
            "purpose": st.sampled_from(Purpose.values),
            "strung": st.sampled_from(Strung.values),
            "draw_from": st.sampled_from(DrawFrom.values),
            "brace_m": st.none() | st.floats(0.0, 0.4064),
            "grip_depth_m": st.none() | st.floats(0.0001, 0.6),
        }
    )
    return st.builds(build, head, st.lists(st.tuples(draws, forces, st.booleans()), max_size=6))


@st.composite
def bows(draw):
    kind = draw(st.sampled_from(["compass", "stiff"]))
    bow = Bow(kind=kind, draw_from=draw(st.sampled_from(DrawFrom.values)), number="26-07")
    bow.wanted_n, bow.wanted_draw_m = draw(st.none() | forces), draw(st.none() | draws)
    return Weighings(bow, (draw(passes(1, bow)), draw(passes(2, bow))), ())


@settings(max_examples=150, deadline=None, derandomize=True)
@given(bows())
def test_whatever_was_typed_the_page_has_words_for_it(known):
    units, limit = UnitsInUse("imperial"), limit_n(known.bow, Shop())
    for one in known.passes:
        facts = facts_of(known, one, Shop())
        for word in words_of(facts):
            assert sentence(word, units).reason
        assert thumb_before_pull(known, one, units.system, limit) is not None
        unknown = known.bow.wanted_draw_m is not None and one.wanted_draw_m is None
        assert bool(series_m(one, units.system)) is not unknown
        assert one.energy is None or one.energy.curve_j >= 0
        assert draw_curve(one, units, earlier=[known.passes[0]], names=pass_names(known), limit_n=limit).svg
