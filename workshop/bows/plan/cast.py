"""How fast the planned bow would send an arrow: by this bow's own shots where there are any, else by its limbs."""

from dataclasses import dataclass

from django.utils.translation import gettext as _

from workshop.bows.models import Bow
from workshop.bows.plan.solving import Answer
from workshop.calc.cast import arrow_for, first_virtual_mass, from_shots, speed_from_energy
from workshop.calc.errors import CalcError
from workshop.calc.imperial import GRAIN_KG, POUND_N
from workshop.ledger.figures import Source
from workshop.ledger.units import UnitsInUse

# A linen string of a bow of 49 lb weighed 170 gr (T. Baker, Traditional Bowyer's Bible, chapter on strings).
STRING_KG = 170 * GRAIN_KG


@dataclass(frozen=True)
class Speed:
    """Speed [m/s] of an arrow [kg]: a range, for the bow's virtual mass is not known well; `shot` when it is."""

    arrow_kg: float
    low_m_s: float
    high_m_s: float
    shot: bool
    virtual_kg: tuple[float, float]

    @property
    def middle_m_s(self) -> float:
        return (self.low_m_s + self.high_m_s) / 2


def arrow_of(bow: Bow, shop, typed_kg: float | None, force_n: float) -> float:
    """The arrow stated: as typed, else the lightest the maker allows for the weight wanted."""
    return typed_kg or arrow_for(bow.wanted_n or force_n, shop.lightest_arrow_gpp)


def virtual_kg(answer: Answer, shots) -> tuple[float, float, bool] | None:
    """Least and most virtual mass, and whether this bow's own shots say so."""
    try:
        shot = from_shots([each.arrow_kg for each in shots], [each.speed_m_s for each in shots])
        if shot.ok:
            half = 1.28 * shot.virtual_doubt_kg
            return max(0.0, shot.virtual_kg - half), shot.virtual_kg + half, True
    except CalcError:
        pass
    limbs = [answer.plan.limb_kg(limb) for limb in answer.plan.limbs]
    if None in limbs:
        return None
    least, most = first_virtual_mass(sum(limbs) / 2, STRING_KG)
    return least, most, False


def speed(answer: Answer, arrow_kg: float, shots=()) -> Speed | None:
    """The speed to expect; None where the wood's density, and with it the limbs' mass, is not known."""
    found = virtual_kg(answer, shots)
    if found is None or answer.energy_j <= 0:
        return None
    least, most, shot = found
    low, high = (speed_from_energy(answer.energy_j, arrow_kg, each) for each in (most, least))
    return Speed(arrow_kg, low, high, shot, (least, most))


def grains_a_pound(arrow_kg: float, force_n: float) -> float:
    return arrow_kg / GRAIN_KG / (force_n / POUND_N)


def speed_source(made: Speed, answer: Answer, shop, units: UnitsInUse, *, typed: bool) -> Source:
    how = (
        _("Virtual mass by this bow’s own shots through the chronograph.")
        if made.shot
        else _(
            "Virtual mass is not known before a shot: from 3.3 to 6.7 % of one limb and a third of a string of 170 gr. "
            "The quick end is an ideal bow, without friction in its wood."
        )
    )
    arrow = (
        _("as you stated it")
        if typed
        else _("the lightest you allow, %(g)s grains a pound") % {"g": f"{shop.lightest_arrow_gpp:g}"}
    )
    return Source(
        _(
            "The stored energy goes with the arrow and with what flies along: speed = root of 2 × energy ÷ (arrow + "
            "virtual mass)."
        )
        + " "
        + how,
        (
            (_("Stored energy"), units.show(answer.energy_j, "energy")),
            (_("Arrow"), f"{units.show(made.arrow_kg, 'arrow_mass')}; {arrow}"),
            (
                _("Virtual mass"),
                f"{units.show(made.virtual_kg[0], 'arrow_mass')} – {units.show(made.virtual_kg[1], 'arrow_mass')}",
            ),
        ),
        _(
            "Klopsteg 1943 (from memory); straight-end bow of Kooi’s thesis (figures from memory); string: Hickman & "
            "Klopsteg, quoted by Nagler"
        ),
    )
