"""The tag on a bow: rated from a measurement, or plain."""

from django.utils.translation import gettext as _

from workshop.bows.models import Bow
from workshop.bows.weighing.passes import Weighings
from workshop.bows.weighing.selectors import weighings_of
from workshop.documents.desk import Desk, Draft, at_draw, day, joined, remarks_on_code, remarks_on_letters
from workshop.documents.gather import bows
from workshop.documents.gather.rating import (
    rating_and_refusals,
    rating_words,
    remarks_on_leaving,
    remarks_on_rating,
)
from workshop.documents.pdf.bow_tag import PlainTag, RatingTag, caution
from workshop.ledger.dates import show_date


def found():
    return bows.found()


def rating_tag(bow: Bow, desk: Desk) -> Draft:
    """A tag with the measured rating; refused, with each reason, where none was measured."""
    known = weighings_of(bow)
    rating, refused = rating_and_refusals(bow, known, desk)
    if refused:
        return Draft(refused=refused)
    words = rating_words(rating, bow, desk)
    tag = RatingTag(
        **_of_any_tag(bow, known, desk),
        weight=words.weight,
        draw=words.draw,
        measured_from=words.measured_from,
        also=words.also,
    )
    return Draft(
        facts=tag,
        figure=words.weight,
        about=at_draw(tag.draw, words.measured_from, day(rating.weigh_in)),
        cautions=(("", (caution(tag, _),)),),
        remarks=(
            *remarks_on_leaving(bow, known, desk),
            *remarks_on_rating(rating, bow, desk),
            *_remarks(bow, tag, desk),
        ),
    )


def plain_tag(bow: Bow, desk: Desk) -> Draft:
    """A tag without a weight, which can always be printed."""
    known = weighings_of(bow)
    tag = PlainTag(**_of_any_tag(bow, known, desk))
    return Draft(
        facts=tag,
        figure=tag.number,
        about=joined(tag.timber, tag.length),
        cautions=(("", (caution(tag, _),)),),
        remarks=(*remarks_on_leaving(bow, known, desk), *_remarks(bow, tag, desk)),
    )


def _of_any_tag(bow: Bow, known: Weighings, desk: Desk) -> dict:
    maker, address = bows.maker_of(bow, desk)
    return {
        "number": bow.number,
        "maker": maker,
        "address": address,
        "timber": bows.timber_of(bow),
        "length": bows.length_of(bow, desk),
        "brace_height": desk.show(bows.brace_m_of(bow, known), "brace"),
        "string": bows.string_of(bow, known),
        "date": show_date(desk.today),
        "code": desk.code("bow", bow.number),
        "demo": desk.demo,
    }


def _remarks(bow: Bow, tag: RatingTag | PlainTag, desk: Desk) -> tuple:
    return (
        *bows.remarks_on_bow(
            bow,
            brace=tag.brace_height,
            string=tag.string,
            timber=tag.timber,
        ),
        *remarks_on_code(desk),
        *remarks_on_letters(tag),
    )
