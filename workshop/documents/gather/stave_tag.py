"""The tag on a piece of wood."""

from collections.abc import Iterable

from django.utils.translation import gettext as _

from workshop.documents.desk import Desk, Draft, day, joined, remarks_on_code, remarks_on_letters
from workshop.documents.pdf.stave_tag import StaveTag
from workshop.staves.models import Stave


def found():
    return Stave.objects.select_related("felling__timber", "parent", "place")


def facts(stave: Stave, desk: Desk) -> StaveTag:
    felling = stave.felling
    cut_from = _("from %(tag)s") % {"tag": stave.parent.tag} if stave.parent else ""
    return StaveTag(
        tag=stave.tag,
        timber=felling.timber.name,
        felled=day(felling),
        piece=joined(stave.get_form_display(), desk.show(stave.length_m, "length"), cut_from),
        place=stave.place.name if stave.place else "",
        maker=desk.shop.name,
        code=desk.code("stave", stave.tag),
        demo=desk.demo,
    )


def draft(stave: Stave, desk: Desk) -> Draft:
    tag = facts(stave, desk)
    return Draft(
        facts=tag,
        figure=tag.tag,
        about=joined(tag.timber, tag.piece),
        remarks=(*remarks_on_code(desk), *remarks_on_letters(tag)),
    )


def sheet(staves: Iterable[Stave], desk: Desk) -> list[StaveTag]:
    """Tags for many pieces, in the order given."""
    return [facts(stave, desk) for stave in staves]
