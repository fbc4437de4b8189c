"""The pages of a weigh-in, with and without JavaScript."""

import uuid

import pytest
from django.db import connection
from django.test.utils import CaptureQueriesContext
from django.urls import reverse

from workshop.bows.models import Bow, WeighIn, WeighPoint, WordNoted
from workshop.bows.services.bows import bow_change
from workshop.bows.weighing.selectors import rating_of
from workshop.calc.imperial import INCH_M, POUND_N
from workshop.ledger.services import entry_strike, record_add

pytestmark = pytest.mark.django_db
BACKEND = "django.contrib.auth.backends.ModelBackend"


@pytest.fixture
def bow(owner):
    wanted = {"wanted_n": 45 * POUND_N, "wanted_draw_m": 28 * INCH_M, "brace_m": 6.5 * INCH_M}
    return record_add(Bow(number="26-07", grip_depth_m=1.25 * INCH_M, **wanted), by=owner)


def sent(page, **typed):
    """What a browser would send of the form on the page, with this typed into it."""
    form = page.context["form"]
    shown = {
        name: form[name].value()
        if form.is_bound
        else field.prepare_value(form.get_initial_for_field(field, name))
        for name, field in form.fields.items()
    }
    return {**{name: str(value) for name, value in shown.items() if value is not None}, **typed}


def begin(client, bow, **typed):
    at = reverse("weigh-in-add", args=[bow.pk])
    form = sent(client.get(at))
    form["strung"] = (
        "full" if form["strung"] == "long" else form["strung"]
    )  # these bows are past the long string
    return client.post(at, {**form, **typed}, follow=True)


def pull(client, weigh_in, **typed):
    page = client.get(reverse("weigh-in", args=[weigh_in.pk]))
    return client.post(reverse("weigh-point-add", args=[weigh_in.pk]), sent(page, **typed), follow=True)


def test_before_the_pull_it_says_how_far_and_what_not_to_go_past(as_owner, bow):
    begin(as_owner, bow, draw_m="26", force_n="41")
    page = as_owner.get(reverse("weigh-in-add", args=[bow.pk])).content.decode()
    for words in (
        "Draw to",
        "27\xa0in",
        "Not past",
        "48\xa0lb",
        "Expect",
        "rope",
        "Eye protection",
        "let down",
    ):
        assert words in page


def test_one_figure_makes_the_weigh_in_and_its_point(as_owner, bow):
    page = begin(as_owner, bow, draw_m="26", force_n="41#")
    assert page.status_code == 200
    weigh_in = WeighIn.objects.get()
    point = weigh_in.points.get()
    assert (weigh_in.strung, weigh_in.purpose) == ("full", "tillering")
    assert weigh_in.brace_m == pytest.approx(6.5 * INCH_M)
    assert point.as_typed == {"draw_m": "26", "force_n": "41#"}
    assert "<b>41\xa0lb</b>" in page.content.decode()


def test_one_figure_sent_twice_is_one(as_owner, bow):
    at = reverse("weigh-in-add", args=[bow.pk])
    form = sent(as_owner.get(at), draw_m="26", force_n="41")
    for _ in range(2):
        assert as_owner.post(at, form).status_code == 302
    assert WeighIn.objects.count() == WeighPoint.objects.count() == 1


def test_one_touch_begins_it_as_the_last_one_was(as_owner, bow):
    begin(as_owner, bow, draw_m="26", force_n="41", brace_m="6", bowstring="14 strands, linen", strung="low")
    begin(as_owner, bow, begin="final")
    final = WeighIn.objects.last()
    assert (final.purpose, final.strung, final.bowstring) == ("final", "low", "14 strands, linen")
    assert final.brace_m == pytest.approx(6 * INCH_M) and not final.points.exists()


def test_a_full_series_without_javascript_rates_the_bow(as_owner, bow):
    begin(as_owner, bow, begin="final")
    weigh_in = WeighIn.objects.get()
    offered = []
    for pounds in (8, 12, 16, 20, 24, 28, 32, 36, 40, 44.5):
        page = as_owner.get(reverse("weigh-in", args=[weigh_in.pk]))
        offered.append(sent(page)["draw_m"])
        assert pull(as_owner, weigh_in, force_n=str(pounds)).status_code == 200
    assert offered == ["10", "12", "14", "16", "18", "20", "22", "24", "26", "28"]
    page = as_owner.get(reverse("weigh-in", args=[weigh_in.pk])).content.decode()
    assert "The series is complete" in page and "ft·lb" in page and "within" not in page
    assert rating_of(bow).ok


def test_metric_people_are_offered_fives_of_centimetres(as_owner, owner, bow):
    owner.units = "metric"
    owner.save()
    begin(as_owner, bow, begin="series")
    page = as_owner.get(reverse("weigh-in", args=[WeighIn.objects.get().pk]))
    assert page.context["series"].replace("\xa0", " ").split("|")[:2] == ["25 cm", "30 cm"]
    assert page.context["series"].endswith("71.1\xa0cm")


def test_with_htmx_only_the_part_comes_back(as_owner, bow):
    begin(as_owner, bow, begin="series")
    weigh_in = WeighIn.objects.get()
    form = sent(as_owner.get(reverse("weigh-in", args=[weigh_in.pk])), force_n="8")
    at = reverse("weigh-point-add", args=[weigh_in.pk])
    part = as_owner.post(at, form, headers={"HX-Request": "true"})
    assert part.status_code == 200 and part.content.decode().lstrip().startswith('<div id="weigh">')
    assert sent(part)["draw_m"] == "12" and sent(part)["entry_key"] != form["entry_key"]
    again = as_owner.post(at, form, headers={"HX-Request": "true"})
    assert again.status_code == 200 and weigh_in.points.count() == 1


def test_begun_with_htmx_the_browser_is_sent_on(as_owner, bow):
    at = reverse("weigh-in-add", args=[bow.pk])
    form = sent(as_owner.get(at), draw_m="26", force_n="41")
    answer = as_owner.post(at, form, headers={"HX-Request": "true"})
    assert answer["HX-Redirect"] == reverse("weigh-in", args=[WeighIn.objects.get().pk])


@pytest.mark.parametrize(
    "typed", ["", "abc", "0", "-4", "4000", "45 in", "NaN", "1e3", "9" * 10_000, "<b>4</b>", "\x00"]
)
def test_a_weight_that_cannot_be_is_kept_as_typed_and_explained(as_owner, bow, typed):
    begin(as_owner, bow, begin="series")
    weigh_in = WeighIn.objects.get()
    page = pull(as_owner, weigh_in, force_n=typed)
    assert page.status_code == 422
    assert page.context["form"].errors["force_n"]
    assert page.context["form"]["force_n"].value() == typed
    assert not weigh_in.points.exists() and "<b>4</b>" not in page.content.decode()


@pytest.mark.parametrize(
    ("name", "typed"), [("draw_m", "280"), ("brace_m", "6 lb"), ("happened_on", "2199"), ("strung", "x")]
)
def test_a_head_that_cannot_be_is_explained_and_nothing_is_kept(as_owner, bow, name, typed):
    page = begin(as_owner, bow, **{"draw_m": "26", "force_n": "41", name: typed})
    assert page.status_code == 422 and name in page.context["form"].errors
    assert not WeighIn.objects.exists() and not WeighPoint.objects.exists()


def test_a_figure_is_asked_for_where_none_was_typed(as_owner, bow):
    page = begin(as_owner, bow, draw_m="26")
    assert page.status_code == 422 and "Which weight did you read?" in page.content.decode()


def test_a_word_is_passed_over_with_one_touch(as_owner, bow):
    page = begin(as_owner, bow, draw_m="26", force_n="50")
    assert "Past the limit of pull" in page.content.decode()
    weigh_in = WeighIn.objects.get()
    said = page.context["page"].said[0]
    touch = {"code": said.word.code, "point": said.word.point, "entry_key": said.key}
    page = as_owner.post(reverse("weigh-word-note", args=[weigh_in.pk]), touch, follow=True)
    assert page.context["page"].said[0].noted == WordNoted.objects.get()
    assert 'class="warning" role="alert"' not in page.content.decode()


def test_a_word_is_passed_over_with_a_note(as_owner, bow):
    begin(as_owner, bow, draw_m="26", force_n="50")
    weigh_in = WeighIn.objects.get()
    at = reverse("weigh-word-note", args=[weigh_in.pk])
    page = as_owner.get(at, {"code": "past_limit", "point": weigh_in.points.get().pk})
    assert "50\xa0lb at 26\xa0in" in page.content.decode()
    page = as_owner.post(at, sent(page, note="for a heavier archer after all"), follow=True)
    assert "for a heavier archer after all" in page.content.decode()


def test_a_slipped_digit_is_struck_with_one_touch_and_stays_visible(as_owner, bow, owner):
    begin(as_owner, bow, draw_m="26", force_n="14")
    weigh_in = WeighIn.objects.get()
    point = weigh_in.points.get()
    back = reverse("weigh-in", args=[weigh_in.pk])
    page = as_owner.post(
        reverse("strike-out", args=["bows.weighpoint", point.pk]),
        {"next": back, "reason": "mistyped"},
        follow=True,
    )
    assert 'class="struck"' in page.content.decode() and "Nothing is weighed yet" in page.content.decode()


def test_last_pass_and_this_one_stand_side_by_side(as_owner, bow):
    for pounds in ("44", "42"):
        begin(as_owner, bow, draw_m="26", force_n=pounds)
    row = as_owner.get(reverse("weigh-in", args=[WeighIn.objects.last().pk])).context["page"].rows[0]
    assert row.last_n == pytest.approx(44 * POUND_N) and row.more_n == pytest.approx(-2 * POUND_N)


def test_all_weigh_ins_are_compared(as_owner, bow):
    assert "not weighed yet" in as_owner.get(reverse("weigh-ins", args=[bow.pk])).content.decode()
    for draw, pounds in (("24", "38"), ("26", "42"), ("26", "41")):
        begin(as_owner, bow, draw_m=draw, force_n=pounds)
    begin(as_owner, bow, draw_m="20", force_n="30", strung="long")
    page = as_owner.get(reverse("weigh-ins", args=[bow.pk])).context["page"]
    assert len(page.passes) == 4
    assert [[weight and round(weight / POUND_N) for weight in weights] for _, weights in page.rows] == [
        [38, None, None],
        [None, 42, 41],
    ]


def test_a_struck_weigh_in_takes_no_more_points(as_owner, bow, owner):
    begin(as_owner, bow, begin="series")
    weigh_in = WeighIn.objects.get()
    form = sent(as_owner.get(reverse("weigh-in", args=[weigh_in.pk])), force_n="8")
    entry_strike(weigh_in, by=owner)
    page = as_owner.post(reverse("weigh-point-add", args=[weigh_in.pk]), form)
    assert page.status_code == 422 and not WeighPoint.objects.exists()


def test_a_helper_weighs_too_and_nobody_else_looks(client, helper, bow):
    at = reverse("weigh-in-add", args=[bow.pk])
    assert client.get(at).status_code == 302
    client.force_login(helper, backend=BACKEND)
    assert begin(client, bow, draw_m="26", force_n="41").status_code == 200
    assert WeighPoint.objects.get().entered_by == helper


@pytest.mark.parametrize(
    "name", ["weigh-in", "weigh-in-add", "weigh-ins", "weigh-point-add", "weigh-word-note"]
)
def test_what_is_not_there_is_not_found(as_owner, name):
    assert as_owner.get(reverse(name, args=[987654])).status_code in (404, 405)


def test_a_point_posted_after_signing_in_again_leads_back_to_the_weigh_in(as_owner, bow):
    begin(as_owner, bow, begin="series")
    weigh_in = WeighIn.objects.get()
    answer = as_owner.get(reverse("weigh-point-add", args=[weigh_in.pk]))
    assert answer.url == reverse("weigh-in", args=[weigh_in.pk])


@pytest.mark.parametrize("name", ["weigh-in", "weigh-ins", "weigh-in-add"])
def test_a_page_takes_the_same_queries_however_much_was_weighed(as_owner, bow, name):
    def queries():
        pk = WeighIn.objects.last().pk if name == "weigh-in" else bow.pk
        with CaptureQueriesContext(connection) as caught:
            assert as_owner.get(reverse(name, args=[pk])).status_code == 200
        return len(caught)

    for _ in range(2):
        begin(as_owner, bow, draw_m="26", force_n="41")
    few = queries()
    for _ in range(10):
        begin(as_owner, bow, draw_m="26", force_n="41")
    weigh_in = WeighIn.objects.last()
    for draw in range(10, 26):
        pull(as_owner, weigh_in, draw_m=str(draw), force_n=str(draw + 14), entry_key=str(uuid.uuid4()))
    assert queries() == few


# the figures, and where they are from


def a_series(client, bow, *pounds, first=20, **typed):
    begin(client, bow, begin="series", **typed)
    weigh_in = WeighIn.objects.last()
    for number, each in enumerate(pounds):
        pull(client, weigh_in, draw_m=str(first + 2 * number), force_n=str(each), entry_key=str(uuid.uuid4()))
    return weigh_in


def read(client, weigh_in, **asked):
    page = client.get(reverse("weigh-in", args=[weigh_in.pk]), asked)
    return page, page.content.decode().replace("\xa0", " ")


def test_energy_and_slope_are_told_with_their_doubt_and_say_where_they_are_from(as_owner, bow):
    page, said = read(as_owner, a_series(as_owner, bow, 28, 32, 36))
    energy, slope = page.context["page"].energy, page.context["page"].slope
    assert "ft·lb ± " in energy.value.replace("\xa0", " ") and energy.value in page.content.decode()
    # 4 lb in 2 in twice; a quarter pound of doubt at each of three points 2 in apart is 0.25 / sqrt(8) lb an inch
    assert slope.value.replace("\xa0", " ") == "2 lb/in ± 0.1 lb/in"
    assert "The area under the curve" in said and "fits the points of the last 4 in best" in said


def test_every_way_to_the_full_draw_says_where_it_is_from(as_owner, bow, owner):
    bow_change(bow=bow, by=owner, length_m=68 * INCH_M)
    page, said = read(as_owner, a_series(as_owner, bow, 28, 32, 36))
    ways = page.context["page"].ways
    assert [each.way.method for each in ways] == [
        "solved", "tempered", "elastic", "solved_shape", "pounds_an_inch", "share_an_inch", "last_slope",
    ]  # fmt: skip
    assert all(each.source.words and each.way.low_n < each.way.force_n < each.way.high_n for each in ways)
    assert said.count("where is this from?") >= len(ways) + 2
    assert "36 lb at 24 in" in said and "the set still to come taken off" in said
    to_come = page.context["page"].pull.expected
    assert f"Expect {page.wsgi_request.units.show(to_come.low_n, 'force')}" in page.content.decode()


@pytest.mark.parametrize(
    ("asked", "words"),
    [
        ("23", "23 in: <b>34 lb ± 0.3 lb</b>"),
        ("22 in", "22 in: <b>32 lb ± 0.3 lb</b>"),
        ("28", "its draws reach from 20 in to 24 in, and beyond them nothing is read off"),
        ("12", "its draws reach from 20 in to 24 in"),
        ("abc", "errorlist"),
        ("", "errorlist"),
    ],
)
def test_the_weight_at_another_draw_is_read_off_between_the_points_and_never_beyond(
    as_owner, bow, asked, words
):
    _page, said = read(as_owner, a_series(as_owner, bow, 28, 32, 36), at=asked)
    assert words in said


def test_with_one_point_there_is_nothing_between(as_owner, bow):
    _page, said = read(as_owner, a_series(as_owner, bow, 28), at="20")
    assert "Read it off the curve" not in said
