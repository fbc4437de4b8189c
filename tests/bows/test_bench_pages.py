"""The pages of the bench: every deed shows its form, keeps what was typed, and comes back to the bow."""

import datetime as dt
import uuid

import pytest
from django.db import connection
from django.test.utils import CaptureQueriesContext
from django.urls import reverse
from django.utils import timezone

from tests.bows.conftest import BACKEND, BEGUN, sent
from workshop.bows.models import Bow, BowFlaw, SetReading, StageTick, WorkDone
from workshop.bows.services.pieces import piece_add
from workshop.bows.services.readings import flaw_add, set_add, work_add
from workshop.bows.weighing.services import weigh_in_add, weigh_point_add
from workshop.calc.imperial import INCH_M, POUND_N
from workshop.ledger.services import record_change
from workshop.orders.services.handover import bow_deliver, bow_start_for_line, visit_add
from workshop.orders.services.orders import line_add, line_change, order_add
from workshop.orders.services.persons import person_add
from workshop.staves.models import Timber
from workshop.staves.services import felling_change, moisture_add, readings, stave_step

pytestmark = pytest.mark.django_db
DAY = dt.date(2026, 3, 14)

# url name -> what is typed, what is refused (field, text)
DEEDS = {
    "work-add": ({"deed": "scraped", "limb": "A", "from_m": "6", "to_m": "14 1/2"}, ("from_m", "six")),
    "set-add": ({"follow_a_m": "3/4", "follow_b_m": "1/2"}, ("follow_a_m", "a bit")),
    "brace-add": ({"brace_m": "6 1/4", "string_a_m": "5 7/8", "string_b_m": "5 3/4"}, ("brace_m", "60 in")),
    "flaw-add": ({"kind": "knot", "limb": "A", "face": "back", "at_m": "9"}, ("at_m", "far out")),
    "shots-add": ({"shots": "40"}, ("shots", "-3")),
    "mass-add": ({"mass_kg": "1 lb 3 oz"}, ("mass_kg", "heavy")),
    "time-add": ({"time_s": "1 h 20 min"}, ("time_s", "long")),
    "speed-add": ({"speed_m_s": "158", "arrow_kg": "450"}, ("speed_m_s", "fast")),
    "bow-note-add": ({"note": "Belly darker at the knot."}, ("note", "")),
    "upper-decide": ({"limb": "A"}, ("limb", "C")),
    "bow-stage": ({"stage": "roughing"}, ("stage", "flying")),
    "bow-plan": ({"length_m": "70", "grip_m": "4"}, ("length_m", "900 in")),
    "bow-change": ({"note": "<b>bold</b>"}, ("number", "")),
    "piece-add": ({"part": "backing", "material": "sinew"}, ("stave", "no-such-tag")),
    "tick-add": ({"lines": "dry"}, ("lines", "nothing")),
    "dimensions-add": ({"limb": "A", "width_0": "1 3/8", "depth_0": "5/8"}, ("width_0", "wide")),
}


@pytest.mark.parametrize("name", DEEDS)
def test_each_deed_is_written_and_leads_back_to_the_bow(as_owner, bow, name):
    at = reverse(name, args=[bow.pk])
    page = as_owner.get(at)
    assert page.status_code == 200
    answer = as_owner.post(at, sent(page, **DEEDS[name][0]))
    assert answer.status_code == 302, answer.context["form"].errors
    assert answer.url == reverse("bow", args=[bow.pk])
    assert as_owner.get(answer.url).status_code == 200


def test_a_bow_is_started_from_the_page_of_a_piece_that_is_ready(as_owner, owner, staves):
    ready, green, dry = staves
    stave_step(stave=ready, state="ready", by=owner)
    moisture_add(stave=dry, by=owner, reading_pct=9, happened_on=timezone.localdate())

    def way(stave):
        page = as_owner.get(reverse("stave", args=[stave.pk])).content.decode()
        address = f"{reverse('bow-add')}?pieces={stave.tag}"
        return address if f'href="{address}"' in page else None

    assert way(ready) and way(dry) and not way(green)
    begun = as_owner.post(reverse("bow-add"), sent(as_owner.get(way(ready)), number="26-30"))
    assert begun.status_code == 302
    assert Bow.objects.get(number="26-30").pieces.get().stave == ready
    assert not way(ready), "a piece that is in a bow starts no other"


def test_a_helper_starts_no_bow_from_a_piece(client, helper, owner, staves):
    stave_step(stave=staves[0], state="ready", by=owner)
    client.force_login(helper, backend=BACKEND)
    page = client.get(reverse("stave", args=[staves[0].pk])).content.decode()
    assert reverse("bow-add") not in page


@pytest.mark.parametrize("name", DEEDS)
def test_what_cannot_be_taken_is_said_beside_the_field_and_stays_typed(as_owner, bow, name):
    at, (field, text) = reverse(name, args=[bow.pk]), DEEDS[name][1]
    typed = {**DEEDS[name][0], field: text}
    answer = as_owner.post(at, sent(as_owner.get(at), **typed))
    assert answer.status_code == 422
    assert field in answer.context["form"].errors
    for value in filter(None, typed.values()):
        if field in ("lines", "stage", "limb") and value == text:
            continue  # not one of the choices: there is nothing to keep it in
        assert value.replace("<", "&lt;").replace(">", "&gt;") in answer.content.decode()


def test_a_bow_is_begun_from_two_billets(as_owner, staves):
    at = reverse("bow-add")
    page = as_owner.get(at)
    assert "24-001" not in page.context["form"].as_p()
    typed = {"make_up": "spliced", "staves": "24-001, 24-003", "wanted_n": "45", "wanted_draw_m": "28"}
    answer = as_owner.post(at, sent(page, **typed))
    assert answer.status_code == 302, answer.context["form"].errors
    bow = Bow.objects.get()
    assert answer.url == reverse("bow", args=[bow.pk])
    shown = as_owner.get(answer.url).content.decode()
    assert "24-001" in shown
    assert "limb B" in shown
    assert "45\xa0lb" in shown


def test_a_tag_nobody_wrote_is_named(as_owner, staves):
    at = reverse("bow-add")
    answer = as_owner.post(at, sent(as_owner.get(at), staves="24-001, 99-999"))
    assert answer.status_code == 422
    assert "99-999" in str(answer.context["form"].errors["staves"])
    assert not Bow.objects.exists()


def test_a_stave_used_twice_is_refused_beside_its_field(as_owner, begin, staves):
    begin(staves[0], number="26-01")
    at = reverse("bow-add")
    answer = as_owner.post(at, sent(as_owner.get(at), staves="24-001"))
    assert answer.status_code == 422
    assert "26-01" in str(answer.context["form"].errors["staves"])


def test_after_steaming_the_page_says_to_rest_and_that_old_weights_rate_no_more(as_owner, weighed):
    at = reverse("work-add", args=[weighed.pk])
    page = as_owner.post(at, sent(as_owner.get(at), deed="steamed"), follow=True).content.decode()
    assert "Earlier weigh-ins no longer rate this bow." in page
    assert "Let it rest until" in page
    assert WorkDone.objects.get().new_zero


def test_the_first_set_reading_offers_to_be_the_zero(as_owner, owner, bow):
    at = reverse("set-add", args=[bow.pk])
    assert as_owner.get(at).context["form"].initial["is_zero"]
    set_add(bow=bow, by=owner, follow_m=0.0, is_zero=True, happened_on=DAY)
    assert not as_owner.get(at).context["form"].initial["is_zero"]
    work_add(bow=bow, by=owner, deed="heat-treated", happened_on=DAY)
    assert as_owner.get(at).context["form"].initial["is_zero"]


def test_both_tips_are_two_readings_and_a_form_sent_twice_stays_two(as_owner, bow):
    at = reverse("set-add", args=[bow.pk])
    typed = sent(as_owner.get(at), follow_a_m="3/4", follow_b_m="1/2")
    as_owner.post(at, typed)
    as_owner.post(at, typed)
    read = [(each.limb, each.as_typed["follow_m"]) for each in SetReading.objects.all()]
    assert read == [("A", "3/4"), ("B", "1/2")]


def test_the_plan_is_not_lost_when_two_people_change_it(as_owner, owner, bow):
    at = reverse("bow-plan", args=[bow.pk])
    mine, theirs = (sent(as_owner.get(at), nocks=nocks) for nocks in ("horn", "wood"))
    assert as_owner.post(at, theirs).status_code == 302
    answer = as_owner.post(at, mine)
    assert answer.status_code == 422
    assert "horn" in answer.content.decode()
    assert Bow.objects.get().nocks == "wood"


def test_a_watched_flaw_is_looked_at_and_settled(as_owner, owner, bow):
    flaw = flaw_add(bow=bow, by=owner, kind="splinter", limb="A", face="back", at_m=0.3, happened_on=DAY)
    page = as_owner.get(reverse("bow", args=[bow.pk])).content.decode()
    assert "Watched" in page
    look = reverse("flaw-look", args=[flaw.pk])
    as_owner.post(look, sent(as_owner.get(look), seen="grown"))
    page = as_owner.get(reverse("bow", args=[bow.pk])).content.decode()
    assert "has grown" in page
    settle = reverse("bow-flaw-settle", args=[flaw.pk])
    as_owner.post(settle, {"word": "bound with silk"})
    assert "bound with silk" in BowFlaw.objects.get().settled_word
    assert "Watched" not in as_owner.get(reverse("bow", args=[bow.pk])).content.decode()
    assert as_owner.get(settle).status_code == 404


def test_the_check_list_is_ticked_off_on_the_bows_own_page(as_owner, bow):
    page = as_owner.get(reverse("bow", args=[bow.pk]))
    key = page.context["check_form"].initial["entry_key"]
    as_owner.post(
        reverse("tick-add", args=[bow.pk]),
        {"lines": ["dry", "line"], "happened_on": "today", "entry_key": key},
    )
    assert {tick.line for tick in StageTick.objects.all()} == {"dry", "line"}


@pytest.fixture
def ordered(owner):
    """A bow started for an order by Edda Quill."""
    payer = person_add(by=owner, name="Edda Quill", phone="0000 111")
    order = order_add(by=owner, payer=payer, happened_on=dt.date(2026, 1, 5))
    line = line_add(
        order=order,
        by=owner,
        kind="bow",
        archer=payer,
        wanted_n=200.0,
        wanted_draw_m=28 * INCH_M,
        price_minor=62000,
    )
    return line, bow_start_for_line(line=line, by=owner, number="26-11")


def test_a_later_change_of_the_order_stands_beside_what_was_copied(as_owner, owner, ordered):
    line, bow = ordered
    assert "The order asks otherwise now" not in as_owner.get(reverse("bow", args=[bow.pk])).content.decode()
    line_change(line=line, by=owner, wanted_n=178.0)
    page = as_owner.get(reverse("bow", args=[bow.pk])).content.decode()
    assert "The order asks otherwise now" in page
    assert "40\xa0lb" in page
    assert "Edda Quill" in page


def test_a_helper_sees_what_is_asked_but_not_by_whom(client, helper, ordered):
    line, bow = ordered
    client.force_login(helper, backend=BACKEND)
    for at in (reverse("bow", args=[bow.pk]), reverse("bench")):
        page = client.get(at).content.decode()
        assert line.order.number in page
        assert "Edda" not in page
        assert "0000 111" not in page
        assert "620" not in page


def test_a_helper_writes_readings_and_steps_but_makes_and_plans_no_bow(client, helper, bow):
    client.force_login(helper, backend=BACKEND)
    for name in ("work-add", "set-add", "bow-stage", "tick-add", "dimensions-add"):
        assert client.get(reverse(name, args=[bow.pk])).status_code == 200
    for name in ("bow-plan", "bow-change", "piece-add", "upper-decide"):
        assert client.get(reverse(name, args=[bow.pk])).status_code == 403
    assert client.get(reverse("bow-add")).status_code == 403


def test_nobody_sees_the_bench_without_signing_in(client, bow):
    for at in (reverse("bench"), reverse("bow", args=[bow.pk]), reverse("work-add", args=[bow.pk])):
        assert client.get(at).status_code == 302


def _queries(client, at) -> int:
    with CaptureQueriesContext(
        connection,
    ) as taken:
        assert client.get(at).status_code == 200
    return len(taken)


def test_the_bench_takes_as_many_queries_for_200_bows_as_for_10(as_owner, owner, begin, staves):
    def some(count):
        for _ in range(count):
            bow = begin(timber_words="ash")
            flaw_add(bow=bow, by=owner, kind="knot", limb="A", face="back", happened_on=DAY)
            set_add(bow=bow, by=owner, follow_m=0.01, is_zero=True, happened_on=DAY)

    some(10)
    few = _queries(as_owner, reverse("bench"))
    some(190)
    assert _queries(as_owner, reverse("bench")) == few


def test_the_page_of_a_bow_takes_as_many_queries_for_200_entries_as_for_10(as_owner, owner, bow):
    def some(count):
        for _ in range(count):
            work_add(bow=bow, by=owner, deed="scraped", happened_on=DAY)
            flaw_add(bow=bow, by=owner, kind="knot", limb="A", face="back", happened_on=DAY)

    some(10)
    few = _queries(as_owner, reverse("bow", args=[bow.pk]))
    some(190)
    assert _queries(as_owner, reverse("bow", args=[bow.pk])) == few


def test_where_dust_is_made_the_timbers_own_is_named(as_owner, owner, begin, staves):
    yew = Timber.objects.get(code="yew-common")
    piece = staves[0]
    felling_change(felling=piece.felling, by=owner, timber=yew)
    page = as_owner.get(reverse("bow", args=[begin(piece).pk])).content.decode()
    assert "Yew: poisonous" in page
    assert "extraction, mask, gloves" in page


def test_a_struck_reading_stays_with_a_line_through_it(as_owner, owner, bow):
    work = work_add(bow=bow, by=owner, deed="piked", happened_on=DAY)
    at = reverse("bow", args=[bow.pk])
    as_owner.post(reverse("strike-out", args=["bows.workdone", work.pk]), {"next": at, "reason": "mistyped"})
    page = as_owner.get(at).content.decode()
    assert '<li class="struck">' in page
    assert "struck out by Wilma Ashdown" in page


def test_the_rating_stands_on_the_page_once_it_is_measured(as_owner, owner, bow):
    weigh_in = weigh_in_add(
        bow=bow,
        by=owner,
        system="imperial",
        happened_on=DAY,
        purpose="final",
        strung="full",
        brace_m=0.16,
        draw_from="back",
    )
    for inches, pounds in ((12, 17), (16, 24), (20, 31), (24, 38), (28, 45.5)):
        weigh_point_add(
            weigh_in=weigh_in,
            by=owner,
            system="imperial",
            draw_m=inches * INCH_M,
            force_n=pounds * POUND_N,
            entry_key=uuid.uuid4(),
        )
    page = as_owner.get(reverse("bow", args=[bow.pk])).content.decode()
    assert "Its rating, by the final weigh-in of 14 Mar 2026" in page
    assert "0.5\xa0lb heavier than wanted" in page
    work_add(bow=bow, by=owner, deed="sanded", happened_on=DAY)
    page = as_owner.get(reverse("bow", args=[bow.pk])).content.decode()
    assert "Its rating" not in page
    assert "worked on since" in page


def test_a_bow_that_left_shows_its_owner_visits_and_hand_over_but_no_names_to_a_helper(
    as_owner, client, owner, helper, ordered
):
    line, bow = ordered
    edda = line.archer
    bow_deliver(
        bow=bow,
        to=edda,
        line=line,
        by=owner,
        happened_on=timezone.localdate(),
        despite=True,
        note="papers later",
    )
    visit_add(bow=bow, by=owner, brought_by=edda, complaint="it creaks", happened_on=timezone.localdate())
    at = reverse("bow", args=[bow.pk])
    page = as_owner.get(at).content.decode()
    for words in ("owned by", "handed to", "brought by", "it creaks", "It came back: look it over"):
        assert words in page
    client.force_login(helper, backend=BACKEND)
    page = client.get(at).content.decode()
    assert "it creaks" in page
    assert "Edda" not in page
    assert "papers later" not in page


def test_horn_nocks_are_no_timber(as_owner, owner, begin, staves):
    bow = begin(staves[0])
    piece_add(bow=bow, by=owner, part="nock", material="horn", happened_on=DAY)
    seen = as_owner.get(reverse("bow", args=[bow.pk])).context["seen"]
    assert seen.timbers == "White ash"


def test_a_bow_begun_from_wet_wood_says_so_and_shows_the_flaws_the_stave_was_tagged_with(
    as_owner, begin, staves, owner
):
    stave, day = staves[0], dt.date.today()
    moisture_add(stave=stave, by=owner, reading_pct=18.0, happened_on=day)
    readings.flaw_add(stave=stave, by=owner, kind="pin", face="back", from_m=0.4, happened_on=day)
    bow = begin(stave)
    page = as_owner.get(reverse("bow", args=[bow.pk])).content.decode()
    assert "too wet for the bench" in page and "flaws:" in page and "from the butt" in page


def test_a_bow_longer_than_the_piece_it_is_made_of_says_so(as_owner, begin, staves, owner):
    stave = record_change(staves[0], by=owner, length_m=42 * INCH_M)
    page = as_owner.get(reverse("bow", args=[begin(stave, length_m=72 * INCH_M).pk])).content.decode()
    assert "30\xa0in shorter than the bow that is to be made of it" in page


def test_a_bow_whose_zero_was_just_read_has_no_set_to_speak_of(as_owner, bow, owner):
    set_add(
        bow=bow,
        by=owner,
        follow_a_m=-0.0127,
        follow_b_m=-0.0127,
        is_zero=True,
        rested=True,
        happened_on=BEGUN,
    )
    page = as_owner.get(reverse("bow", args=[bow.pk])).content.decode()
    assert "not read since the zero" in page
