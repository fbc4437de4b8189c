"""How fast the planned bow would send an arrow: by this bow's own shots where there are any, else by its limbs."""

import math
from collections.abc import Sequence
from dataclasses import dataclass

from django.utils.translation import gettext as _

from workshop.bows.models import Bow
from workshop.bows.models import Speed as ShotEntry
from workshop.bows.plan.design import Plan
from workshop.calc.cast import Cast, arrow_for, first_virtual_mass, from_shots, speed_from_energy, speed_of
from workshop.calc.errors import CalcError
from workshop.calc.imperial import GRAIN_KG, INCH_M
from workshop.calc.projection import BAND_80
from workshop.ledger.figures import Source
from workshop.ledger.units import UnitsInUse

# A linen string of a bow of 49 lb weighed 170 gr (T. Baker, Traditional Bowyer's Bible, chapter on strings).
STRING_KG = 170 * GRAIN_KG
# A tenth of what is stored may stay in the wood: then a usual bow shoots as many feet a second as 100 and its weight in
# pounds, with ten grains a pound (T. Baker, Traditional Bowyer's Bible, from memory).
LEAST_GIVEN_OFF = 0.9
# Shots are of one draw when an archer would call it one. Speed goes nearly with the way the string is pulled, so a
# quarter inch of some 22 is worth one part in a hundred, hardly more than a chronograph is out.
ONE_DRAW_M = INCH_M / 4


@dataclass(frozen=True)
class Fitted:
    """What the bow's own shots at one draw say; `draw_m` is None where it is the plan's own."""

    cast: Cast
    draw_m: float | None = None
    shots: tuple[ShotEntry, ...] = ()


@dataclass(frozen=True)
class Speed:
    """Speed [m/s] of an arrow [kg], a range. `how` is a code: shots, shots_elsewhere (virtual mass from shots at
    another draw), limbs; `why` is of an arrow far from those that were shot."""

    arrow_kg: float
    low_m_s: float
    high_m_s: float
    how: str
    virtual_kg: tuple[float, float]
    fit: Fitted | None = None
    why: str = ""

    @property
    def middle_m_s(self) -> float:
        return (self.low_m_s + self.high_m_s) / 2


def arrow_of(bow: Bow, shop, typed_kg: float | None, force_n: float) -> float:
    """The arrow stated: as typed, else the lightest the maker allows for the weight wanted."""
    return typed_kg or arrow_for(bow.wanted_n or force_n, shop.lightest_arrow_gpp)


def fitted(draw_m: float, shots: Sequence[ShotEntry]) -> Fitted | None:
    """The shots at that draw, or the most at any one other; None where they are too few or too unlike."""
    return fit_or_why(draw_m, shots)[0]


def fit_or_why(draw_m: float | None, shots: Sequence[ShotEntry]) -> tuple[Fitted | None, str]:
    """As `fitted`, and where nothing fits the code of what stands against the largest group of shots at one draw.

    A shot without a draw is taken to be at full draw. Codes are those of `from_shots`, `scatter`, and `unlike_draws`
    where no two shots are of one draw.
    """
    others = sorted({each.draw_m for each in shots if each.draw_m}, key=lambda at: -_near(shots, at))
    at_full = [s for s in shots if not s.draw_m or (draw_m and abs(s.draw_m - draw_m) <= ONE_DRAW_M)]
    groups = [(None, at_full)]
    groups += [(at, [s for s in shots if s.draw_m and abs(s.draw_m - at) <= ONE_DRAW_M]) for at in others]
    against: list[tuple[int, str]] = []
    for at, group in groups:
        try:
            cast = from_shots([each.arrow_kg for each in group], [each.speed_m_s for each in group])
        except CalcError as error:
            against.append((len(group), error.code))
            continue
        if cast.ok:
            return Fitted(cast, at, tuple(group)), ""
        against.append((len(group), cast.why))
    most, why = max(against, key=lambda each: each[0])
    return None, "unlike_draws" if most < 2 <= len(shots) else why


def _near(shots: Sequence[ShotEntry], draw_m: float) -> int:
    return sum(bool(each.draw_m) and abs(each.draw_m - draw_m) <= ONE_DRAW_M for each in shots)


def speed(plan: Plan, arrow_kg: float, fit: Fitted | None, *, energy_j: float, base_j: float) -> Speed | None:
    """The speed to expect of a plan that stores `energy_j`. The bow that was shot stores `base_j`: another plan
    shoots faster by the root of what more it stores. None where the limbs' mass is not known, for want of a density.
    """
    if energy_j <= 0 or base_j <= 0:
        return None
    if fit is not None:
        half = BAND_80 * fit.cast.virtual_doubt_kg
        least, most = max(0.0, fit.cast.virtual_kg - half), fit.cast.virtual_kg + half
        if fit.draw_m is None:
            one, more = speed_of(fit.cast, arrow_kg), math.sqrt(energy_j / base_j)
            low, high = (more * (one.speed_mps + side * BAND_80 * one.doubt_mps) for side in (-1, 1))
            return Speed(arrow_kg, low, high, "shots", (least, most), fit, one.why)
        how = "shots_elsewhere"
    else:
        limbs = [plan.limb_kg(limb) for limb in plan.limbs]
        if None in limbs:
            return None
        least, most = first_virtual_mass(sum(limbs) / 2, STRING_KG)
        how = "limbs"
    low = speed_from_energy(LEAST_GIVEN_OFF * energy_j, arrow_kg, most)
    high = speed_from_energy(energy_j, arrow_kg, least)
    return Speed(arrow_kg, low, high, how, (least, most), fit)


def speed_source(
    made: Speed, energy_j: float, shop, units: UnitsInUse, *, typed: bool, shots: Sequence[ShotEntry]
) -> Source:
    arrow = (
        _("as you stated it")
        if typed
        else _("the lightest you allow for the weight wanted, %(g)s grains a pound")
        % {"g": f"{shop.lightest_arrow_gpp:g}"}
    )
    virtual = " – ".join(units.show(each, "arrow_mass") for each in made.virtual_kg)
    energy = (_("Stored energy, once it has taken its set"), units.show(energy_j, "energy"))
    if made.how == "shots":
        cast = made.fit.cast
        doubt = units.show(BAND_80 * cast.energy_doubt_j, "energy")
        energy = (
            _("Energy given off, by the shots"),
            _("%(energy)s, within %(doubt)s")
            % {"energy": units.show(cast.energy_j, "energy"), "doubt": doubt},
        )
    return Source(
        _(
            "The energy goes with the arrow and with what flies along: speed = root of 2 × energy ÷ (arrow + virtual "
            "mass)."
        )
        + " "
        + _how_words(made, units, shot=bool(shots)),
        (energy, (_("Arrow"), f"{units.show(made.arrow_kg, 'arrow_mass')}; {arrow}"), (_("Virtual mass"), virtual)),
        _(
            "Klopsteg 1943 (from memory); straight-end bow of Kooi’s thesis (figures from memory); string: Hickman & "
            "Klopsteg, quoted by Nagler"
        ),
    )  # fmt: skip


def _how_words(made: Speed, units: UnitsInUse, *, shot: bool) -> str:
    if made.how == "shots":
        words = _(
            "Both are read off this bow’s own shots at this draw: one over speed squared is a straight line in the "
            "arrow’s weight; where the plan is heavier than the bow it shoots faster by the root of that. Eight arrows "
            "in ten should fall in the range."
        )
        far = {
            "lighter_than_shot": _("No arrow so light was shot: it may be out by more."),
            "heavier_than_shot": _("No arrow so heavy was shot: it may be out by more."),
        }
        return f"{words} {far[made.why]}" if made.why in far else words
    if made.how == "shots_elsewhere":
        return _(
            "Virtual mass by this bow’s own shots at %(draw)s; the energy is the plan’s, for none fit at this draw, "
            "and at the slow end a tenth of it stays in the wood."
        ) % {"draw": units.show(made.fit.draw_m, "draw")}
    words = _(
        "Virtual mass is not known before a shot: from 3.3 to 6.7 % of one limb and a third of a string of 170 gr. "
        "The quick end is an ideal bow, without friction in its wood; at the slow end a tenth of the energy stays in "
        "it."
    )
    if shot:
        words += " " + _(
            "This bow’s shots do not tell it: two arrows of unlike weight at one and the same draw are needed."
        )
    return words
