from django.db.models import Count, Q
from django.http import Http404
from django.shortcuts import get_object_or_404, render
from django.urls import reverse
from django.utils.translation import gettext as _
from django.views.decorators.http import require_GET, require_http_methods

from workshop.ledger.roles import may
from workshop.ledger.services import history
from workshop.ledger.views import deed
from workshop.staves.forms.wood import TimberForm, TimberValueForm
from workshop.staves.models import Timber
from workshop.staves.models.staves import IN_STORE
from workshop.staves.models.timber import TimberQuantity
from workshop.staves.published import own_values, published_of
from workshop.staves.services import timber_add, timber_change, timber_value_add

WRITTEN = (
    "version", "name", "botanical", "kind", "ready_low_pct", "ready_high_pct", "strain_word_pct", "note",
)  # fmt: skip


def timber_url(timber: Timber) -> str:
    return reverse("timber", args=[timber.pk])


@require_GET
@may("look")
def index(request):
    """What lies in the store first; both by name, which a count would otherwise forget."""
    here = Count("fellings__staves", filter=Q(fellings__staves__state__in=IN_STORE))
    timbers = list(Timber.objects.annotate(here=here).order_by("name"))
    return render(
        request,
        "staves/timbers.html",
        {
            "room": "wood",
            "in_store": [timber for timber in timbers if timber.here],
            "others": [timber for timber in timbers if not timber.here],
        },
    )


@require_GET
@may("look")
def show(request, pk):
    """A timber: what is published of it and where, the maker's own figures beside, its hazards."""
    timber = get_object_or_404(Timber, pk=pk)
    published = published_of(timber)
    return render(
        request,
        "staves/timber.html",
        {
            "room": "wood",
            "timber": timber,
            "published": published,
            "own": own_values(timber),
            "quantities": list(TimberQuantity),
            "here": timber.fellings.filter(staves__state__in=IN_STORE).aggregate(n=Count("staves"))["n"],
            "changes": history(timber),
        },
    )


@require_http_methods(["GET", "POST"])
@may("record")
def add(request):
    return deed(
        request,
        form_class=TimberForm,
        save=lambda form: timber_add(by=request.user, **form.values()),
        title=_("A timber of your own"),
        back=timber_url,
        context={"room": "wood"},
    )


@require_http_methods(["GET", "POST"])
@may("record")
def change(request, pk):
    timber = get_object_or_404(Timber, pk=pk)
    return deed(
        request,
        form_class=TimberForm,
        save=lambda form: timber_change(
            timber=timber, by=request.user, seen=form.cleaned_data["version"], **form.values()
        ),
        title=_("Change %(timber)s") % {"timber": timber},
        back=timber_url(timber),
        initial={name: getattr(timber, name) for name in WRITTEN},
        context={"room": "wood"},
    )


@require_http_methods(["GET", "POST"])
@may("record")
def add_value(request, pk, quantity):
    """A figure of the maker's own for one of the quantities that are kept."""
    if quantity not in TimberQuantity.values:
        raise Http404
    timber = get_object_or_404(Timber, pk=pk)
    return deed(
        request,
        form_class=TimberValueForm,
        save=lambda form: timber_value_add(
            timber=timber, quantity=quantity, by=request.user, **form.values()
        ),
        title=_("Your own figure: %(timber)s") % {"timber": timber},
        lead=TimberQuantity(quantity).label,
        back=timber_url(timber),
        context={"room": "wood"},
        quantity=quantity,
    )
