"""An invented store: one ash felled, its staves in a shed."""

import datetime as dt

import pytest

from workshop.staves.models import Stave, Timber
from workshop.staves.services import felling_add, place_add, timbers_seed

FELLED = dt.date(2025, 1, 12)


@pytest.fixture
def timbers(shop):
    return {timber.code: timber for timber in timbers_seed()}


@pytest.fixture
def ash(timbers) -> Timber:
    return timbers["ash-white"]


@pytest.fixture
def shed(owner):
    return place_add(by=owner, name="Long shed", walk=1)


@pytest.fixture
def felling(owner, ash, shed):
    return felling_add(
        by=owner,
        timber=ash,
        came_by="tree",
        happened_on=FELLED,
        many=3,
        length_m=1.8,
        first_tag="25-001",
        place=shed,
        where="Invented Wood",
    )


@pytest.fixture
def stave(felling) -> Stave:
    return felling.staves.select_related("felling__timber", "place").get(tag="25-001")
