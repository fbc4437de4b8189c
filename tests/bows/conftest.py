"""An invented bench: three ash staves in the store, and bows made from them."""

import datetime as dt
import uuid

import pytest
from django.urls import reverse

from workshop.bows.models import Bow
from workshop.bows.services.bows import bow_start
from workshop.bows.services.readings import dimensions_add
from workshop.bows.weighing.services import weigh_in_add, weigh_point_add
from workshop.calc.imperial import INCH_M, POUND_N
from workshop.staves.models import Stave
from workshop.staves.services import felling_add, timbers_seed

BACKEND = "django.contrib.auth.backends.ModelBackend"
BEGUN = dt.date(2026, 3, 2)
WEIGHED = dt.date(2026, 4, 1)


@pytest.fixture
def staves(owner) -> list[Stave]:
    """Three staves of one ash, felled two years before: 24-001 to 24-003."""
    ash = next(timber for timber in timbers_seed() if timber.code == "ash-white")
    felling = felling_add(
        by=owner, timber=ash, came_by="tree", happened_on=dt.date(2024, 1, 12), many=3, length_m=1.83,
        first_tag="24-001", where="Invented Wood",
    )  # fmt: skip
    return list(felling.staves.select_related("felling__timber").order_by("tag"))


@pytest.fixture
def begin(owner):
    """Begin a bow of 45 lb at 28 in, from these staves."""

    def begin(*staves, **plan):
        wanted = {"wanted_n": 45 * POUND_N, "wanted_draw_m": 28 * INCH_M, "length_m": 68 * INCH_M}
        return bow_start(by=owner, staves=staves, **{"started_on": BEGUN, **wanted, **plan})

    return begin


@pytest.fixture
def bow(begin):
    return begin(number="26-07")


@pytest.fixture
def weighed(bow, owner):
    """A full series to 45 lb at 28 in."""
    head = weigh_in_add(
        bow=bow, by=owner, system="imperial", happened_on=WEIGHED, purpose="final", strung="full",
        brace_m=6.5 * INCH_M, draw_from="back", grip_depth_m=1.25 * INCH_M,
    )  # fmt: skip
    for inches, pounds in ((12, 14), (16, 22), (20, 29.5), (24, 37), (28, 45)):
        pull(head, inches, pounds, owner)
    return bow


def inches(*values):
    return [value * INCH_M for value in values]


@pytest.fixture
def flatbow(begin, staves, owner):
    """An ash flatbow of 68 in, its limbs measured: 1 3/4 in wide at the fades, half an inch deep."""
    bow = begin(
        staves[0], number="26-07", kind="stiff", grip_depth_m=1.75 * INCH_M, brace_m=6 * INCH_M, grip_m=4 * INCH_M,
        grip_above_m=1 * INCH_M, fade_m=2 * INCH_M, section="flat",
    )  # fmt: skip
    rows = zip(inches(3, 12, 24, 34), inches(1.75, 1.5, 0.9, 0.4), inches(0.53, 0.52, 0.5, 0.48), strict=True)
    stations = [{"station_m": at, "width_m": w, "depth_m": d} for at, w, d in rows]
    dimensions_add(bow=bow, by=owner, limb="both", stations=stations, happened_on=WEIGHED)
    return Bow.objects.get(pk=bow.pk)


@pytest.fixture
def weigh(owner):
    def weigh(bow, *points, **head):
        """Weigh it in inches and pounds."""
        given = {
            "strung": "full", "purpose": "tillering", "draw_from": "back", "brace_m": 6 * INCH_M,
            "grip_depth_m": bow.grip_depth_m, "happened_on": WEIGHED, **head,
        }  # fmt: skip
        one = weigh_in_add(bow=bow, by=owner, system="imperial", entry_key=uuid.uuid4(), **given)
        for draw, force in points:
            pull(one, draw, force, owner)
        return one

    return weigh


def pull(weigh_in, inches, pounds, by):
    """One draw and its weight, written down."""
    return weigh_point_add(
        weigh_in=weigh_in, by=by, system="imperial", draw_m=inches * INCH_M, force_n=pounds * POUND_N,
        entry_key=uuid.uuid4(),
    )  # fmt: skip


def sent(page, **typed):
    """What a browser would send of the form on the page, with this typed into it."""
    form = page.context["form"]
    shown = {
        name: form[name].value()
        if form.is_bound
        else field.prepare_value(form.get_initial_for_field(field, name))
        for name, field in form.fields.items()
    }
    texts = {name: str(value) for name, value in shown.items() if value not in (None, False, [])}
    return {**texts, **typed}


@pytest.fixture
def ash_bow(begin, staves):
    """A stiff-handled bow of white ash, 68 in, wanted 45 lb at 28 in, its handle 1 3/4 in deep."""
    return begin(staves[0], number="26-07", kind="stiff", grip_depth_m=1.75 * INCH_M)


@pytest.fixture
def planned(as_owner, ash_bow):
    page = as_owner.get(reverse("bow-plan-begin", args=[ash_bow.pk]))
    there = as_owner.post(reverse("bow-plan-begin", args=[ash_bow.pk]), sent(page))
    assert there.status_code == 302, there.context["form"].errors
    ash_bow.refresh_from_db()
    return ash_bow
