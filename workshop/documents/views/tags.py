"""Tags for many pieces of wood at once."""

from django.shortcuts import render
from django.utils.translation import gettext as _
from django.views.decorators.http import require_GET

from workshop.documents.desk import remarks_on_code
from workshop.documents.forms import ChooseForm, SheetForm
from workshop.documents.gather import stave_tag
from workshop.documents.pdf.labels import LabelStockError
from workshop.documents.pdf.qr import QrTooSmall
from workshop.documents.pdf.stave_tag import stave_tags
from workshop.documents.stock import stock_words
from workshop.documents.views.desk import desk_of, pdf_response
from workshop.ledger.roles import may
from workshop.staves.models.staves import GONE
from workshop.staves.selectors import StoreFilter, store
from workshop.staves.selectors.store import ALL

MOST = 240  # ten sheets of 24


@require_GET
@may("record")
def choose(request):
    """Which pieces, on which labels. A felling chosen has its pieces ticked, but those that are gone."""
    return _shown(request, SheetForm(units=request.units))


@require_GET
@may("record")
def sheet(request):
    """The tags of the pieces ticked, in order of their entry."""
    form = SheetForm(_with_defaults(request), units=request.units)
    staves = list(stave_tag.found().filter(pk__in=_ticked(request)).order_by("pk"))
    if form.is_valid() and staves:
        desk = desk_of(request)
        try:
            pdf = stave_tags(
                stave_tag.sheet(staves, desk),
                form.label_stock(request.shop),
                start=form.cleaned_data["start"] or 1,
                edition=desk.edition,
            )
        except (QrTooSmall, LabelStockError) as error:
            form.add_error(None, stock_words(error))
        else:
            return pdf_response(pdf, f"stave-tags-{staves[0]}-{staves[-1]}")
    elif not staves:
        form.add_error(None, _("Tick at least one piece."))
    return _shown(request, form, status=422)


def _ticked(request) -> list[int]:
    """The pieces named in the address; what is no number, or more than ten sheets, is left out."""
    said = request.GET.getlist("stave")
    return [int(pk) for pk in said if pk.isascii() and pk.isdecimal() and len(pk) < 19][:MOST]


def _with_defaults(request):
    """A link that names only pieces prints them on the usual sheet."""
    said = request.GET.copy()
    said.setdefault("stock", "a4-24")
    return said


def _shown(request, form: SheetForm, *, status: int = 200):
    chooser = ChooseForm(request.GET)
    chooser.is_valid()
    narrowed, ticked = _narrowed(chooser.cleaned_data), set(_ticked(request))
    pieces = store(narrowed)
    shown = {stave.pk: stave for stave in (*stave_tag.found().filter(pk__in=ticked), *pieces[:MOST])}
    page = {
        "room": "wood",
        "chooser": chooser,
        "form": form,
        "pieces": [shown[pk] for pk in sorted(shown)],
        "left_off": max(0, pieces.count() - MOST),
        "most": MOST,
        "ticked": ticked or (_there(shown.values()) if narrowed.felling else set()),
        "remarks": remarks_on_code(desk_of(request)),
    }
    return render(request, "documents/stave_tags.html", page, status=status)


def _there(pieces) -> set[int]:
    """Those still in the workshop: what was used up or has left wants no tag, unless it is ticked by hand."""
    return {piece.pk for piece in pieces if piece.state not in GONE}


def _narrowed(said: dict) -> StoreFilter:
    """Which pieces to show: of a felling every one there ever was, otherwise what lies in the store."""
    chosen = {name: said[name].pk for name in ("felling", "place", "timber") if said.get(name)}
    return StoreFilter(state=ALL if "felling" in chosen else "", text=said.get("q") or "", **chosen)
