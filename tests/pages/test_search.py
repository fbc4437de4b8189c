"""Finding: straight to what bears the number, short lists otherwise, and only what the reader may see."""

import pytest
from django.db import connection
from django.urls import reverse

from workshop.orders.models import IssuedPaper
from workshop.orders.services.handover import bow_start_for_line
from workshop.orders.services.orders import line_add, order_add
from workshop.orders.services.persons import person_add
from workshop.pages.finding import MOST_LETTERS, exact, find, tidy
from workshop.staves.models import Timber
from workshop.staves.services import felling_add

pytestmark = pytest.mark.django_db
BACKEND = "django.contrib.auth.backends.ModelBackend"


@pytest.fixture
def ash(db):
    return Timber.objects.create(name="Ash", botanical="Fraxinus excelsior", kind="ring-porous")


@pytest.fixture
def wood(owner, ash, today):
    """Twelve pieces, W-01 to W-12."""
    return felling_add(by=owner, many=12, first_tag="W-01", timber=ash, came_by="tree", happened_on=today)


@pytest.fixture
def order(owner, today):
    edda = person_add(by=owner, name="Edda Quill", phone="0000 111")
    made = order_add(by=owner, payer=edda, number="O-7", happened_on=today)
    line_add(order=made, by=owner, kind="bow", timbers="Yew")
    return made


@pytest.fixture
def paper(owner, wood, today):
    from workshop.ledger.services import entry_add

    made = IssuedPaper(
        number=4711, kind="stave-tag", stave=wood.staves.first(), facts={"tag": "W-01"}, pdf=b"%PDF",
        sha256="0" * 64, happened_on=today,
    )  # fmt: skip
    return entry_add(made, by=owner)


def look(client, text):
    return client.get(reverse("search"), {"q": text})


def test_an_exact_tag_goes_straight_to_its_page(as_owner, wood):
    stave = wood.staves.get(tag="W-05")
    for typed in ("W-05", "w-05", "  w-05 ", "stave W-05", "piece w-05"):
        assert look(as_owner, typed).url == reverse("stave", args=[stave.pk])


def test_a_part_of_a_tag_gives_a_short_list_and_the_way_to_all(as_owner, wood):
    page = look(as_owner, "W-").content.decode()
    assert "<b>12</b> pieces of wood" in page and "All 12 of them" in page
    assert page.count('href="/wood/pieces/') == 8


def test_a_tag_typed_without_its_zeros_is_found(as_owner, owner, ash, today):
    tree = felling_add(by=owner, many=12, first_tag="26-001", timber=ash, came_by="tree", happened_on=today)
    first, twelfth = tree.staves.get(tag="26-001"), tree.staves.get(tag="26-012")
    assert (
        look(as_owner, "26-1").url == look(as_owner, "stave 26-01").url == reverse("stave", args=[first.pk])
    )
    assert look(as_owner, "26-12").url == reverse("stave", args=[twelfth.pk])


def test_what_bears_the_number_as_typed_goes_before_what_bears_it_with_zeros(
    as_owner, owner, wood, order, today
):
    bare = felling_add(
        by=owner, many=1, first_tag="W-5", timber=wood.timber, came_by="gift", happened_on=today
    ).staves.get()
    assert look(as_owner, "w-5").url == reverse("stave", args=[bare.pk])
    assert look(as_owner, "w-05").url == reverse("stave", args=[wood.staves.get(tag="W-05").pk])
    twin = order_add(by=owner, payer=order.payer, number="W-06", happened_on=today)
    page = look(as_owner, "W-6").content.decode()
    assert "<b>2</b> things bear “" in page and reverse("order", args=[twin.pk]) in page


def test_a_person_is_found_by_the_town(as_owner, client, helper, owner):
    edda = person_add(by=owner, name="Edda Quill", address="Mill Lane 4\nOtterbourne Vale")
    page = look(as_owner, "otterbourne").content.decode()
    assert reverse("person", args=[edda.pk]) in page
    client.force_login(helper, backend=BACKEND)
    assert "Edda" not in look(client, "otterbourne").content.decode()


def test_an_order_is_found_by_number_payer_and_timber(as_owner, order):
    assert look(as_owner, "o-7").url == reverse("order", args=[order.pk])
    assert "Edda Quill" in look(as_owner, "quill").content.decode()


def test_a_number_borne_by_two_things_shows_both(as_owner, owner, wood, order, today):
    twin = order_add(by=owner, payer=order.payer, number="W-05", happened_on=today)
    page = look(as_owner, "W-05").content.decode()
    assert "<b>2</b> things bear “" in page
    assert look(as_owner, "order W-05").url == reverse("order", args=[twin.pk])


def test_the_number_of_an_old_paper_leads_to_what_it_was_issued_for(as_owner, paper):
    for typed in ("4711", "paper 4711", "#4711"):
        assert look(as_owner, typed).url == reverse("stave", args=[paper.stave_id])
    page = as_owner.get(reverse("stave", args=[paper.stave_id])).content.decode()
    assert "Paper 4711" in page


def test_a_timber_leads_to_its_page_and_its_pieces(as_owner, wood, ash):
    page = look(as_owner, "fraxinus").content.decode()
    assert reverse("timber", args=[ash.pk]) in page
    assert "<b>12</b> pieces of wood" in look(as_owner, "ash").content.decode()


def test_a_bow_is_found_by_number_by_timber_and_by_whom_it_is_for(as_owner, client, helper, owner, order):
    bow = bow_start_for_line(line=order.lines.get(), by=owner, number="26-31", timber_words="laburnum")
    assert look(as_owner, "26-31").url == reverse("bow", args=[bow.pk])
    for typed in ("laburnum", "quill", "26-3", "quill laburnum"):
        assert reverse("bow", args=[bow.pk]) in look(as_owner, typed).content.decode()
    client.force_login(helper, backend=BACKEND)
    assert look(client, "bow 26-31").status_code == 302
    assert reverse("bow", args=[bow.pk]) not in look(client, "quill").content.decode()


def test_a_helper_finds_wood_but_no_order_no_person_and_no_paper(client, helper, shop, wood, order, paper):
    client.force_login(helper, backend=BACKEND)
    for typed in ("O-7", "order o-7", "Quill", "4711"):
        page = look(client, typed)
        assert page.status_code == 200 and "Nothing holds" in page.content.decode()
    assert look(client, "W-05").status_code == 302


def test_nothing_typed_says_what_may_be_typed(as_owner):
    assert "Type what stands on it" in look(as_owner, "  ").content.decode()


@pytest.mark.parametrize(
    "typed",
    [
        "%", "_", "'", '"', "\\", "';--", "<script>alert(1)</script>", "\x00", "W\x0005", "\ud7ff", "٤٧",
        "9" * 40, "-1", "0", "paper", "paper 0", "paper 99999999999", "order  ", "a" * 10_000, "½", "名",
    ],
)  # fmt: skip
def test_odd_input_is_only_text_to_look_for(as_owner, wood, typed):
    answered = look(as_owner, typed)
    assert answered.status_code in (200, 302)
    assert "<script>alert" not in answered.content.decode()


def test_what_was_typed_stays_in_the_field(as_owner):
    assert 'value="no such thing"' in look(as_owner, "no such thing").content.decode()


def test_typed_text_is_brought_to_one_line_of_a_bearable_length():
    assert tidy(" a\n\tb\x00c ") == "a b c"
    assert len(tidy("x" * 1000)) == MOST_LETTERS


def test_exact_numbers_are_read_through_their_indexes(owner, shop, order, django_assert_num_queries):
    with django_assert_num_queries(3) as asked:
        assert exact("o-7", member=owner, shop=shop) == [("order", order)]
    if connection.vendor != "sqlite":
        return  # PostgreSQL reads a small table whole, and rightly
    with connection.cursor() as cursor:
        for query in asked.captured_queries:
            cursor.execute("EXPLAIN QUERY PLAN " + query["sql"])
            plan = " / ".join(row[-1] for row in cursor.fetchall())
            assert "USING INDEX one_" in plan, plan


@pytest.mark.parametrize("many", [10, 200])
def test_search_asks_the_database_as_often_for_many_hits_as_for_few(
    owner, shop, ash, today, many, django_assert_num_queries
):
    felling_add(by=owner, many=many, first_tag="W-001", timber=ash, came_by="tree", happened_on=today)
    edda = person_add(by=owner, name="W. Quill")
    for n in range(many):
        order_add(by=owner, payer=edda, number=f"W{n}", happened_on=today)
    with django_assert_num_queries(11):
        assert [each.many for each in find("w", member=owner, shop=shop)] == [many, many, 1]
