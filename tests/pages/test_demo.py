"""The invented workshop: everything is in it, its figures hang together, and every page of it answers."""

import datetime as dt
from collections import Counter
from html.parser import HTMLParser
from itertools import pairwise
from urllib.parse import urldefrag, urljoin, urlsplit

import pytest
from django.core.management import call_command
from django.db import transaction
from django.test import Client, override_settings
from django.urls import resolve
from django.utils import timezone

from workshop.bows.models import (
    Bow,
    BowFlaw,
    BowPhoto,
    BraceReading,
    Expectation,
    FlawLook,
    MassReading,
    SetReading,
    Speed,
    WeighIn,
    WorkDone,
)
from workshop.bows.models.bow import Origin, Stage
from workshop.bows.plan.facts import Facts, plan_facts
from workshop.bows.plan.solving import solve
from workshop.bows.weighing.selectors import rating_of, weight_now
from workshop.ledger.models import Change, Member, Shop
from workshop.orders.models import IssuedPaper, Order, OrderLine, Payment, Person, Visit
from workshop.orders.models.orders import OrderState
from workshop.orders.models.papers import PaperKind
from workshop.pages.demo import build
from workshop.pages.demo.clock import Clock
from workshop.pages.demo.diary import Diary
from workshop.pages.demo.nature import Air, Drying, behaviour, meter_reads, set_m
from workshop.pages.demo.store import WINTER
from workshop.pages.demo.tillered import LB_N
from workshop.staves.climate import equilibrium_of
from workshop.staves.models import (
    BendTest,
    ClimateReading,
    Felling,
    MoistureReading,
    OvenDryTest,
    Stave,
    StavePhoto,
    TimberValue,
    Weighing,
)
from workshop.staves.models.staves import StaveState
from workshop.staves.selectors import climates, tracks

TODAY = dt.date.today()
INCH = 0.0254


@pytest.fixture(scope="module")
def photos(tmp_path_factory):
    return tmp_path_factory.mktemp("photos")


@pytest.fixture(scope="module")
def demo(django_db_setup, django_db_blocker, photos):
    """Built once for all tests here, and taken back after them."""
    with django_db_blocker.unblock(), override_settings(MEDIA_ROOT=photos), transaction.atomic():
        yield build(TODAY)
        transaction.set_rollback(True)


@pytest.fixture
def invented(demo, photos, settings, db):
    settings.MEDIA_ROOT, settings.DEMO = photos, True
    return demo


# what is in it


def test_there_are_four_trees_and_a_purchase_and_forty_pieces(invented):
    came = Counter(Felling.objects.values_list("came_by", flat=True))
    assert came["purchase"] == 1 and sum(came.values()) == 5
    assert Stave.objects.count() >= 40
    assert {*Stave.objects.values_list("state", flat=True)} == {*StaveState.values}


def test_nearly_every_piece_was_read(invented):
    read = {
        pk
        for model in (MoistureReading, Weighing, OvenDryTest)
        for pk in model.objects.values_list("stave", flat=True)
    }
    assert len(read) >= 40


def test_there_is_a_bow_in_every_stage(invented):
    stages = Counter(Bow.objects.values_list("stage", flat=True))
    assert {*stages} == {*Stage.values}
    assert Bow.objects.count() >= 15


def test_one_bow_broke_and_says_why_and_where(invented):
    broken = Bow.objects.get(stage=Stage.BROKEN)
    end = broken.stage_moves.last()
    assert end.cause and end.where and broken.bownotes.exists() and broken.photos.exists()


def test_one_bow_of_an_old_notebook_has_no_piece_of_wood(invented):
    old = Bow.objects.get(origin=Origin.NOTEBOOK)
    assert not old.pieces.exists() and old.started_to == "y"


def test_bows_came_back_and_one_is_mended_and_tagged_anew(invented):
    mended = Visit.objects.exclude(ended_at=None).get().bow
    assert Visit.objects.filter(ended_at=None).count() == 2
    assert mended.papers.filter(kind="rating-tag").count() == 2


def test_two_bows_were_started_for_one_order_and_one_of_them_delivered(invented):
    line = next(
        line for order in Order.objects.all() for line in order.lines.all()
        if line.started.count() == 2 and line.deliveries.exists()
    )  # fmt: skip
    assert sorted(each.bow.stage for each in line.started.all()) == ["broken", "delivered"]


def test_there_are_twelve_persons_and_orders_in_every_state(invented):
    assert Person.objects.count() == 12
    assert {*Order.objects.values_list("state", flat=True)} == {*OrderState.values}
    assert Payment.objects.count() >= 10


def test_there_are_photos_and_papers_that_say_they_are_invented(invented):
    assert BowPhoto.objects.count() >= 6 and StavePhoto.objects.count() >= 2
    papers = IssuedPaper.objects.all()
    assert {paper.kind for paper in papers} == {*PaperKind.values} - {PaperKind.PLAIN_TAG}
    assert all(paper.facts["demo"] for paper in papers)


def test_there_is_an_account_for_each_role_and_its_password_opens_it(invented):
    assert {account.role for account in invented} == {"owner", "maker", "helper"}
    for account in invented:
        assert Member.objects.get(username=account.username).check_password(account.password)


# its figures hang together


def test_wood_dries_toward_what_its_place_brings_it_to(invented):
    """A piece of ash: each moisture lies nearer to its place's air than the first, and the last is bench-dry."""
    ash = Stave.objects.select_related("felling__timber").filter(felling__timber__code="ash-european")
    for stave, track in (
        (s, tracks([s])[s.pk]) for s in ash.filter(state__in=("seasoning", "used", "bench"))
    ):
        points = [p.pct for p in track.points]
        assert points[0] > points[-1] + 8, stave
        rises = [later - before for before, later in pairwise(points)]
        assert max(rises) < 2.5, stave  # a wet winter, and the doubt of the meter


def test_no_piece_is_drier_than_the_air_of_any_place_could_make_it(invented):
    driest_air = min(equilibrium_of(reading) for reading in ClimateReading.objects.all())
    staves = list(Stave.objects.select_related("felling__timber"))
    driest = min(p.pct for track in tracks(staves).values() for p in track.points)
    assert driest > driest_air - 2  # the meter's doubt


def test_places_were_read_through_two_years(invented):
    for readings in climates(Stave.objects.values_list("place", flat=True).exclude(place=None)).values():
        assert len(readings) >= 24


def test_a_weigh_in_never_falls_with_the_draw(invented):
    for weigh_in in WeighIn.objects.prefetch_related("points"):
        points = sorted(weigh_in.points.all(), key=lambda point: point.draw_m)
        forces = [point.force_n for point in points]
        assert forces == sorted(forces), weigh_in.bow


def test_the_scale_reads_in_half_pounds(invented):
    forces = [
        f for w in WeighIn.objects.prefetch_related("points") for f in (p.force_n for p in w.points.all())
    ]
    assert forces and all(abs(2 * f / LB_N - round(2 * f / LB_N)) < 1e-6 for f in forces)


def test_set_grows_with_the_furthest_draw(invented):
    """Within one zero, each later reading of the same kind shows no less set."""
    compared = 0
    for bow in Bow.objects.all():
        for rested in (False, True):
            follows = []
            for reading in SetReading.objects.filter(bow=bow, limb="A").order_by("pk"):
                if reading.is_zero:
                    follows = []
                elif reading.rested == rested:
                    follows.append(reading.follow_m)
            assert follows == sorted(follows), bow
            compared += len(follows) > 1
    assert compared >= 5


def bows_with_sizes() -> list[tuple[Bow, Facts]]:
    shop = Shop.objects.get()
    facts = [(bow, plan_facts(bow, shop=shop)) for bow in Bow.objects.all()]
    return [(bow, each) for bow, each in facts if each.is_planned]


def test_every_bow_solves_near_what_it_weighs(invented):
    """Within a tenth of its weight at the ordered draw; one that never got there, of the weight wanted."""
    planned = bows_with_sizes()
    assert len(planned) >= 14
    solved = solve([facts.plan() for _bow, facts in planned])
    for (bow, _facts), answer in zip(planned, solved, strict=True):
        now = weight_now(bow)
        weighed = now.force_n if now and now.at_wanted else bow.wanted_n
        assert answer.force_n == pytest.approx(weighed, rel=0.10), bow
        # common practice, no source: a wooden bow that lives is strained by less than 1.2 %, one that works by more
        # than half a percent
        assert 0.5 < answer.strained.pct < 1.2, bow


def test_a_measured_bow_is_what_was_planned(invented):
    measured = [(bow, facts) for bow, facts in bows_with_sizes() if facts.is_measured]
    assert len(measured) >= 7
    solved = solve([facts.as_measured(bow.wanted_draw_m) for bow, facts in measured])
    for (bow, _facts), answer in zip(measured, solved, strict=True):
        assert answer.force_n == pytest.approx(weight_now(bow).force_n, rel=0.10), bow


def test_a_curve_bends_evenly(invented):
    """From one point of a series to the next a pound an inch more or less, no jump; a reading is to half a pound."""
    series = [w for w in WeighIn.objects.prefetch_related("points") if w.points.count() >= 6]
    assert len(series) >= 6
    for weigh_in in series:
        points = sorted((p.draw_m / INCH, p.force_n / LB_N) for p in weigh_in.points.all())
        slopes = [(f - e) / (d - c) for (c, e), (d, f) in pairwise(points)]
        assert all(abs(after - before) < 1.0 for before, after in pairwise(slopes)), weigh_in.bow


def test_arrows_fly_as_the_bow_could_send_them(invented):
    """None faster than all the energy the solved bow stores, and none slower than half of it."""
    shot = [(bow, facts) for bow, facts in bows_with_sizes() if bow.speeds.exists()]
    assert len(shot) >= 6
    for (bow, _facts), answer in zip(shot, solve([facts.plan() for _bow, facts in shot]), strict=True):
        for speed in bow.speeds.all():
            share = speed.arrow_kg * speed.speed_m_s**2 / 2 / answer.energy_j
            assert 0.5 < share < 0.9, bow


def test_trees_were_felled_in_winter_or_there_is_a_story_to_it(invented):
    for felling in Felling.objects.exclude(came_by="purchase"):
        assert felling.happened_on.month in WINTER or felling.note, felling


def test_every_kind_of_page_has_something_to_show(invented):
    """What a bow or a piece may carry, each is there at least once."""
    for model in (BendTest, OvenDryTest, Speed, FlawLook, BraceReading, MassReading, TimberValue):
        assert model.objects.exists(), model
    assert OrderLine.objects.exclude(class_rule="").exists()
    assert BowFlaw.objects.filter(watched=True, settled_at=None).exists()


def test_no_bow_is_weighed_while_it_rests(invented):
    for work in WorkDone.objects.exclude(rest_until=None):
        during = WeighIn.objects.filter(
            bow=work.bow, happened_on__gt=work.happened_on, happened_on__lt=work.rest_until
        )
        assert not during.exists(), work.bow


def test_forecasts_met_their_outcome_and_held_their_band_more_often_than_not(invented):
    met = list(Expectation.objects.exclude(outcome=None))
    assert len(met) >= 50
    held = sum(e.low <= e.outcome <= e.high for e in met)
    assert held / len(met) > 0.7


def test_a_rating_tag_was_issued_only_where_the_weight_was_measured(invented):
    tagged = {paper.bow for paper in IssuedPaper.objects.filter(kind="rating-tag")}
    assert len(tagged) >= 6
    assert all(rating_of(bow).ok for bow in tagged)
    assert not any(bow.papers.filter(kind="rating-tag") for bow in Bow.objects.all() if not rating_of(bow).ok)


def test_delivered_bows_weigh_what_was_ordered_within_the_tolerance(invented):
    for bow in Bow.objects.filter(stage=Stage.DELIVERED, as_ordered__has_key="wanted_n"):
        assert abs(rating_of(bow).force_n - bow.wanted_n) <= bow.tolerance_n + 0.25 * LB_N, bow


# the ledger itself


def test_everything_was_signed_when_it_happened(invented):
    """Entries are signed on their day, and the history of a record is dated like its entries."""
    for reading in MoistureReading.objects.all()[:50]:
        assert reading.entered_at.date() == reading.happened_on
    first = Change.objects.filter(record="staves.place").first()
    assert (TODAY - first.at.date()).days > 700


def test_the_ledger_finds_no_fault_with_it(invented):
    call_command("check_ledger")


# how it behaves


def test_a_piece_closes_two_thirds_of_the_distance_in_its_days():
    """1 - 1/e, in an air that never changes: the law it dries by."""
    air = Air(20, 0, 50, 0)
    wood = Drying(30.0, TODAY, air, days=40)
    end = air.brings_to_pct(TODAY)
    assert wood.until(TODAY + dt.timedelta(days=40)) == pytest.approx(end + (30 - end) * 0.36788, abs=0.01)


def test_the_meter_shows_what_corrects_back_to_the_truth():
    from workshop.calc.meter import corrected

    for code in ("ash-european", "yew-common", "elm-wych"):
        shown = meter_reads(12.0, 8.0, code)
        assert corrected(shown, 8.0, timber_code=code).moisture_pct == pytest.approx(12.0, abs=0.5)


def test_a_curve_runs_from_the_brace_to_the_full_draw():
    bow = behaviour(True, 66 * INCH, 6.25 * INCH, 28 * INCH)
    shares = [bow.share(inch * INCH) for inch in range(8, 31)]
    assert shares == sorted(shares)
    assert bow.share(28 * INCH) == pytest.approx(1.0, abs=0.002)
    # common practice, no source: 4 to 5 % of the full weight an inch in the last third
    assert 0.035 < (bow.share(28 * INCH) - bow.share(22 * INCH)) / 6 < 0.055


def test_set_is_little_at_first_and_most_at_full_draw():
    assert set_m(0.35, 0.70, 0.02) == pytest.approx(0.0025)
    assert set_m(0.70, 0.70, 0.02) == pytest.approx(0.02)


def test_a_diary_is_played_in_the_order_of_days_with_the_clock_turned_to_each():
    clock, played = Clock("Europe/London"), []
    diary = Diary(TODAY)
    for ago, name in ((2, "later"), (9, "first"), (2, "last")):
        diary.put(ago, lambda day, name=name: played.append((name, timezone.localdate())))
    with clock.running():
        diary.play(clock)
    day = {ago: TODAY - dt.timedelta(days=ago) for ago in (2, 9)}
    assert played == [("first", day[9]), ("later", day[2]), ("last", day[2])]
    assert (timezone.now() - clock.present).total_seconds() < 60  # and turned back afterwards


# every page


class Links(HTMLParser):
    """The addresses a page asks a browser to fetch or lets a reader follow."""

    def __init__(self, page: str):
        super().__init__()
        self.found: list[str] = []
        self.feed(page)

    def handle_starttag(self, tag, attrs):
        named = dict(attrs)
        if tag == "a" and named.get("href"):
            self.found.append(named["href"])
        if tag == "img" and named.get("src"):
            self.found.append(named["src"])


def inner(at: str, link: str) -> str | None:
    """The address a link leads to, where it is one of the ledger's own."""
    address = urlsplit(urljoin(f"http://testserver{at}", urldefrag(link).url))
    if address.netloc != "testserver" or address.scheme != "http" or address.path.startswith("/static/"):
        return None
    return address.path + (f"?{address.query}" if address.query else "")


OF_A_KIND = 30  # every bow, order and paper; not each of a thousand readings' "strike it with a reason"


def crawl(client) -> tuple[Counter, list]:
    """Follow the links from Today on: how many pages of each kind, and what did not answer, with its linker."""
    seen, waiting, wrong, kinds = {"/"}, [("/", "")], [], Counter()
    while waiting:
        at, linked_on = waiting.pop(0)
        kind = resolve(urlsplit(at).path).url_name
        if kinds[kind] >= OF_A_KIND:
            continue
        kinds[kind] += 1
        answered = client.get(at)
        if answered.status_code >= 400:
            wrong.append((answered.status_code, at, linked_on))
        if answered.status_code in (301, 302):
            links = [answered.url]
        elif answered.headers.get("Content-Type", "").startswith("text/html"):
            page = answered.content.decode()
            assert "Invented workshop" in page, at
            links = Links(page).found
        else:
            assert b"".join(answered), at
            links = []
        found = {inner(at, link) for link in links} - seen - {None}
        seen |= found
        waiting += [(link, at) for link in found]
    return kinds, wrong


@pytest.mark.parametrize("role", ["owner", "helper"])
def test_every_page_reached_from_today_answers_and_says_it_is_invented(invented, role):
    """Nothing is missing, nothing breaks, and nobody is led to a page that is not for him."""
    client = Client()
    client.force_login(Member.objects.get(role=role), backend="django.contrib.auth.backends.ModelBackend")
    kinds, wrong = crawl(client)
    assert not wrong
    assert len(kinds) > 40 and kinds["bow"] >= 15 and kinds["stave"] == OF_A_KIND
