"""A bow of the ledger as a plan the arithmetic can take: what is known of it, and what is missing.

Everything is read in a constant number of queries; what is only taken for granted is named in `assumed`.
"""

from collections.abc import Mapping, Sequence
from dataclasses import dataclass, field

from django.db.models import Prefetch, prefetch_related_objects

from workshop.bows.grip import grip_of
from workshop.bows.models import Bow, Dimension, Piece, SectionOutline, SetReading, UpperDecision
from workshop.bows.models.bow import BowKind, Part, Section
from workshop.bows.models.readings import Limb
from workshop.bows.plan.design import LimbPlan, Plan, Sizes, Wood
from workshop.bows.plan.sections import lines_of, section_of
from workshop.bows.plan.wood import Moisture, wood_of
from workshop.calc.imperial import INCH_M
from workshop.staves.models import BendTest, ShapeReading, Stave, Timber
from workshop.staves.selectors.tracks import PieceKnown, pieces_known

# Common practice, no source: a fistmele of 6 to 7 in.
USUAL_BRACE_M = 6.5 * INCH_M
LIMBS = ("A", "B")


@dataclass(frozen=True)
class WhatIf:
    """What the reader of the page supposes otherwise than it is written; nothing of it is kept."""

    moisture_pct: float | None = None
    modulus_pa: float | None = None
    follow_m: float | None = None
    arrow_kg: float | None = None


@dataclass(frozen=True)
class Facts:
    """What is known of a bow for its plan. `missing` are codes of what has to be written before it can be solved."""

    bow: Bow
    upper: str  # the limb taken as the upper
    upper_decided: bool
    planned: dict[str, list[Dimension]]
    measured: dict[str, list[Dimension]]
    woods: dict[str, tuple[Wood, ...]]
    timber: Timber | None  # of the belly: what strain is judged by
    timbers: Sequence[Timber]
    moisture: Moisture
    follow: dict[str, float]
    follow_how: str  # read, stave, straight, typed
    unknown: tuple[str, ...] = ()  # materials in words of which nothing is known
    assumed: tuple[str, ...] = ()
    missing: tuple[str, ...] = ()
    what_if: WhatIf = field(default_factory=WhatIf)

    @property
    def lower(self) -> str:
        return "B" if self.upper == "A" else "A"

    @property
    def is_planned(self) -> bool:
        return all(len(self.planned[limb]) >= 2 for limb in LIMBS)

    @property
    def is_measured(self) -> bool:
        """Whether one limb at least was measured; the other is then taken to be like it."""
        return any(len(self.measured[limb]) >= 2 for limb in LIMBS)

    def plan(self) -> Plan:
        """The plan as written. Errors: `CalcError`."""
        return self.plan_of(_sizes(self.planned))

    def as_measured(self, draw_m: float) -> Plan:
        """The bow as it was measured, drawn so far. Errors: `CalcError`."""
        return self.plan_of(_sizes(self.measured), draw_m)

    def plan_of(self, sizes: dict[str, Sizes], draw_m: float | None = None) -> Plan:
        """The plan with these sizes; a limb without any is taken to be like the other."""
        bow, only = self.bow, next(iter(sizes.values()))
        limbs = {
            limb: LimbPlan(limb, sizes.get(limb, only), self.woods[limb], self.follow[limb]) for limb in LIMBS
        }
        grip = grip_of(bow)
        return Plan(
            upper=limbs[self.upper], lower=limbs[self.lower], length_m=bow.length_m,
            draw_m=draw_m or bow.wanted_draw_m, draw_from=bow.draw_from, brace_m=bow.brace_m or USUAL_BRACE_M,
            grip_above_m=grip.above_m, grip_m=grip.whole_m, fade_m=grip.fade_m, stiff=bow.kind != BowKind.COMPASS,
            section=section_of(bow), lines=lines_of(bow), grip_depth_m=bow.grip_depth_m,
        )  # fmt: skip


def sizes_of(dimensions: Sequence[Dimension]) -> Sizes:
    found = sorted(dimensions, key=lambda each: each.station_m)
    return Sizes(
        *(tuple(getattr(each, name) for each in found) for name in ("station_m", "width_m", "depth_m"))
    )


def _sizes(found: dict[str, list[Dimension]]) -> dict[str, Sizes]:
    return {limb: sizes_of(found[limb]) for limb in LIMBS if len(found[limb]) >= 2}


def latest(dimensions) -> list[Dimension]:
    """The last word on each station (to the millimetre), from the middle outward."""
    kept = {round(each.station_m, 3): each for each in dimensions}
    return [kept[at] for at in sorted(kept)]


def load(bows: Sequence[Bow], *, planned: bool = True) -> None:
    """Fetch along all that plans are made from: a constant number of queries for any number of bows.

    Without `planned`, only what was measured.
    """
    dimensions = Dimension.objects.standing()
    staves = Stave.objects.select_related("felling__timber").prefetch_related(
        Prefetch("bendtests", BendTest.objects.standing()),
        Prefetch("shapereadings", ShapeReading.objects.standing()),
    )
    pieces = Piece.objects.standing().prefetch_related(Prefetch("stave", staves))
    prefetch_related_objects(
        list(bows),
        Prefetch("pieces", pieces, "pieces_standing"),
        Prefetch(
            "dimensions", dimensions if planned else dimensions.filter(planned=False), "dimensions_standing"
        ),
        Prefetch("setreadings", SetReading.objects.standing(), "sets_standing"),
        Prefetch("sectionoutlines", SectionOutline.objects.standing(), "outlines_standing"),
        Prefetch("upper_decisions", UpperDecision.objects.standing(), "uppers_standing"),
    )


def timbers_known() -> list[Timber]:
    """Every timber with the maker's own figures: two queries."""
    return list(Timber.objects.prefetch_related("own_values"))


def plan_facts(bow: Bow, *, shop, what_if: WhatIf | None = None, weighed_pct: float | None = None) -> Facts:
    """What is known of the bow. `weighed_pct` is its moisture at a weigh-in, where that was read.

    Errors: `CalcError` for a moisture that no bow has.
    """
    what_if = what_if or WhatIf()
    load([bow])
    known = pieces_known([piece.stave for piece in bow.pieces_standing if piece.stave])
    moisture = _moisture(bow.pieces_standing, known, shop, what_if, weighed_pct)
    return facts_of(bow, timbers_known(), moisture, what_if, known)


def facts_of(
    bow: Bow,
    timbers: Sequence[Timber],
    moisture: Moisture,
    what_if: WhatIf | None = None,
    known: Mapping[int, PieceKnown] | None = None,
) -> Facts:
    """What is known of a bow that was loaded, without a query. `known` is what was read and weighed of its staves."""
    what_if, pieces, known = what_if or WhatIf(), bow.pieces_standing, known or {}
    woods, unknown, missing = _woods(
        bow, pieces, {each.pk: each for each in timbers}, moisture, what_if, known
    )
    follow, follow_how = _follow(bow, pieces, what_if)
    dims = {
        planned: {
            limb: latest(d for d in bow.dimensions_standing if d.limb == limb and d.planned is planned)
            for limb in LIMBS
        }
        for planned in (True, False)
    }
    belly = woods["A"][-1] if woods["A"] else None
    missing += [name for name in ("length_m", "wanted_draw_m") if not getattr(bow, name)]
    if bow.kind != BowKind.COMPASS and not bow.grip_depth_m:
        missing.append("grip_depth_m")
    if bow.section == Section.MEASURED and not bow.outlines_standing:
        missing.append("outline")
    return Facts(
        bow=bow,
        upper=bow.uppers_standing[-1].limb if bow.uppers_standing else "A",
        upper_decided=bool(bow.uppers_standing),
        planned=dims[True],
        measured=dims[False],
        woods=woods,
        timber=next((each for each in timbers if belly and each.name == belly.name), None),
        timbers=timbers,
        moisture=moisture,
        follow=follow,
        follow_how=follow_how,
        unknown=tuple(unknown),
        assumed=tuple(_assumed(bow)),
        missing=tuple(missing),
        what_if=what_if,
    )


def _assumed(bow: Bow) -> list[str]:
    names = ("brace_m", "grip_m", "section", *(() if bow.kind == BowKind.COMPASS else ("fade_m",)))
    return [name for name in names if not getattr(bow, name) and getattr(bow, name) != 0.0]


def _moisture(
    pieces: Sequence[Piece],
    known: Mapping[int, PieceKnown],
    shop,
    what_if: WhatIf,
    weighed_pct: float | None,
) -> Moisture:
    """How wet the wood is: as supposed, as weighed, as its pieces were last read, as wanted at the bench."""
    if what_if.moisture_pct is not None:
        return Moisture(what_if.moisture_pct, "typed")
    if weighed_pct is not None:
        return Moisture(weighed_pct, "weigh_in")
    for piece in pieces:
        latest_reading = known[piece.stave_id].track.latest if piece.stave_id else None
        # wetter than this it will not be when it is a bow
        if latest_reading is not None and latest_reading.ok and latest_reading.pct <= 15.0:
            return Moisture(latest_reading.pct, "stave", piece.stave.tag)
    return Moisture((shop.ready_low_pct + shop.ready_high_pct) / 2, "workshop")


def _woods(
    bow: Bow,
    pieces: Sequence[Piece],
    timbers: dict[int, Timber],
    moisture: Moisture,
    what_if: WhatIf,
    known: Mapping[int, PieceKnown],
):
    """The layers of each limb from the back, materials nothing is known of, and codes of what is missing."""
    named = {each.name.casefold(): each for each in timbers.values()}
    unknown: list[str] = []

    def wood(piece: Piece) -> Wood | None:
        timber = (
            timbers[piece.stave.felling.timber_id]
            if piece.stave
            else named.get(piece.material.strip().casefold())
        )
        if timber is None:
            unknown.append(piece.material)
            return None
        bends = piece.stave.bendtests.all() if piece.stave else ()
        gravity = known[piece.stave_id].weighed.measured if piece.stave_id in known else None
        depth = piece.depth_m if piece.part in (Part.LAYER, Part.BACKING) else None
        return wood_of(
            timber, moisture, bends=bends, gravity=gravity, depth_m=depth, modulus_pa=what_if.modulus_pa
        )

    layers = sorted((p for p in pieces if p.part == Part.LAYER), key=lambda p: p.layer)
    backing = [p for p in pieces if p.part == Part.BACKING]
    found = {}
    for limb, part in (("A", Part.LIMB_A), ("B", Part.LIMB_B)):
        solid = [p for p in pieces if p.part == part] or [p for p in pieces if p.part == Part.WHOLE]
        made = [wood(piece) for piece in (*backing, *layers, *solid[-1:])]
        found[limb] = () if None in made else tuple(made)
    for limb, other in (LIMBS, LIMBS[::-1]):
        found[limb] = found[limb] or found[other]
    if not found["A"] and not unknown:
        timber = named.get(bow.timber_words.strip().casefold())
        if timber is not None:
            one = wood_of(timber, moisture, modulus_pa=what_if.modulus_pa)
            found = {"A": (one,), "B": (one,)}
    missing = [] if found["A"] else ["wood"]
    if any(each.modulus.value is None for each in found["A"]):
        missing.append("stiffness")
    return found, dict.fromkeys(unknown), missing


def _follow(bow: Bow, pieces: Sequence[Piece], what_if: WhatIf) -> tuple[dict[str, float], str]:
    """Where the tips stand unstrung, follow above zero: as supposed, as read, as the stave lies, straight."""
    if what_if.follow_m is not None:
        return dict.fromkeys(LIMBS, what_if.follow_m), "typed"
    if bow.sets_standing:
        return follow_read(bow.sets_standing), "read"
    for piece in pieces:
        bends = [] if piece.stave is None or piece.part != Part.WHOLE else piece.stave.shapereadings.all()
        known = [each.natural_bend_m for each in bends if each.natural_bend_m is not None]
        if known:
            return dict.fromkeys(LIMBS, -known[-1]), "stave"
    return dict.fromkeys(LIMBS, 0.0), "straight"


def follow_read(readings: Sequence[SetReading]) -> dict[str, float]:
    """The last string follow read of each limb."""
    found = dict.fromkeys(LIMBS, 0.0)
    for reading in readings:
        for limb in LIMBS if reading.limb in (Limb.BOTH, Limb.GRIP) else (reading.limb,):
            found[limb] = reading.follow_m
    return found
