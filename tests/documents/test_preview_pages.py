"""What will stand on a paper, as a page; and what that page warns of first."""

import datetime as dt

import pytest
from django.db import connection
from django.test.utils import CaptureQueriesContext

from tests.documents.papers import words_of
from workshop.bows.services.bows import bow_change, bow_start, upper_decide
from workshop.bows.services.pieces import piece_add
from workshop.bows.services.stages import stage_step
from workshop.calc.imperial import INCH_M, POUND_N
from workshop.ledger.services import record_change
from workshop.orders.models import IssuedPaper
from workshop.orders.services.handover import bow_deliver
from workshop.orders.services.orders import line_add, payment_add
from workshop.orders.services.persons import person_change

pytestmark = pytest.mark.django_db
OF_BOWS = ("rating-tag", "plain-tag", "care-sheet", "bench-card", "curve-sheet")
# `trade.md` section 6, as the sheet must say it; common practice, no source.
EVERY_CAUTION = (
    "Local law and the rules of club and range come first",
    "Some places restrict carrying, shooting, hunting or selling bows",
    "A wooden bow can break without warning",
    "right way up, to the brace height given",
    "Unstring it when you are not shooting",
    "Use the string as supplied",
    "Low-stretch material only if the nocks were made for it",
    "Never let the string go without an arrow",
    "Never draw past the rated draw: 28 in",
    "dry-fired (let go without an arrow) or overdrawn is not shot again until the maker has seen it",
    "A few part draws first",
    "Do not hold at full draw",
    "Arrows not lighter than stated, sound, straight and long enough",
    "Nobody in front of the bow or beside the limbs",
    "A backstop that holds every arrow",
    "Eye protection the first times",
    "Children only with a competent grown-up",
    "heat, hot cars, radiators, strong sun, frost and damp",
    "Hang it or lay it flat",
    "Look over back, belly, nocks and string each time",
    "Stop when anything shows, and ask the maker",
)


def page(client, kind, subject) -> str:
    answer = client.get(f"/papers/{kind}/{subject.pk}")
    assert answer.status_code == 200, answer.content.decode()
    return " ".join(answer.content.decode().replace("\xa0", " ").split())


def facts_of(client, kind, subject) -> dict:
    return client.get(f"/papers/{kind}/{subject.pk}").context["draft"].facts_told


def test_every_caution_stands_on_the_care_sheets_page_and_on_its_paper(as_owner, finished, issue):
    on_page = page(as_owner, "care-sheet", finished)
    on_paper = words_of(as_owner.get(issue(as_owner, "care-sheet", finished).url).content)
    for caution in EVERY_CAUTION:
        assert caution in on_page and caution in on_paper


def test_the_care_sheet_is_made_for_that_bow(as_owner, finished, issue):
    said = words_of(as_owner.get(issue(as_owner, "care-sheet", finished).url).content)
    # 9 grains a pound, the workshop's own setting, times 44.5 lb is 400.5, rounded up.
    for words in (
        "44.5 lb at 28 in", "6 1/2 in, belly of grip to string", "linen, 12 strands", "401 gr",
        "a cross on the back", "do not use it", "3 Alder Row", "hazel@fenwick.invalid",
        "One year on the wood, for the first owner.", "Ladislav Žák", "longer than 28 in",
    ):  # fmt: skip
        assert words in said


def test_an_upper_limb_without_a_mark_is_named_in_words_a_customer_understands(as_owner, owner, finished):
    upper_decide(bow=finished, by=owner, limb="B", happened_on=finished.started_on)
    assert "the one its maker calls limb B; ask the maker where it is marked" in page(
        as_owner, "care-sheet", finished
    )


def test_a_note_of_the_makers_own_is_not_printed_for_the_customer(as_owner, owner, finished):
    note = "A was too stiff, turned end for end"
    upper_decide(bow=finished, by=owner, limb="B", happened_on=finished.started_on, note=note)
    sheet = page(as_owner, "care-sheet", finished)
    assert note not in sheet and "the one its maker calls limb B" in sheet


def test_a_bow_whose_nocks_bear_it_may_have_a_low_stretch_string(as_owner, owner, finished):
    bow_change(bow=finished, by=owner, low_stretch_fit=True)
    assert "were made for low-stretch" in page(as_owner, "care-sheet", finished)


def test_the_word_safe_is_on_no_paper_and_no_page(as_owner, owner, finished, order, stave, issue):
    for kind, subject in (
        *((kind, finished) for kind in OF_BOWS),
        ("order-sheet", order),
        ("stave-tag", stave),
    ):
        assert "safe" not in page(as_owner, kind, subject).lower()
        assert "safe" not in words_of(as_owner.get(issue(as_owner, kind, subject).url).content).lower()


def test_the_terms_that_hold_on_the_day_of_handing_over_stand_on_the_sheet(
    as_owner, owner, finished, archer, terms
):
    terms("Ten years, said the old terms.", on=dt.date(2024, 1, 1))
    terms("Two years, from next spring.", on=dt.date.today() + dt.timedelta(days=90))
    assert facts_of(as_owner, "care-sheet", finished)["terms"] == "One year on the wood, for the first owner."
    delivered = {"happened_on": dt.date(2024, 6, 1), "despite": True, "note": "an old one"}
    bow_deliver(bow=finished, to=archer, by=owner, **delivered)
    facts = facts_of(as_owner, "care-sheet", finished)
    assert facts["terms"] == "Ten years, said the old terms." and facts["date"] == "1 Jun 2024"


def test_a_bow_back_at_the_bench_goes_out_under_todays_terms(as_owner, owner, finished, archer, terms):
    terms("Ten years, said the old terms.", on=dt.date(2024, 1, 1))
    delivered = {"happened_on": dt.date(2024, 6, 1), "despite": True, "note": "an old one"}
    bow_deliver(bow=finished, to=archer, by=owner, **delivered)
    finished.refresh_from_db()
    stage_step(bow=finished, stage="finishing", by=owner)
    assert facts_of(as_owner, "care-sheet", finished)["terms"].startswith("One year")


def test_what_is_not_known_is_said_first_and_may_be_passed_over(as_owner, owner):
    bare = bow_start(by=owner, number="26-090")
    said = page(as_owner, "care-sheet", bare)
    for words in (
        "No brace height",
        "No string",
        "No timber",
        "Upper limb not decided",
        "No terms",
        "No rating",
    ):
        assert words in said
    assert "not stated: ask the maker" in said and "Issue it" in said


def test_a_code_that_leads_nowhere_is_said(as_owner, owner, shop, finished):
    record_change(shop, by=owner, address_of_ledger="http://127.0.0.1:8000")
    assert "The code leads nowhere" in page(as_owner, "rating-tag", finished)
    record_change(shop, by=owner, address_of_ledger="https://ledger.invalid/")
    said = page(as_owner, "rating-tag", finished)
    assert "leads nowhere" not in said and "https://ledger.invalid/b/26-014" in said


def test_letters_the_typeface_lacks_are_named(as_owner, owner, finished, archer):
    person_change(person=archer, by=owner, name="弓太郎")
    said = page(as_owner, "care-sheet", finished)
    assert "Letters that cannot be printed" in said and "弓 太 郎" in said


def test_a_label_too_small_for_its_code_is_said_and_refused_beside_the_choice(
    as_owner, owner, shop, stave, issue
):
    record_change(shop, by=owner, label_width_m=0.02, label_height_m=0.012)
    assert "The code does not fit this label" in page(as_owner, "stave-tag", stave)
    answer = issue(as_owner, "stave-tag", stave, stock="roll")
    assert answer.status_code == 422 and "does not fit" in str(answer.context["form"].errors["stock"])
    assert issue(as_owner, "stave-tag", stave, stock="a4-24").status_code == 302
    assert as_owner.get(f"/papers/stave-tag/{stave.pk}/print?stock=roll").status_code == 422


def test_a_tag_in_print_too_fine_to_read_is_said(as_owner, finished):
    assert "few can read" in page(as_owner, "rating-tag", finished)  # on the 62 by 29 mm roll of the settings


def test_names_are_printed_as_typed(as_owner, owner, finished, archer, issue):
    person_change(person=archer, by=owner, name="<b>Žák</b> & sons {draw}")
    assert "&lt;b&gt;Žák&lt;/b&gt; &amp; sons {draw}" in page(as_owner, "care-sheet", finished)
    said = words_of(as_owner.get(issue(as_owner, "care-sheet", finished).url).content)
    assert "<b>Žák</b> & sons {draw}" in said


def test_the_bench_card_has_stations_limit_marks_pieces_and_check_lists(as_owner, finished, plan, issue):
    plan(finished, (0, 32, 28), (12, 34, 24), (24, 29, 20))
    said = words_of(as_owner.get(issue(as_owner, "bench-card", finished).url).content)
    # 45 lb and the 3 lb that finishing takes, both settings.
    for words in (
        "45 lb at 28 in", "48 lb at any draw", "1 in above the middle mark, 3 in below it",
        "23-001, Yew, felled Feb 2023",
        "12 in", "both", "Nocks are cut", "for Ladislav Žák", "Pull on the tree by a rope", "Yew dust: poisonous",
    ):  # fmt: skip
        assert words in said
    assert "No planned sizes" not in page(as_owner, "bench-card", finished)


def test_a_bench_card_without_planned_sizes_has_bare_marks(as_owner, bow):
    assert "No planned sizes" in page(as_owner, "bench-card", bow)
    stations = facts_of(as_owner, "bench-card", bow)["layout"]["stations"]
    assert [round(s["at_m"] / INCH_M, 2) for s in stations] == [0, 6, 12, 18, 24, 30, 35.25]


@pytest.mark.parametrize(("limb", "a_inches", "b_inches"), [("A", 1, 3), ("B", 3, 1)])
def test_the_grip_on_the_bench_card_reaches_less_far_into_the_upper_limb(
    as_owner, owner, bow, limb, a_inches, b_inches
):
    """The bow has an inch of its grip above the middle mark and three below."""
    upper_decide(bow=bow, limb=limb, by=owner, happened_on=dt.date(2026, 4, 2))
    layout = facts_of(as_owner, "bench-card", bow)["layout"]
    assert (round(layout["grip_a_m"] / INCH_M, 3), round(layout["grip_b_m"] / INCH_M, 3)) == (
        a_inches,
        b_inches,
    )


def test_a_bench_card_is_printed_without_being_kept(as_owner, bow):
    answer = as_owner.get(f"/papers/bench-card/{bow.pk}/print")
    assert answer["Content-Type"] == "application/pdf" and not IssuedPaper.objects.exists()


def test_a_paper_that_leaves_the_shop_is_only_issued(as_owner, finished):
    answer = as_owner.get(f"/papers/care-sheet/{finished.pk}/print")
    assert answer.status_code == 302 and answer.url == f"/papers/care-sheet/{finished.pk}"


def test_the_order_sheet_tells_persons_lines_and_money(as_owner, order, terms, issue):
    terms()
    said = words_of(as_owner.get(issue(as_owner, "order-sheet", order).url).content)
    for words in (
        "Mirela Žáková", "8 Mill Lane", "Ladislav Žák", "draw 28 in, measured from the back of the bow, 2 Mar 2026",
        "45 lb at 28 in", "give or take 2 lb", "640.00 EUR", "2 × linen strings", "36.00 EUR", "1 Sep 2026",
        "676.00 EUR", "200.00 EUR", "150.00 EUR", "526.00 EUR",
    ):  # fmt: skip
        assert words in said


def test_a_maker_who_sees_no_money_gets_a_sheet_without_it(client, as_owner, order, maker, issue):
    dear = as_owner.get(issue(as_owner, "order-sheet", order).url)
    assert dear.status_code == 200
    client.force_login(maker, backend="django.contrib.auth.backends.ModelBackend")
    said = page(client, "order-sheet", order)
    assert "No prices" in said and "EUR" not in said
    assert client.get(f"/papers/{IssuedPaper.objects.get().pk}").status_code == 403
    own = client.get(issue(client, "order-sheet", order).url)
    assert own.status_code == 200 and "EUR" not in words_of(own.content)


def test_what_was_paid_before_any_price_still_stands(as_owner, owner, order):
    for line in order.lines.all():
        record_change(line, by=owner, price_minor=None)
    payment_add(order=order, by=owner, amount_minor=-5000, happened_on=dt.date(2026, 3, 5))
    facts = facts_of(as_owner, "order-sheet", order)
    assert facts["paid"] == "100.00\xa0EUR" and facts["price"] == facts["still_due"] == ""


def test_the_curve_sheet_is_of_the_last_full_series(as_owner, finished, weigh, issue):
    weigh(finished, (27, 42), on=dt.date(2026, 5, 12), purpose="tillering")
    facts = facts_of(as_owner, "curve-sheet", finished)
    assert facts["date"] == "10 May 2026" and len(facts["points"]) == 10 and facts["energy"].endswith("ft·lb")
    said = words_of(as_owner.get(issue(as_owner, "curve-sheet", finished).url).content)
    assert "44.5 lb at 28 in" in said and "Weighed by Wilma Ashdown" in said and "page 1 of 1" in said


def test_without_a_full_series_there_is_no_curve_sheet(as_owner, bow, weigh):
    weigh(bow, (28, 44))
    assert "No full series" in page(as_owner, "curve-sheet", bow)


def test_in_the_demo_every_paper_is_marked_as_invented(as_owner, finished, settings, issue):
    settings.DEMO = True
    for kind in OF_BOWS:
        said = words_of(as_owner.get(issue(as_owner, kind, finished).url).content)
        assert "An invented workshop – not a real bow" in said, kind


def test_a_kind_or_record_that_is_not_there_is_not_found(as_owner, bow):
    assert as_owner.get(f"/papers/passport/{bow.pk}").status_code == 404
    assert as_owner.get("/papers/care-sheet/999999").status_code == 404
    assert as_owner.get("/papers/999999").status_code == 404


def count(client, url) -> int:
    with CaptureQueriesContext(connection) as queries:
        assert client.get(url).status_code == 200
    return len(queries)


@pytest.mark.parametrize("kind", OF_BOWS)
def test_a_page_about_a_bow_asks_the_database_as_often_for_much_as_for_little(
    as_owner, finished, weigh, work, plan, stave, make_stave, owner, kind
):
    url = f"/papers/{kind}/{finished.pk}"
    few = count(as_owner, url)
    plan(finished, *((n, 34, 24) for n in range(0, 30, 2)))
    for n in range(6):
        piece_add(bow=finished, by=owner, stave=make_stave(f"23-1{n}"), part="layer", layer=n + 1,
                  happened_on=dt.date(2026, 4, 1))  # fmt: skip
        weigh(finished, (20, 28), (24, 36), (26, 40), (28, 44), on=dt.date(2026, 5, 14))
    assert count(as_owner, url) == few


def test_the_order_sheets_page_asks_as_often_for_many_lines(as_owner, owner, order, archer):
    url = f"/papers/order-sheet/{order.pk}"
    few = count(as_owner, url)
    for n in range(20):
        line_add(
            order=order, by=owner, kind="bow", archer=archer, wanted_n=(30 + n) * POUND_N, price_minor=100
        )
    assert count(as_owner, url) == few
