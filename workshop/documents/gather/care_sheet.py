"""The care sheet made for one bow."""

import datetime as dt
import math

from django.urls import reverse
from django.utils.translation import gettext as _

from workshop.bows.models import Bow
from workshop.bows.models.bow import Stage
from workshop.bows.weighing.selectors import BowRating, weighings_of
from workshop.calc.cast import arrow_for
from workshop.documents.desk import Desk, Draft, Remark, at_draw, remarks_on_code, remarks_on_letters
from workshop.documents.gather import bows
from workshop.documents.gather.rating import (
    rating_and_refusals,
    rating_words,
    remarks_on_leaving,
    remarks_on_rating,
)
from workshop.documents.gather.terms import terms_on
from workshop.documents.pdf.care_sheet import CareSheet, cautions
from workshop.ledger.dates import show_date
from workshop.ledger.models.shop import DrawFrom
from workshop.units import from_si, to_si


def found():
    return bows.found()


def draft(bow: Bow, desk: Desk) -> Draft:
    known = weighings_of(bow)
    rating, refused = rating_and_refusals(bow, known, desk)
    words = rating_words(rating, bow, desk)
    handed_over, archer = day_of_handing_over(bow, desk), bows.archer_of(bow)
    brace = desk.show(bows.brace_m_of(bow, known), "brace")
    facts = CareSheet(
        workshop=desk.workshop,
        number=bow.number,
        archer=archer.name if archer else "",
        timber=bows.timber_of(bow),
        length=bows.length_of(bow, desk),
        weight=words.weight,
        draw=words.draw,
        measured_from=words.measured_from,
        brace_height=_("%(brace)s, belly of grip to string") % {"brace": brace} if brace else "",
        string=bows.string_of(bow, known),
        low_stretch=bow.low_stretch_fit,
        lightest_arrow=lightest_arrow(rating, desk),
        arrow_length=arrow_length(rating, desk),
        upper_limb=upper_limb(bow),
        date=show_date(handed_over),
        terms=terms_on(handed_over),
        code=desk.code("bow", bow.number),
        demo=desk.demo,
    )
    return Draft(
        facts=facts,
        figure=words.weight,
        about=at_draw(words.draw, words.measured_from) if rating.ok else _("No draw weight was measured."),
        cautions=tuple((title, tuple(points)) for title, points in cautions(facts, _)),
        remarks=(
            *remarks_on_leaving(bow, known, desk),
            *_remarks_on_weight(rating, refused, bow, desk),
            *_remarks(facts, bow),
            *remarks_on_code(desk),
            *remarks_on_letters(facts),
        ),
    )


def day_of_handing_over(bow: Bow, desk: Desk) -> dt.date:
    """The day it went out, as long as it is out; otherwise it goes out today."""
    out = bows.standing(bow.deliveries) if bow.stage == Stage.DELIVERED else []
    return out[-1].happened_on if out else desk.today


def lightest_arrow(rating: BowRating, desk: Desk) -> str:
    """The workshop's own least grains a pound, times the rated weight, rounded up in the unit shown."""
    if not rating.ok:
        return ""
    mass_kg = arrow_for(rating.force_n, desk.shop.lightest_arrow_gpp)
    unit = desk.units.unit("arrow_mass")
    up = math.ceil(round(from_si(mass_kg, unit, "arrow_mass"), 6))
    return desk.show(to_si(up, unit, "arrow_mass"), "arrow_mass")


def arrow_length(rating: BowRating, desk: Desk) -> str:
    """An arrow shorter than a draw measured from the back comes off the bow: geometry, no rule of thumb."""
    if not rating.ok or rating.draw_from != DrawFrom.BACK:
        return ""
    return _("longer than %(draw)s, from the string's groove to the end of the shaft") % {
        "draw": desk.show(rating.draw_m, "draw")
    }


def upper_limb(bow: Bow) -> str:
    """How whoever strings the bow tells the upper limb: in the maker's words, else by the letter pencilled on it."""
    decided = bows.standing(bow.upper_decisions)
    if not decided:
        return ""
    lettered = _("the one its maker calls %(limb)s; ask the maker where it is marked, if you see no mark")
    return decided[-1].mark or lettered % {"limb": decided[-1].get_limb_display()}


def _remarks_on_weight(rating: BowRating, refused: tuple[Remark, ...], bow: Bow, desk: Desk):
    if refused:
        reason = _(
            "The sheet says that no draw weight was measured, and to ask the maker before drawing it. %(why)s"
        )
        yield Remark(_("No rating"), reason % {"why": refused[0].reason}, refused[0].url, refused[0].link)
    else:
        yield from remarks_on_rating(rating, bow, desk)


def _remarks(facts: CareSheet, bow: Bow):
    asks = {"brace": facts.brace_height, "string": facts.string, "timber": facts.timber}
    yield from bows.remarks_on_bow(bow, **asks)
    if not facts.upper_limb:
        reason = _("Which way up the bow is strung is not written down.")
        url = reverse("upper-decide", args=[bow.pk])
        yield Remark(_("Upper limb not decided"), reason, url, _("Decide it"))
    if not facts.workshop.address and not facts.workshop.contact:
        yield Remark(
            _("No address"), _("The sheet would not say how to reach the maker: see the workshop's settings.")
        )
    if not facts.terms:
        yield Remark(_("No terms"), _("No terms and warranty held on %(day)s.") % {"day": facts.date})
