from django.db.models import Count, Q
from django.shortcuts import get_object_or_404, render
from django.urls import reverse
from django.utils import timezone
from django.utils.translation import gettext as _
from django.views.decorators.http import require_GET, require_http_methods

from workshop.ledger.roles import may
from workshop.ledger.views import deed
from workshop.staves.climate import equilibrium_of, place_moisture_now, place_year
from workshop.staves.forms.wood import ClimateForm, PlaceForm
from workshop.staves.models import Place
from workshop.staves.models.staves import IN_STORE
from workshop.staves.selectors import climates
from workshop.staves.services import climate_add, place_add, place_change
from workshop.staves.words import reckoned_words

LOG_SHOWN = 120
WRITTEN = ("version", "name", "walk", "note", "in_use")


def place_url(place: Place) -> str:
    return reverse("place", args=[place.pk])


@require_GET
@may("look")
def index(request):
    """The places in the order of the walk, with the moisture their air brings wood to."""
    places = list(Place.objects.annotate(here=Count("staves", filter=Q(staves__state__in=IN_STORE))))
    air, today = climates(place.pk for place in places), timezone.localdate()
    rows = [(place, place_moisture_now(air[place.pk], today)) for place in places]
    return render(request, "staves/places.html", {"room": "wood", "rows": rows})


@require_GET
@may("look")
def show(request, pk):
    place = get_object_or_404(Place, pk=pk)
    log = list(
        place.climate_readings.select_related("entered_by", "struck_by").order_by("-happened_on", "-pk")
    )
    now = place_moisture_now(log, timezone.localdate())
    return render(
        request,
        "staves/place.html",
        {
            "room": "wood",
            "place": place,
            "now": now,
            "reckoned": reckoned_words(now, place_year(log)) if now else "",
            "log": [(reading, equilibrium_of(reading)) for reading in log[:LOG_SHOWN]],
            "more": max(0, len(log) - LOG_SHOWN),
            "here": place.staves.filter(state__in=IN_STORE).count(),
        },
    )


@require_http_methods(["GET", "POST"])
@may("record")
def add(request):
    return deed(
        request,
        form_class=PlaceForm,
        save=lambda form: place_add(by=request.user, **form.values()),
        title=_("A place for wood"),
        back=place_url,
        initial={"walk": Place.objects.count() + 1},
        context={"room": "wood"},
    )


@require_http_methods(["GET", "POST"])
@may("record")
def change(request, pk):
    place = get_object_or_404(Place, pk=pk)
    return deed(
        request,
        form_class=PlaceForm,
        save=lambda form: place_change(
            place=place, by=request.user, seen=form.cleaned_data["version"], **form.values()
        ),
        title=_("Change %(place)s") % {"place": place},
        back=place_url(place),
        initial={name: getattr(place, name) for name in WRITTEN},
        context={"room": "wood"},
    )


@require_http_methods(["GET", "POST"])
@may("read")
def add_climate(request, pk):
    place = get_object_or_404(Place, pk=pk)
    return deed(
        request,
        form_class=ClimateForm,
        save=lambda form: climate_add(place=place, by=request.user, **form.values()),
        title=_("The air of %(place)s") % {"place": place},
        back=place_url(place),
        context={"room": "wood"},
    )
