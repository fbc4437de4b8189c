"""A plan that was only compared becomes the plan: its sizes and its length are written."""

import uuid
from collections.abc import Mapping, Sequence

import numpy as np
from django.db import transaction
from django.utils.translation import gettext as _

from workshop.bows.models import Bow, Dimension
from workshop.bows.plan.changes import STEP_M, marked
from workshop.bows.plan.design import Plan, Sizes
from workshop.bows.plan.forms import WhatIfForm
from workshop.bows.plan.page import Other
from workshop.bows.plan.services import refused, stations_of, stations_set
from workshop.bows.plan.solving import solve
from workshop.bows.services.bows import bow_change
from workshop.calc.errors import CalcError
from workshop.ledger.units import UnitsInUse

TIP_OFF_M = 0.012  # a mark nearer to the nock than that is the nock
# A reflex is made by work and read as the shape it left; a nocking point is set on the string: neither is planned.
ADOPTABLE = ("wider", "shorter", "piked")


def may_adopt(name: str, bow: Bow) -> bool:
    """Another timber only while no piece of wood is named: the wood a bow is made of is no plan any more."""
    return name in ADOPTABLE or (name == "timber" and not bow.pieces.standing().exists())


def adoptable(bow: Bow, others: Sequence[Other], form: WhatIfForm) -> list[tuple[Other, str, object]]:
    """The plans compared, each with the name and the amount it is asked for again by, where it may be adopted."""
    names = form.cleaned_data.get("others") or [] if form.is_bound and form.is_valid() else []
    return [
        (other, name if not other.refused and may_adopt(name, bow) else "", form[name].value())
        for other, name in zip(others, names, strict=True)
    ]


@transaction.atomic
def plan_adopt(
    *,
    bow: Bow,
    by,
    plan: Plan,
    marks: Mapping[str, Sequence[float]],
    system: str,
    seen: int | None,
    timber: str = "",
    entry_key: uuid.UUID,
) -> list[Dimension]:
    """Plan `bow` so, to what can be marked. What was planned before is struck out.

    `marks` are the places along each limb that the maker marks. `entry_key` is of this one plan: shared with another
    compared with it, it would leave the length and the sizes of two plans on one bow.
    """
    try:
        solve([plan])
    except CalcError as error:
        raise refused(error, UnitsInUse(system)) from error
    changed: dict[str, object] = {}
    if abs(plan.length_m - bow.length_m) > STEP_M[system] / 2:
        changed["length_m"] = plan.length_m
    if timber:
        changed["timber_words"] = timber
    # the version is asked of every plan, so that a form sent twice makes no bow shorter twice
    bow = bow_change(bow=bow, by=by, seen=seen, **changed)
    limbs: Mapping = {
        limb.name: stations_of(_marked(limb.sizes, plan, STEP_M[system], marks[limb.name]))
        for limb in plan.limbs
    }
    return stations_set(bow=bow, by=by, limbs=limbs, entry_key=entry_key, note=_("taken from a comparison"))


def _marked(sizes: Sizes, plan: Plan, step_m: float, marks: Sequence[float]) -> Sizes:
    """The sizes to whole steps at the marks the limb has already, as far as it still reaches, and at its nock."""
    nock, at = plan.length_m / 2, np.array(sizes.stations_m)
    wanted = [*(mark for mark in marks if mark < nock - TIP_OFF_M), nock]
    stations = list(
        dict.fromkeys(place if place == nock else round(place / step_m) * step_m for place in wanted)
    )
    held = [np.interp(stations, at, each) for each in (sizes.widths_m, sizes.depths_m)]
    return Sizes(tuple(stations), *(marked(each, step_m) for each in held))
