"""What other pages of the bench ask of the plan."""

from workshop.bows.models import Bow
from workshop.bows.models.bow import ON_BENCH
from workshop.bows.plan.nextpull import next_pull as _next_pull
from workshop.bows.plan.nextwords import PullPage, pull_page
from workshop.bows.weighing.passes import Weighings
from workshop.ledger.units import UnitsInUse


def next_pull(bow: Bow, *, shop, units: UnitsInUse, known: Weighings | None = None) -> PullPage:
    """What `bows/plan/_next_pull.html` says of a bow on the bench; of one that has left it, nothing."""
    if bow.stage not in ON_BENCH:
        return PullPage()
    return pull_page(_next_pull(bow, shop=shop, system=units.system, known=known), shop, units)
