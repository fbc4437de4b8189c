"""What cannot be a measure or a day is refused beside its field, stays there as typed, and nothing is half saved."""

import html

import pytest

from tests.bad_input.filling import open_form, rows

pytestmark = pytest.mark.django_db

UNREADABLE = {  # kind of slip: what is typed
    "words": "about so",
    "two units": "28 in 3 mm",
    "an exponent": "2e1",
    "not a number": "NaN",
    "no end": "inf",
    "a formula": "=2+2",
    "a power": "9**9**9",
    "a sum": "20+8",
    "nothing under the line": "28 1/0",
    "a fraction of nothing": "1/0",
    "other letters": "двадцать",
    "a lone unit": "in",
    "two numbers": "28 29",
    "two points": "2.8.1",
    "markup": "<b>28</b>",
    "a unit of another kind": "28 kg",
    "a range": "28-29",
}
ABSURD = {"below nothing": "-28", "nothing": "0", "280 in": "280", "a mile": "63360 in", "a hair": "0.001 mm"}
TAKEN = {
    "a fraction": "28 1/2",
    "an inch mark": '28"',
    "a unicode fraction": "28½",
    "a decimal comma": "71,1 cm",
    "millimetres": "711mm",
    "a no-break space": "28\N{NO-BREAK SPACE}in",
}
FORCES = {
    "grams of force": "20 in",
    "negative": "-45",
    "beyond belief": "4500",
    "an exponent": "4.5e1",
    "words": "stiff",
}
FORCES_TAKEN = {"bare": "45", "sharp": "45#", "pounds": "45 lb", "newtons": "200 N", "kilograms": "20,4 kg"}
MOISTURE = {"over all": "300", "below nothing": "-1", "a unit": "12 in", "words": "wet", "NaN": "nan"}
DAYS = {
    "next year": "2199-01-01",
    "before any bow here": "1492-10-12",
    "no such day": "31 Feb 2024",
    "no such month": "14 Foo 2024",
    "words": "last summer",
    "ten thousand": "9" * 10_000,
    "markup": "<i>2024</i>",
    "a negative year": "-2024",
}


def send(client, world, deed, **typed):
    _form, address, filled = open_form(client, world, deed)
    before = rows()
    return client.post(address, {**filled, **typed}), before


def refused(answer, before, field, text):
    said = html.unescape(answer.content.decode())
    assert answer.status_code == 422
    assert answer.context["form"].errors[field]
    assert text.strip()[:60] in said
    assert rows() == before


@pytest.mark.parametrize("slip", UNREADABLE)
@pytest.mark.parametrize("field", ["wanted_draw_m", "length_m"])
def test_what_is_no_measure_is_refused_and_kept(as_owner, world, slip, field):
    answer, before = send(as_owner, world, "plan", **{field: UNREADABLE[slip]})
    refused(answer, before, field, UNREADABLE[slip])


@pytest.mark.parametrize("slip", ABSURD)
def test_what_no_archer_draws_is_refused_and_kept(as_owner, world, slip):
    answer, before = send(as_owner, world, "plan", wanted_draw_m=ABSURD[slip])
    refused(answer, before, "wanted_draw_m", ABSURD[slip])


@pytest.mark.parametrize("way", TAKEN)
def test_what_a_maker_writes_on_wood_is_taken(as_owner, world, way):
    answer, _before = send(as_owner, world, "measure", draw_m=TAKEN[way])
    assert answer.status_code == 302


@pytest.mark.parametrize("span", ["5' 10 1/2\"", "5′ 10½″", "5 ft 10.5 in", "179 cm", "1,79 m"])
def test_an_arm_span_is_taken_in_feet_too(as_owner, world, span):
    answer, _before = send(as_owner, world, "measure", draw_m="", arm_span_m=span)
    assert answer.status_code == 302


@pytest.mark.parametrize("slip", FORCES)
def test_what_is_no_weight_of_a_bow_is_refused_and_kept(as_owner, world, slip):
    answer, before = send(as_owner, world, "plan", wanted_n=FORCES[slip])
    refused(answer, before, "wanted_n", FORCES[slip])


@pytest.mark.parametrize("way", FORCES_TAKEN)
def test_a_weight_is_taken_as_it_is_said(as_owner, world, way):
    answer, _before = send(as_owner, world, "weigh a draw", force_n=FORCES_TAKEN[way])
    assert answer.status_code == 302


@pytest.mark.parametrize("slip", MOISTURE)
def test_what_no_meter_reads_is_refused_and_kept(as_owner, world, slip):
    answer, before = send(as_owner, world, "moisture", reading_pct=MOISTURE[slip])
    refused(answer, before, "reading_pct", MOISTURE[slip])


@pytest.mark.parametrize("slip", DAYS)
def test_a_day_that_cannot_be_is_refused_and_kept(as_owner, world, slip):
    answer, before = send(as_owner, world, "weighing", happened_on=DAYS[slip])
    refused(answer, before, "happened_on", DAYS[slip])


def test_a_reading_before_the_tree_was_felled_is_refused(as_owner, world):
    answer, before = send(as_owner, world, "moisture", happened_on="2001")
    refused(answer, before, "happened_on", "2001")


@pytest.mark.parametrize("amount", ["1e3", "-5", "five", "12.345", "NaN", "99999999", "1,2,3"])
def test_what_is_no_amount_is_refused_and_kept(as_owner, world, amount):
    answer, before = send(as_owner, world, "line", price_minor=amount)
    refused(answer, before, "price_minor", amount)
