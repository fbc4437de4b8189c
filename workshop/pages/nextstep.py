"""Bows in hand, each with what comes next. Common practice, no source."""

from dataclasses import dataclass

from django.utils.translation import gettext_lazy as _

from workshop.bows.models import Bow
from workshop.bows.models.bow import ON_BENCH, Stage

NEXT = {
    Stage.LAID_OUT: _("rough it out"),
    Stage.ROUGHING: _("bend it on the floor, then on the long string"),
    Stage.TILLERING: _("bring both limbs to bend alike, an inch further at a time"),
    Stage.SHOOTING_IN: _("shoot it in and look over its back and belly"),
    Stage.FINISHING: _("finish it, then weigh it in for its tag"),
    Stage.READY: _("tag, care sheet, hand it over"),
}
IN_HAND = (*ON_BENCH, Stage.READY)


@dataclass(frozen=True)
class BowNow:
    bow: Bow
    step: str


def bows_now() -> list[BowNow]:
    """Bows in hand in order of stage, the furthest on first."""
    bows = sorted(Bow.objects.filter(stage__in=IN_HAND), key=lambda bow: (-IN_HAND.index(bow.stage), bow.pk))
    return [BowNow(bow, NEXT[bow.stage]) for bow in bows]
