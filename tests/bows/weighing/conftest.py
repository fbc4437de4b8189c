"""Bows to be weighed, and the weighing of them, in inches and pounds."""

import datetime as dt
import itertools

import pytest

from tests.bows.conftest import pull
from workshop.bows.models import Bow, WorkDone
from workshop.bows.weighing.services import weigh_in_add
from workshop.calc.imperial import INCH_M, POUND_N
from workshop.ledger.services import entry_add, record_add

NUMBERS = itertools.count(1)
DAY = dt.date(2026, 3, 14)
SERIES = [(10, 8), (12, 12), (14, 16), (16, 20), (18, 24), (20, 28), (22, 32), (24, 36), (26, 40), (28, 44.5)]


@pytest.fixture
def make_bow(owner):
    def make(**plan):
        wanted = {"wanted_n": 45 * POUND_N, "wanted_draw_m": 28 * INCH_M, "brace_m": 6.5 * INCH_M}
        bow = Bow(number=f"26-{next(NUMBERS):02}", **{**wanted, **plan})
        return record_add(bow, by=owner)

    return make


@pytest.fixture
def weigh(owner):
    """Weigh a bow: pairs of inches and pounds."""

    def weigh(bow, *pairs, on=DAY, **head):
        usual = {"purpose": "tillering", "strung": "full", "brace_m": 6.5 * INCH_M, "draw_from": "back"}
        weigh_in = weigh_in_add(bow=bow, by=owner, system="imperial", happened_on=on, **{**usual, **head})
        for inches, pounds in pairs:
            pull(weigh_in, inches, pounds, owner)
        return weigh_in

    return weigh


@pytest.fixture
def work(owner):
    def work(bow, deed="scraped", on=DAY, **more):
        return entry_add(WorkDone(bow=bow, deed=deed, happened_on=on, **more), by=owner)

    return work
