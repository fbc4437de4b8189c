"""What was done to a bow since it came back, and what its papers still want before it leaves."""

from collections.abc import Sequence
from dataclasses import dataclass

from django.db.models import Prefetch

from workshop.bows.models import WeighIn, WeighPoint, WorkDone
from workshop.bows.models.weighing import Purpose
from workshop.orders.models import IssuedPaper, Visit
from workshop.orders.selectors.papers import care_sheet_of, is_old, tag_of


@dataclass(frozen=True)
class SinceItCame:
    works: Sequence[WorkDone]
    weigh_ins: Sequence[WeighIn]
    papers: Sequence[IssuedPaper]
    tag: IssuedPaper | None  # the one that hangs on the bow, whenever it was issued
    care_sheet: IssuedPaper | None

    @property
    def weight_unknown(self) -> bool:
        """Work on the limbs since, and no final weigh-in after it: its tag no longer tells its weight."""
        spoiling = [work for work in self.works if work.spoils_ratings]
        final = [each for each in self.weigh_ins if each.purpose == Purpose.FINAL and each.standing_points]
        return bool(spoiling) and not any(each.entered_at > spoiling[-1].entered_at for each in final)

    @property
    def tag_is_old(self) -> bool:
        """Weighed anew, or worked on, and no tag issued after it."""
        if self.tag is not None:
            return is_old(self.tag)
        return bool(self.weigh_ins) or any(work.spoils_ratings for work in self.works)

    @property
    def care_sheet_is_old(self) -> bool:
        return self.care_sheet is not None and is_old(self.care_sheet)


def since_it_came(visit: Visit) -> SinceItCame:
    """By entry, not by clock: what was written after the visit was."""
    after = {"struck_at": None, "entered_at__gte": visit.entered_at}
    bow = visit.bow
    points = Prefetch("points", WeighPoint.objects.standing(), to_attr="standing_points")
    return SinceItCame(
        works=list(bow.workdones.filter(**after).order_by("pk")),
        weigh_ins=list(bow.weigh_ins.filter(**after).prefetch_related(points).order_by("pk")),
        papers=list(bow.papers.filter(**after).defer("pdf", "facts").order_by("pk")),
        tag=tag_of(bow),
        care_sheet=care_sheet_of(bow),
    )
