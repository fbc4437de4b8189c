"""Which wood would suit, best first with the reason; and a bow begun from it in one deed."""

import uuid

import pytest
from django.core.exceptions import ValidationError
from django.db import connection
from django.test.utils import CaptureQueriesContext
from django.urls import reverse

from tests.orders.conftest import INCH
from workshop.bows.models import Bow, Piece
from workshop.ledger.units import UnitsInUse
from workshop.orders.models import StartedBow
from workshop.orders.selectors.suits import SPARE_M, clear_length, needed_length_m, pieces_that_suit
from workshop.orders.services.handover import bow_start_for_line
from workshop.orders.services.orders import line_add, line_change
from workshop.orders.timberwords import asked_timbers
from workshop.staves.models import Stave, StaveFlaw, Timber
from workshop.staves.services import felling_add, stave_change
from workshop.staves.services.readings import flaw_add, moisture_add, shape_add
from workshop.staves.services.timbers import timbers_seed

pytestmark = pytest.mark.django_db


@pytest.fixture(autouse=True)
def timbers(shop):
    timbers_seed()


@pytest.fixture
def wood(owner, today):
    """So many pieces of one timber, read so dry."""

    def wood(code="yew-common", many=1, length_m=1.85, pct=None, form="stave"):
        felling = felling_add(
            by=owner, timber=Timber.objects.get(code=code), came_by="tree", happened_on=today.replace(year=2020),
            many=many, length_m=length_m, form=form,
        )  # fmt: skip
        staves = list(Stave.objects.filter(felling=felling))
        for stave in staves if pct is not None else ():
            moisture_add(
                stave=stave, by=owner, reading_pct=pct, wood_c=20, meter_scale="Yew", happened_on=today
            )
        return staves

    return wood


@pytest.fixture
def found(line, shop, today):
    def found():
        return pieces_that_suit(line, units=UnitsInUse(), shop=shop, today=today)

    return found


def said(suits, stave) -> str:
    (suit,) = [suit for suit in suits.best if suit.stave == stave]
    return "; ".join([*suit.fits, "AGAINST", *suit.lacks]).replace("\xa0", " ")


def test_a_dry_long_clean_piece_comes_before_wet_short_and_flawed_ones(found, wood, owner, today):
    (short,), (wet,), (flawed,), (good,) = (
        wood(length_m=1.4, pct=10),
        wood(pct=19),
        wood(pct=10),
        wood(pct=10),
    )
    flaw_add(stave=flawed, by=owner, kind="ring-cut", face="back", from_m=0.9, happened_on=today)
    order = [suit.stave for suit in found().best]
    assert order == [good, flawed, wet, short]
    assert said(found(), good).endswith("AGAINST")  # and nothing after it
    assert "only 55 1/8" in said(found(), short) and "too wet" in said(found(), wet)
    assert "ring cut through (back)" in said(found(), flawed)


def test_an_old_reading_counts_less_than_a_new_one(found, wood, owner, today):
    (fresh,), (stale,) = wood(pct=10), wood()
    moisture_add(
        stave=stale,
        by=owner,
        reading_pct=10,
        wood_c=20,
        meter_scale="Yew",
        happened_on=today.replace(year=2021),
    )
    assert [suit.stave for suit in found().best] == [fresh, stale]
    assert "days old" in said(found(), stale) and "read today" in said(found(), fresh)


def test_a_piece_never_read_says_so(found, wood):
    (piece,) = wood()
    assert "nothing says how dry it is" in said(found(), piece)


def test_two_billets_of_one_felling_are_offered_together(found, wood):
    one, two = wood(many=2, length_m=1.0, pct=10, form="billet")
    (alone,) = wood(length_m=1.0, pct=10, form="billet")
    tags = {suit.stave: suit.tags for suit in found().best}
    assert tags[one] == (one.tag, two.tag) and tags[alone] == (alone.tag,)
    assert "without a sister" in said(found(), alone)


def test_a_billet_is_no_better_than_the_sister_it_is_spliced_with(found, wood, owner, today):
    sound, cracked = wood(many=2, length_m=1.0, pct=10, form="billet")
    flaw_add(stave=cracked, by=owner, kind="crack", face="back", from_m=0.4, happened_on=today)
    against = {suit.stave: suit.against for suit in found().best}
    assert against[sound] == against[cracked] > 0
    assert f"sister {cracked.tag}: crack" in said(found(), sound)


def test_of_several_sisters_the_one_that_suits_best_is_taken(found, wood, owner, today):
    one, wet, short, good = wood(many=4, length_m=1.0, pct=10, form="billet")
    moisture_add(stave=wet, by=owner, reading_pct=21, wood_c=20, meter_scale="Yew", happened_on=today)
    stave_change(stave=short, by=owner, length_m=0.6)
    suits = {suit.stave: suit for suit in found().best}
    assert suits[one].tags == (one.tag, good.tag) and suits[one].against == 0
    assert suits[short].tags == (short.tag, good.tag)


@pytest.mark.parametrize(("kind", "inches"), [("compass", 64.4), ("stiff", 63.5), ("", 63.5)])
def test_a_piece_must_be_as_long_as_the_bow_the_plan_would_make_of_it(line, owner, kind, inches):
    """For 28 in: 2.3 draws; or two draws, the grip of 3 1/2 in and two fades of 2 in (common practice, no source)."""
    line = line_change(line=line, by=owner, bow_kind=kind)
    assert needed_length_m(line) == pytest.approx(inches * INCH + SPARE_M)


def test_bend_toward_the_back_speaks_for_a_piece_and_twist_against_it(found, wood, owner, today):
    (reflexed,), (twisted,) = wood(pct=10), wood(pct=10)
    shape_add(stave=reflexed, by=owner, natural_bend_m=0.03, happened_on=today)
    shape_add(stave=twisted, by=owner, natural_bend_m=-0.03, twist_deg=25, sideways_m=0.08, happened_on=today)
    assert "toward the back" in said(found(), reflexed).split("AGAINST")[0]
    against = said(found(), twisted).split("AGAINST")[1]
    assert "toward the belly" in against and "sideways" in against and "twisted by 25" in against


def test_the_last_word_on_a_pieces_shape_counts(found, wood, owner, today):
    (piece,) = wood(pct=10)
    shape_add(stave=piece, by=owner, twist_deg=25, happened_on=today)
    shape_add(stave=piece, by=owner, twist_deg=2, happened_on=today)
    assert "twisted" not in said(found(), piece)


def test_a_bow_is_laid_beside_a_flaw_at_the_end(found, wood, owner, today):
    (piece,) = wood(pct=10)  # 1.85 m, and 1.686 m are wanted
    flaw_add(stave=piece, by=owner, kind="crack", face="through", from_m=0.0, to_m=0.1, happened_on=today)
    assert "clear of flaws from" in said(found(), piece)


def test_of_flaws_at_both_ends_the_lighter_is_taken_in():
    ends = [
        StaveFlaw(kind="crack", face="back", from_m=0.0, to_m=0.1),
        StaveFlaw(kind="knot", face="belly", from_m=1.8),
    ]
    start, inside = clear_length(ends, 1.85, 1.75)
    assert (start, [flaw.kind for flaw in inside]) == (0.1, ["knot"])


def test_struck_flaws_do_not_count(found, wood, owner, today):
    from workshop.ledger.services import entry_strike

    (piece,) = wood(pct=10)
    entry_strike(
        flaw_add(stave=piece, by=owner, kind="shake", face="back", from_m=0.9, happened_on=today), by=owner
    )
    assert "no flaw written down" in said(found(), piece)


@pytest.mark.parametrize(
    "words, codes",
    [
        ("yew", {"yew-common", "yew-pacific"}),
        ("Pacific yew", {"yew-pacific"}),
        ("wych elm or ash", {"elm-wych", "ash-white", "ash-european"}),
        ("whatever is dry", set()),
        ("", set()),
    ],
)
def test_the_words_of_an_order_mean_timbers(words, codes):
    assert {timber.code for timber in asked_timbers(words)} == codes


def test_where_none_of_what_was_asked_lies_in_the_store_it_is_said(as_owner, found, wood, line):
    wood(code="ash-european", pct=9)
    assert found().none_of_it and "not what was asked" in "".join(found().best[0].lacks)
    assert "No Yew lies in the store" in as_owner.get(reverse("line-suits", args=[line.pk])).content.decode()


def test_a_bow_is_begun_from_a_piece_in_one_deed(as_owner, wood, line):
    (piece,) = wood(pct=10)
    page = as_owner.get(reverse("line-suits", args=[line.pk])).content.decode()
    at = reverse("line-start", args=[line.pk])
    assert f"{at}?pieces={piece.tag}" in page
    form = as_owner.get(f"{at}?pieces={piece.tag}").context["form"]
    assert form["staves"].value() == piece.tag and form["kind"].value() == "compass"
    typed = {
        "number": "26-31",
        "kind": "compass",
        "make_up": "self",
        "staves": piece.tag,
        "entry_key": uuid.uuid4(),
    }
    as_owner.post(at, typed)
    as_owner.post(at, typed)  # sent twice, it is one bow
    bow = Bow.objects.get()
    piece.refresh_from_db()
    assert (bow.pieces.get().stave, piece.state, bow.started_for.get().line) == (piece, "bench", line)


def test_two_billets_begin_a_spliced_bow(as_owner, wood, line):
    one, two = wood(many=2, length_m=1.0, pct=10, form="billet")
    form = as_owner.get(reverse("line-start", args=[line.pk]) + f"?pieces={one.tag},{two.tag}").context[
        "form"
    ]
    assert form["make_up"].value() == "spliced"


def test_a_solid_piece_that_is_taken_begins_no_second_bow(as_owner, owner, found, wood, line):
    (piece,) = wood(pct=10)
    bow_start_for_line(line=line, by=owner, staves=[piece])
    assert found().best == []
    typed = {
        "number": "26-32",
        "kind": "stiff",
        "make_up": "self",
        "staves": piece.tag,
        "entry_key": uuid.uuid4(),
    }
    answer = as_owner.post(reverse("line-start", args=[line.pk]), typed)
    assert answer.status_code == 422 and "already" in answer.content.decode()
    assert (Bow.objects.count(), Piece.objects.count(), StartedBow.objects.count()) == (1, 1, 1)


def test_an_unknown_tag_is_refused_and_nothing_is_begun(as_owner, line):
    typed = {
        "number": "26-32",
        "kind": "stiff",
        "make_up": "self",
        "staves": "no-such",
        "entry_key": uuid.uuid4(),
    }
    answer = as_owner.post(reverse("line-start", args=[line.pk]), typed)
    assert answer.status_code == 422 and "no-such" in answer.content.decode() and not Bow.objects.exists()


def test_a_bow_is_not_begun_for_goods(owner, order):
    line = line_add(order=order, by=owner, kind="goods", words="a string")
    with pytest.raises(ValidationError, match="Only a line that orders a bow"):
        bow_start_for_line(line=line, by=owner)


def test_a_line_without_measures_still_finds_wood(as_owner, owner, wood, line):
    wood(pct=10)
    line_change(line=line, by=owner, wanted_draw_m=None)
    page = as_owner.get(reverse("line-suits", args=[line.pk])).content.decode()
    assert "How long the piece must be is not known" in page


def test_200_pieces_are_asked_of_the_database_as_often_as_10(as_owner, owner, wood, line, today):
    def asked():
        with CaptureQueriesContext(connection) as queries:
            assert as_owner.get(reverse("line-suits", args=[line.pk])).status_code == 200
        return len(queries)

    for piece in wood(many=10, pct=10):
        flaw_add(stave=piece, by=owner, kind="knot", face="back", from_m=0.5, happened_on=today)
        shape_add(stave=piece, by=owner, twist_deg=3, happened_on=today)
    few = asked()
    wood(many=190, pct=11)
    assert asked() == few
