"""One invented thing of every kind, so that every address of the ledger leads somewhere.

What only some may see carries a text that is looked for: `CONTACT` of a customer, `PRICE` of an order.
"""

import datetime as dt
import hashlib
from types import SimpleNamespace

from tests.pages.small_ledger import picture
from workshop.bows.models import BowFlaw
from workshop.bows.services.bows import upper_decide
from workshop.bows.services.classrules import class_rules_seed
from workshop.bows.services.readings import bow_photo_add
from workshop.bows.weighing.services import weigh_in_add
from workshop.calc.imperial import INCH_M, POUND_N
from workshop.ledger import backups
from workshop.ledger.models import Instrument, InstrumentCheck
from workshop.ledger.services import entry_add, record_add
from workshop.orders.models import IssuedPaper
from workshop.orders.services.handover import bow_start_for_line, visit_add
from workshop.orders.services.orders import line_add, order_add, order_step, payment_add
from workshop.orders.services.persons import measure_add, person_add
from workshop.staves.models import Place, StaveFlaw
from workshop.staves.models.timber import TimberQuantity
from workshop.staves.services import felling_add, timbers_seed

CONTACT = "quillcontact@example.invalid"
PRICE_MINOR, PRICE = 987654, "9876.54"
DAY = dt.date(2026, 3, 2)
_PDF = b"%PDF-1.4 invented"


def build(owner, helper) -> SimpleNamespace:
    """The world, and under `at` what the addresses of it need."""
    timber = next(t for t in timbers_seed(by=owner) if t.code == "ash-white")
    rule = class_rules_seed(by=owner)[0]
    place = record_add(Place(name="Long shed", walk=1), by=owner)
    felling = felling_add(
        by=owner, timber=timber, came_by="tree", happened_on=dt.date(2024, 1, 12), many=3, length_m=1.83,
        first_tag="24-001", place=place, where="Invented Wood", cost_minor=PRICE_MINOR,
    )  # fmt: skip
    stave = felling.staves.get(tag="24-001")
    stave_flaw = entry_add(
        StaveFlaw(stave=stave, kind="knot", face="back", from_m=0.5, watched=True, happened_on=DAY), by=owner
    )
    person = person_add(by=owner, name="Edda Quill", address="3 Invented Lane", phone=CONTACT, mail=CONTACT)
    measure_add(person=person, by=owner, draw_m=28 * INCH_M, happened_on=DAY)
    order = order_add(by=owner, payer=person, happened_on=DAY, deposit_minor=PRICE_MINOR, number="26-001")
    line = line_add(
        order=order, by=owner, kind="bow", archer=person, wanted_n=45 * POUND_N, wanted_draw_m=28 * INCH_M,
        bow_kind="compass", timbers="Ash", price_minor=PRICE_MINOR,
    )  # fmt: skip
    payment_add(order=order, by=owner, amount_minor=PRICE_MINOR, happened_on=DAY)
    goods = line_add(order=order, by=owner, kind="goods", words="linen strings", price_minor=PRICE_MINOR)
    order = order_step(order=order, state="accepted", by=owner)
    bow = bow_start_for_line(
        line=line, by=owner, number="26-07", started_on=DAY, staves=[stave], length_m=1.75
    )
    upper_decide(bow=bow, limb="A", by=owner, happened_on=DAY)
    bow_flaw = entry_add(BowFlaw(bow=bow, kind="pin", limb="A", face="back", happened_on=DAY), by=owner)
    weigh_in = weigh_in_add(
        bow=bow,
        by=owner,
        system="imperial",
        draw_m=20 * INCH_M,
        force_n=24 * POUND_N,
        draw_from="back",
        happened_on=DAY,
    )
    photo = bow_photo_add(bow=bow, by=owner, picture=picture(), caption="the grip", happened_on=DAY)
    visit = visit_add(bow=bow, by=owner, brought_by=person, happened_on=DAY, complaint="it creaks")
    paper = entry_add(
        IssuedPaper(
            number=1,
            kind="stave-tag",
            stave=stave,
            facts={"tag": stave.tag},
            pdf=_PDF,
            sha256=hashlib.sha256(_PDF).hexdigest(),
            happened_on=DAY,
        ),
        by=owner,
    )
    scale = record_add(Instrument(kind="scale", name="Beam scale"), by=owner)
    check = entry_add(
        InstrumentCheck(instrument=scale, against="stone", read="20", happened_on=DAY), by=helper
    )
    shelved = backups.shelf() / "ledger-20260302T080000Z-hand.zip"
    shelved.write_bytes(b"")
    at = {
        "-": [],
        "entry": ["ledger.instrumentcheck", check.pk],
        "record": ["staves.stave", stave.pk],
        "instrument": [scale.pk],
        "member": [helper.pk],
        "backup": [shelved.name],
        "timber": [timber.pk],
        "place": [place.pk],
        "felling": [felling.pk],
        "stave": [stave.pk],
        "bow": [bow.pk],
        "weigh-in": [weigh_in.pk],
        "person": [person.pk],
        "order": [order.pk],
        "line": [line.pk],
        "goods-line": [goods.pk],
        "visit": [visit.pk],
        "paper": [paper.pk],
        "stave-flaw": [stave_flaw.pk],
        "bow-flaw": [bow_flaw.pk],
        "stave+moisture": [stave.pk, "moisture"],
        "class-rule": [rule.pk],
        "rule-kind": [rule.kind],
        "timber+value": [timber.pk, TimberQuantity.values[0]],
        "paper+stave": ["stave-tag", stave.pk],
        "photo": ["bows.bowphoto", photo.pk, "display"],
        "tag": [stave.tag],
        "bow-number": [bow.number],
        "order-number": [order.number],
    }
    return SimpleNamespace(at=at, bow=bow, stave=stave, order=order, line=line, person=person, check=check)
