"""The bench card: the plan of one bow, to lie beside the vice."""

from django.urls import reverse
from django.utils.translation import gettext as _

from workshop.bows.checklists import CHECKS
from workshop.bows.grip import grip_of
from workshop.bows.models import Bow, Dimension, Piece
from workshop.bows.models.bow import ON_BENCH, BowKind
from workshop.bows.models.readings import Limb
from workshop.bows.weighing.forecasts import limit_n
from workshop.bows.weighing.selectors import weighings_of
from workshop.calc.layout import STEP_INCHES_M, STEP_METRIC_M, stations
from workshop.calc.tables import timbers
from workshop.documents.desk import (
    Desk,
    Draft,
    Remark,
    at_draw,
    day,
    joined,
    measured_from,
    remarks_on_code,
    remarks_on_letters,
)
from workshop.documents.gather import bows
from workshop.documents.pdf.bench_card import BenchCard, Stage, cautions
from workshop.documents.pdf.outline import Layout, Station
from workshop.ledger.dates import show_date

LEAST_HALF_M = 0.15  # a bow shorter than this has no room for stations


def found():
    return bows.found()


def draft(bow: Bow, desk: Desk) -> Draft:
    known = weighings_of(bow)
    pieces = bows.standing(bow.pieces)
    archer = bows.archer_of(bow)
    limit = desk.show(limit_n(bow, desk.shop), "force")
    facts = BenchCard(
        workshop=desk.workshop,
        number=bow.number,
        date=show_date(desk.today),
        kind=joined(bow.get_kind_display(), bows.make_up_of(bow)),
        for_whom=_("for %(name)s") % {"name": archer.name} if archer and archer.name else "",
        pieces=tuple(_piece(piece, desk) for piece in pieces)
        or ((bow.timber_words,) if bow.timber_words else ()),
        weight=desk.show(bow.wanted_n, "force"),
        draw=desk.show(bow.wanted_draw_m, "draw"),
        measured_from=measured_from(bow.get_draw_from_display()) if bow.wanted_draw_m else "",
        tolerance=_("give or take %(off)s") % {"off": desk.show(bow.tolerance_n, "force")}
        if bow.tolerance_n
        else "",
        limit_of_pull=_("%(limit)s at any draw") % {"limit": limit} if limit else "",
        length=bows.length_of(bow, desk),
        centre_line=_("along the back, with the run of the grain"),  # common practice, no source
        grip_marks=_grip_marks(bow, desk),
        section=bow.get_section_display() if bow.section else "",
        curve=bow.get_curve_display() if bow.curve else "",
        brace_height=desk.show(bow.brace_m, "brace"),
        string=bows.string_of(bow, known),
        layout=_layout(bow, desk),
        stages=tuple(_stages()),
        dust="\n".join(_dust(pieces)),
        notes=bow.note,
        code=desk.code("bow", bow.number),
        demo=desk.demo,
    )
    return Draft(
        facts=facts,
        figure=facts.weight,
        about=at_draw(facts.draw, facts.measured_from, facts.tolerance),
        cautions=((_("Take care"), tuple(cautions(facts, _))),),
        remarks=(*_remarks(facts, bow), *remarks_on_code(desk), *remarks_on_letters(facts)),
    )


def _piece(piece: Piece, desk: Desk) -> str:
    layer = _("layer %(n)s from the back") % {"n": piece.layer} if piece.layer else piece.get_part_display()
    wood = piece.material
    if piece.stave:
        felling = piece.stave.felling
        wood = joined(piece.stave.tag, felling.timber.name, _("felled %(date)s") % {"date": day(felling)})
    depth = _("%(depth)s deep") % {"depth": desk.show(piece.depth_m, "depth")} if piece.depth_m else ""
    return f"{layer}: {joined(wood, depth, piece.glue)}"


def _grip_ends_m(bow: Bow) -> tuple[float, float]:
    """The grip from the middle mark up and down, as far as the plan says."""
    grip = grip_of(bow)
    return (grip.above_m, grip.below_m) if grip.written else (0.0, 0.0)


def _grip_marks(bow: Bow, desk: Desk) -> str:
    above, below = _grip_ends_m(bow)
    if not above + below:
        return desk.show(bow.grip_m, "depth")
    return _("%(above)s above the middle mark, %(below)s below it") % {
        "above": desk.show(above, "place"),
        "below": desk.show(below, "place"),
    }


def _layout(bow: Bow, desk: Desk) -> Layout | None:
    """The planned stations; where none are planned, bare marks to write the measures on."""
    if not bow.length_m or bow.length_m / 2 < LEAST_HALF_M:
        return None
    half = bow.length_m / 2
    decided = bows.standing(bow.upper_decisions)
    grip_m = _grip_ends_m(bow)
    grip_a_m, grip_b_m = reversed(grip_m) if decided and decided[-1].limb == Limb.B else grip_m
    planned = {(d.limb, round(d.station_m, 4)): d for d in bows.standing(bow.dimensions) if d.planned}
    return Layout(
        stations=tuple(_planned(planned, desk) if planned else _bare(bow, desk)),
        limb_a_m=half,
        limb_b_m=half,
        grip_a_m=grip_a_m,
        grip_b_m=grip_b_m,
    )


def _planned(planned: dict[tuple[str, float], Dimension], desk: Desk):
    """Both limbs in one row where they are planned alike."""
    limbs = {limb: {at: d for (of, at), d in planned.items() if of == limb} for limb in "AB"}
    sizes = [{at: (d.width_m, d.depth_m) for at, d in limbs[limb].items()} for limb in "AB"]
    if sizes[0] == sizes[1]:
        return [_station(d, "", desk) for d in limbs["A"].values()]
    return [_station(d, limb, desk) for limb in "AB" for d in limbs[limb].values()]


def _station(planned: Dimension, limb: str, desk: Desk) -> Station:
    return Station(
        at=desk.show(planned.station_m, "place"),
        width=desk.show(planned.width_m, "depth"),
        half_width=desk.show(planned.width_m / 2, "depth"),
        depth=desk.show(planned.depth_m, "depth"),
        limb=limb,
        at_m=planned.station_m,
        width_m=planned.width_m,
        depth_m=planned.depth_m,
    )


def _bare(bow: Bow, desk: Desk):
    """The marks of a bow without planned sizes: every 6 in or 15 cm out of the middle, alike on both limbs."""
    step = STEP_METRIC_M if desk.units.system == "metric" else STEP_INCHES_M
    marks = stations(bow.length_m, grip_above_m=0, grip_below_m=0, fade_m=0, step_m=step)
    return [Station(at=desk.show(mark.at_m, "place"), at_m=mark.at_m) for mark in marks if mark.at_m >= 0]


def _stages():
    """The check lists of the stages the bow has to go through at the bench."""
    for stage in ON_BENCH:
        yield Stage(name=str(stage.label), checks=tuple(str(line) for line in CHECKS[stage].values()))


def _dust(pieces: list[Piece]):
    """What is published of the dust of these timbers."""
    kinds = dict.fromkeys(piece.stave.timber for piece in pieces if piece.stave)
    for timber in kinds:
        published = timbers().get(timber.code)
        if published and published.dust:
            yield _("%(timber)s dust: %(what)s (%(source)s).") % {
                "timber": timber.name, "what": published.dust, "source": published.source_of("dust"),
            }  # fmt: skip


def _remarks(facts: BenchCard, bow: Bow):
    url, link = reverse("bow-plan", args=[bow.pk]), _("Plan it")
    if not facts.weight:
        yield Remark(_("No wanted weight"), _("Without it the card names no limit of pull."), url, link)
    if facts.layout is None:
        yield Remark(_("No length"), _("Without the bow's length the card has no stations."), url, link)
    elif not any(station.width for station in facts.layout.stations):
        yield Remark(
            _("No planned sizes"), _("The card has bare marks, to write width and depth on."), url, link
        )
    if bow.kind == BowKind.STIFF and not facts.grip_marks:
        yield Remark(_("No grip planned"), _("The card has no grip marks."), url, link)
