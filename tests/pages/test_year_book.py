"""The year book: a maker's questions at the end of the year, answered from the entries and to whom they belong."""

import datetime as dt
import uuid

import pytest
from django.urls import reverse

from workshop.bows.models import WeighIn
from workshop.bows.selectors.forecasts import forecasts_kept
from workshop.bows.selectors.strains import strain_of_arc_pct, strains_reached_pct
from workshop.bows.services.bows import bow_change, bow_start
from workshop.bows.services.readings import dimensions_add, set_add, time_add
from workshop.bows.services.stages import stage_step
from workshop.bows.weighing.services import weigh_in_add, weigh_point_add
from workshop.calc.imperial import INCH_M, POUND_N
from workshop.ledger.services import entry_strike
from workshop.orders.models import Delivery
from workshop.orders.selectors.year import orders_year
from workshop.orders.services.handover import bow_deliver, bow_start_for_line
from workshop.orders.services.orders import line_add, order_add, order_step, payment_add
from workshop.orders.services.persons import person_add
from workshop.pages.yearbook import year_book, years_kept
from workshop.staves.selectors.year import wood_year
from workshop.staves.services import felling_add, stave_step, timbers_seed

pytestmark = pytest.mark.django_db
BACKEND = "django.contrib.auth.backends.ModelBackend"
YEAR = 2025
DAY = dt.date(YEAR, 5, 2)


@pytest.fixture
def ash(db):
    return next(timber for timber in timbers_seed() if timber.code == "ash-white")


@pytest.fixture
def wood(owner, ash):
    felling = felling_add(
        by=owner, many=6, first_tag="25-001", timber=ash, came_by="tree", happened_on=dt.date(YEAR, 1, 9),
        cost_minor=4500, length_m=1.8,
    )  # fmt: skip
    return list(felling.staves.order_by("pk"))


@pytest.fixture
def bow(owner, wood):
    return bow_start(
        by=owner, staves=[wood[0]], number="25-01", started_on=DAY, length_m=68 * INCH_M, brace_m=6 * INCH_M,
        wanted_n=45 * POUND_N, wanted_draw_m=28 * INCH_M, grip_m=4 * INCH_M, fade_m=2 * INCH_M,
    )  # fmt: skip


@pytest.fixture
def weighed(owner, bow):
    """10 to 28 in by 2, 2 lb an inch at the end."""
    weigh_in = weigh_in_add(
        bow=bow, by=owner, system="imperial", purpose="series", strung="full", brace_m=6 * INCH_M,
        draw_from="back", happened_on=DAY,
    )  # fmt: skip
    for inch, pounds in zip(range(10, 29, 2), (8, 12, 16, 20, 24, 28, 32, 36, 40, 44), strict=True):
        weigh_point_add(
            weigh_in=weigh_in, by=owner, system="imperial", draw_m=inch * INCH_M, force_n=pounds * POUND_N,
            entry_key=uuid.uuid4(),
        )  # fmt: skip
    return bow


def book_of(client, year=YEAR):
    answered = client.get(reverse("year-book"), {"year": year})
    assert answered.status_code == 200
    return answered.content.decode()


def test_wood_of_an_earlier_year_is_said_to_be_written_down_in_this_one(as_owner, wood, today):
    assert "<b>6</b> pieces came in" in book_of(as_owner)
    this_year = " ".join(book_of(as_owner, today.year).split())
    assert "<b>0</b> pieces came in (6 of earlier wood were written down)" in this_year


def test_wood_is_counted_as_it_came_and_as_it_left_with_its_cause(owner, wood):
    when = {"by": owner, "happened_on": DAY}
    stave_step(stave=wood[1], state="culled", cause="a shake from end to end", **when)
    stave_step(stave=wood[2], state="lost", cause="lent", **when)
    stave_step(stave=wood[3], state="sold", **when)
    year = wood_year(YEAR)
    assert (year.came, year.culled, year.lost, year.timbers[0].parted_with) == (6, 1, 1, 1)
    assert [move.cause for move in year.causes] == ["a shake from end to end", "lent"]
    assert year.cost_minor == 4500
    assert wood_year(YEAR + 1).came == 0


def test_a_piece_culled_by_mistake_and_taken_back_has_not_left(owner, wood):
    stave_step(stave=wood[1], state="culled", cause="thought it split", by=owner, happened_on=DAY)
    wood[1].refresh_from_db()
    stave_step(stave=wood[1], state="seasoning", by=owner, happened_on=DAY)
    assert wood_year(YEAR).culled == 0


def test_a_failure_says_timber_stage_draw_and_why(as_owner, owner, weighed):
    stage_step(bow=weighed, stage="tillering", by=owner, happened_on=DAY)
    stage_step(
        bow=weighed, stage="broken", cause="lifted at a pin knot", where="limb A", by=owner,
        happened_on=dt.date(YEAR, 6, 1),
    )  # fmt: skip
    page = book_of(as_owner)
    for words in ("White ash", "while tillering", "28\xa0in", "Lifted at a pin knot", "limb A"):
        assert words in page, words
    assert "Lifted at a pin knot" not in book_of(as_owner, dt.date.today().year)


def test_hours_are_added_up_stage_by_stage(as_owner, owner, bow):
    for stage, minutes in (("roughing", 90), ("tillering", 45), ("tillering", 30)):
        time_add(bow=bow, by=owner, stage=stage, seconds=60 * minutes, happened_on=DAY)
    page = book_of(as_owner)
    assert "at the bench" in page
    assert "1\xa0h\xa030\xa0min" in page and "1\xa0h\xa015\xa0min" in page and "2\xa0h\xa045\xa0min" in page


def test_forecasts_are_held_against_what_the_scale_showed(as_owner, weighed):
    """2 lb an inch from a bow that gains just 2 lb an inch: never away, always within its range."""
    rule = next(each for each in forecasts_kept(YEAR) if each.method == "pounds_an_inch")
    assert rule.tried > 0 and rule.held == rule.tried
    assert rule.away_pct == pytest.approx(0.0, abs=1e-6)
    assert "By 2 lb an inch" in book_of(as_owner)
    assert forecasts_kept(YEAR - 1) == []


def test_a_slip_that_was_struck_out_does_not_count_against_a_forecast(owner, weighed):
    before = {each.method: each.tried for each in forecasts_kept(YEAR)}
    entry_strike(WeighIn.objects.get().points.last(), by=owner)
    after = {each.method: each.tried for each in forecasts_kept(YEAR)}
    assert after.get("pounds_an_inch", 0) < before["pounds_an_inch"]


def test_set_stands_by_timber_with_strain_where_depths_were_measured(as_owner, owner, weighed):
    day = {"happened_on": dt.date(YEAR, 4, 1)}
    set_add(bow=weighed, by=owner, follow_m=0.0, is_zero=True, rested=True, happened_on=DAY)
    set_add(bow=weighed, by=owner, follow_m=0.02, rested=True, happened_on=dt.date(YEAR, 5, 3))
    assert "–" in book_of(as_owner)
    day = {"happened_on": dt.date(YEAR, 5, 3)}
    dimensions_add(
        bow=weighed, by=owner, limb="both", stations=[{"station_m": 0.3, "width_m": 0.04, "depth_m": 0.0125}],
        **day,
    )  # fmt: skip
    assert not strains_reached_pct(
        [(weighed, 28 * INCH_M)]
    )  # a stiff handle hides where the limbs' axis lies
    weighed = bow_change(bow=weighed, by=owner, grip_depth_m=0.045)
    (strain,) = strains_reached_pct([(weighed, 28 * INCH_M)]).values()
    assert strain == pytest.approx(strain_of_arc_pct(weighed, 0.0125, 28 * INCH_M))
    assert f"{strain:.2f} %" in book_of(as_owner)


def test_strain_of_an_arc_is_half_the_depth_over_the_radius(weighed):
    """The worked example of `arc_limb` (Nagler, "Bow design", part 2): limb 32, grip 4, draw 28, radius 36.239."""
    weighed.length_m, weighed.grip_m, weighed.fade_m = 72 * INCH_M, 4 * INCH_M, 2 * INCH_M
    weighed.draw_from, weighed.grip_depth_m, weighed.brace_m = "axis", 0.6 * INCH_M, 6 * INCH_M - 0.3 * INCH_M
    found = strain_of_arc_pct(weighed, 0.6 * INCH_M, 28 * INCH_M)
    assert found == pytest.approx(
        100 * 0.6 / (2 * 36.239), rel=0.02
    )  # its string is a little longer than ours


def test_a_bow_drawn_further_than_its_limbs_reach_has_no_strain(weighed):
    weighed.length_m = 30 * INCH_M
    assert strain_of_arc_pct(weighed, 0.0125, 28 * INCH_M) is None


@pytest.fixture
def ordered(owner, wood):
    """An order promised for June and handed over on 4 July, with a payment."""
    edda = person_add(by=owner, name="Edda Quill")
    order = order_add(
        by=owner, payer=edda, number="O-1", happened_on=DAY, promised_on=dt.date(YEAR, 6, 1), promised_to="m"
    )
    line = line_add(order=order, by=owner, kind="bow", wanted_n=200.0, wanted_draw_m=0.7)
    payment_add(order=order, by=owner, amount_minor=30000, paid_by="cash", happened_on=DAY)
    bow = bow_start_for_line(line=line, by=owner, staves=[wood[5]], started_on=DAY, number="25-07")
    bow_deliver(
        bow=bow, to=edda, line=line, by=owner, despite=True, note="no tag wanted",
        happened_on=dt.date(YEAR, 7, 4),
    )  # fmt: skip
    return order


def test_a_promise_for_a_month_is_kept_to_its_last_day(ordered):
    (kept,) = orders_year(YEAR).kept
    assert kept.days_late == 4 and Delivery.objects.count() == 1


def test_the_book_tells_what_was_promised_and_what_came_in(as_owner, ordered):
    page = book_of(as_owner)
    assert "0 of 1 promised dates were kept" in page and "4 days late" in page
    assert "300.00\xa0EUR" in page and "45.00\xa0EUR" in page


def test_a_withdrawn_order_is_counted(owner, ordered, today):
    other = order_add(by=owner, payer=ordered.payer, happened_on=today)
    order_step(order=other, state="withdrawn", by=owner)
    assert orders_year(today.year).withdrawn == 1


def test_a_helper_reads_of_wood_and_bows_but_not_of_orders_nor_money(client, helper, ordered):
    client.force_login(helper, backend=BACKEND)
    page = book_of(client)
    assert "pieces came in" in page
    assert "Edda" not in page and "EUR" not in page


def test_a_maker_reads_of_orders_but_of_money_only_where_the_workshop_says_so(client, maker, shop, ordered):
    client.force_login(maker, backend=BACKEND)
    page = book_of(client)
    assert "Edda" in page and "EUR" not in page


def test_promises_as_they_stand_are_in_the_book_of_the_year_that_runs(as_owner, owner, ordered, today):
    open_one = order_add(by=owner, payer=ordered.payer, number="O-9", happened_on=today, promised_on=today)
    line_add(order=open_one, by=owner, kind="bow")
    assert "O-9" in book_of(as_owner, today.year)
    assert "O-9" not in book_of(as_owner)


@pytest.mark.parametrize("year", ["", "abc", "0", "-5", "9999", "²", "9" * 5000, "2025; --"])
def test_a_year_there_is_no_book_of_opens_this_years(as_owner, today, year):
    assert f"<h1>Year book {today.year}</h1>" in book_of(as_owner, year)


def test_an_empty_year_says_so(as_owner, today):
    assert "Nothing is written down in this year" in book_of(as_owner, today.year)


def test_an_old_notebooks_bow_opens_its_own_year_and_not_all_between(owner, wood, today):
    bow_start(by=owner, origin="notebook", started_on=dt.date(1998, 1, 1), started_to="y", timber_words="yew")
    years = years_kept(today=today)
    assert years[0] == today.year and years[-1] == 1998 and YEAR in years and 2010 not in years


def _fill(owner, ash, many):
    edda = person_add(by=owner, name="Edda Quill")
    for n in range(many):
        when = {"by": owner, "happened_on": DAY}
        felling = felling_add(
            by=owner, many=2, first_tag=f"F{n}-1", timber=ash, came_by="tree", happened_on=DAY
        )
        first, second = felling.staves.order_by("pk")
        stave_step(stave=second, state="culled", cause="shake", **when)
        order = order_add(payer=edda, number=f"N{n}", promised_on=DAY, **when)
        line = line_add(order=order, by=owner, kind="bow")
        bow = bow_start_for_line(
            line=line, by=owner, staves=[first], started_on=DAY, number=f"B{n}", length_m=1.7, brace_m=0.15
        )
        time_add(bow=bow, stage="roughing", seconds=600, **when)
        set_add(bow=bow, follow_m=0.0, is_zero=True, **when)
        set_add(bow=bow, follow_m=0.01, **when)
        if n % 2:
            stage_step(bow=bow, stage="broken", cause="a knot", where="limb A", **when)
        else:
            bow_deliver(bow=bow, to=edda, line=line, despite=True, note="later", **when)


@pytest.mark.parametrize("many", [10, 100])
def test_the_book_asks_the_database_as_often_for_many_bows_as_for_few(
    owner, shop, ash, many, django_assert_num_queries
):
    _fill(owner, ash, many)
    with django_assert_num_queries(38):
        book = year_book(YEAR, member=owner, shop=shop, today=dt.date(YEAR, 12, 31))
    assert book.wood.came == 2 * many and len(book.failures) == many // 2
