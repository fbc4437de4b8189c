from workshop.ledger.models.base import Change, Entry, LedgerQuerySet, Record
from workshop.ledger.models.instruments import Instrument, InstrumentCheck
from workshop.ledger.models.member import Member
from workshop.ledger.models.sent import SentForm
from workshop.ledger.models.shop import Shop, Terms

__all__ = [
    "Change",
    "Entry",
    "Instrument",
    "InstrumentCheck",
    "LedgerQuerySet",
    "Member",
    "Record",
    "SentForm",
    "Shop",
    "Terms",
]
