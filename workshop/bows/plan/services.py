"""What is written of a plan: its stations, in one transaction."""

import datetime as dt
import uuid
from collections.abc import Mapping, Sequence

from django.core.exceptions import ValidationError
from django.db import transaction
from django.dispatch import receiver
from django.utils import timezone
from django.utils.translation import gettext as _

from workshop.bows.models import Bow, Dimension, SectionOutline
from workshop.bows.models.bow import Curve, Section
from workshop.bows.plan.changes import STEP_M, begun, brought
from workshop.bows.plan.design import Plan, Sizes
from workshop.bows.plan.facts import LIMBS, Facts, plan_facts
from workshop.bows.plan.record import shop_record
from workshop.bows.plan.refusals import refusal
from workshop.bows.plan.settled import settling
from workshop.bows.plan.solving import Answer
from workshop.bows.plan.words import missing_words
from workshop.bows.services.bows import bow_change, check_day
from workshop.calc.errors import CalcError
from workshop.ledger.models import Shop
from workshop.ledger.services import entries_add, entry_add, entry_strike, entry_struck, record_change
from workshop.ledger.units import UnitsInUse

SAME_M = 5e-6
# how a limb bends that is laid out so; all the others as an arc
CURVES = {"straight": Curve.STIFF_TIPS, "strain-width": Curve.ELLIPSE, "strain-depth": Curve.ELLIPSE}


@transaction.atomic
def stations_set(
    *,
    bow: Bow,
    by,
    limbs: Mapping[str, Sequence[dict]],
    happened_on: dt.date | None = None,
    happened_to: str = "d",
    entry_key: uuid.UUID | None = None,
    note: str = "",
) -> list[Dimension]:
    """The plan's widths and depths are these from now on. What was planned otherwise is struck; what stays, stays.

    Sent twice it is done once: every new entry's key follows from the form's.
    """
    key = entry_key or uuid.uuid4()
    keys = [_key(key, limb, number) for limb in limbs for number in range(len(limbs[limb]))]
    if Dimension.objects.filter(entry_key__in=keys).exists():
        return []
    happened_on = happened_on or timezone.localdate()
    check_day(bow, happened_on, happened_to)
    old = list(bow.dimensions.standing().filter(planned=True, limb__in=limbs))
    kept, added = set(), []
    for limb, stations in limbs.items():
        for number, station in enumerate(stations):
            same = next((each for each in old if each.limb == limb and _is_same(each, station)), None)
            if same is not None and same.pk not in kept:
                kept.add(same.pk)
                continue
            added.append(
                Dimension(
                    bow=bow, limb=limb, planned=True, note=note, happened_on=happened_on, happened_to=happened_to,
                    entry_key=_key(key, limb, number), **station,
                )
            )  # fmt: skip
    for each in old:
        if each.pk not in kept:
            entry_strike(each, by=by, reason=_("planned otherwise"))
    return entries_add(added, by=by)


class LayersTooThick(ValidationError):
    """The layers leave the belly's no wood at one station."""

    def __init__(self, sentence: str, limb: str, station_m: float):
        super().__init__(sentence, code="layers")
        self.limb, self.station_m = limb, station_m


def stations_write(*, facts: Facts, by, limbs: Mapping[str, Sequence[dict]], **values) -> list[Dimension]:
    """The stations as a maker typed them. Only what can be no limb is refused; one that is too weak or too short
    for its draw is a plan like another, and the page says what is wrong with it."""
    sizes = {
        limb: Sizes(*zip(*((s["station_m"], s["width_m"], s["depth_m"]) for s in stations), strict=True))
        for limb, stations in limbs.items()
    }
    if not facts.missing:
        try:
            for limb in (plan := facts.plan_of(sizes)).limbs:
                plan.statics_limb(limb)
        except CalcError as error:
            _name, sentence = refusal(error, UnitsInUse.of(Shop.objects.get(), by))
            if error.code == "layers":
                raise LayersTooThick(sentence, error.given["limb"], error.given["station_m"]) from error
            raise ValidationError(sentence, code=error.code) from error
    return stations_set(bow=facts.bow, by=by, limbs=limbs, **values)


@transaction.atomic
def outline_add(*, bow: Bow, by, happened_on: dt.date, happened_to: str = "d", **values) -> SectionOutline:
    """A section taken with callipers. From now on the bow's section is as measured, by the outline last written."""
    check_day(bow, happened_on, happened_to)
    earlier = bow.sectionoutlines.standing().last()
    was = earlier.was if earlier and bow.section == Section.MEASURED else bow.section
    record_change(bow, by=by, section=Section.MEASURED)
    return entry_add(
        SectionOutline(bow=bow, was=was, happened_on=happened_on, happened_to=happened_to, **values), by=by
    )


@receiver(entry_struck, sender=SectionOutline)
def outline_take_back(*, entry: SectionOutline, by, **signal) -> None:
    """With the last outline struck out the section is again what it was before any was taken."""
    bow = entry.bow
    if bow.section == Section.MEASURED and not bow.sectionoutlines.standing().exists():
        record_change(bow, by=by, section=entry.was)


def _key(key: uuid.UUID, limb: str, number: int) -> uuid.UUID:
    return uuid.uuid5(key, f"planned {limb} {number}")


def _is_same(entry: Dimension, station: dict) -> bool:
    return all(
        abs(getattr(entry, name) - station[name]) < SAME_M for name in ("station_m", "width_m", "depth_m")
    )


def stations_of(sizes: Sizes) -> list[dict]:
    """Sizes as the values of entries."""
    columns = zip(sizes.stations_m, sizes.widths_m, sizes.depths_m, strict=True)
    return [{"station_m": at, "width_m": width, "depth_m": depth} for at, width, depth in columns]


def _planned(plan: Plan) -> dict[str, list[dict]]:
    return {limb.name: stations_of(limb.sizes) for limb in plan.limbs}


@transaction.atomic
def plan_bring(*, bow: Bow, by, how: str, system: str, entry_key: uuid.UUID | None = None) -> list[Dimension]:
    """All depths, or all widths, scaled until the plan, settled, draws the wanted weight."""
    if not bow.wanted_n:
        raise ValidationError(_("Write down first what weight is wanted."), code="no_weight")
    facts = plan_facts(bow, shop=Shop.objects.get())
    _check(facts)
    try:
        weigh = settling(facts, shop_record(facts.timbers)).force_n
        plan = brought(facts.plan(), bow.wanted_n, how, STEP_M[system], weigh)
    except CalcError as error:
        raise refused(error, UnitsInUse(system)) from error
    return stations_set(bow=bow, by=by, limbs=_planned(plan), entry_key=entry_key)


@transaction.atomic
def plan_begin(
    *, bow: Bow, by, seen: int | None, system: str, strain: float, taper: str, stations, timber=None, **values
) -> Answer:
    """A first plan from draw, weight, timber and kind: what is wanted is written on the bow, the sizes as planned.

    `stations` gives, for the bow as it then is, where on each limb sizes are to be written. The plan comes back solved.
    """
    if timber is not None:
        values["timber_words"] = timber.name
    values["curve"] = CURVES.get(taper, Curve.ARC)
    bow = bow_change(bow=bow, by=by, seen=seen, deed=_("a first plan"), **values)
    facts = plan_facts(bow, shop=Shop.objects.get())
    if facts.missing:
        _check(facts, sizes=False)
    half = bow.length_m / 2
    stand_in = Sizes((0.0, half), (0.03, 0.02), (0.03, 0.02))
    try:
        answer = begun(
            facts.plan_of(dict.fromkeys(LIMBS, stand_in)),
            weight_n=bow.wanted_n,
            strain=strain,
            taper=taper,
            stations=stations(bow, facts.upper),
            step_m=STEP_M[system],
            weigh=settling(facts, shop_record(facts.timbers)).force_n,
        )
    except CalcError as error:
        raise refused(error, UnitsInUse(system)) from error
    stations_set(bow=bow, by=by, limbs=_planned(answer.plan))
    return answer


def _check(facts: Facts, *, sizes: bool = True) -> None:
    if facts.missing:
        raise ValidationError(
            [_("This is missing: %(what)s.") % {"what": missing_words(code)} for code in facts.missing]
        )
    if sizes and not facts.is_planned:
        raise ValidationError(_("Plan two stations at least on each limb."))


def refused(error: CalcError, units: UnitsInUse) -> ValidationError:
    """An error of the arithmetic as the form shows it: beside its field where the form has it."""
    name, sentence = refusal(error, units)
    return ValidationError({name or "__all__": [ValidationError(sentence, code=error.code)]})
