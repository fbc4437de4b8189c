"""The plan page: solved on typed input, changed in one go, brought to a weight."""

import math
import os
import subprocess
import sys
import uuid

import pytest
from django.db import connection
from django.test.utils import CaptureQueriesContext
from django.urls import reverse

from tests.bows.conftest import BEGUN
from workshop.bows.models import Bow, Dimension
from workshop.bows.plan.facts import plan_facts
from workshop.bows.plan.record import shop_record
from workshop.bows.plan.settled import settling
from workshop.bows.plan.solving import solve
from workshop.bows.services.classrules import class_rules_seed
from workshop.bows.services.readings import dimensions_add, set_add, speed_add
from workshop.calc.imperial import GRAIN_KG, INCH_M, POUND_N
from workshop.ledger.services import entry_strike, record_change
from workshop.staves.models import Timber

pytestmark = pytest.mark.django_db


def sheet(client, bow, **asked):
    return client.get(reverse("bow-plan-sheet", args=[bow.pk]), asked)


def plan_of(bow, shop):
    """As it is written now."""
    return plan_facts(Bow.objects.get(pk=bow.pk), shop=shop).plan()


def weight_lb(bow, shop):
    """Once it has taken the set to expect."""
    facts = plan_facts(Bow.objects.get(pk=bow.pk), shop=shop)
    return settling(facts, shop_record(facts.timbers)).force_n(solve([facts.plan()])[0]) / POUND_N


def test_a_bow_without_wood_or_length_is_told_what_to_write_first(as_owner, begin):
    page = sheet(as_owner, begin(number="26-09", length_m=None))
    assert page.status_code == 200
    said = page.content.decode()
    assert "the bow length" in said and "its wood" in said and "depth of the grip" in said


def test_a_first_plan_draws_the_weight_that_was_wanted(as_owner, planned, shop):
    assert weight_lb(planned, shop) == pytest.approx(45, abs=0.5)  # widths are marked to 1/64 in
    page = sheet(as_owner, planned)
    assert page.status_code == 200
    assert "where is this from?" in page.content.decode()
    assert {each.limb for each in Dimension.objects.filter(bow=planned, planned=True)} == {"A", "B"}


def balance(page):
    (figure,) = [each for each in page.context["page"].figures if each.name.startswith("The limbs against")]
    return figure.value, figure.more.replace("\xa0", " "), dict(figure.source.inputs)


def test_the_limbs_are_told_against_each_other_and_what_the_bow_does_in_the_hand(as_owner, owner, planned):
    """Limbs alike on a grip that stands even: nothing turns. With limb A a tenth deeper it does."""
    record_change(planned, by=owner, grip_m=4 * INCH_M, grip_above_m=2 * INCH_M)
    stations = [(4, 1.75, 0.56), (12, 1.5, 0.55), (24, 1.0, 0.53), (34, 0.5, 0.5)]

    def told(deeper):
        typed = {"entry_key": str(uuid.uuid4())}
        for limb, times in (("A", deeper), ("B", 1.0)):
            for n, (at, width, depth) in enumerate(stations):
                names = [f"{limb}_{name}_{n}" for name in ("station", "width", "depth")]
                typed |= dict(zip(names, (str(at), str(width), f"{times * depth:.4f}"), strict=True))
        assert as_owner.post(reverse("bow-plan-stations", args=[planned.pk]), typed).status_code == 302
        return balance(sheet(as_owner, planned))

    even, still, inputs = told(1.0)
    assert even == "even at brace" and "turned 0.0°" in still
    assert "Hand above the middle mark" in inputs
    value, more, _inputs = told(1.1)
    assert value.startswith("limb B stands"), "the weaker limb bends further off the string"
    assert "turned 0.0°" not in more


@pytest.mark.parametrize("how", ["depth", "width"])
def test_one_button_brings_the_plan_to_the_weight_by_depth_or_by_width(as_owner, owner, planned, shop, how):
    record_change(planned, by=owner, wanted_n=38 * POUND_N)
    before = plan_of(planned, shop).upper.sizes
    as_owner.post(reverse("bow-plan-bring", args=[planned.pk]), {"how": how})
    after = plan_of(planned, shop).upper.sizes
    assert weight_lb(planned, shop) == pytest.approx(38, abs=0.8)
    kept, changed = ("widths_m", "depths_m") if how == "depth" else ("depths_m", "widths_m")
    assert getattr(after, kept) == getattr(before, kept)
    marks = [size / (INCH_M / 64) for size in getattr(after, changed)]
    assert marks == pytest.approx([round(mark) for mark in marks])
    assert Dimension.objects.filter(bow=planned, struck_reason="planned otherwise").exists()


def test_the_weight_told_first_is_the_one_expected_once_it_has_taken_its_set(as_owner, planned, shop):
    page = sheet(as_owner, planned)
    seen, said = page.context["page"], page.content.decode().replace("\xa0", " ")
    assert seen.settled.force_n / POUND_N == pytest.approx(weight_lb(planned, shop))
    assert seen.settled.low_n < seen.settled.force_n < seen.settled.high_n < 1.3 * seen.answer.force_n
    assert seen.answer.force_n > seen.settled.force_n and '<b class="figure">45' in said
    assert f"before it has taken its set: {seen.answer.force_n / POUND_N:.1f}".rstrip("0").rstrip(".") in said


def test_the_curve_of_a_plan_shows_the_range_expected_at_full_draw(as_owner, planned):
    curve = sheet(as_owner, planned).context["page"].drawings[-1][1]
    assert any("expected, the set it will take allowed for" in row for row in curve.rows)


@pytest.fixture
def settled_bow(planned, owner, weigh):
    """Drawn to its 28 in, and its inch and a half of set read after a rest."""
    set_add(bow=planned, by=owner, follow_m=0.0, is_zero=True, happened_on=BEGUN)
    weigh(planned, (28, 45), happened_on=BEGUN)
    set_add(bow=planned, by=owner, follow_m=1.5 * INCH_M, happened_on=BEGUN, rested=True)
    return planned


def test_set_that_was_taken_and_read_is_not_taken_off_a_second_time(as_owner, settled_bow):
    """Its shape has it already: at the draw it has been at, no more is to come."""
    seen = sheet(as_owner, settled_bow).context["page"]
    assert seen.settled.force_n == pytest.approx(seen.answer.force_n)


def test_a_bow_that_was_weighed_says_so_beside_its_plan(as_owner, settled_bow):
    page = " ".join(as_owner.get(reverse("bow-plan-sheet", args=[settled_bow.pk])).content.decode().split())
    assert "The bow itself was weighed on" in page and "the scale is right" in page


def test_a_bow_drawn_half_way_has_the_rest_of_its_set_still_to_come(as_owner, planned, owner, weigh):
    set_add(bow=planned, by=owner, follow_m=0.0, is_zero=True, happened_on=BEGUN)
    weigh(planned, (20, 28), happened_on=BEGUN)
    before = sheet(as_owner, planned).context["page"]
    set_add(bow=planned, by=owner, follow_m=0.25 * INCH_M, happened_on=BEGUN, rested=True)
    after = sheet(as_owner, planned).context["page"]
    lost = [1 - each.settled.force_n / each.answer.force_n for each in (before, after)]
    assert 0 < lost[1] < lost[0]


def test_what_stays_as_planned_is_not_struck(as_owner, planned):
    page = sheet(as_owner, planned)
    form = page.context["stations"]
    typed = {name: str(form[name].value() or "") for name in form.fields if name != "alike"}
    typed["A_depth_0"] = "5/8"
    there = as_owner.post(reverse("bow-plan-stations", args=[planned.pk]), typed)
    assert there.status_code == 302
    struck = [each for each in Dimension.objects.filter(bow=planned) if each.is_struck]
    assert len(struck) == 1
    new = Dimension.objects.order_by("pk").last()
    assert (new.limb, new.typed("depth_m")) == ("A", "5/8") and new.depth_m == pytest.approx(5 / 8 * INCH_M)


@pytest.mark.parametrize("system", ["imperial", "metric"])
def test_a_form_sent_as_it_was_shown_changes_nothing(as_owner, owner, planned, system):
    """Nothing is lost to what a field can show: 76.2 mm stand as 76 in it."""
    owner.units = system
    owner.save(update_fields=["units"])
    form = sheet(as_owner, planned).context["stations"]
    typed = {name: str(form[name].value() or "") for name in form.fields if name != "alike"}
    assert as_owner.post(reverse("bow-plan-stations", args=[planned.pk]), typed).status_code == 302
    assert not Dimension.objects.filter(bow=planned, struck_at__isnull=False).exists()


def test_other_plans_stand_under_this_one_with_their_differences_in_words(as_owner, planned):
    asked = {
        "others": ["wider", "shorter", "piked", "reflex"],
        "wider": "10",
        "shorter": "2",
        "piked": "1",
        "reflex": "1",
    }
    page = sheet(as_owner, planned, **asked)
    others = page.context["page"].others
    assert [each.heading.replace("\xa0", " ") for each in others] == [
        "Limbs 10 % wider", "A bow 2 in shorter", "1 in off each tip", "A reflex of 1 in",
    ]  # fmt: skip
    assert all("heavier" in each.words for each in others)
    assert all("brought to the same weight by its widths" in each.words for each in others)
    assert not Dimension.objects.filter(bow=planned, struck_at__isnull=False).exists()


def test_a_nocking_point_above_the_hand_is_told_by_the_turn_in_the_hand_and_the_travel_of_the_nock(
    as_owner, owner, planned
):
    """The line from hand to nock leans most at the first pull; as it flattens, the lower end comes to the archer."""
    record_change(planned, by=owner, grip_m=4 * INCH_M, grip_above_m=2 * INCH_M)
    page = sheet(as_owner, planned, others=["nocking"], nocking="1")
    (other,) = page.context["page"].others
    words = other.words.replace("\xa0", " ")
    assert other.heading.replace("\xa0", " ") == "A nocking point 1 in above the hand"
    assert "the end of limb B toward the archer" in words
    plan = page.context["page"].answer.plan
    leans = [math.degrees(math.atan2(INCH_M, at)) for at in (plan.brace_on_axis_m, plan.draw_on_axis_m)]
    turned = float(words.split("turned ")[1].split("°")[0])
    assert turned == pytest.approx(leans[0] - leans[1], abs=0.4)  # the nock travels a little besides
    assert "the arrow’s nock has gone" in words and words.endswith((" up.", " down."))
    straight_across = float(balance(page)[1].split("turned ")[1].split("°")[0])
    assert straight_across < 0.5, "the plan itself is nocked as before"
    assert (
        "in the hand"
        not in sheet(as_owner, planned, others=["wider"], wider="10").context["page"].others[0].words
    )


def test_other_plans_that_make_no_bow_say_why(as_owner, planned):
    page = sheet(as_owner, planned, others=["shorter", "nocking"], shorter="60", nocking="20")
    short, nocked = (other.words.replace("\xa0", " ") for other in page.context["page"].others)
    assert short == "A bow of 8 in: it must be longer than that." and "4 in (10 cm) at the most" in nocked


def test_a_nocking_point_without_how_much_is_refused_beside_it(as_owner, planned):
    for typed in ("", "0", "-1", "high"):
        page = sheet(as_owner, planned, others=["nocking"], nocking=typed)
        assert page.status_code == 422 and page.context["form"].errors["nocking"]
        assert page.context["form"]["nocking"].value() == typed


def test_a_bow_of_a_timber_of_its_own_can_be_compared_with_another_timber(as_owner, planned):
    hickory = Timber.objects.get(code="hickory-shagbark")
    page = sheet(as_owner, planned, others=["timber"], timber=hickory.pk)
    (other,) = page.context["page"].others
    assert other.heading == "Shagbark hickory" and "heavier" in other.words


def test_what_is_supposed_changes_the_answer_and_is_not_kept(as_owner, planned, shop):
    before = weight_lb(planned, shop)
    page = sheet(as_owner, planned, modulus="1.0", arrow="500")
    answer = page.context["page"].answer
    assert answer.force_n / POUND_N < before - 5
    assert "500" in page.content.decode()
    assert weight_lb(planned, shop) == pytest.approx(before)


def chronographed(bow, owner, *shots):
    """Arrows of so many grains, at so many metres a second, drawn to so many inches."""
    for grains, speed, draw in shots:
        speed_add(
            bow=bow, by=owner, arrow_kg=grains * GRAIN_KG, speed_m_s=speed, draw_m=draw * INCH_M, happened_on=BEGUN
        )  # fmt: skip


def speed_told(client, bow, arrow):
    page = sheet(client, bow, arrow=arrow)
    figure = next(each for each in page.context["page"].figures if each.name.startswith("Speed"))
    low, high = (float(part.split()[0]) for part in figure.value.replace("\xa0", " ").split(" – "))
    return low * 0.3048, high * 0.3048, figure.source.words


def test_the_speed_of_a_bow_that_was_shot_is_that_of_its_shots(as_owner, owner, planned):
    chronographed(planned, owner, (400, 51.0, 28), (600, 44.0, 28))
    low, high, words = speed_told(as_owner, planned, "400")
    assert low < 51.0 < high and high - low < 1.5 and "own shots at this draw" in words
    low, high, words = speed_told(as_owner, planned, "300")
    assert "No arrow so light was shot" in words


def test_arrows_shot_at_unlike_draws_tell_no_virtual_mass_together(as_owner, owner, planned):
    """One at 26 in and one at 28 in: the longer draw is no lighter arrow."""
    chronographed(planned, owner, (400, 51.0, 28), (600, 40.0, 26))
    _low, _high, words = speed_told(as_owner, planned, "400")
    assert "two arrows of unlike weight at one and the same draw are needed" in words


def test_shots_at_a_shorter_draw_tell_the_virtual_mass_but_not_the_energy(as_owner, owner, planned):
    chronographed(planned, owner, (400, 47.0, 26), (600, 40.6, 26), (500, 47.1, 28))
    assert "own shots at 26 in" in speed_told(as_owner, planned, "500")[2].replace("\xa0", " ")


def test_a_timber_known_of_green_wood_only_says_so_in_the_comparison(as_owner, planned):
    """Osage-orange: Alden 1995, FPL-GTR-83, prints its green stiffness alone."""
    osage = Timber.objects.get(code="osage-orange")
    (other,) = sheet(as_owner, planned, others=["timber"], timber=osage.pk).context["page"].others
    assert "known of green wood only" in other.words


def test_wood_supposed_bone_dry_is_called_brittle(as_owner, planned):
    """Under 6 %: common practice, no source."""
    assert "Too dry" in sheet(as_owner, planned, moisture="3").content.decode()
    assert "Too dry" not in sheet(as_owner, planned, moisture="8").content.decode()


def test_a_deep_d_that_came_out_flat_says_how_strained_a_deep_one_would_be(as_owner, owner, planned):
    """5/8 of the width: World Archery Coach's Manual Level 2, longbow. As stiff: width times the cube of depth."""
    page = sheet(as_owner, planned)
    assert not page.context["page"].doubtful
    record_change(planned, by=owner, section="d")
    page = sheet(as_owner, planned).context["page"]
    ((word, reason),) = page.doubtful
    sizes = page.answer.plan.upper.sizes
    width, depth = sizes.widths_m[0], sizes.depths_m[0]
    deep = (5 / 8 * width * depth**3) ** (1 / 4)
    assert word == "Flat for a deep D" and deep > depth
    assert f"strained about {page.answer.strained.pct * deep / depth:.2f}" in reason


def test_strain_past_the_makers_own_setting_is_said(as_owner, owner, planned, shop):
    assert "<b>Strain</b>" not in sheet(as_owner, planned).content.decode()
    record_change(Timber.objects.get(code="ash-white"), by=owner, strain_word_pct=0.6)
    said = sheet(as_owner, planned).content.decode()
    assert "<b>Strain</b>" in said and "0.6" in said


def test_the_nominal_figure_is_never_called_a_limit(as_owner, planned):
    page = sheet(as_owner, planned)
    printed = page.context["page"].beside.printed
    assert [figure.name for figure in printed] == ["Bending strength over stiffness, nominal"]
    assert "no breaking strain and no limit" in printed[0].source.words
    assert " safe" not in page.content.decode()


def test_class_rules_are_checked_each_with_its_text(as_owner, planned):
    class_rules_seed()
    rows = sheet(as_owner, planned).context["plan_classes"].checks
    depth = next(row for row in rows if row.rule.code == "british_longbow_depth")
    assert depth.met is False and "Coach's Manual" in depth.source.source  # a flatbow is no British longbow


def test_every_figure_says_where_it_is_from(as_owner, planned):
    page = sheet(as_owner, planned)
    figures = page.context["page"].figures
    assert len(figures) >= 7 and all(figure.source.words for figure in figures)
    assert page.content.decode().count('class="source"') >= len(figures)


def test_a_helper_looks_and_changes_nothing(client, helper, planned):
    client.force_login(helper, backend="django.contrib.auth.backends.ModelBackend")
    page = sheet(client, planned)
    assert page.status_code == 200 and "Plan it so" not in page.content.decode()
    for name in ("bow-plan-stations", "bow-plan-bring", "bow-plan-begin"):
        assert client.post(reverse(name, args=[planned.pk]), {"how": "depth"}).status_code == 403


def test_questions_asked_of_the_store_do_not_grow_with_the_plans_or_the_shop(
    as_owner, planned, begin, staves
):
    def asked(**supposed):
        with CaptureQueriesContext(connection) as found:
            assert sheet(as_owner, planned, **supposed).status_code == 200
        return len(found)

    before = asked()
    for number in range(10):
        begin(number=f"27-{number:02}", timber_words="White ash", stage="ready")
    assert asked() == before
    assert asked(others=["wider", "nocking"], wider="10", nocking="1") == before


def test_the_pages_that_solve_need_no_scipy():
    """Its import costs a quarter of a second; numpy alone answers."""
    code = (
        "import sys, django; django.setup(); import workshop.urls, workshop.bows.plan.page, "
        "workshop.bows.plan.nextpull, workshop.calc.foresee; print('scipy' in sys.modules)"
    )
    made = subprocess.run(
        [sys.executable, "-c", code],
        capture_output=True,
        text=True,
        check=True,
        env={**os.environ, "DJANGO_SETTINGS_MODULE": "workshop.settings"},
    )
    assert made.stdout.strip() == "False"


def test_a_size_far_from_both_beside_it_is_called_out_of_line(as_owner, owner, planned):
    """6 in typed for 6/8."""
    station = planned.dimensions.standing().filter(planned=True, limb="A").order_by("station_m")[3]
    entry_strike(station, by=owner, reason="mistyped")
    wrong = {"station_m": station.station_m, "width_m": station.width_m, "depth_m": 6 * INCH_M}
    dimensions_add(bow=planned, by=owner, limb="A", stations=[wrong], planned=True, happened_on=BEGUN)
    said = dict(sheet(as_owner, planned).context["page"].doubtful)
    assert "depth 6" in said["Out of line"].replace("\xa0", " ") and "limb A" in said["Out of line"]


def test_a_limb_deeper_than_wide_is_said_to_twist(as_owner, owner, planned):
    assert not sheet(as_owner, planned).context["page"].doubtful
    inner = planned.dimensions.standing().filter(planned=True, limb="B").order_by("station_m")[3]
    entry_strike(inner, by=owner, reason="narrower")
    narrow = {"station_m": inner.station_m, "width_m": 0.9 * inner.depth_m, "depth_m": inner.depth_m}
    dimensions_add(bow=planned, by=owner, limb="B", stations=[narrow], planned=True, happened_on=BEGUN)
    said = dict(sheet(as_owner, planned).context["page"].doubtful)
    assert "limb B is deeper than it is wide" in said["Deeper than wide"]
