"""Whether the tag on a bow still tells of the bow as it is."""

from workshop.bows.models import Bow, WeighPoint
from workshop.bows.models.weighing import Purpose
from workshop.orders.models import IssuedPaper
from workshop.orders.models.papers import PaperKind

TAGS = (PaperKind.RATING_TAG, PaperKind.PLAIN_TAG)


def tag_of(bow: Bow) -> IssuedPaper | None:
    """The tag that hangs on the bow: the last one issued."""
    return bow.papers.filter(struck_at=None, kind__in=TAGS).defer("pdf", "facts").order_by("pk").last()


def tag_is_old(tag: IssuedPaper) -> bool:
    """Whether something entered since it was issued makes a new tag due.

    A final weigh-in does, and one struck out. Work on the limbs does where a weight stands on the tag; a tag
    without a weight is as true after it as before.
    """
    bow = tag.bow
    finals = bow.weigh_ins.filter(purpose=Purpose.FINAL)
    points = WeighPoint.objects.filter(weigh_in__in=finals)
    if any(_counted_then(each, tag) != (not each.is_struck) for each in (*finals, *points)):
        return True
    works = bow.workdones.standing().filter(entered_at__gt=tag.entered_at)
    return tag.kind == PaperKind.RATING_TAG and any(work.spoils_ratings for work in works)


def _counted_then(entry, tag: IssuedPaper) -> bool:
    """Whether the entry stood in the ledger when the tag was issued."""
    there = entry.entered_at <= tag.entered_at
    return there and (entry.struck_at is None or entry.struck_at > tag.entered_at)
