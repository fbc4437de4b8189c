"""What a form refuses it refuses in the ledger's words, naming what is wanted there."""

import inspect
import re

import pytest
from django.contrib.auth import password_validation
from django.core import validators
from django.core.exceptions import ValidationError
from django.db.models import fields as columns
from django.forms import Field, fields, models
from django.urls import reverse
from django.utils.functional import Promise

from tests.bad_input.deeds import DEEDS
from tests.bad_input.filling import open_form
from workshop.ledger.forms import LedgerForm, QuantityField, Words
from workshop.ledger.units import UnitsInUse
from workshop.ledger.views import stale_to_form

NONSENSE = {"empty": "", "a word": "no-such-thing", "far too much": "9" * 10_000, "below nothing": "-1"}


def frameworks() -> re.Pattern:
    """Every message of the framework's fields, columns and validators, whatever is filled in."""
    said = set()
    for module in (fields, models, columns, validators):
        for _name, kind in inspect.getmembers(module, inspect.isclass):
            said |= set(getattr(kind, "default_error_messages", {}).values())
            said |= {kind.message} if hasattr(kind, "message") else set()
    texts = {str(each) for each in said if isinstance(each, str | Promise)} | {"(Hidden field"}
    texts |= {"Ensure this value has at"}  # of which there are two, by number
    assert "This field is required." in texts and len(texts) > 30
    holes = (re.sub(r"%\\\(\w+\\\)\w", ".*", re.escape(text)) for text in texts if text)
    return re.compile("|".join(f"^{each}" for each in holes), re.DOTALL)


FRAMEWORKS = frameworks()


def said_of(answer) -> list[str]:
    return [words for errors in answer.context["form"].errors.values() for words in errors]


@pytest.mark.parametrize("slip", NONSENSE)
def test_no_form_speaks_in_the_frameworks_words(as_owner, world, slip):
    said = []
    for deed in DEEDS:
        form, address, filled = open_form(as_owner, world, deed)
        answer = as_owner.post(address, filled | dict.fromkeys(form.fields, NONSENSE[slip]))
        if answer.status_code == 422:
            said += [(deed, words) for words in said_of(answer)]
    assert len(said) > 40
    assert not [each for each in said if FRAMEWORKS.search(each[-1])]


def test_a_form_sent_without_its_choices_names_what_to_choose(as_owner, world):
    for deed in DEEDS:
        _form, address, _filled = open_form(as_owner, world, deed)
        answer = as_owner.post(address, {})
        assert answer.status_code in (302, 422)
        words = said_of(answer) if answer.status_code == 422 else []
        assert not [each for each in words if FRAMEWORKS.search(each)], deed


@pytest.mark.parametrize(
    ("deed", "field", "typed", "words"),
    [
        ("place", "name", "", "Write a name here."),
        ("change a piece", "tag", "", "Write a tag here, such as 26-014."),
        ("moisture", "reading_pct", "", "Write a measure here, such as 9.5 or 9.5%."),
        ("weigh-in", "force_n", "", "Which weight did you read?"),
        ("payment", "amount_minor", "", "Write an amount here, such as 480 or 62.50."),
        ("carry", "place", "", "Choose one of these."),
        ("carry", "place", "4711", "This is not one of the choices. Choose one that is shown."),
        ("stage", "stage", "flying", "This is not one of the choices. Choose one that is shown."),
        ("check list", "lines", [], "Tick at least one of these."),
        ("shots", "shots", "", "Write a whole number here, such as 3."),
        ("shots", "shots", "some", "This cannot be read as a whole number. Two that can: 3, 40."),
        ("rings", "rings", "0", "This is less than can be here: at least 1."),
        ("person", "mail", "at home", "This is no mail address. One that is: name@example.org."),
        ("settings", "address_of_ledger", "the shop", "This is no address of a page."),
        ("settings", "lightest_arrow_gpp", "nine", "This cannot be read as a number. Two that can: 9, 9.5."),
        ("note", "note", "", "Write the note here."),
        ("terms", "happened_on", "", "Write when it was: a day, a month or only a year"),
        ("person", "name", "n" * 130, "This is too long: at most 120 characters; these are 130."),
    ],
)
def test_what_is_wanted_is_named_beside_the_field(as_owner, world, deed, field, typed, words):
    _form, address, filled = open_form(as_owner, world, deed)
    answer = as_owner.post(address, filled | {field: typed})
    assert answer.status_code == 422
    assert answer.context["form"].errors[field][0].startswith(words)


def test_a_page_that_was_not_sent_whole_is_told_above_the_form(as_owner, world):
    _form, address, filled = open_form(as_owner, world, "mass")
    for key in ("", "no-key"):
        answer = as_owner.post(address, filled | {"entry_key": key})
        assert answer.status_code == 422
        assert answer.context["form"].non_field_errors() == [
            "The page was not sent whole. Open it again, and send it once more."
        ]


def test_who_signs_in_without_a_name_is_asked_for_it(client, shop):
    answer = client.post(reverse("sign-in"), {})
    assert said_of(answer) == ["Write your sign-in name here.", "Write your password here."]


@pytest.mark.parametrize("password", ["short", "password1", "12345678", "wilma-ashdown"])
def test_a_password_easy_to_guess_is_refused_in_plain_words(as_owner, world, password):
    _form, address, filled = open_form(as_owner, world, "take somebody in")
    answer = as_owner.post(address, filled | {"username": "wilma-ashdown", "password": password})
    assert answer.status_code == 422
    assert all(each.startswith("This password is") for each in said_of(answer))


def test_every_password_rule_has_its_words(settings):
    from workshop.ledger.people import EASY

    rules = [type(each).__name__ for each in password_validation.get_default_password_validators()]
    assert rules == ["UserAttributeSimilarityValidator", "MinimumLengthValidator", "CommonPasswordValidator"]
    assert len(EASY) == len(rules)


def test_what_only_the_table_finds_is_told_in_the_words_of_the_field():
    class Form(LedgerForm):
        name = Words(wanted="Write a name here.")

    form = Form({"name": "x"}, units=UnitsInUse())
    found = ValidationError(
        {
            "name": ValidationError("This field cannot be blank.", code="blank"),
            "kind": ValidationError("Value %(value)r is not a valid choice.", code="invalid_choice"),
            "bow": ValidationError("It is in bow 26-07 already."),
        }
    )
    stale_to_form(form, found)
    assert form.errors["name"] == ["Write a name here."]
    assert form.non_field_errors() == [
        "This is not one of the choices. Choose one that is shown.",
        "It is in bow 26-07 already.",
    ]


def test_what_a_field_says_for_itself_stays():
    class Form(LedgerForm):
        plain = Field()
        own = Field(error_messages={"required": "Which of them?"})
        words = Words(wanted="Write a name here.")
        draw = QuantityField("draw")

    said = Form({}, units=UnitsInUse("metric")).errors
    assert [said[name][0] for name in ("plain", "own", "words", "draw")] == [
        "Write it here.", "Which of them?", "Write a name here.", "Write a measure here, such as 71 or 71.1 cm."
    ]  # fmt: skip
