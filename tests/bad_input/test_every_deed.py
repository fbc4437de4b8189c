"""What holds for each form of the ledger: filled in well it is taken, sent twice it is one, markup stays text."""

import pytest
from django.forms import HiddenInput, PasswordInput
from django.urls import reverse

from tests.bad_input.deeds import DEEDS, ELSEWHERE
from tests.bad_input.filling import form_on, open_form, rows
from tests.test_access import table
from workshop.documents.papers import PAPERS
from workshop.ledger.forms import MoneyField, QuantityField, RecordForm, WhenField
from workshop.ledger.services import record_change

MARKUP = "<u>&\"'"  # short enough for every field; no template of the ledger has a <u>
PLAIN = ("UUIDField", "IntegerField", "FloatField", "ChoiceField", "BooleanField", "ModelChoiceField")


def test_every_address_that_takes_a_form_is_tried():
    taking = {name for name, (_at, methods) in table().items() if methods["POST"]}
    assert taking - {name for name, *_rest in DEEDS.values()} == set(ELSEWHERE)


def refusals(answer) -> dict:
    form = answer.context["form"]
    return {name: list(errors) for name, errors in form.errors.items()}


@pytest.mark.parametrize("deed", DEEDS)
def test_filled_in_well_it_is_taken(as_owner, world, deed):
    _form, address, filled = open_form(as_owner, world, deed)
    answer = as_owner.post(address, filled)
    assert answer.status_code == 302, refusals(answer)


@pytest.mark.parametrize("deed", DEEDS)
def test_sent_twice_it_is_one(as_owner, world, deed):
    _form, address, filled = open_form(as_owner, world, deed)
    assert as_owner.post(address, filled).status_code == 302
    once = rows()
    as_owner.post(address, filled)
    assert rows() == once


@pytest.mark.parametrize("deed", DEEDS)
def test_sent_empty_it_is_refused_or_says_the_same_and_breaks_nothing(as_owner, world, deed):
    _form, address, filled = open_form(as_owner, world, deed)
    before = rows()
    answer = as_owner.post(address, dict.fromkeys(filled, ""))
    assert answer.status_code in (302, 422)
    if answer.status_code == 422:
        assert refusals(answer) and rows() == before


def words_of(form) -> list[str]:
    """The fields that take any text."""
    return [
        name
        for name, field in form.fields.items()
        if not isinstance(field, QuantityField | WhenField | MoneyField)
        and type(field).__name__ not in PLAIN
        and not isinstance(field.widget, HiddenInput | PasswordInput)
    ]


def test_markup_typed_anywhere_is_shown_as_it_was_typed(as_owner, world):
    """Into every text field of every deed; then every page is read."""
    typed, raw = 0, []
    for deed in DEEDS:
        form, address, filled = open_form(as_owner, world, deed)
        names = words_of(form)
        typed += len(names)
        answer = as_owner.post(address, {**filled, **dict.fromkeys(names, MARKUP)}, follow=True)
        if "<u>" in answer.content.decode(errors="ignore"):
            raw.append(deed)
    assert typed > 60
    shown = 0
    for name, (at, methods) in table().items():
        if "owner" not in (methods["GET"] or ()):
            continue
        answer = as_owner.get(reverse(name, args=world.at[at]))
        if not answer.streaming and answer.get("Content-Type", "").startswith("text/html"):
            html = answer.content.decode()
            shown += "&lt;u&gt;" in html
            if "<u>" in html:
                raw.append(name)
        b"".join(answer)  # a file that is streamed is closed at its end
    assert not raw
    assert shown > 20


@pytest.mark.parametrize("kind", PAPERS)
def test_markup_breaks_no_paper(as_owner, world, kind):
    for deed in ("change a bow", "plan", "change a line", "change an order", "change a person", "settings"):
        form, address, filled = open_form(as_owner, world, deed)
        names = [
            name
            for name in words_of(form)
            if name not in ("currency", "new_payer", "mail", "address_of_ledger")
        ]
        answer = as_owner.post(address, {**filled, **dict.fromkeys(names, MARKUP + deed[:6])})
        assert answer.status_code == 302 or answer.context["form"].errors
    paper = PAPERS[kind]
    pk = world.at[paper.about][0]
    assert as_owner.get(reverse("paper-preview", args=[kind, pk])).status_code == 200
    if paper.stays:
        draft = as_owner.get(reverse("paper-draft", args=[kind, pk]))
        assert draft.content.startswith(b"%PDF-")


@pytest.mark.parametrize("deed", DEEDS)
def test_ten_thousand_characters_are_refused_beside_the_field(as_owner, world, deed):
    form, address, filled = open_form(as_owner, world, deed)
    before = rows()
    for name in words_of(form):
        if name in ("text",):  # terms may be long
            continue
        answer = as_owner.post(address, {**filled, name: "x" * 10_000})
        assert answer.status_code == 422, name
        assert name in refusals(answer), (name, refusals(answer))
    assert rows() == before


@pytest.mark.parametrize("deed", DEEDS)
def test_a_control_character_is_refused_beside_the_field(as_owner, world, deed):
    form, address, filled = open_form(as_owner, world, deed)
    before = rows()
    for name in words_of(form):
        answer = as_owner.post(address, {**filled, name: "a\x07b"})
        assert answer.status_code == 422, name
        assert name in refusals(answer), (name, refusals(answer))
    assert rows() == before


CHANGES = [
    deed
    for deed in DEEDS
    if deed.startswith(("change a", "plan", "stage", "step an", "withdraw", "settings"))
]
RECORDS = {"felling": "staves.Felling", "stave": "staves.Stave"}


@pytest.mark.parametrize("deed", CHANGES)
def test_two_people_changing_one_record_see_each_other(as_owner, world, maker, deed):
    form, address, filled = open_form(as_owner, world, deed)
    assert isinstance(form, RecordForm)
    record = record_of(address)
    if not hasattr(record, "note"):
        field, text = next(
            (n, t) for n, t in (("name", "Other name"), ("withdrawn", True)) if hasattr(record, n)
        )
    else:
        field, text = "note", "what the other one wrote"
    record_change(record, by=maker, seen=record.version, **{field: text})
    before = rows()
    names = [
        name for name in words_of(form) if not name.startswith("new_")
    ]  # somebody new excludes the one chosen
    mine = {**filled, **({names[0]: "what I wrote"} if names else {})}
    answer = as_owner.post(address, mine)
    assert answer.status_code == 422
    said = answer.content.decode()
    assert "Jory Penhale changed this while you were writing" in said
    assert not names or "what I wrote" in said
    assert rows() == before
    assert (
        as_owner.post(
            address, form_on(said)[1] | {k: v for k, v in mine.items() if k != "version"}
        ).status_code
        == 302
    )


def record_of(address):
    from django.urls import resolve

    from workshop.bows.models import Bow, ClassRule
    from workshop.ledger.models import Instrument, Member, Shop
    from workshop.orders.models import Order, OrderLine, Person
    from workshop.staves.models import Felling, Place, Stave, Timber

    found = resolve(address)
    kinds = {
        "felling": Felling, "stave": Stave, "timber": Timber, "place": Place, "bow": Bow, "order": Order,
        "line": OrderLine, "person": Person, "instrument": Instrument, "shop": Shop, "member": Member,
        "class": ClassRule,
    }  # fmt: skip
    return kinds[found.url_name.split("-")[0]].objects.get(
        **({"pk": found.kwargs["pk"]} if found.kwargs else {})
    )
