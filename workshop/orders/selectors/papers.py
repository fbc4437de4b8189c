"""Whether the papers a bow left with still tell of the bow as it is."""

from workshop.bows.models import Bow, WeighPoint
from workshop.bows.models.weighing import Purpose
from workshop.orders.models import IssuedPaper
from workshop.orders.models.papers import PaperKind

TAGS = (PaperKind.RATING_TAG, PaperKind.PLAIN_TAG)


def tag_of(bow: Bow) -> IssuedPaper | None:
    """The tag that hangs on the bow: the last one issued."""
    return bow.papers.filter(struck_at=None, kind__in=TAGS).defer("pdf").order_by("pk").last()


def care_sheet_of(bow: Bow) -> IssuedPaper | None:
    """The care sheet that goes with the bow: the last one issued."""
    sheets = bow.papers.filter(struck_at=None, kind=PaperKind.CARE_SHEET)
    return sheets.defer("pdf").order_by("pk").last()


def is_old(paper: IssuedPaper) -> bool:
    """Whether something entered since it was issued makes a new one due.

    A weight of a final weigh-in does, and one struck out. Work on the limbs does where a weight stands on the paper;
    one without a weight is as true after it as before.
    """
    bow = paper.bow
    finals = WeighPoint.objects.filter(weigh_in__bow=bow, weigh_in__purpose=Purpose.FINAL)
    for point in finals.select_related("weigh_in"):
        counts = not (point.is_struck or point.weigh_in.is_struck)
        if counts != (_counted_then(point, paper) and _counted_then(point.weigh_in, paper)):
            return True
    works = bow.workdones.standing().filter(entered_at__gt=paper.entered_at)
    return _states_a_weight(paper) and any(work.spoils_ratings for work in works)


def _states_a_weight(paper: IssuedPaper) -> bool:
    return paper.kind == PaperKind.RATING_TAG or bool(paper.facts.get("weight"))


def _counted_then(entry, paper: IssuedPaper) -> bool:
    """Whether the entry stood in the ledger when the paper was issued."""
    there = entry.entered_at <= paper.entered_at
    return there and (entry.struck_at is None or entry.struck_at > paper.entered_at)
