"""Where the stiffness of a plan's wood is from, its moisture, and laminates by the transformed section."""

import datetime as dt
import uuid

import numpy as np
import pytest
from django.db import connection
from django.test.utils import CaptureQueriesContext

from workshop.bows.models import Bow
from workshop.bows.plan.design import LimbPlan, Plan, Sizes, Wood
from workshop.bows.plan.facts import WhatIf, plan_facts
from workshop.bows.plan.refusals import refusal
from workshop.bows.plan.solving import solve
from workshop.bows.plan.wood import Moisture, wood_of
from workshop.bows.services.pieces import piece_add
from workshop.bows.services.readings import dimensions_add
from workshop.calc.errors import CalcError
from workshop.calc.imperial import INCH_M, POUND_N
from workshop.calc.tables import timbers
from workshop.calc.timber import Known, Origin
from workshop.ledger.services import entry_add, record_add
from workshop.ledger.units import UnitsInUse
from workshop.staves.models import BendTest, MoistureReading, Stave, Timber, TimberValue
from workshop.staves.services import felling_add, oven_dry_add, sizes_add, stave_change, timbers_seed
from workshop.staves.wood import density, stiffness

pytestmark = pytest.mark.django_db
TODAY = dt.date(2026, 4, 1)


@pytest.fixture
def wood(owner):
    timbers_seed()
    return lambda code: Timber.objects.prefetch_related("own_values").get(code=code)


def known(value, doubt=0.0):
    return Known(value, doubt, Origin.MEASURED, "", True)


def test_what_is_published_stands_where_nothing_was_measured(wood):
    found = stiffness(wood("ash-white"), 12)
    assert found.origin == Origin.PUBLISHED and "Wood Handbook" in found.source
    # Wood Handbook FPL-GTR-190 Table 5-3a prints 12.0 GPa, with shear; a tenth more in pure bending
    assert found.value == pytest.approx(1.1 * timbers()["ash-white"].at12_stiffness_pa)


def test_drier_wood_is_stiffer(wood):
    assert stiffness(wood("ash-white"), 8).value > stiffness(wood("ash-white"), 12).value


def test_the_makers_own_figure_for_a_timber_beats_the_print(wood, owner):
    ash = wood("ash-white")
    entry_add(
        TimberValue(
            timber=ash, quantity="moe_12_pa", value=14.1e9, source="six offcuts of 2024", happened_on=TODAY
        ),
        by=owner,
    )
    found = stiffness(wood("ash-white"), 12)
    assert (found.origin, found.source) == (Origin.MEASURED, "six offcuts of 2024")
    assert found.value == pytest.approx(14.1e9)


def test_an_offcut_of_the_very_stave_beats_all(owner, begin, staves, shop):
    bend = {"span_m": 0.3, "width_m": 0.02, "depth_m": 0.01, "load_n": 60, "moisture_pct": 9}
    entry_add(BendTest(stave=staves[0], deflection_m=0.0015, happened_on=TODAY, **bend), by=owner)
    facts = plan_facts(begin(staves[0], number="26-01"), shop=shop)
    modulus = facts.woods["A"][0].modulus
    assert modulus.origin == Origin.MEASURED and modulus.source == ""
    # F L^3 / 4 b h^3 d with 2.1 % of shear taken out
    assert modulus.value == pytest.approx(60 * 0.3**3 / (4 * 0.02 * 0.01**3 * 0.0015) * 1.0213, rel=1e-3)
    assert modulus.doubt / modulus.value < 0.10  # the print is doubted by 22 %


def test_yew_is_never_guessed_from_its_density(owner, wood):
    yew = record_add(Timber(name="Yew of my own", botanical="Taxus baccata", kind="softwood"), by=owner)
    found = stiffness(yew, 9)
    assert found.value is None and found.why == "never_for_yew"


def test_a_timber_without_printed_stiffness_is_guessed_from_its_density(wood, owner):
    own = entry_timber(owner, "Invented ironwood", "diffuse-porous", 800)
    found = stiffness(own, 12)
    assert found.origin == Origin.REGRESSION and found.doubt / found.value > 0.2
    assert density(own, 12).value == pytest.approx(800, rel=0.01)


@pytest.fixture
def plum_board(owner):
    """A board of a timber nobody printed, one litre of it, weighed at 12 % of water: specific gravity 0.70."""

    def make(tag, **timber):
        known = {"name": "Hedge plum", "kind": "diffuse-porous", **timber}
        felling_add(
            by=owner, timber=record_add(Timber(**known), by=owner), came_by="gift", happened_on=TODAY, many=1,
            length_m=1.0, first_tag=tag, form="board", bark_on=False,
        )  # fmt: skip
        board = Stave.objects.select_related("felling__timber").get(tag=tag)
        sizes = [{"station_m": at, "width_m": 0.050, "depth_m": 0.020} for at in (0.0, 1.0)]
        sizes_add(stave=board, by=owner, rows=sizes, happened_on=TODAY)
        oven_dry_add(stave=board, by=owner, wet_kg=0.112, dry_kg=0.100, piece_kg=0.784, happened_on=TODAY)
        return board

    return make


def test_a_boards_own_weight_serves_where_nothing_better_is_known(owner, begin, plum_board, shop):
    """16.5 G^0.70 GPa at 12 % (Wood Handbook FPL-GTR-190, table 5-11a, from memory), a tenth more for shear."""
    facts = plan_facts(begin(plum_board("P1"), number="26-01", started_on=TODAY), shop=shop, weighed_pct=12.0)
    (wood,) = facts.woods["A"]
    assert (wood.modulus.origin, wood.modulus.why) == (Origin.REGRESSION, "from_own_density")
    assert wood.modulus.value == pytest.approx(1.1 * 16.5e9 * 0.70**0.70, rel=0.01)
    assert wood.density.value == pytest.approx(784, rel=0.01)
    assert wood.density.origin == Origin.MEASURED and "weighed" in wood.density.source


def test_yew_is_not_guessed_from_its_own_weight_either(begin, plum_board, shop):
    yew = plum_board("Y1", name="Irish yew", botanical="Taxus baccata fastigiata", kind="softwood")
    facts = plan_facts(begin(yew, number="26-01", started_on=TODAY), shop=shop)
    assert facts.woods["A"][0].modulus.why == "never_for_yew" and "stiffness" in facts.missing
    assert facts.woods["A"][0].density.value is not None


def test_a_pieces_weight_moves_the_bows_own_weight_and_no_printed_stiffness(owner, begin, staves, shop):
    before = plan_facts(begin(staves[0], number="26-01"), shop=shop).woods["A"][0]
    stave_change(stave=staves[1], by=owner, seen=None, form="board", bark_on=False, length_m=1.0)
    sizes = [{"station_m": at, "width_m": 0.050, "depth_m": 0.020} for at in (0.0, 1.0)]
    sizes_add(stave=staves[1], by=owner, rows=sizes, happened_on=TODAY)
    oven_dry_add(stave=staves[1], by=owner, wet_kg=0.112, dry_kg=0.100, piece_kg=0.784, happened_on=TODAY)
    (wood,) = plan_facts(
        begin(staves[1], number="26-02", started_on=TODAY), shop=shop, weighed_pct=9.0
    ).woods["A"]
    assert wood.modulus == before.modulus
    assert wood.density.value > 1.1 * before.density.value


def test_what_is_known_of_the_pieces_takes_the_same_queries_for_two_as_for_one(
    begin, staves, shop, django_assert_max_num_queries
):
    one, two = begin(staves[0], number="26-01"), begin(*staves[1:], number="26-02", make_up="spliced")
    with CaptureQueriesContext(connection) as single:
        plan_facts(one, shop=shop)
    with django_assert_max_num_queries(len(single)):
        plan_facts(two, shop=shop)


@pytest.mark.parametrize(
    ("quantity", "value"),
    [("density_12_kg_m3", 1900.0), ("shrinkage_radial_pct", 90.0), ("fibre_saturation_pct", 99.0)],
)
def test_a_figure_written_before_it_was_refused_breaks_no_plan(owner, wood, quantity, value):
    ash = wood("ash-white")
    entry_add(
        TimberValue(timber=ash, quantity=quantity, value=value, source="a slip", happened_on=TODAY), by=owner
    )
    found = wood_of(wood("ash-white"), Moisture(9.0, "workshop"))
    assert found.modulus.value is not None
    assert found.density.value is None or found.density.value > 0


def test_a_figure_no_formula_could_carry_is_refused_with_what_is_allowed(as_owner, wood):
    ash = wood("ash-white")
    typed = {
        "value": "1900 kg/m3",
        "source": "a slip",
        "happened_on": "2026-04-01",
        "entry_key": uuid.uuid4(),
    }
    answer = as_owner.post(f"/wood/timbers/{ash.pk}/value/density_12_kg_m3", typed)
    assert answer.status_code == 422
    said = answer.content.decode()
    assert "beyond what can be reckoned with" in said and "1900 kg/m3" in said
    assert answer.context["form"].errors.as_data()["value"][0].code == "density_12_kg_m3"
    assert not TimberValue.objects.exists()


def entry_timber(owner, name, kind, density_kg_m3):
    timber = record_add(Timber(name=name, kind=kind), by=owner)
    entry_add(
        TimberValue(
            timber=timber,
            quantity="density_12_kg_m3",
            value=density_kg_m3,
            source="weighed",
            happened_on=TODAY,
        ),
        by=owner,
    )
    return Timber.objects.prefetch_related("own_values").get(pk=timber.pk)


def test_the_moisture_is_the_staves_own_where_it_was_read(owner, begin, staves, shop):
    entry_add(
        MoistureReading(
            stave=staves[0], reading_pct=10.5, wood_c=20, meter_scale="white ash", happened_on=TODAY
        ),
        by=owner,
    )
    facts = plan_facts(begin(staves[0], number="26-01"), shop=shop)
    assert facts.moisture.how == "stave" and facts.moisture.tag == staves[0].tag
    assert plan_facts(begin(staves[1], number="26-02"), shop=shop).moisture == Moisture(9.0, "workshop")


def test_green_wood_is_no_bow(wood):
    with pytest.raises(CalcError) as refused:
        wood_of(wood("ash-white"), Moisture(28.0, "typed"))
    name, sentence = refusal(refused.value, UnitsInUse())
    assert name == "moisture_pct" and "28" in sentence and "0 to 24 %" in sentence


# --- laminates ---


def plan_in(*woods):
    at = tuple(each * INCH_M for each in (4, 12, 24, 34))
    sizes = Sizes(at, tuple(each * INCH_M for each in (1.5, 1.4, 1.1, 0.5)), (0.014, 0.0135, 0.013, 0.0125))
    return Plan(
        upper=LimbPlan("A", sizes, woods), lower=LimbPlan("B", sizes, woods), length_m=68 * INCH_M,
        draw_m=28 * INCH_M, draw_from="back", brace_m=6 * INCH_M, grip_above_m=2 * INCH_M, grip_m=4 * INCH_M,
        fade_m=2 * INCH_M, grip_depth_m=1.5 * INCH_M,
    )  # fmt: skip


def test_a_laminate_of_one_timber_is_that_timber():
    one = Wood("ash", known(12e9), known(680), 9)
    layers = tuple(Wood("ash", known(12e9), known(680), 9, depth) for depth in (0.003, 0.003, None))
    solid, glued = solve([plan_in(one), plan_in(*layers)])
    assert glued.force_n == pytest.approx(solid.force_n, rel=1e-9)
    assert glued.strained.pct == pytest.approx(solid.strained.pct, rel=1e-9)
    assert glued.plan.mass_kg == pytest.approx(solid.plan.mass_kg)


def test_a_stiff_back_draws_the_neutral_axis_to_itself_and_strains_the_belly_more():
    hickory, ash = Wood("hickory", known(16e9), known(720), 9, 0.003), Wood("ash", known(11e9), known(680), 9)
    plain, backed = solve([plan_in(ash), plan_in(hickory, ash)])
    assert backed.force_n > plain.force_n
    back, belly = (
        np.abs(strain[-1]).max()
        for strain in (backed.drawn.upper.back_strain_pct, backed.drawn.upper.belly_strain_pct)
    )
    assert belly > back


def test_the_transformed_section_by_hand():
    """A rectangle 30 x 15 mm, 3 mm of 15 GPa over 12 mm of 10 GPa: EI by the parallel-axis rule (Gere, composite
    beams), here written out."""
    layers = Wood("a", known(15e9), known(700), 9, 0.003), Wood("b", known(10e9), known(700), 9)
    plan = plan_in(*layers)
    found = plan.section_at(plan.upper, np.array(0.030), np.array(0.015))
    areas, middles, moduli, deep = (0.03 * 0.003, 0.03 * 0.012), (0.0015, 0.009), (15e9, 10e9), (0.003, 0.012)
    axis = sum(e * a * y for e, a, y in zip(moduli, areas, middles, strict=True)) / sum(
        e * a for e, a in zip(moduli, areas, strict=True)
    )
    by_hand = sum(
        e * (0.03 * d**3 / 12 + a * (y - axis) ** 2)
        for e, a, y, d in zip(moduli, areas, middles, deep, strict=True)
    )
    assert found.stiffness_nm2 == pytest.approx(by_hand) and found.to_back_m == pytest.approx(axis)


@pytest.fixture
def laminate(begin, owner, wood):
    """Three layers of timbers named in words: hickory back, ash core, locust belly."""
    bow = begin(
        number="26-03",
        make_up="laminated",
        kind="stiff",
        section="flat",
        grip_depth_m=1.5 * INCH_M,
        brace_m=0.16,
    )
    for layer, (material, depth) in enumerate(
        [("Shagbark hickory", 0.0035), ("White ash", 0.004), ("Black locust", None)], start=1
    ):
        piece_add(
            bow=bow, by=owner, part="layer", layer=layer, material=material, depth_m=depth, happened_on=TODAY
        )
    return Bow.objects.get(pk=bow.pk)


def test_a_three_layer_laminate_is_planned_by_its_pieces(laminate, owner, shop):
    stations = [
        {"station_m": at, "width_m": w, "depth_m": d}
        for at, w, d in ((0.1, 0.036, 0.0135), (0.4, 0.030, 0.0125), (0.86, 0.012, 0.0115))
    ]
    dimensions_add(bow=laminate, by=owner, limb="both", planned=True, stations=stations, happened_on=TODAY)
    facts = plan_facts(Bow.objects.get(pk=laminate.pk), shop=shop)
    assert [each.name for each in facts.woods["A"]] == ["Shagbark hickory", "White ash", "Black locust"]
    answer = solve([facts.plan()])[0]
    assert 30 < answer.force_n / POUND_N < 70 and answer.plan.mass_kg > 0.3
    assert 0.1 < facts.plan().doubt_share() < 0.22  # three timbers are out each for itself


def test_a_material_nothing_is_known_of_is_named(laminate, owner, shop):
    piece_add(bow=laminate, by=owner, part="backing", material="sinew", depth_m=0.002, happened_on=TODAY)
    facts = plan_facts(Bow.objects.get(pk=laminate.pk), shop=shop)
    assert facts.unknown == ("sinew",) and "wood" in facts.missing


def test_a_supposed_stiffness_stands_before_everything_known(begin, staves, shop):
    facts = plan_facts(begin(staves[0], number="26-01"), shop=shop, what_if=WhatIf(modulus_pa=9e9))
    assert facts.woods["A"][0].modulus.value == 9e9 and facts.woods["A"][0].modulus.why == "typed"
