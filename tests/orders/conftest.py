import datetime as dt

import pytest

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
