"""The stages of a bow: steps forward and back, each recorded, and the check lists on the way."""

import datetime as dt
import uuid
from collections.abc import Sequence

from django.core.exceptions import ValidationError
from django.db import transaction
from django.utils import timezone
from django.utils.translation import gettext as _

from workshop.bows.checklists import CHECKS
from workshop.bows.models import Bow, StageMove, StageTick
from workshop.bows.models.bow import CAUSE_WANTED, ENDED, FINISHED, ON_BENCH, Stage
from workshop.bows.services.days import check_day
from workshop.bows.services.pieces import pieces_use_up
from workshop.ledger.services import entry_add, entry_kept, entry_stamp, record_change

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
READY = "ready"  # what an `Expectation` is of when a day was promised; its figures are days


@transaction.atomic
def stage_step(
    *, bow: Bow, stage: str, by, seen: int | None = None, happened_on=None, happened_to: str = "d", **values
) -> StageMove:
    """Take the bow to `stage`. Breaking and giving up want their cause and place; finishing uses the wood up."""
    if kept := entry_kept(StageMove, values.get("entry_key")):
        return kept
    _check_step(bow, stage, values)
    when = {"happened_on": happened_on or timezone.localdate(), "happened_to": happened_to}
    check_day(bow, **when)
    was = bow.stage
    bow.version = record_change(bow, by=by, seen=seen, stage=stage).version
    bow.stage = stage
    if stage in FINISHED:
        pieces_use_up(bow=bow, by=by, **when)
        _meet_expected(bow, when["happened_on"])
    return entry_add(StageMove(bow=bow, was=was, stage=stage, **when, **values), by=by)


def _meet_expected(bow: Bow, on: dt.date) -> None:
    """Join what was expected when the bow was promised to the days it took."""
    for each in bow.expectations.standing().filter(what=READY, outcome_at=None):
        days = (on - each.happened_on).days
        entry_stamp(each, "outcome_at", outcome_at=timezone.now(), outcome=float(days))


def _check_step(bow: Bow, stage: str, values: dict) -> None:
    allowed = STEPS[bow.stage]
    if stage not in allowed:
        labels = ", ".join(str(Stage(s).label) for s in allowed)
        raise ValidationError(
            {
                "stage": _("From %(now)s a bow goes to: %(allowed)s.")
                % {"now": bow.get_stage_display(), "allowed": labels}
            }
        )
    if stage not in CAUSE_WANTED:
        return
    missing = {}
    if not values.get("cause", "").strip():
        missing["cause"] = _("Say why: it is what the year book learns from.")
    if not values.get("where", "").strip():
        missing["where"] = _("Say where on the bow; “the whole bow” will do.")
    if missing:
        raise ValidationError(missing)


@transaction.atomic
def ticks_add(*, bow: Bow, by, stage: str, lines: Sequence[str], entry_key=None, **values) -> list[StageTick]:
    """Lines of the stage's check list, looked at; one that is ticked already is left as it is."""
    check_day(bow, values["happened_on"], values.get("happened_to", "d"))
    ticked = set(bow.ticks.standing().filter(stage=stage).values_list("line", flat=True))
    added = []
    for line in lines:
        if line not in CHECKS.get(stage, {}):
            raise ValidationError({"lines": _("This line is not on the list of that stage.")})
        if line not in ticked:
            key = {"entry_key": uuid.uuid5(entry_key, line)} if entry_key else {}
            added.append(entry_add(StageTick(bow=bow, stage=stage, line=line, **key, **values), by=by))
    return added
