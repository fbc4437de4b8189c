"""Each entry of a bow as one sentence, in the reader's units and as it was typed where that reads otherwise."""

from collections.abc import Callable

from django.utils.translation import gettext as _
from django.utils.translation import ngettext

from workshop.bows.checklists import words_of
from workshop.bows.models import (
    BenchTime,
    BowFlaw,
    BraceReading,
    Dimension,
    MassReading,
    Piece,
    SetReading,
    ShotsFired,
    Speed,
    StageMove,
    StageTick,
    WorkDone,
)
from workshop.bows.models.bow import Part
from workshop.bows.selectors.glance import Glance
from workshop.bows.sets import FINE_SET_M, USUAL_SET_M, SetNow, SetPoint
from workshop.ledger.dates import show_date
from workshop.ledger.figures import Source
from workshop.ledger.units import UnitsInUse

Units = UnitsInUse
# What is shown as nothing, in pounds and inches or in kilograms and millimetres, is none.
AS_WANTED_N = 0.49  # 0.05 kg on the scale
EVEN_M = 0.0008  # half of 1/16 in


def measure(units: Units, entry, name: str, kind: str) -> str:
    """A measure in the reader's units, and as it was typed where that reads otherwise."""
    shown = units.show(getattr(entry, name), kind)
    typed = entry.typed(name).strip()
    plain = shown.replace("\N{NO-BREAK SPACE}", " ")
    return shown if not typed or plain == typed or plain.startswith(typed + " ") else f"{shown} ({typed})"


def _joined(*parts) -> str:
    return ", ".join(str(part) for part in parts if part)


def work_words(work: WorkDone, units: Units) -> str:
    span = ""
    if work.from_m is not None or work.to_m is not None:
        span = _("from %(from)s to %(to)s out") % {
            "from": measure(units, work, "from_m", "place") if work.from_m is not None else _("the middle"),
            "to": measure(units, work, "to_m", "place") if work.to_m is not None else _("the tip"),
        }
    rest = _("rest until %(day)s") % {"day": show_date(work.rest_until)} if work.rest_until else ""
    zero = _("a new zero for set") if work.new_zero else ""
    return _joined(work.get_deed_display(), work.get_limb_display(), span, rest, zero)


def follow_words(reading: SetReading, units: Units) -> str:
    """String follow toward the belly, reflex toward the back."""
    shown = measure(units, reading, "follow_m", "offset")
    side = (
        _("string follow") if reading.follow_m > 0 else _("reflex") if reading.follow_m < 0 else _("straight")
    )
    how = _("rested") if reading.rested else _("at once")
    zero = _("the zero") if reading.is_zero else ""
    return _joined(reading.get_limb_display(), f"{shown} {side}", how, zero)


def set_words(reading: SetReading, units: Units, point: SetPoint | None = None) -> str:
    words = follow_words(reading, units)
    if point is None or point.set_m is None or reading.is_zero:
        return words
    drawn = ""
    if point.furthest_m is not None:
        drawn = _("drawn to %(draw)s at the furthest") % {"draw": units.show(point.furthest_m, "draw")}
    return _joined(words, _("set %(set)s") % {"set": units.show(point.set_m, "offset")}, drawn)


def set_says(set_m: float) -> str:
    """What so much set says (common practice)."""
    if set_m < FINE_SET_M:
        return _("fine work")
    if set_m <= USUAL_SET_M:
        return _("usual")
    return _("more than usual: too wet, too short or over-strained")


def set_source(now: SetNow, units: Units) -> Source:
    """Where the set is from: each limb's reading, and the zero it is reckoned from."""
    rows = [
        (
            f"{point.reading.get_limb_display()}, {show_date(point.reading.happened_on, point.reading.happened_to)}",
            units.show(point.reading.follow_m, "offset"),
        )
        for point in now.points
    ]
    return Source(
        _(
            "How far each tip stands off the straight edge now, less where it stood at the zero; of two limbs the "
            "greater. Read rested and not at once after unstringing, it is what the bow keeps."
        ),
        tuple(rows),
        _("below %(fine)s called fine work, above %(usual)s more than usual: common practice, no source")
        % {"fine": units.show(FINE_SET_M, "offset"), "usual": units.show(USUAL_SET_M, "offset")},
    )


def tiller_words(reading: BraceReading, units: Units, upper: str = "") -> str:
    """How much further the string stands from the upper limb, or from A while that is not decided."""
    if reading.string_a_m is None or reading.string_b_m is None:
        return ""
    more = reading.string_a_m - reading.string_b_m
    if abs(more) < EVEN_M:
        return _("even")
    by = units.show(abs(more), "offset")
    if not upper:
        words = _("A stands off %(by)s more than B") if more > 0 else _("B stands off %(by)s more than A")
        return words % {"by": by}
    more = more if upper == "A" else -more
    return (_("positive tiller %(by)s") if more > 0 else _("negative tiller %(by)s")) % {"by": by}


def flaw_words(flaw: BowFlaw, units: Units) -> str:
    place = _("%(at)s out") % {"at": measure(units, flaw, "at_m", "place")} if flaw.at_m is not None else ""
    return _joined(flaw, flaw.get_face_display(), place, flaw.size)


def against_words(seen: Glance, units: Units) -> str:
    """The weight against what is wanted: only said at the wanted draw, with no work done since."""
    weight, bow = seen.weight, seen.bow
    if weight is None or bow.wanted_n is None or not weight.at_wanted or weight.work_since:
        return ""
    off = weight.force_n - bow.wanted_n
    if abs(off) <= (bow.tolerance_n or 0.0) + AS_WANTED_N:
        return _("as wanted")
    by = {"by": units.show(abs(off), "force")}
    return (_("%(by)s heavier than wanted") if off > 0 else _("%(by)s lighter than wanted")) % by


def brace_words(reading: BraceReading, units: Units, upper: str = "") -> str:
    brace = limbs = ""
    if reading.brace_m is not None:
        brace = _("brace height %(brace)s") % {"brace": measure(units, reading, "brace_m", "brace")}
    if reading.string_a_m is not None and reading.string_b_m is not None:
        limbs = _("string to limb A %(a)s, to limb B %(b)s") % {
            "a": measure(units, reading, "string_a_m", "place"),
            "b": measure(units, reading, "string_b_m", "place"),
        }
        if reading.at_m is not None:
            limbs += " " + _("at %(at)s out") % {"at": measure(units, reading, "at_m", "place")}
    return _joined(brace, limbs, tiller_words(reading, units, upper), reading.seen)


def dimension_words(each: Dimension, units: Units) -> str:
    return _("%(limb)s, %(at)s out: %(width)s wide, %(depth)s deep") % {
        "limb": each.get_limb_display(),
        "at": measure(units, each, "station_m", "place"),
        "width": measure(units, each, "width_m", "depth"),
        "depth": measure(units, each, "depth_m", "depth"),
    }


def piece_words(piece: Piece, units: Units) -> str:
    part = piece.get_part_display()
    if piece.part == Part.LAYER:
        part = _("layer %(n)s from the back") % {"n": piece.layer}
    depth = (
        _("%(depth)s deep") % {"depth": measure(units, piece, "depth_m", "depth")} if piece.depth_m else ""
    )
    cure = _("cured on %(day)s") % {"day": show_date(piece.cured_on)} if piece.cured_on else ""
    return _joined(part, piece.material, depth, piece.glue, cure)


def move_words(move: StageMove, units: Units) -> str:
    was = _("was %(stage)s") % {"stage": move.get_was_display()} if move.was else ""
    return _joined(move.get_stage_display(), move.cause, move.where, was)


def speed_words(speed: Speed, units: Units) -> str:
    drawn = _("drawn to %(draw)s") % {"draw": measure(units, speed, "draw_m", "draw")} if speed.draw_m else ""
    arrow = _("with an arrow of %(mass)s") % {"mass": measure(units, speed, "arrow_kg", "arrow_mass")}
    return _joined(measure(units, speed, "speed_m_s", "speed"), arrow, drawn)


def time_words(time: BenchTime, units: Units) -> str:
    return _joined(units.show(time.minutes * 60.0, "time"), time.get_stage_display())


WORDS: dict[type, Callable] = {
    WorkDone: work_words,
    SetReading: set_words,
    BraceReading: brace_words,
    Dimension: dimension_words,
    Piece: piece_words,
    StageMove: move_words,
    Speed: speed_words,
    BenchTime: time_words,
    MassReading: lambda each, units: measure(units, each, "mass_kg", "mass"),
    ShotsFired: lambda each, units: ngettext("%(n)s arrow", "%(n)s arrows", each.shots) % {"n": each.shots},
    StageTick: lambda each, units: f"{each.get_stage_display()}: {words_of(each.stage, each.line)}",
}


def entry_words(entry, units: Units) -> str:
    """An entry in a sentence; one without a sentence of its own says what it is."""
    words = WORDS.get(type(entry))
    return words(entry, units) if words else str(entry)
