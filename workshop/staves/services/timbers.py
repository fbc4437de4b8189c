from django.core.exceptions import ValidationError
from django.db import transaction
from django.utils.translation import gettext as _

from workshop.calc.moisture import YEW_BAND
from workshop.calc.tables import timbers
from workshop.ledger.services import entry_add, record_add, record_change
from workshop.staves.models import Timber, TimberValue


@transaction.atomic
def timbers_seed(*, by=None) -> list[Timber]:
    """Make a record of every published timber that has none yet. What the maker changed stays as it is."""
    known = set(Timber.objects.exclude(code="").values_list("code", flat=True))
    names = {name.lower() for name in Timber.objects.values_list("name", flat=True)}
    made = []
    for published in timbers().values():
        if published.code in known or published.name.lower() in names:
            continue
        timber = Timber(code=published.code, name=published.name, botanical=published.botanical_name)
        if published.kind:
            timber.kind = published.kind.value
        if published.is_yew:
            timber.ready_low_pct, timber.ready_high_pct = YEW_BAND.low_pct, YEW_BAND.high_pct
        made.append(record_add(timber, by=by, deed=_("taken from the published table")))
    return made


def timber_add(*, by, **values) -> Timber:
    """A timber of the maker's own."""
    _check_band(values)
    return record_add(Timber(**values), by=by)


def timber_change(*, timber: Timber, by, seen: int | None = None, **values) -> Timber:
    _check_band(values)
    return record_change(timber, by=by, seen=seen, **values)


def timber_value_add(*, timber: Timber, by, **values) -> TimberValue:
    """A figure the maker measured or trusts more; it stands beside the published one."""
    return entry_add(TimberValue(timber=timber, **values), by=by)


def _check_band(values: dict) -> None:
    low, high = values.get("ready_low_pct"), values.get("ready_high_pct")
    if (low is None) != (high is None):
        missing = "ready_low_pct" if low is None else "ready_high_pct"
        raise ValidationError({missing: _("Give both ends of the band, or neither.")})
    if low is not None and not 0 < low < high <= 30:
        raise ValidationError(
            {"ready_high_pct": _("The band runs from its drier end to its wetter end, at most 30 %.")}
        )
