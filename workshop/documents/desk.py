"""What all papers of one workshop share, and what stands on the desk before one of them is issued."""

import datetime as dt
import hashlib
import ipaddress
import json
from dataclasses import asdict, dataclass, fields, is_dataclass
from urllib.parse import quote, urlsplit

from django.utils.translation import gettext as _

from workshop.documents.pdf.fonts import unprintable
from workshop.documents.pdf.press import Edition, Workshop
from workshop.ledger.dates import show_date
from workshop.ledger.models import Shop
from workshop.ledger.units import UnitsInUse
from workshop.units import KINDS, SYSTEMS, show

SHORT = {"stave": "s", "bow": "b", "order": "o"}  # first part of a record's short address, see `urls_short`
OTHER_SYSTEM = {"imperial": "metric", "metric": "imperial"}


@dataclass(frozen=True)
class Remark:
    """Something to say before a paper is issued: a word, the reason, and where it can be mended."""

    head: str
    reason: str
    url: str = ""
    link: str = ""


@dataclass(frozen=True, kw_only=True)
class Draft:
    """A paper before it is issued. `facts` is what its PDF is made of; None where the paper is `refused`.

    `figure` and `about` answer first: the one figure of the paper, and what belongs to it. `drawing` goes with
    the page only: on the paper it is drawn from the facts. `cautions` are those of the paper, under their headings.
    """

    facts: object = None
    figure: str = ""
    about: str = ""
    remarks: tuple[Remark, ...] = ()
    refused: tuple[Remark, ...] = ()
    drawing: object = None
    cautions: tuple[tuple[str, tuple[str, ...]], ...] = ()

    @property
    def facts_told(self) -> dict:
        return asdict(self.facts) if self.facts else {}

    @property
    def fingerprint(self) -> str:
        """Changes when anything on the paper does."""
        told = json.dumps(self.facts_told, sort_keys=True, ensure_ascii=False)
        return hashlib.sha256(told.encode()).hexdigest()


@dataclass(frozen=True)
class Desk:
    """The workshop, in its own units and language (never the reader's), the day, and where its codes lead."""

    shop: Shop
    today: dt.date
    address: str
    demo: bool = False

    @property
    def units(self) -> UnitsInUse:
        return UnitsInUse.of(self.shop)

    @property
    def workshop(self) -> Workshop:
        shop = self.shop
        return Workshop(name=shop.name, address=shop.address, contact=shop.contact, mark=shop.mark)

    @property
    def edition(self) -> Edition:
        return Edition(page=self.shop.paper, lang=self.shop.language, say=_)

    def show(self, value: float | None, kind: str) -> str:
        """A measure in the workshop's units; nothing where there is none."""
        return "" if value is None else self.units.show(value, kind)

    def show_column(self, value: float, kind: str) -> str:
        """A measure in a column of a table: each with the same decimals."""
        unit = self.units.unit(kind)
        return show(value, kind, unit, figures=KINDS[kind].unit(unit).figures)

    def show_otherwise(self, value: float, kind: str) -> str:
        """The same measure in the units this workshop does not use, for the other half of the world."""
        return show(value, kind, SYSTEMS[OTHER_SYSTEM[self.units.system]][kind])

    def code(self, about: str, name: str) -> str:
        """The short address of a record, for the code on its papers."""
        return f"{self.address.rstrip('/')}/{SHORT[about]}/{quote(name, safe='')}"


def day(entry) -> str:
    """When an entry happened, as exactly as it is known."""
    return show_date(entry.happened_on, entry.happened_to)


def joined(*parts: str, by: str = ", ") -> str:
    """The parts that say something."""
    return by.join(part for part in parts if part)


def at_draw(draw: str, *more: str) -> str:
    """What follows a weight: `at 28 in, measured from the back of the bow`."""
    return joined(_("at %(draw)s") % {"draw": draw} if draw else "", *more)


def measured_from(place: str) -> str:
    return _("measured from %(place)s") % {"place": place}


def is_loopback(address: str) -> bool:
    """Whether an address leads only to the machine that opens it.

    >>> is_loopback("http://127.0.0.1:8000"), is_loopback("http://localhost/"), is_loopback("http://[::1]")
    (True, True, True)
    >>> is_loopback("http://192.168.1.20:8000"), is_loopback("https://ledger.invalid")
    (False, False)
    """
    host = urlsplit(address).hostname or ""
    try:
        found = ipaddress.ip_address(host)
    except ValueError:
        return host in ("", "localhost") or host.endswith(".localhost")
    return found.is_loopback or found.is_unspecified


def remarks_on_code(desk: Desk) -> tuple[Remark, ...]:
    """A code that leads nowhere from another machine is worth a word."""
    if not is_loopback(desk.address):
        return ()
    reason = _(
        "The code on this paper leads to %(address)s, which opens only on this machine. "
        "Give the ledger's address in the workshop's settings first."
    ) % {"address": desk.address}
    return (Remark(_("The code leads nowhere"), reason),)


def remarks_on_letters(facts) -> tuple[Remark, ...]:
    """Characters the papers' typeface lacks."""
    missing = unprintable("".join(_texts(facts)))
    if not missing:
        return ()
    reason = _("The typeface of the papers lacks: %(letters)s. Each would print as an empty box.")
    return (Remark(_("Letters that cannot be printed"), reason % {"letters": " ".join(missing)}),)


def _texts(facts):
    if isinstance(facts, str):
        yield facts
    elif isinstance(facts, tuple | list):
        for each in facts:
            yield from _texts(each)
    elif is_dataclass(facts):
        for field in fields(facts):
            yield from _texts(getattr(facts, field.name))
