import datetime as dt
import uuid

import pytest

from workshop.bows.weighing.services import weigh_in_add
from workshop.ledger.services import entry_add
from workshop.orders.models import IssuedPaper
from workshop.orders.services.handover import bow_start_for_line
from workshop.orders.services.orders import line_add, order_add
from workshop.orders.services.persons import person_add

LB, INCH = 4.4482216152605, 0.0254  # NIST SP 811, exact


@pytest.fixture
def payer(owner):
    return person_add(
        by=owner, name="Edda Quill", address="3 Invented Lane", phone="0000 111", mail="edda@example.org"
    )


@pytest.fixture
def order(owner, payer):
    return order_add(
        by=owner,
        payer=payer,
        happened_on=dt.date(2026, 3, 2),
        promised_on=dt.date(2026, 9, 1),
        deposit_minor=20000,
    )


@pytest.fixture
def line(owner, order, payer):
    return line_add(
        order=order, by=owner, kind="bow", archer=payer, wanted_n=45 * LB, wanted_draw_m=28 * INCH,
        tolerance_n=2 * LB, bow_kind="compass", timbers="Yew", price_minor=62000,
    )  # fmt: skip


@pytest.fixture
def bow(owner, line):
    return bow_start_for_line(line=line, by=owner)


@pytest.fixture
def paper(owner, today):
    """A paper of one kind, issued for a bow."""

    def paper(bow, kind, facts=None):
        number = IssuedPaper.objects.count() + 1
        return entry_add(
            IssuedPaper(
                number=number,
                kind=kind,
                bow=bow,
                pdf=b"%PDF",
                sha256="ab" * 32,
                facts=facts or {"a": 1},
                happened_on=today,
            ),
            by=owner,
        )

    return paper


def hand_over(to, **typed):
    return {"to": to.pk, "happened_on": "today", "entry_key": uuid.uuid4(), **typed}


def weighed_for_good(bow, by, day, force_n=45 * LB, **head):
    return weigh_in_add(
        bow=bow, by=by, system="imperial", strung="full", draw_from="back", draw_m=28 * INCH, force_n=force_n,
        happened_on=day, **{"purpose": "final", **head},
    )  # fmt: skip
