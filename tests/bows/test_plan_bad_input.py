"""What can be no bow is refused beside its field, with what was given; what was typed stays."""

import uuid
from dataclasses import replace

import numpy as np
import pytest
from django.urls import reverse

from tests.bows.conftest import sent
from workshop.bows.models import Dimension
from workshop.bows.plan.refusals import refusal
from workshop.bows.services.pieces import piece_add
from workshop.calc.errors import NoSolution
from workshop.calc.imperial import INCH_M
from workshop.calc.statics import Bow, Limb, draw
from workshop.ledger.services import record_change
from workshop.ledger.units import UnitsInUse
from workshop.staves.services import timbers_seed

pytestmark = pytest.mark.django_db

GOOD = [("3", "1 3/4", "5/8"), ("12", "1 1/2", "9/16"), ("24", "1", "1/2"), ("34", "1/2", "7/16")]


@pytest.fixture
def bow(begin, staves):
    return begin(staves[0], number="26-07", kind="stiff", grip_depth_m=1.75 * INCH_M, section="flat")


def rows(typed, limb="A"):
    return {
        f"{limb}_{name}_{n}": text
        for n, row in enumerate(typed)
        for name, text in zip(("station", "width", "depth"), row, strict=True)
    }


def post(client, bow, a, b=None):
    typed = {"entry_key": str(uuid.uuid4()), **rows(a), **(rows(b, "B") if b else {"alike": "on"})}
    return client.post(reverse("bow-plan-stations", args=[bow.pk]), typed), typed


def test_good_stations_are_written_for_both_limbs(as_owner, bow):
    there, _typed = post(as_owner, bow, GOOD)
    assert there.status_code == 302
    assert Dimension.objects.filter(bow=bow, planned=True).count() == 8


def test_a_form_sent_twice_is_planned_once(as_owner, bow):
    typed = {"entry_key": str(uuid.uuid4()), "alike": "on", **rows(GOOD)}
    for _time in range(2):
        as_owner.post(reverse("bow-plan-stations", args=[bow.pk]), typed)
    assert Dimension.objects.filter(bow=bow).count() == 8


STATIONS = {
    "stations out of order": ([GOOD[1], GOOD[0], *GOOD[2:]], "A_station_1", "3 in does not lie beyond"),
    "the same station twice": ([GOOD[0], GOOD[0], *GOOD[1:]], "A_station_1", "does not lie beyond"),
    "a negative width": ([("3", "-1", "5/8"), *GOOD[1:]], "A_width_0", "below zero"),
    "a depth of zero": ([GOOD[0], ("12", "1 1/2", "0"), *GOOD[2:]], "A_depth_1", "less than can be believed"),
    "one station": ([GOOD[0]], "A_station_0", "1 given: a limb wants two"),
    "no station": ([("", "", "")], "A_station_0", "0 given"),
    "no depth": ([("3", "1 3/4", ""), *GOOD[1:]], "A_depth_0", "This one is missing"),
    "a station beyond the tip": ([*GOOD, ("40", "1/2", "1/2")], "A_station_4", "the nock is at 34 in"),
    "not a measure": ([("three", "1 3/4", "5/8"), *GOOD[1:]], "A_station_0", "cannot be read"),
    "not a number": ([("3", "nan", "5/8"), *GOOD[1:]], "A_width_0", "cannot be read"),
    "a formula": ([("3", "=1+1", "5/8"), *GOOD[1:]], "A_width_0", "cannot be read"),
    "HTML": ([("3", "<b>2</b>", "5/8"), *GOOD[1:]], "A_width_0", "cannot be read"),
    "ten thousand characters": ([("3", "1" * 10_000, "5/8"), *GOOD[1:]], "A_width_0", "too long"),
}


@pytest.mark.parametrize(("typed", "field", "said"), STATIONS.values(), ids=STATIONS)
def test_stations_that_make_no_limb_are_refused_beside_their_field(as_owner, bow, typed, field, said):
    page, sent_typed = post(as_owner, bow, typed)
    assert page.status_code == 422
    form = page.context["stations"]
    assert said in " ".join(form.errors[field]).replace("\xa0", " ")
    kept = page.content.decode()
    assert all(
        form[name].value() == text
        for name, text in sent_typed.items()
        if name in form.fields and name != "alike"
    )
    assert "<b>2</b>" not in kept
    assert not Dimension.objects.filter(bow=bow).exists()


def test_limb_b_is_judged_by_itself_where_it_is_another(as_owner, bow):
    page, _typed = post(as_owner, bow, GOOD, [GOOD[1], GOOD[0]])
    assert page.status_code == 422 and "B_station_1" in page.context["stations"].errors


def test_layers_thicker_than_the_limb_are_refused_beside_the_depth(as_owner, begin, owner):
    timbers_seed()
    bow = begin(number="26-08", kind="stiff", make_up="laminated", grip_depth_m=1.5 * INCH_M)
    for layer, depth in ((1, 0.006), (2, 0.006), (3, None)):
        piece_add(
            bow=bow, by=owner, part="layer", layer=layer, material="White ash", depth_m=depth,
            happened_on=bow.started_on,
        )  # fmt: skip
    page, _typed = post(as_owner, bow, GOOD)
    assert page.status_code == 422
    said = " ".join(page.context["stations"].errors["A_depth_3"]).replace("\xa0", " ")
    assert "7/16 in deep" in said and "15/32 in" in said and "must be thinner" in said


FIRST = {
    "a bow shorter than its draw allows": ({"length_m": "40"}, "length_m", "too short for its draw"),
    "a brace height of zero": ({"brace_m": "0"}, "brace_m", "above zero"),
    "a brace height below zero": ({"brace_m": "-2"}, "brace_m", "below zero"),
    "a brace height above the limb": (
        {"brace_m": "16", "length_m": "38", "wanted_draw_m": "20"},
        "brace_m",
        "",
    ),
    "a draw below the brace height": (
        {"wanted_draw_m": "6", "brace_m": "8"},
        "wanted_draw_m",
        "braced string",
    ),
    "a weight of zero": ({"wanted_n": "0"}, "wanted_n", "above zero"),
    "no weight": ({"wanted_n": ""}, "wanted_n", "Write a measure here"),
    "a strain of zero": ({"strain": "0"}, "strain", "above zero"),
    "a strain below zero": ({"strain": "-1"}, "strain", "above zero"),
    "a strain of 50 %": ({"strain": "50"}, "strain", "more than can be believed"),
    "no depth of the grip": ({"grip_depth_m": ""}, "grip_depth_m", "wants its depth"),
    "a grip thinner than half the limb": ({"grip_depth_m": "1/16"}, "grip_depth_m", "less deep"),
    "a draw of 280 in": ({"wanted_draw_m": "280"}, "wanted_draw_m", "more than can be believed"),
}


@pytest.mark.parametrize(("typed", "field", "said"), FIRST.values(), ids=FIRST)
def test_a_first_plan_that_can_be_no_bow_is_refused_beside_its_field(as_owner, bow, typed, field, said):
    where = reverse("bow-plan-begin", args=[bow.pk])
    data = {**sent(as_owner.get(where)), **typed}
    page = as_owner.post(where, data)
    assert page.status_code == 422
    form = page.context["form"]
    assert field in form.errors, form.errors
    assert said in " ".join(form.errors[field])
    assert all(form[name].value() == data[name] for name in typed)
    bow.refresh_from_db()
    assert not Dimension.objects.filter(bow=bow).exists() and bow.version == 1


SUPPOSED = {
    "a stiffness of zero": ({"modulus": "0"}, "modulus", "less than can be believed"),
    "green wood": ({"moisture": "40"}, "moisture", "above fibre saturation"),
    "a moisture below zero": ({"moisture": "-3"}, "moisture", "below zero"),
    "a natural bend that already touches the string": ({"follow": "9"}, "follow", "touch"),
    "a natural bend steeper than the limb": ({"follow": "-19"}, "follow", ""),
    "an arrow of nothing": ({"arrow": "0"}, "arrow", "less than can be believed"),
    "five plans": (
        {"others": ["wider", "shorter", "piked", "timber", "reflex"]},
        "others",
        "four at the most",
    ),
    "a plan without how much": ({"others": ["wider"], "wider": ""}, "wider", "how much"),
    "no such timber": ({"others": ["timber"], "timber": "99999"}, "timber", ""),
    "no such plan": ({"others": ["longer"]}, "others", ""),
}


@pytest.mark.parametrize(("asked", "field", "said"), SUPPOSED.values(), ids=SUPPOSED)
def test_what_cannot_be_supposed_is_refused_beside_its_field(as_owner, bow, asked, field, said):
    post(as_owner, bow, GOOD)
    usual = {"wider": "10", "shorter": "2", "piked": "1", "reflex": "1"}
    page = as_owner.get(reverse("bow-plan-sheet", args=[bow.pk]), {**usual, **asked})
    assert page.status_code == 422
    form = page.context["form"]
    assert field in form.errors, form.errors
    assert said in " ".join(form.errors[field])
    assert all(form[name].value() == text for name, text in asked.items())


def test_another_plan_that_cannot_be_says_so_and_spoils_no_other(as_owner, bow):
    post(as_owner, bow, GOOD)
    asked = {"others": ["wider", "shorter"], "wider": "10", "shorter": "40"}
    page = as_owner.get(reverse("bow-plan-sheet", args=[bow.pk]), asked)
    wider, shorter = page.context["page"].others
    assert not wider.refused and shorter.refused and shorter.words


def test_a_plan_whose_length_was_changed_since_says_what_is_wrong(as_owner, bow, owner):
    post(as_owner, bow, GOOD)
    record_change(bow, by=owner, wanted_draw_m=39 * INCH_M, length_m=40 * INCH_M)
    page = as_owner.get(reverse("bow-plan-sheet", args=[bow.pk]))
    assert page.status_code == 200 and "It cannot be solved" in page.content.decode()


def solved(why, *, limit_m=np.inf, braced=True):
    """A bow drawn to 20, 30 … 60 cm from its axis, as if the statics had said this of its draws."""
    bow = Bow(Limb.measured([0.1, 0.9], [60.0, 20.0]))
    drawn = draw(bow, np.linspace(0.2, 0.6, len(why)), brace_height_m=0.15)
    assert drawn.ok.all()
    ok = np.array([not each for each in why])
    return replace(drawn, ok=ok, why=why, limit_m=limit_m, brace=replace(drawn.brace, ok=braced))


@pytest.mark.parametrize(
    ("drawn", "code", "said"),
    [
        (solved(why=("", "", "", "touch", "touch")), "touch", "Up to a draw of 41 cm the answer holds"),
        (solved(why=("touch",) * 5, braced=False), "touch_braced", "nothing can be said at any draw"),
        (
            solved(why=("", "", "", "", "beyond"), limit_m=0.55),
            "beyond",
            "up to a draw of 56 cm the answer holds",
        ),
        (solved(why=("unlike",) * 5, braced=False), "unlike", "two limbs so unlike"),
    ],
)
def test_a_bow_that_cannot_be_drawn_so_far_says_how_far_the_answer_holds(drawn, code, said):
    """In the draws the bow is ordered in: here each reads a centimetre more than from the limb's axis."""
    with pytest.raises(NoSolution) as refused:
        drawn.refuse(0.01)
    assert refused.value.code == code
    assert said in refusal(refused.value, UnitsInUse("metric"))[1].replace("\xa0", " ")
