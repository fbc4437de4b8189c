"""A plan compared is made the plan with one button: sizes and length are written, once."""

import re

import pytest
from django.urls import reverse

from tests.bows.test_plan_pages import plan_of, sheet, weight_lb
from workshop.bows.models import Bow, Dimension
from workshop.calc.imperial import INCH_M
from workshop.ledger.services import record_change
from workshop.staves.models import Timber

pytestmark = pytest.mark.django_db


def button(page) -> dict:
    """What the one button on the page sends."""
    text = page.content.decode()
    form = text[text.index("plan-sheet/adopt") : text.index("Make this the plan")]
    sent = dict(re.findall(r'name="(\w+)" value="([^"]*)"', form))
    sent.pop("csrfmiddlewaretoken", None)
    return sent


def adopt(client, bow, sent):
    return client.post(reverse("bow-plan-adopt", args=[bow.pk]), sent, follow=True)


def test_wider_limbs_become_the_plan_and_what_was_planned_is_struck(as_owner, planned, shop):
    was, weight = plan_of(planned, shop), weight_lb(planned, shop)
    page = sheet(as_owner, planned, others=["wider"], wider="10")
    assert "Planned so" in adopt(as_owner, planned, button(page)).content.decode()
    now = plan_of(planned, shop)
    # to what can be marked: 1/64 in, since what one mark loses the next makes good
    assert now.upper.sizes.widths_m == pytest.approx(
        [1.1 * w for w in was.upper.sizes.widths_m], abs=INCH_M / 64
    )
    assert weight_lb(planned, shop) == pytest.approx(1.1 * weight, rel=0.02)
    assert Dimension.objects.filter(bow=planned, struck_at__isnull=False).exists()


@pytest.mark.parametrize(("name", "typed", "inches"), [("shorter", "2", 66), ("piked", "1", 66)])
def test_a_shorter_bow_becomes_the_plan_once_however_often_it_is_sent(
    as_owner,
    planned,
    shop,
    name,
    typed,
    inches,
):
    foretold = sheet(as_owner, planned, others=[name], **{name: typed})
    sent = button(foretold)
    for _again in range(2):
        adopt(as_owner, planned, sent)
    planned.refresh_from_db()
    assert planned.length_m == pytest.approx(inches * INCH_M)
    assert max(plan_of(planned, shop).upper.sizes.stations_m) <= inches * INCH_M / 2 + 1e-9
    (other,) = foretold.context["page"].others
    assert weight_lb(planned, shop) == pytest.approx(
        float(other.weight.split("\N{NO-BREAK SPACE}")[0]), rel=0.02
    )


def test_two_plans_adopted_one_after_the_other_from_the_same_page_leave_one_whole_plan(
    as_owner, planned, shop
):
    """Back in the browser, and another button: length and sizes are those of the second, not one of each."""
    page = sheet(as_owner, planned, others=["wider", "shorter"], wider="10", shorter="4")
    wider = button(page)
    adopt(as_owner, planned, wider)
    shorter = {
        **wider,
        "others": "shorter",
        "shorter": "4",
        "version": Bow.objects.get(pk=planned.pk).version,
    }
    adopt(as_owner, planned, shorter)
    planned.refresh_from_db()
    assert planned.length_m == pytest.approx(64 * INCH_M)
    assert max(plan_of(planned, shop).upper.sizes.stations_m) <= 32 * INCH_M + 1e-9


def test_what_is_no_plan_cannot_be_adopted(as_owner, client, helper, planned):
    """A reflex is made by work; the wood of a bow whose piece is named is what it is."""
    hickory = Timber.objects.get(code="hickory-shagbark")
    for name, typed in (("reflex", "1"), ("timber", hickory.pk)):
        page = sheet(as_owner, planned, others=[name], **{name: typed})
        assert "Make this the plan" not in page.content.decode()
    before = Dimension.objects.count()
    for sent in (
        {},
        {"others": "reflex", "reflex": "1"},
        {"others": "wider", "wider": "x"},
        {"others": "ghost"},
    ):
        said = adopt(as_owner, planned, sent)
        assert said.status_code == 200 and "compare it again" in said.content.decode()
    assert Dimension.objects.count() == before
    client.force_login(helper, backend="django.contrib.auth.backends.ModelBackend")
    assert client.post(reverse("bow-plan-adopt", args=[planned.pk]), {}).status_code == 403


def test_another_timber_becomes_the_plan_of_a_bow_of_no_piece(as_owner, owner, planned):
    from workshop.ledger.services import entry_strike

    for piece in planned.pieces.standing():
        entry_strike(piece, by=owner, reason="not this one")
    record_change(planned, by=owner, timber_words="White ash")
    hickory = Timber.objects.get(code="hickory-shagbark")
    adopt(as_owner, planned, button(sheet(as_owner, planned, others=["timber"], timber=hickory.pk)))
    assert Bow.objects.get(pk=planned.pk).timber_words == hickory.name


def test_a_plan_seen_before_somebody_changed_the_bow_is_not_adopted_unseen(as_owner, owner, planned):
    sent = button(sheet(as_owner, planned, others=["shorter"], shorter="2"))
    record_change(planned, by=owner, brace_m=0.15)
    adopt(as_owner, planned, sent)
    assert Bow.objects.get(pk=planned.pk).length_m == pytest.approx(68 * INCH_M)
