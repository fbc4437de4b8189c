"""Papers of the invented workshop, made by the same hands as real ones and marked as invented."""

from django.db.models import Model

from workshop.documents.desk import Desk
from workshop.documents.papers import PAPERS
from workshop.orders.services.papers import paper_issue
from workshop.pages.demo.world import World

ADDRESS = "http://ledger.invalid"  # so that no code on an invented paper leads anywhere


def issue(world: World, kind: str, subject: Model, when: dict) -> None:
    """Issue a paper as it stands that day; one that is refused stops the demo, for then its story does not hold."""
    paper, desk = PAPERS[kind], Desk(shop=world.shop, today=when["happened_on"], address=ADDRESS, demo=True)
    draft = paper.draft_for(paper.found().get(pk=subject.pk), desk, when["by"])
    if draft.refused:
        reasons = "; ".join(f"{each.head}: {each.reason}" for each in draft.refused)
        raise RuntimeError(f"{kind} of {subject}: {reasons}")
    stock = next(iter(paper.stocks.values()))[1](world.shop) if paper.on_labels else None
    paper_issue(
        kind=paper.kind,
        subject=subject,
        facts=draft.facts_told,
        pdf=paper.printed(draft, desk, stock),
        by=when["by"],
        happened_on=when["happened_on"],
    )
