"""The measured rating, or why there is none: each reason its own sentence, with what to do."""

from dataclasses import dataclass

from django.urls import reverse
from django.utils.translation import gettext as _

from workshop.bows.models import Bow
from workshop.bows.selectors.leaving import leaving
from workshop.bows.weighing.passes import Weighings
from workshop.bows.weighing.selectors import BowRating, rating_of
from workshop.calc.rating import off_order
from workshop.documents.desk import Desk, Remark, day, joined, measured_from


@dataclass(frozen=True)
class RatingWords:
    """The rating as it stands on a paper; all empty where none was measured."""

    weight: str = ""
    draw: str = ""
    measured_from: str = ""
    also: str = ""


def rating_words(rating: BowRating, bow: Bow, desk: Desk) -> RatingWords:
    if not rating.ok:
        return RatingWords()
    return RatingWords(
        weight=desk.show(rating.force_n, "force"),
        draw=desk.show(rating.draw_m, "draw"),
        measured_from=measured_from(bow.get_draw_from_display()),
        also=_("%(weight)s at %(draw)s") % {
            "weight": desk.show_otherwise(rating.force_n, "force"),
            "draw": desk.show_otherwise(rating.draw_m, "draw"),
        },
    )  # fmt: skip


def rating_and_refusals(bow: Bow, known: Weighings, desk: Desk) -> tuple[BowRating, tuple[Remark, ...]]:
    """The rating of the bow, and where there is none the reasons in words."""
    rating = rating_of(bow, known)
    if rating.ok:
        return rating, ()
    return rating, tuple(_refusal(code, rating, bow, known, desk) for code in rating.why)


def _refusal(code: str, rating: BowRating, bow: Bow, known: Weighings, desk: Desk) -> Remark:
    head, reason = _reasons().get(code, (_("Not measured"), _("Weigh the bow again.")))
    to_the_plan = code in ("no_rated_draw", "no_grip_depth")
    url = reverse("bow-plan" if to_the_plan else "weigh-in-add", args=[bow.pk])
    link = _("Write it into the plan") if to_the_plan else _("Weigh again")
    return Remark(head, reason % _values(rating, bow, known, desk), url, link)


def _values(rating: BowRating, bow: Bow, known: Weighings, desk: Desk) -> dict[str, str]:
    """What the sentences fill in."""
    head = rating.weigh_in
    values = {"draw": desk.show(bow.wanted_draw_m, "draw"), "from": bow.get_draw_from_display()}
    if head is None:
        return values
    points = known.of(head).points
    works = known.work_since(head)
    return values | {
        "on": day(head),
        "strung": head.get_strung_display(),
        "weighed_from": head.get_draw_from_display(),
        "first": desk.show(points[0].draw_m, "draw") if points else "",
        "reached": desk.show(points[-1].draw_m, "draw") if points else "",
        "work": joined(*(f"{work} ({day(work)})" for work in works), by="; "),
    }


def _reasons() -> dict[str, tuple[str, str]]:
    return {
        "no_rated_draw": (
            _("No rated draw"),
            _("The bow says no draw to be rated at. Write the wanted draw into its plan."),
        ),
        "no_final": (
            _("No final weigh-in"),
            _("A rating comes from a final weigh-in. Weigh the finished bow at full brace, to %(draw)s."),
        ),
        "not_full_brace": (
            _("Not at full brace"),
            _("The final weigh-in of %(on)s was on the %(strung)s. Brace the bow fully and weigh it again."),
        ),
        "work_since": (
            _("Work done since"),
            _("Since the final weigh-in of %(on)s: %(work)s. What it weighed then it may not weigh now. "
              "Weigh it again."),
        ),
        "no_points": (
            _("Nothing weighed"),
            _("The final weigh-in of %(on)s holds no weight that counts. Weigh the bow to %(draw)s."),
        ),
        "not_reached": (
            _("Not drawn to the rated draw"),
            _("The final weigh-in of %(on)s came to %(reached)s, measured from %(weighed_from)s; the rated draw "
              "is %(draw)s from %(from)s. A weight is never reckoned beyond what was weighed. Weigh it to %(draw)s, "
              "if the bow will bear it."),
        ),
        "only_beyond": (
            _("Weighed only past the rated draw"),
            _("The final weigh-in of %(on)s begins at %(first)s, measured from %(weighed_from)s; the rated draw is "
              "%(draw)s from %(from)s. A weight is never reckoned outside what was weighed. Weigh it at %(draw)s."),
        ),
        "no_grip_depth": (
            _("Measured from elsewhere"),
            _("The final weigh-in of %(on)s measured from %(weighed_from)s, the rated draw is from %(from)s, and "
              "this bow's own grip depth is not written down. Measure the grip, or weigh again from %(from)s."),
        ),
        "no_axis_depth": (
            _("Measured from elsewhere"),
            _("The final weigh-in of %(on)s measured from %(weighed_from)s, the rated draw is from %(from)s. On a "
              "stiff-handled bow the two cannot be converted. Weigh again from %(from)s."),
        ),
        "falls": (
            _("The weight falls"),
            _("Of the two weights around %(draw)s the further is the lighter. One is mistyped, or the bow is giving "
              "way: look it over, then weigh it again."),
        ),
    }  # fmt: skip


def remarks_on_leaving(bow: Bow, known: Weighings, desk: Desk):
    """What to know before a bow goes out, rated or not, and so of any paper that leaves with it."""
    found = leaving(bow, shop=desk.shop, units=desk.units, today=desk.today, known=known)
    for halt in found.halts:
        url = reverse("weigh-in", args=[halt.weigh_in]) if halt.weigh_in else ""
        yield Remark(_("Before it goes out"), halt.words, url, _("That weigh-in"))
    if found.changed:
        url = reverse("weigh-in", args=[found.change.after.weigh_in.pk])
        yield Remark(found.changed.head, found.changed.reason, url, _("That weigh-in"))
    for flaw in found.watched:
        reason = _("%(flaw)s: it is watched and not settled. Look at it before the bow goes out.")
        yield Remark(
            _("Watched"), reason % {"flaw": flaw}, reverse("flaw-look", args=[flaw.pk]), _("Look at it")
        )


def remarks_on_rating(rating: BowRating, bow: Bow, desk: Desk):
    """What to know of a rating that stands."""
    if rating.interpolated:
        low, high = (desk.show(draw, "draw") for draw in rating.between_m)
        reason = _("It was not weighed at %(draw)s itself: the weight stands between those read at %(low)s and "
                   "%(high)s.") % {"draw": desk.show(rating.draw_m, "draw"), "low": low, "high": high}  # fmt: skip
        yield Remark(_("Between two readings"), reason)
    if bow.wanted_n:
        off = off_order(rating.force_n, bow.wanted_n, tolerance_n=bow.tolerance_n or 0.0)
        if bow.tolerance_n is not None and off:
            yield _off_order(off, bow, desk)


def _off_order(off_n: float, bow: Bow, desk: Desk) -> Remark:
    sentence = (
        _("%(off)s heavier than the %(wanted)s wanted allows, give or take %(tolerance)s.")
        if off_n > 0
        else _("%(off)s lighter than the %(wanted)s wanted allows, give or take %(tolerance)s.")
    )
    values = {"off": abs(off_n), "wanted": bow.wanted_n, "tolerance": bow.tolerance_n}
    return Remark(_("Off the order"), sentence % {k: desk.show(v, "force") for k, v in values.items()})
