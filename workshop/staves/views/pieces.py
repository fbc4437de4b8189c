from django.core.paginator import Paginator
from django.shortcuts import get_object_or_404, render
from django.urls import reverse
from django.utils import timezone
from django.utils.translation import gettext as _
from django.views.decorators.http import require_GET, require_http_methods

from workshop.ledger.roles import allowed, may
from workshop.ledger.services import history
from workshop.ledger.views import deed
from workshop.staves.forms.readings import CarryForm, StepForm
from workshop.staves.forms.wood import PlannedMoveForm, SplitForm, StaveChangeForm, StoreFilterForm
from workshop.staves.models import Stave, StaveMove
from workshop.staves.models.staves import GONE, IN_STORE, StaveState
from workshop.staves.selectors import StoreFilter, due_a_reading, stave_sheet, store, store_rows
from workshop.staves.selectors.sheet import StaveSheet
from workshop.staves.selectors.store import ALL
from workshop.staves.services import stave_carry, stave_change, stave_split, stave_step
from workshop.staves.tags import next_piece_tag
from workshop.staves.views.figures import wood_figures
from workshop.staves.views.sheet import entry_tables, flaw_drawing, moisture_drawing
from workshop.staves.views.sources import drying_source, moisture_source, place_source
from workshop.staves.words import since_words, year_words

PER_PAGE = 40


def piece_or_404(pk: int) -> Stave:
    return get_object_or_404(Stave.objects.select_related("felling__timber", "parent", "place"), pk=pk)


def stave_url(stave: Stave) -> str:
    return reverse("stave", args=[stave.pk])


@require_GET
@may("look")
def store_list(request):
    """The store: every piece, narrowed as wanted, a page at a time."""
    form = StoreFilterForm(request.GET or None)
    form.fields["state"].choices = [
        ("", _("in the store and at the bench")),
        *StaveState.choices,
        (ALL, _("all, also what is gone")),
    ]
    wanted = StoreFilter()
    if form.is_bound:
        form.is_valid()
        said = form.cleaned_data
        wanted = StoreFilter(
            state=said.get("state") or "",
            timber=said["timber"].pk if said.get("timber") else None,
            place=said["place"].pk if said.get("place") else None,
            form=said.get("form") or "",
            text=said.get("q") or "",
        )
    page = Paginator(store(wanted), PER_PAGE).get_page(request.GET.get("page"))
    today = timezone.localdate()
    return render(
        request,
        "staves/store.html",
        {
            "room": "wood",
            "form": form,
            "narrowed": wanted != StoreFilter(),
            "all_gone": not page.object_list and Stave.objects.exists(),
            "page": page,
            "rows": store_rows(page.object_list, shop=request.shop, today=today),
            "due": due_a_reading(shop=request.shop, today=today).count(),
        },
    )


@require_GET
@may("look")
def show(request, pk):
    """One piece: the answer, the drawing, the entries."""
    stave, today = piece_or_404(pk), timezone.localdate()
    asked = request.GET if {"to", "on"} & set(request.GET) else None
    form = PlannedMoveForm(asked, units=request.units)
    planned = _planned(form, today)
    sheet = stave_sheet(stave, shop=request.shop, today=today, planned=planned)
    wood, wanting = wood_figures(sheet, request.units)
    return render(
        request,
        "staves/stave.html",
        {
            "room": "wood",
            "stave": stave,
            "sheet": sheet,
            "gone": stave.state in GONE,
            "plan": form,
            "planned": planned,
            "moisture": moisture_drawing(sheet, request.units, today),
            "flaw_map": flaw_drawing(sheet, request.units),
            "tables": entry_tables(sheet, request.units),
            "wood": wood,
            "wanting": wanting,
            "place_air": _place_air(sheet),
            "sources": {
                "moisture": moisture_source(sheet, request.units),
                "place": place_source(sheet),
                "drying": drying_source(sheet, request.units),
            },
            "changes": history(stave),
        },
    )


def _place_air(sheet: StaveSheet) -> str:
    """Over what time the moisture of its place holds, and how it goes over the year."""
    if sheet.place_now is None:
        return ""
    said = [since_words(sheet.place_now), year_words(sheet.place_year) if sheet.place_year else ""]
    return "; ".join(filter(None, said))


def _planned(form: PlannedMoveForm, today) -> StaveMove | None:
    """The move thought of, today where no day is said; what cannot be read is no plan, and is said in the form."""
    if not form.is_bound or not form.is_valid() or not form.cleaned_data["to"]:
        return None
    on, _to = form.cleaned_data["on"] or (today, "d")
    return StaveMove(place=form.cleaned_data["to"], happened_on=on)


@require_http_methods(["GET", "POST"])
@may("record")
def change(request, pk):
    stave = piece_or_404(pk)
    names = ("version", "tag", "form", "length_m", "bark_on", "sealed", "note")
    return deed(
        request,
        form_class=StaveChangeForm,
        save=lambda form: stave_change(
            stave=stave, by=request.user, seen=form.cleaned_data["version"], **form.values()
        ),
        title=_("Change %(tag)s") % {"tag": stave.tag},
        back=stave_url(stave),
        initial={name: getattr(stave, name) for name in names},
        context={"room": "wood"},
    )


@require_http_methods(["GET", "POST"])
@may("record")
def split(request, pk):
    stave = piece_or_404(pk)
    return deed(
        request,
        form_class=SplitForm,
        save=lambda form: stave_split(stave=stave, by=request.user, bark_on=stave.bark_on, **form.values()),
        title=_("Split or cut %(tag)s") % {"tag": stave.tag},
        lead=_("The pieces keep its felling and its place, and remember what they were cut from."),
        back=stave_url(stave),
        said=_("The pieces are written down."),
        initial={"first_tag": next_piece_tag(stave), "many": 2, "length_m": stave.length_m},
        context={"room": "wood"},
    )


@require_http_methods(["GET", "POST"])
@may("read")
def carry(request, pk):
    stave = piece_or_404(pk)
    return deed(
        request,
        form_class=CarryForm,
        save=lambda form: stave_carry(stave=stave, by=request.user, **form.values()),
        title=_("Carry %(tag)s to another place") % {"tag": stave.tag},
        back=stave_url(stave),
        context={"room": "wood"},
    )


@require_http_methods(["GET", "POST"])
@may("stage")
def step(request, pk):
    """To another state; a helper only between seasoning and ready."""
    stave = piece_or_404(pk)
    lead = _("Until now: %(state)s.") % {"state": stave.get_state_display()}
    may_cull = allowed(request.user, "record", request.shop)
    if not may_cull and stave.state not in IN_STORE:
        lead += " " + _("From there an owner or maker takes it.")
    return deed(
        request,
        form_class=StepForm,
        save=lambda form: stave_step(stave=stave, by=request.user, **form.values()),
        title=_("%(tag)s is now …") % {"tag": stave.tag},
        lead=lead,
        back=stave_url(stave),
        context={"room": "wood"},
        stave=stave,
        may_cull=may_cull,
    )
