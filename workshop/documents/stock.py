"""Label stock as a maker chooses it: by name, from the workshop's settings, or by his own millimetres."""

from collections.abc import Callable

from django.utils.translation import gettext as _
from django.utils.translation import gettext_lazy

from workshop.documents.pdf.labels import A4_24, LabelStock, LabelStockError
from workshop.documents.pdf.qr import QrTooSmall
from workshop.ledger.models import Shop
from workshop.orders.models.papers import PaperKind

CARD_MM = (55, 90)  # a swing tag


def roll_of(shop: Shop) -> LabelStock:
    """The workshop's own labels, one to a page."""
    return LabelStock.roll(shop.label_width_m * 1000, shop.label_height_m * 1000)


def card_of(shop: Shop) -> LabelStock:
    """Swing tags to be cut from a plain sheet."""
    return LabelStock.cards(*CARD_MM, shop.paper)


def sheet_of_24(shop: Shop) -> LabelStock:
    return A4_24


ROLL = gettext_lazy("the workshop's label roll")
CARD = gettext_lazy("cards to cut out, 55 by 90 mm")
SHEET = gettext_lazy("A4 sheet of 24 labels, 63.5 by 33.9 mm")
Stocks = dict[str, tuple[str, Callable[[Shop], LabelStock]]]
ON_BOWS: Stocks = {"card": (CARD, card_of), "roll": (ROLL, roll_of)}
ON_WOOD: Stocks = {"roll": (ROLL, roll_of), "a4-24": (SHEET, sheet_of_24)}
TAG_STOCKS: dict[str, Stocks] = {
    PaperKind.STAVE_TAG: ON_WOOD,
    PaperKind.RATING_TAG: ON_BOWS,
    PaperKind.PLAIN_TAG: ON_BOWS,
}


def stock_words(error: QrTooSmall | LabelStockError) -> str:
    """Why a label cannot be printed, in a sentence with what to do."""
    if isinstance(error, QrTooSmall):
        return _(
            "The code does not fit this label: it has %(size)s mm and needs %(needed)s mm. Take a larger label, or "
            "give the ledger a shorter address."
        ) % {"size": f"{error.size_mm:.1f}", "needed": f"{error.needed_mm:.1f}"}
    sentence = _sentences().get(error.code, _("These measures make no label sheet (allowed: %(allowed)s)."))
    needed = error.allowed.split()[0]
    return sentence % {"given": f"{error.given:g}", "allowed": error.allowed, "needed": needed}


def _sentences() -> dict[str, str]:
    return {
        "page_width_mm": _(
            "The labels do not fit across the sheet: it is %(given)s mm wide, they need %(needed)s mm."
        ),
        "page_height_mm": _(
            "The labels do not fit down the sheet: it is %(given)s mm high, they need %(needed)s mm."
        ),
        "label_width_mm": _("A label %(given)s mm wide cannot be printed on; allowed: %(allowed)s."),
        "label_height_mm": _("A label %(given)s mm high cannot be printed on; allowed: %(allowed)s."),
        "columns": _("%(given)s labels side by side cannot be; allowed: %(allowed)s."),
        "rows": _("%(given)s rows of labels cannot be; allowed: %(allowed)s."),
        "start": _("The sheet has no label number %(given)s; allowed: %(allowed)s."),
    }
