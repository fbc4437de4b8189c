"""What is refused by name: a day that cannot be, a tag that is taken, wood that is in a bow, a muddled weigh-in."""

import html

import pytest
from django.urls import reverse

from tests.bad_input.deeds import DEEDS
from tests.bad_input.filling import open_form, rows
from workshop.ledger.forms import WhenField
from workshop.orders.services.orders import order_add


def send(client, world, deed, **typed):
    _form, address, filled = open_form(client, world, deed)
    before = rows()
    return client.post(address, {**filled, **typed}), before


def refused(answer, before, field, words, typed):
    """Beside its field, in these words; it stays as it was typed, and nothing is half saved."""
    assert answer.status_code == 422
    assert words in " ".join(answer.context["form"].errors[field])
    assert typed in html.unescape(answer.content.decode())
    assert rows() == before


# days


def test_no_deed_is_dated_in_the_future(as_owner, world):
    tried = 0
    for deed in DEEDS:
        form, _address, _filled = open_form(as_owner, world, deed)
        for name in [n for n, f in form.fields.items() if isinstance(f, WhenField) and not f.future]:
            answer, before = send(as_owner, world, deed, **{name: "2199-01-01"})
            refused(answer, before, name, "1 Jan 2199 has not come yet.", "2199-01-01")
            tried += 1
    assert tried > 30


ON_WOOD = [deed for deed, (_name, at, _typed) in DEEDS.items() if at.startswith("free")]
ON_BOWS = [deed for deed, (_name, at, _typed) in DEEDS.items() if at == "bow"]


def test_nothing_is_done_to_wood_before_its_tree_was_felled(as_owner, world):
    tried = 0
    for deed in ON_WOOD:
        form, _address, _filled = open_form(as_owner, world, deed)
        if "happened_on" in form.fields:
            answer, before = send(as_owner, world, deed, happened_on="Dec 2023")
            refused(
                answer, before, "happened_on", "That is before the wood came in: 12 Jan 2024.", "Dec 2023"
            )
            tried += 1
    assert tried > 10


def test_nothing_is_done_to_a_bow_before_it_was_started(as_owner, world):
    tried = 0
    for deed in ON_BOWS:
        form, _address, _filled = open_form(as_owner, world, deed)
        if "happened_on" in form.fields:
            answer, before = send(as_owner, world, deed, happened_on="Feb 2026")
            refused(
                answer, before, "happened_on", "That is before the bow was started: 2 Mar 2026.", "Feb 2026"
            )
            tried += 1
    assert tried > 10


# what bears a tag, a number or a name of its own

TAKEN = {  # deed: (field, what another bears, the words)
    "fell": ("first_tag", "24-001", "Another piece bears the tag 24-001. The next free one is"),
    "more pieces": ("first_tag", "24-001", "Another piece bears the tag 24-001."),
    "split": ("first_tag", "24-001", "Another piece bears the tag 24-001."),
    "change a piece": ("tag", "24-001", "Another piece bears this tag."),
    "begin a bow": ("number", "26-07", "Another bow bears the number 26-07."),
    "start a bow": ("number", "26-07", "Another bow bears the number 26-07."),
    "order": ("number", "26-001", "Another order has this number."),
    "change an order": ("number", "26-002", "Another order has this number."),
    "timber": ("name", "black LOCUST", "Another timber bears this name."),
    "change a timber": ("name", "Black locust", "Another timber bears this name."),
    "place": ("name", "long SHED", "Another place bears this name."),
    "take somebody in": ("username", "TAM", "signs in with this name already"),
}


@pytest.mark.parametrize("deed", TAKEN)
def test_what_another_bears_is_not_given_twice(as_owner, owner, world, deed):
    field, given, words = TAKEN[deed]
    if deed == "change an order":
        order_add(by=owner, payer=world.person, number="26-002", happened_on=world.order.happened_on)
    answer, before = send(as_owner, world, deed, **{field: given})
    refused(answer, before, field, words, given)


# wood


@pytest.mark.parametrize("part", ["whole", "limb-a"])
def test_a_solid_stave_is_not_used_twice(as_owner, world, part):
    address = reverse("piece-add", args=world.at["stock-bow"])
    form = as_owner.get(address).context["form"]
    before = rows()
    typed = {"stave": "24-001", "part": part, "happened_on": "today", "entry_key": form["entry_key"].value()}
    answer = as_owner.post(address, typed)
    refused(answer, before, "stave", "24-001 is in bow 26-07 already.", "24-001")


@pytest.mark.parametrize("deed", ["begin a bow", "start a bow"])
def test_no_other_bow_is_begun_of_a_stave_that_is_in_one(as_owner, world, deed):
    answer, before = send(as_owner, world, deed, staves="24-001")
    refused(answer, before, "staves", "24-001 is in bow 26-07 already.", "24-001")


@pytest.mark.parametrize("tag", ["99-999", "<b>24-002</b>", "24-002, 24-002"])
def test_a_bow_is_not_begun_of_a_piece_that_is_not_there(as_owner, world, tag):
    answer, before = send(as_owner, world, "begin a bow", staves=tag)
    assert answer.status_code == 422 and answer.context["form"].errors["staves"]
    assert tag in html.unescape(answer.content.decode()) and rows() == before


# a weigh-in warns and keeps; it is the tag that is refused


def weighed(client, world, *pairs):
    """The page of the weigh-in after these draws and weights; it holds 24 lb at 20 in already."""
    for inches, pounds in pairs:
        answer, _before = send(client, world, "weigh a draw", draw_m=inches, force_n=pounds)
        assert answer.status_code == 302
    return client.get(reverse("weigh-in", args=world.at["weigh-in"])).content.decode()


def test_a_weigh_in_of_one_point_is_shown_and_rates_nothing(as_owner, world):
    assert "24" in weighed(as_owner, world)
    tag = as_owner.get(reverse("paper-preview", args=["rating-tag", world.bow.pk])).content.decode()
    assert "No final weigh-in" in tag
    answer = as_owner.post(reverse("paper-issue", args=["rating-tag", world.bow.pk]), {"seen": "x"})
    assert answer.status_code == 422


def test_the_same_draw_twice_keeps_both_and_says_which_counts(as_owner, world):
    page = weighed(as_owner, world, ("20", "25"))
    assert "twice" in page.lower() or "same draw" in page.lower()
    assert world.bow.weigh_ins.get().points.count() == 2


def test_draws_in_the_wrong_order_are_put_in_order(as_owner, world):
    page = weighed(as_owner, world, ("26", "40"), ("22", "29"), ("24", "34"))
    table = page[page.index("Draw by draw") :]
    shown = [table.index(f"{inches}\N{NO-BREAK SPACE}in<") for inches in (20, 22, 24, 26)]
    assert shown == sorted(shown)


@pytest.mark.parametrize(
    ("typed", "field", "words"),
    [
        ({"draw_m": "", "force_n": "28"}, "draw_m", "How far was it drawn?"),
        ({"draw_m": "22", "force_n": ""}, "force_n", "Which weight did you read?"),
        ({"draw_m": "0", "force_n": "28"}, "draw_m", "less than can be believed"),
        ({"draw_m": "220", "force_n": "28"}, "draw_m", "more than can be believed"),
        ({"draw_m": "22", "force_n": "0"}, "force_n", "A drawn bow weighs something"),
        ({"draw_m": "22", "force_n": "-28"}, "force_n", "below zero"),
        ({"draw_m": "22 lb", "force_n": "28"}, "draw_m", "does not fit here"),
        ({"draw_m": "22", "force_n": "28 in"}, "force_n", "does not fit here"),
    ],
)
def test_a_point_that_is_none_is_refused_beside_its_field(as_owner, world, typed, field, words):
    answer, before = send(as_owner, world, "weigh a draw", **typed)
    refused(answer, before, field, words, typed[field])
