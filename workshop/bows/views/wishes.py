"""What the order asks now beside what was copied when the bow was started."""

from collections.abc import Sequence
from dataclasses import dataclass

from workshop.bows.models import Bow
from workshop.bows.wish import WishChange
from workshop.ledger.units import UnitsInUse
from workshop.ledger.wording import word

_KINDS = {"wanted_n": "force", "wanted_draw_m": "draw", "tolerance_n": "force", "length_m": "length"}


@dataclass(frozen=True)
class WishRow:
    name: str
    then: str
    now: str


def wish_rows(changes: Sequence[WishChange], units: UnitsInUse) -> list[WishRow]:
    return [
        WishRow(
            str(Bow._meta.get_field(change.name).verbose_name),
            _shown(change.name, change.then, units),
            _shown(change.name, change.now, units),
        )
        for change in changes
    ]


def _shown(name: str, value, units: UnitsInUse) -> str:
    if value in (None, "", []):
        return "–"
    if name in _KINDS:
        return units.show(value, _KINDS[name])
    return word(Bow, Bow._meta.get_field(name), value)
