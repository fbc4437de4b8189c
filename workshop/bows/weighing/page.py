"""Everything the page of a weigh-in shows, gathered in one place and in the reader's words."""

import uuid
from collections.abc import Sequence
from dataclasses import dataclass, field, replace

from django.utils import timezone
from django.utils.translation import gettext as _

from workshop.bows.models import WeighPoint, WordNoted
from workshop.bows.models.weighing import Purpose, Strung
from workshop.bows.nextstep import Halt, halts_told
from workshop.bows.plan.nextpull import NextPull, pull_after
from workshop.bows.plan.nextwords import PullPage, pull_page
from workshop.bows.selectors.forecasts import Past, forecasts_past
from workshop.bows.selectors.glance import halts_of
from workshop.bows.weighing import picture
from workshop.bows.weighing.changes import change_at, shooting_takes_n
from workshop.bows.weighing.figures import Way, energy_figure, slope_figure, ways_of
from workshop.bows.weighing.forecasts import (
    BeforePull,
    basis,
    before_pull,
    expected_at,
    full_draw_m,
    limit_n,
    pull_to_m,
    series_m,
)
from workshop.bows.weighing.passes import Pass, Weighings, may_follow
from workshop.bows.weighing.sentences import Sentence, sentence
from workshop.bows.weighing.words import HALTING, At, Facts, Rest, Word, words_of
from workshop.bows.words import AS_WANTED_N
from workshop.calc.drawcurve import SAME_DRAW_M
from workshop.calc.projection import COMBINED, Projection
from workshop.calc.projection import SOLVED as SOLVED_WAYS
from workshop.ledger.dates import show_date
from workshop.ledger.drawings import Drawing
from workshop.ledger.figures import Figure
from workshop.ledger.units import UnitsInUse


@dataclass(frozen=True)
class Said:
    """A word with its sentence, and the entry by which it was passed over."""

    word: Word
    sentence: Sentence
    noted: WordNoted | None
    key: uuid.UUID  # of the entry that would pass it over
    is_long: bool = False

    @property
    def halts(self) -> bool:
        """Whether it stops the bow; on the long string it may be the string that slipped."""
        return self.word.code in HALTING and not self.is_long


@dataclass(frozen=True)
class Row:
    """One draw, last pass and this one side by side. `point` and `last` may be missing, one of the two."""

    draw_m: float
    point: WeighPoint | None
    last_n: float | None

    @property
    def is_struck(self) -> bool:
        """Whether this pass's figure is struck out, by itself or with its whole weigh-in."""
        return self.point is not None and (self.point.is_struck or self.point.weigh_in.is_struck)

    @property
    def more_n(self) -> float | None:
        """Heavier than last time by; below zero lighter."""
        return None if self.point is None or self.last_n is None else self.point.force_n - self.last_n


@dataclass(frozen=True, kw_only=True)
class WeighInPage:
    """Of a weigh-in that is struck out only its entries are shown, and nothing is drawn or reckoned."""

    one: Pass
    rows: Sequence[Row]
    before: Pass | None = None
    works_since: Sequence = ()
    said: Sequence[Said] = ()
    holds: Sequence[Halt] = ()  # what stands before any further pull
    pull: BeforePull = field(default_factory=lambda: BeforePull(None, None, None))
    next_pull: PullPage = field(default_factory=PullPage)
    past: Past = field(default_factory=Past)
    is_latest: bool = False
    limit_n: float | None = None
    full_m: float | None = None
    ways: Sequence[Way] = ()
    energy: Figure | None = None
    slope: Figure | None = None
    series: Sequence[float] = ()
    drawing: Drawing | None = None


def weigh_in_page(
    known: Weighings, one: Pass, shop, units: UnitsInUse, *, seen: NextPull | None = None
) -> WeighInPage:
    """A constant number of queries beyond what `known` took. `seen` is the next pull where it was just solved."""
    if one.weigh_in.is_struck:
        return WeighInPage(one=one, rows=rows_of(one, None))
    limit, before = limit_n(known.bow, shop), known.before(one)
    full, place = full_draw_m(one), one.weigh_in.draw_from
    start = basis(known, one)
    past = seen.past if seen and not seen.why else forecasts_past()
    if seen is None:
        seen = pull_after(known, one, shop=shop, system=units.system, past=past)
    holds = holds_of(known, shop, units) if known.is_latest(one) else []
    thumb = expected_at(start, full, place) if start and full is not None else []
    pulls = pull_page(seen, shop, units) if start else PullPage()
    ways = ways_of(start, place, seen, pulls, thumb, units) if start else []
    return WeighInPage(
        one=one,
        before=before,
        works_since=known.work_since(one.weigh_in),
        said=said_of(known, one, shop, units),
        holds=holds,
        pull=pull_to_come(known, one, pull_to_m(known, one, limit, units.system), limit, seen, past),
        next_pull=PullPage() if holds else pulls,
        past=past,
        is_latest=known.is_latest(one),
        limit_n=limit,
        full_m=full,
        ways=ways,
        energy=energy_figure(one, units),
        slope=slope_figure(one, units),
        rows=rows_of(one, before),
        series=series_m(one, units.system),
        drawing=picture.draw_curve(
            one,
            units,
            names=picture.pass_names(known),
            earlier=[before] if before else [],
            limit_n=limit,
            expected=_bracketed(ways),
        ),
    )


def holds_of(known: Weighings, shop, units: UnitsInUse) -> list[Halt]:
    """What stands before any further pull."""
    return halts_told(halts_of(known.bow, known, shop=shop, today=timezone.localdate()), units)


def pull_to_come(
    known: Weighings, one: Pass, draw_m: float | None, limit: float | None, seen: NextPull, past: Past
) -> BeforePull:
    """What to say before drawing to `draw_m`: by the solved bow where it says anything, else by rule of thumb."""
    pull = before_pull(known, one, draw_m, limit, past.of(COMBINED))
    solved = [each.expected for each in seen.pulls if draw_m and abs(each.draw_m - draw_m) < SAME_DRAW_M]
    return replace(pull, expected=solved[0]) if solved else pull


def _bracketed(ways: Sequence[Way]) -> list[Projection]:
    """The ranges drawn at the full draw: what the solved ways come to, where there are any, and each rule of thumb."""
    beside = ("tempered", "elastic", *SOLVED_WAYS)
    return [each.way for n, each in enumerate(ways) if n == 0 or each.way.method not in beside]


def said_of(known: Weighings, one: Pass, shop, units: UnitsInUse) -> list[Said]:
    noted = {
        (each.code, each.point_id): each
        for each in WordNoted.objects.filter(weigh_in=one.weigh_in).standing().select_related("entered_by")
    }
    return [
        Said(word, sentence(word, units), noted.get((word.code, word.point)), uuid.uuid4(), one.is_long)
        for word in words_of(facts_of(known, one, shop))
    ]


def facts_of(known: Weighings, one: Pass, shop) -> Facts:
    """What the words of a weigh-in are found from."""
    head, bow = one.weigh_in, known.bow
    before, change = known.before(one), change_at(known, one)
    was = change.before.weigh_in if change else None
    shift = one.shift_from(bow.draw_from)
    return Facts(
        points=tuple(_at(each) for each in one.points),
        curve=one.curve(),
        long_string=one.is_long,
        final_short_of_full_brace=head.purpose == Purpose.FINAL and head.strung != Strung.FULL,
        limit_n=limit_n(bow, shop),
        wanted_draw_m=one.wanted_draw_m,
        wanted_then_m=one.wanted_then_m,
        measured_from=head.get_draw_from_display(),
        ordered_from=bow.get_draw_from_display(),
        cannot_convert=shift.why,
        twice=tuple((_at(first), _at(later)) for first, later in one.doubled),
        short_of_brace=_at(one.short_of_brace) if one.short_of_brace else None,
        braced_draw_m=one.braced_draw_m,
        change=change.lighter if change else None,
        dying=change is not None and change.is_dying(shooting_takes_n(bow, shop)),
        compared_on=show_date(was.happened_on, was.happened_to) if was else "",
        shots_between=change.shots if change else 0,
        last=before.curve(head.draw_from) if before else None,
        reached_m=known.reached_before(one) if head.purpose == Purpose.TILLERING else None,
        rests=tuple(
            Rest(str(work.get_deed_display()), work.rest_until)
            for work in known.resting_on(head.happened_on)
            if not may_follow(work, head)
        ),
    )


def _at(point: WeighPoint) -> At:
    return At(point.pk, point.draw_m, point.force_n)


def rows_of(one: Pass, before: Pass | None) -> list[Row]:
    """Every point of this pass, struck ones too, and of the last, in order of draw."""
    shift = before.shift_to(one.weigh_in.draw_from) if before else None
    last = (
        [(each.draw_m + shift.metres, each.force_n) for each in before.points] if shift and shift.ok else []
    )
    rows = []
    for point in one.entered:
        there = [force for draw, force in last if abs(draw - point.draw_m) < SAME_DRAW_M]
        rows.append(Row(point.draw_m, point, there[0] if there else None))
    taken = [row.draw_m for row in rows]
    rows += [
        Row(draw, None, force)
        for draw, force in last
        if all(abs(draw - other) >= SAME_DRAW_M for other in taken)
    ]
    return sorted(rows, key=lambda row: (round(row.draw_m, 4), row.point.pk if row.point else 0))


def answer_of(one: Pass, units: UnitsInUse) -> tuple[str, str]:
    """The answer in a figure and in words: what it weighs as far as it was drawn."""
    point, bow = one.furthest, one.bow
    if point is None:
        return "", _("Nothing is weighed yet.")
    force = units.show(point.force_n, "force")
    at = _("at %(draw)s") % {"draw": units.show(point.draw_m, "draw")}
    if one.is_long:
        return force, _("%(at)s on the long string, which is not draw weight.") % {"at": at}
    if bow.wanted_n is None:
        return force, f"{at}."
    wanted = units.show(bow.wanted_n, "force")
    if one.wanted_draw_m is None or abs(one.wanted_draw_m - point.draw_m) >= SAME_DRAW_M:
        draw = units.show(bow.wanted_draw_m, "draw")
        return force, _("%(at)s; wanted: %(wanted)s at %(draw)s.") % {
            "at": at,
            "wanted": wanted,
            "draw": draw,
        }
    off = point.force_n - bow.wanted_n
    by = units.show(abs(off), "force")
    if abs(off) <= AS_WANTED_N:
        return force, _("%(at)s, as wanted.") % {"at": at}
    if bow.tolerance_n is not None and abs(off) <= bow.tolerance_n:
        return force, _("%(at)s; %(wanted)s were wanted, and it is within the tolerance.") % {
            "at": at,
            "wanted": wanted,
        }
    words = (
        _("%(at)s, %(by)s over the %(wanted)s wanted.")
        if off > 0
        else _("%(at)s, %(by)s under the %(wanted)s wanted.")
    )
    return force, words % {"at": at, "by": by, "wanted": wanted}
