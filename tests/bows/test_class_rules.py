"""Class rules as settings, and a bow held against those it is made to."""

import importlib
from dataclasses import replace
from types import SimpleNamespace

import pytest
from django.apps import apps
from django.core.exceptions import ValidationError
from django.db import IntegrityError, connection, transaction
from django.urls import reverse

from tests.bows.conftest import BACKEND, WEIGHED, inches, sent
from workshop.bows.classchecks import class_checks, rules_chosen
from workshop.bows.classwords import share_words
from workshop.bows.models import Bow, ClassRule
from workshop.bows.selectors.sheet import bow_sheet
from workshop.bows.services.bows import bow_change
from workshop.bows.services.classrules import class_rule_change, class_rules_seed, published_values
from workshop.bows.services.pieces import piece_add
from workshop.bows.services.readings import dimensions_add
from workshop.calc.classrules import RULES
from workshop.calc.imperial import INCH_M
from workshop.ledger.models import Shop
from workshop.ledger.services import history
from workshop.ledger.units import UnitsInUse
from workshop.orders.services.handover import bow_start_for_line
from workshop.orders.services.orders import line_add, order_add, order_step
from workshop.orders.services.persons import person_add

UNITS = UnitsInUse()


@pytest.fixture
def rules(owner) -> dict[str, ClassRule]:
    return {rule.code: rule for rule in class_rules_seed(by=owner)}


@pytest.fixture
def made_to(rules, owner, bow):
    """The bow, made to these rules."""

    def made_to(*codes, **values):
        chosen = sorted(rules[code].pk for code in codes)
        return bow_change(bow=bow, by=owner, class_rules=chosen, **values)

    return made_to


@pytest.fixture
def sized(owner):
    def sized(bow, limb, *sizes, planned=False):
        """Sizes in inches: (station, width, depth)."""
        stations = [
            dict(zip(("station_m", "width_m", "depth_m"), inches(*each), strict=True)) for each in sizes
        ]
        dimensions_add(bow=bow, by=owner, limb=limb, stations=stations, planned=planned, happened_on=WEIGHED)

    return sized


def checked(bow):
    bow = Bow.objects.get(pk=bow.pk)
    sheet = bow_sheet(bow, shop=Shop.objects.get(), today=WEIGHED, system="imperial")
    return class_checks(
        bow,
        rules_chosen(bow),
        dimensions=[*sheet.dimensions, *sheet.planned],
        pieces=sheet.glance.pieces,
        units=UNITS,
    )


def test_a_new_workshop_begins_with_the_published_rules_each_with_its_source(rules):
    assert set(rules) == set(RULES) and all(rule.source for rule in rules.values())
    assert {rule.as_rule for rule in rules.values()} == set(RULES.values())
    assert class_rules_seed() == []


def test_a_rule_the_maker_changed_is_not_put_back(rules, owner):
    class_rule_change(rule=rules["british_longbow_length"], by=owner, arrow_m=27 * INCH_M, name="Ours")
    assert class_rules_seed() == []
    assert ClassRule.objects.get(name="Ours").arrow_m == pytest.approx(27 * INCH_M)


def test_texts_that_disagree_are_rules_of_their_own(rules):
    strung, unstrung = rules["longbow_160_strung"], rules["longbow_160_unstrung"]
    assert strung.least_m == unstrung.least_m == 1.60
    assert strung.kind != unstrung.kind and strung.source != unstrung.source


@pytest.fixture
def step():
    """The migration that gives a ledger kept already its rules."""
    return importlib.import_module("workshop.bows.migrations.0007_published_class_rules")


def test_a_ledger_kept_already_gets_the_rules_when_it_is_brought_up_to_date(owner, step):
    step.put_rules(apps, SimpleNamespace(connection=connection))
    assert {rule.as_rule for rule in ClassRule.objects.all()} == set(RULES.values())
    assert all(history(rule).count() == 1 for rule in ClassRule.objects.all())
    assert class_rules_seed() == []


def test_an_old_ledger_and_a_new_one_begin_with_the_same_rules(step):
    """Where a published rule is changed, the old ledgers want a step of their own: the rows of this one stay."""
    assert list(step.PUBLISHED) == [published_values(rule) for rule in RULES.values()]


def test_a_rule_changed_in_a_later_year_does_not_change_an_old_step(owner, step, monkeypatch):
    changed = replace(RULES["longbow_160_strung"], limit=1.70)
    monkeypatch.setitem(RULES, "longbow_160_strung", changed)
    step.put_rules(apps, SimpleNamespace(connection=connection))
    assert ClassRule.objects.get(code="longbow_160_strung").least_m == 1.60


@pytest.mark.django_db
def test_an_empty_ledger_is_given_no_rules_before_it_is_set_up(step):
    step.put_rules(apps, SimpleNamespace(connection=connection))
    assert not ClassRule.objects.exists()


@pytest.mark.parametrize(
    "amiss",
    [
        {"least_share": None},
        {"least_share": 0.0},
        {"least_share": 1.2},
        {"least_m": 1.6},
        {"most_layers": 3},
        {"source": ""},
        {"kind": "colour"},
    ],
)
def test_the_database_keeps_a_rule_to_what_its_kind_asks(db, amiss):
    good = {"name": "A", "kind": "depth_share", "least_share": 0.6, "source": "invented"}
    with pytest.raises(IntegrityError), transaction.atomic():
        ClassRule(**{**good, **amiss}).save(force_insert=True)
    with pytest.raises(ValidationError):
        ClassRule(**{**good, **amiss}).full_clean()


def test_a_longer_arrow_asks_for_no_shorter_bow(rules, owner):
    with pytest.raises(ValidationError):
        class_rule_change(rule=rules["british_longbow_length"], by=owner, least_beyond_m=1.0)


# --- held against a bow ---


def test_of_many_stations_too_shallow_the_worst_are_named_and_the_others_counted(made_to, sized):
    bow = made_to("british_longbow_depth")
    sized(bow, "A", *((at, 1.25, 0.5 + at / 100) for at in (6, 8, 10, 12, 14, 16)))
    sized(bow, "B", (6, 1.25, 0.9))
    ((said,),) = [check.sentences for check in checked(bow).broken]
    assert said.replace("\N{NO-BREAK SPACE}", " ") == (
        "depth on limb A is 0.448 of the width at 6 in, 0.464 at 8 in, 0.48 at 10 in, 0.496 at 12 in, too little at 2 "
        "stations more, as measured; at least 5/8 asked"
    )


def test_every_station_that_falls_short_is_named(made_to, sized):
    bow = made_to("british_longbow_depth")
    sized(bow, "A", (6, 1.25, 0.9), (12, 1.25, 0.725), (18, 1.25, 0.9))
    sized(bow, "B", (6, 1.25, 0.9), (12, 1.25, 0.75), (18, 1, 0.5))
    (check,) = checked(bow).broken
    assert [said.replace("\N{NO-BREAK SPACE}", " ") for said in check.sentences] == [
        "depth at 12 in on limb A is 0.58 of the width, as measured; at least 5/8 asked",
        "depth on limb B is 0.5 of the width at 18 in, 0.6 at 12 in, as measured; at least 5/8 asked",
    ]


def test_a_bow_exactly_at_the_limit_keeps_the_rule(made_to, sized):
    bow = made_to("british_longbow_depth", "longbow_160_strung", length_m=sum([0.1] * 16))
    sized(bow, "A", (12, 1.2, 0.75))
    sized(bow, "B", (12, 0.8, 0.5))
    assert bow.length_m != 1.6  # ten times a tenth is not one
    assert [check.word for check in checked(bow).checks] == ["kept", "kept"]


def test_what_is_measured_comes_before_what_is_planned_limb_by_limb(made_to, sized):
    bow = made_to("british_longbow_depth")
    for limb in "AB":
        sized(bow, limb, (12, 1.2, 0.6), planned=True)
    assert len(checked(bow).broken[0].sentences) == 2 and checked(bow).broken[0].how == "as planned"
    sized(bow, "A", (12, 1.2, 0.8))
    found = checked(bow)
    assert "limb B" in found.broken[0].sentences[0] and "as planned" in found.broken[0].sentences[0]
    assert found.broken[0].how == "limb A as measured, limb B as planned"
    sized(bow, "B", (12, 1.2, 0.8))
    assert checked(bow).kept[0].how == "as measured"


def test_one_limb_alone_does_not_make_a_bow_keep_a_rule(made_to, sized):
    bow = made_to("british_longbow_depth")
    assert checked(bow).unknown[0].sentences == ["no widths and depths are written"]
    sized(bow, "A", (12, 1.2, 0.8))
    (check,) = checked(bow).unknown
    assert "of the other limb" in check.sentences[-1]


def test_a_depth_that_falls_short_is_never_told_as_the_limit(made_to, sized):
    bow = made_to("british_longbow_depth")
    sized(bow, "A", (12, 1.0, 0.62499))
    assert "is 0.624 of the width" in checked(bow).broken[0].sentences[0]


def test_a_length_short_by_a_hair_says_by_how_much(made_to):
    bow = made_to("longbow_160_unstrung", length_m=1.5999)
    (said,) = checked(bow).broken[0].sentences
    assert "0.1 mm wanting" in said and "160\N{NO-BREAK SPACE}cm" in said


def test_a_backing_counts_as_a_layer_and_it_is_said(made_to, owner):
    bow = made_to("longbow_six_layers", make_up="laminated")
    for layer in range(1, 7):
        piece_add(bow=bow, by=owner, part="layer", layer=layer, material="ash", happened_on=WEIGHED)
    assert checked(bow).kept
    piece_add(bow=bow, by=owner, part="backing", material="linen", happened_on=WEIGHED)
    (said,) = checked(bow).broken[0].sentences
    assert said == "7 layers, a backing counted as one; at most 6 allowed"


def test_a_longer_arrow_wants_a_longer_bow(made_to):
    bow = made_to("british_longbow_length", length_m=64 * INCH_M, wanted_draw_m=28 * INCH_M)
    assert checked(bow).broken
    assert checked(made_to("british_longbow_length", length_m=66 * INCH_M)).kept
    assert checked(made_to("british_longbow_length", length_m=61 * INCH_M, wanted_draw_m=26 * INCH_M)).kept


def test_what_the_ledger_does_not_keep_is_neither_kept_nor_broken(made_to):
    (check,) = checked(made_to("longbow_recurve_half_way")).unknown
    assert "look at the bow" in check.sentences[0]


def test_each_check_says_where_it_is_from_and_which_length_it_took(made_to):
    strung = checked(made_to("longbow_160_strung")).checks[0].source
    assert "unstrung" in strung.words and "not the straight line" in strung.words
    assert "206A" in strung.source and strung.inputs


# --- on the pages ---


def test_the_bow_page_says_in_one_line_that_all_is_kept_and_warns_where_not(as_owner, made_to, sized):
    bow = made_to("british_longbow_depth")
    for limb in "AB":
        sized(bow, limb, (12, 1.2, 0.8))
    page = as_owner.get(reverse("bow", args=[bow.pk])).content.decode()
    assert "Class rules kept: British longbow, depth (as measured)." in page
    assert "Class rule not kept" not in page
    sized(bow, "A", (12, 1.2, 0.6))
    page = as_owner.get(reverse("bow", args=[bow.pk])).content.decode()
    assert "<b>Class rule not kept</b>: British longbow, depth." in page and "is 0.5 of the width" in page


def test_a_bow_made_to_no_rule_says_nothing_of_them(as_owner, bow, rules):
    page = as_owner.get(reverse("bow", args=[bow.pk])).content.decode()
    assert "Class rule" not in page
    plan = as_owner.get(reverse("bow-plan-sheet", args=[bow.pk])).content.decode()
    assert "class rules in use" in plan and "Coach&#x27;s Manual" in plan


def test_another_rule_costs_the_bow_page_no_query(
    as_owner, made_to, django_assert_max_num_queries, django_assert_num_queries
):
    address = reverse("bow", args=[made_to("british_longbow_depth").pk])
    as_owner.get(address)
    with django_assert_max_num_queries(60) as few:
        as_owner.get(address)
    made_to(*RULES)
    with django_assert_num_queries(len(few)):
        as_owner.get(address)


def test_a_plan_chooses_its_rules_and_the_history_names_them(as_owner, bow, rules):
    at = reverse("bow-plan", args=[bow.pk])
    depth, length = rules["british_longbow_depth"], rules["british_longbow_length"]
    typed = sent(as_owner.get(at), class_rules=[depth.pk, length.pk])
    assert as_owner.post(at, typed).status_code == 302
    bow = Bow.objects.get(pk=bow.pk)
    assert bow.class_rules == sorted([depth.pk, length.pk])
    field = next(each for each in history(bow).last().fields if each["field"] == "class_rules")
    assert field["to"] == "British longbow, depth; British longbow, length"


def test_a_rule_out_of_use_is_offered_no_more_but_stays_with_the_bow_made_to_it(
    as_owner, owner, made_to, rules
):
    bow = made_to("british_longbow_depth")
    for code in ("british_longbow_depth", "longbow_six_layers"):
        class_rule_change(rule=rules[code], by=owner, in_use=False)
    form = as_owner.get(reverse("bow-plan", args=[bow.pk])).context["form"]
    offered = {name for _pk, name in form.fields["class_rules"].choices}
    assert "British longbow, depth" in offered and "Longbow, six layers" not in offered


def test_a_bow_takes_its_rules_from_the_order_line_it_is_begun_for(as_owner, owner, rules):
    payer = person_add(by=owner, name="Edda Quill")
    order = order_add(by=owner, payer=payer, happened_on=WEIGHED)
    chosen = [rules["british_longbow_depth"].pk]
    line = line_add(order=order, by=owner, kind="bow", archer=payer, class_rules=chosen)
    order_step(order=order, state="accepted", by=owner)
    bow = bow_start_for_line(line=line, by=owner)
    assert bow.class_rules == chosen
    page = as_owner.get(reverse("order", args=[order.pk])).content.decode()
    assert "British longbow, depth" in page
    form = as_owner.get(reverse("line-change", args=[line.pk]))
    assert form.context["form"]["class_rules"].value() == chosen
    assert as_owner.post(form.request["PATH_INFO"], sent(form, class_rules=[])).status_code == 302
    page = as_owner.get(reverse("bow", args=[bow.pk])).content.decode()
    assert "The order asks otherwise now" in page and "British longbow, depth" in page


# --- the setting ---

GOOD = {
    "name": "County longbow",
    "least_share": "0.6",
    "source": "Invented county rules, 2026",
    "in_use": "on",
}


def test_the_owner_adds_a_rule_changes_it_and_takes_it_out_of_use(as_owner):
    assert as_owner.post(reverse("class-rule-add", args=["depth_share"]), GOOD).status_code == 302
    rule = ClassRule.objects.get()
    assert (rule.least_share, rule.code, rule.in_use) == (0.6, "", True)
    at = reverse("class-rule-change", args=[rule.pk])
    assert as_owner.post(at, sent(as_owner.get(at), least_share="5/8", in_use="")).status_code == 302
    rule = ClassRule.objects.get()
    assert (rule.least_share, rule.in_use, rule.version) == (0.625, False, 2)
    page = as_owner.get(reverse("class-rules")).content.decode()
    assert "out of use" in page and "depth at least 5/8 of the width" in page


@pytest.mark.parametrize("typed", ["5/0", "0", "7/5", "much", "-0.5", "63", "1e400", "٣/٤/٥", "5" * 60, ""])
def test_a_share_that_is_none_is_named_beside_the_field_and_stays(as_owner, typed):
    at = reverse("class-rule-add", args=["depth_share"])
    page = as_owner.post(at, {**GOOD, "least_share": typed})
    form = page.context["form"]
    assert page.status_code == 422 and list(form.errors) == ["least_share"]
    assert form["least_share"].value() == typed and form["name"].value() == "County longbow"


@pytest.mark.parametrize(("typed", "share"), [("5/8", 0.625), ("62.5 %", 0.625), ("0,7", 0.7), ("1", 1.0)])
def test_a_share_is_written_as_a_fraction_a_decimal_or_in_percent(as_owner, typed, share):
    as_owner.post(reverse("class-rule-add", args=["depth_share"]), {**GOOD, "least_share": typed})
    assert ClassRule.objects.get().least_share == pytest.approx(share)


def test_a_length_for_the_arrow_asks_for_all_three_lengths(as_owner):
    at = reverse("class-rule-add", args=["length_for_arrow"])
    page = as_owner.post(at, {**GOOD, "arrow_m": "26", "least_m": "66", "least_beyond_m": "60"})
    assert page.status_code == 422 and list(page.context["form"].errors) == ["least_beyond_m"]
    page = as_owner.post(at, {**GOOD, "arrow_m": "0", "least_m": "", "least_beyond_m": "66"})
    assert set(page.context["form"].errors) == {"arrow_m", "least_m"}
    typed = {**GOOD, "arrow_m": "26", "least_m": "60", "least_beyond_m": "66"}
    assert as_owner.post(at, typed).status_code == 302


def test_two_rules_do_not_bear_one_name(as_owner, rules):
    page = as_owner.post(
        reverse("class-rule-add", args=["depth_share"]), {**GOOD, "name": "british LONGBOW, depth"}
    )
    assert page.status_code == 422 and "name" in page.context["form"].errors


def test_a_kind_of_rule_that_is_none_has_no_page(as_owner):
    assert as_owner.get(reverse("class-rule-add", args=["colour"])).status_code == 404


def test_a_published_rule_looked_at_and_saved_stays_as_it_was(as_owner, rules):
    for rule in rules.values():
        at = reverse("class-rule-change", args=[rule.pk])
        assert as_owner.post(at, sent(as_owner.get(at))).status_code == 302
        assert ClassRule.objects.get(pk=rule.pk).version == 1


def test_a_maker_does_not_change_the_settings(client, maker, rules):
    client.force_login(maker, backend=BACKEND)
    assert client.get(reverse("class-rules")).status_code == 403


def test_a_share_is_said_as_a_bowyer_says_it():
    assert [share_words(share) for share in (0.625, 0.5, 1 / 3, 0.62, 1.0)] == [
        "5/8", "1/2", "1/3", "0.62", "1",
    ]  # fmt: skip
