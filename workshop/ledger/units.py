"""Which unit each kind of quantity is shown and read in, for this person in this workshop."""

from dataclasses import dataclass

from workshop.units import SYSTEMS, from_si, read, show


def typed_otherwise(entry, name: str, shown: str) -> str:
    """The text typed for the measure `name`, where it reads otherwise than what is `shown`; else nothing."""
    text, plain = entry.typed(name).strip(), shown.replace("\N{NO-BREAK SPACE}", " ")
    same = plain.replace(" ", "") == text.replace(" ", "") or plain.startswith(text + " ")
    return "" if same else text


@dataclass(frozen=True)
class UnitsInUse:
    """The person's own choice of units, else the workshop's."""

    system: str = "imperial"

    @classmethod
    def of(cls, shop, member=None) -> "UnitsInUse":
        return cls(getattr(member, "units", "") or (shop.units if shop else "imperial"))

    def unit(self, kind: str) -> str:
        return SYSTEMS[self.system][kind]

    def show(self, value: float | None, kind: str) -> str:
        """The value with its unit, or a dash where there is none."""
        return "–" if value is None else show(value, kind, self.unit(kind))

    def number(self, value: float, kind: str) -> float:
        """The bare number in the unit shown, for a drawing's axis."""
        return from_si(value, self.unit(kind), kind)

    def read(self, text: str, kind: str):
        return read(text, kind, self.unit(kind))
