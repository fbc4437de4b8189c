"""The papers there are: what each is about, who may have it, how its facts are gathered and how it is printed."""

import math
from collections.abc import Callable
from dataclasses import dataclass

from django.db.models import Model, QuerySet

from workshop.documents.desk import Desk, Draft
from workshop.documents.gather import bench_card, bow_tag, care_sheet, curve_sheet, order_sheet, stave_tag
from workshop.documents.pdf.bench_card import bench_card as print_bench_card
from workshop.documents.pdf.bow_tag import BowTag, plain_tag, rating_tag, smallest_print_pt
from workshop.documents.pdf.care_sheet import care_sheet as print_care_sheet
from workshop.documents.pdf.draw_curve_sheet import draw_curve_sheet
from workshop.documents.pdf.labels import LabelStock
from workshop.documents.pdf.order_sheet import order_sheet as print_order_sheet
from workshop.documents.pdf.stave_tag import stave_tags
from workshop.documents.stock import TAG_STOCKS
from workshop.ledger.roles import allowed
from workshop.orders.models.papers import PaperKind


@dataclass(frozen=True, kw_only=True)
class Paper:
    """One kind of paper. `deed` is what one must be allowed to do to have it, `room` where its subject lives
    (also the name of the page about it). A paper that `stays` in the shop may be printed without being issued."""

    kind: PaperKind
    room: str
    about: str
    deed: str
    found: Callable[[], QuerySet]
    draft: Callable[..., Draft]
    press: Callable[..., bytes]
    template: str
    on_labels: bool = False
    stays: bool = False

    def draft_for(self, subject: Model, desk: Desk, member) -> Draft:
        """The paper as it would stand now, for somebody who may or may not see money."""
        if self.kind == PaperKind.ORDER_SHEET:
            return self.draft(subject, desk, with_money=allowed(member, "money", desk.shop))
        return self.draft(subject, desk)

    def printed(self, draft: Draft, desk: Desk, stock: LabelStock | None = None) -> bytes:
        if not self.on_labels:
            return self.press(draft.facts, edition=desk.edition)
        facts = [draft.facts] if self.kind == PaperKind.STAVE_TAG else draft.facts
        return self.press(facts, stock, edition=desk.edition)

    def small_print(self, draft: Draft, desk: Desk, stock: LabelStock) -> float:
        """Size of the smallest print [pt] on a bow's tag; a stave tag's is never below what is read."""
        is_bow_tag = isinstance(draft.facts, BowTag)
        return smallest_print_pt(draft.facts, stock, desk.edition) if is_bow_tag else math.inf

    @property
    def stocks(self):
        return TAG_STOCKS[self.kind] if self.on_labels else {}


PAPERS: dict[str, Paper] = {
    paper.kind.value: paper
    for paper in (
        Paper(
            kind=PaperKind.STAVE_TAG,
            room="wood",
            about="stave",
            deed="record",
            found=stave_tag.found,
            draft=stave_tag.draft,
            press=stave_tags,
            template="documents/facts/stave-tag.html",
            on_labels=True,
            stays=True,
        ),
        Paper(
            kind=PaperKind.BENCH_CARD,
            room="bench",
            about="bow",
            deed="record",
            found=bench_card.found,
            draft=bench_card.draft,
            press=print_bench_card,
            template="documents/facts/bench-card.html",
            stays=True,
        ),
        Paper(
            kind=PaperKind.ORDER_SHEET,
            room="orders",
            about="order",
            deed="orders",
            found=order_sheet.found,
            draft=order_sheet.draft,
            press=print_order_sheet,
            template="documents/facts/order-sheet.html",
        ),
        Paper(
            kind=PaperKind.RATING_TAG,
            room="bench",
            about="bow",
            deed="orders",
            found=bow_tag.found,
            draft=bow_tag.rating_tag,
            press=rating_tag,
            template="documents/facts/rating-tag.html",
            on_labels=True,
        ),
        Paper(
            kind=PaperKind.PLAIN_TAG,
            room="bench",
            about="bow",
            deed="orders",
            found=bow_tag.found,
            draft=bow_tag.plain_tag,
            press=plain_tag,
            template="documents/facts/plain-tag.html",
            on_labels=True,
        ),
        Paper(
            kind=PaperKind.CARE_SHEET,
            room="bench",
            about="bow",
            deed="orders",
            found=care_sheet.found,
            draft=care_sheet.draft,
            press=print_care_sheet,
            template="documents/facts/care-sheet.html",
        ),
        Paper(
            kind=PaperKind.CURVE_SHEET,
            room="bench",
            about="bow",
            deed="orders",
            found=curve_sheet.found,
            draft=curve_sheet.draft,
            press=draw_curve_sheet,
            template="documents/facts/curve-sheet.html",
        ),
    )
}


def holds_money(kind: str, facts: dict) -> bool:
    """Whether a paper that was issued tells prices or payments."""
    if kind != PaperKind.ORDER_SHEET:
        return False
    sums = [facts.get(name) for name in ("price", "deposit", "paid", "still_due")]
    return any(sums) or any(line.get("price") for line in facts.get("lines", ()))
