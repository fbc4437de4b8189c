"""The stages of a bow: steps forward and back, each recorded."""

from django.core.exceptions import ValidationError
from django.db import transaction
from django.utils import timezone
from django.utils.translation import gettext as _

from workshop.bows.models import Bow, StageMove
from workshop.bows.models.bow import CAUSE_WANTED, ENDED, ON_BENCH, Stage
from workshop.ledger.services import entry_add, entry_kept, record_change

_ANY_TIME = (*ON_BENCH, Stage.READY, Stage.STOCK, Stage.DELIVERED, *ENDED)
# Where a bow may go from each stage. A bow may leave unfinished, and come back
# to the bench; an ended one may be taken up again.
STEPS: dict[str, tuple[str, ...]] = {
    **{stage: tuple(s for s in _ANY_TIME if s != stage) for stage in ON_BENCH},
    Stage.READY: (Stage.DELIVERED, Stage.STOCK, *ON_BENCH, *ENDED),
    Stage.STOCK: (Stage.DELIVERED, Stage.READY, *ON_BENCH, *ENDED),
    Stage.DELIVERED: (*ON_BENCH, Stage.READY, Stage.STOCK, *ENDED),
    Stage.BROKEN: ON_BENCH,
    Stage.GIVEN_UP: (*ON_BENCH, Stage.STOCK),
}


@transaction.atomic
def stage_step(
    *, bow: Bow, stage: str, by, seen: int | None = None, happened_on=None, happened_to: str = "d", **values
) -> StageMove:
    """Take the bow to `stage`. Breaking and giving up want their cause."""
    if kept := entry_kept(StageMove, values.get("entry_key")):
        return kept
    allowed = STEPS[bow.stage]
    if stage not in allowed:
        raise ValidationError(
            {"stage": _("From %(now)s a bow goes to: %(allowed)s.")
             % {"now": bow.get_stage_display(), "allowed": ", ".join(str(Stage(s).label) for s in allowed)}}
        )  # fmt: skip
    if stage in CAUSE_WANTED and not values.get("cause", "").strip():
        raise ValidationError({"cause": _("Say why: it is what the year book learns from.")})
    was = bow.stage
    record_change(bow, by=by, seen=seen, stage=stage)
    bow.stage = stage
    move = StageMove(
        bow=bow,
        was=was,
        stage=stage,
        happened_on=happened_on or timezone.localdate(),
        happened_to=happened_to,
        **values,
    )
    return entry_add(move, by=by)
