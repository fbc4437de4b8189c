from django.core.paginator import Paginator
from django.db.models import Count, Q
from django.shortcuts import get_object_or_404, render
from django.urls import reverse
from django.utils import timezone
from django.utils.translation import gettext as _
from django.views.decorators.http import require_GET, require_http_methods

from workshop.ledger.roles import allowed, may
from workshop.ledger.services import history
from workshop.ledger.views import deed, seen_by
from workshop.staves.forms.wood import FELLING_CAUTIONS, FellingAddForm, FellingChangeForm, PiecesAddForm
from workshop.staves.models import Felling
from workshop.staves.models.staves import IN_STORE, StaveState
from workshop.staves.selectors import StoreFilter, store, store_rows
from workshop.staves.selectors.store import ALL
from workshop.staves.services import felling_add, felling_change, staves_add
from workshop.staves.tags import next_tag

PER_PAGE = 40
WRITTEN = ("timber", "came_by", "where", "giver", "papers", "cost_minor", "note")


def felling_or_404(pk: int) -> Felling:
    return get_object_or_404(Felling.objects.select_related("timber"), pk=pk)


def felling_url(felling: Felling) -> str:
    return reverse("felling", args=[felling.pk])


@require_GET
@may("look")
def index(request):
    fellings = Felling.objects.select_related("timber").annotate(
        pieces=Count("staves"),
        here=Count("staves", filter=Q(staves__state__in=[*IN_STORE, StaveState.BENCH])),
    )
    page = Paginator(fellings.order_by("-happened_on", "-pk"), PER_PAGE).get_page(request.GET.get("page"))
    return render(request, "staves/fellings.html", {"room": "wood", "page": page})


@require_GET
@may("look")
def show(request, pk):
    """A felling with its pieces; what it cost stands here for those who may see money."""
    felling = felling_or_404(pk)
    pieces = store(StoreFilter(state=ALL, felling=felling.pk)).order_by("pk")
    page = Paginator(pieces, PER_PAGE).get_page(request.GET.get("page"))
    each = felling.cost_minor // page.paginator.count if felling.cost_minor and page.paginator.count else None
    return render(
        request,
        "staves/felling.html",
        {
            "room": "wood",
            "felling": felling,
            "page": page,
            "rows": store_rows(page.object_list, shop=request.shop, today=timezone.localdate()),
            "each": each,
            "cautions": FELLING_CAUTIONS,
            "changes": seen_by(request, history(felling)),
        },
    )


@require_http_methods(["GET", "POST"])
@may("record")
def add(request):
    """Wood comes in: a tree, a purchase, a gift, with all its pieces in one go."""
    return deed(
        request,
        form_class=FellingAddForm,
        save=lambda form: felling_add(by=request.user, **form.values()),
        title=_("Wood has come in"),
        back=felling_url,
        said=_("The wood and its pieces are written down. Tag them before they are stacked."),
        see_money=allowed(request.user, "money", request.shop),
        initial={
            "timber": request.GET.get("timber"),
            "happened_on": timezone.localdate(),
            "first_tag": next_tag(timezone.localdate()),
        },
        context={"room": "wood"},
    )


@require_http_methods(["GET", "POST"])
@may("record")
def change(request, pk):
    felling = felling_or_404(pk)
    return deed(
        request,
        form_class=FellingChangeForm,
        save=lambda form: felling_change(
            felling=felling, by=request.user, seen=form.cleaned_data["version"], **form.values()
        ),
        title=_("Change: %(felling)s") % {"felling": felling},
        back=felling_url(felling),
        see_money=allowed(request.user, "money", request.shop),
        initial={
            "version": felling.version,
            "happened_on": (felling.happened_on, felling.happened_to),
            **{name: getattr(felling, name) for name in WRITTEN},
        },
        context={"room": "wood"},
    )


@require_http_methods(["GET", "POST"])
@may("record")
def add_pieces(request, pk):
    felling = felling_or_404(pk)
    return deed(
        request,
        form_class=PiecesAddForm,
        save=lambda form: staves_add(felling=felling, by=request.user, **form.values()),
        title=_("More pieces: %(felling)s") % {"felling": felling},
        back=felling_url(felling),
        initial={
            "first_tag": next_tag(timezone.localdate()),
            "happened_on": (felling.happened_on, felling.happened_to),
        },
        context={"room": "wood"},
    )
