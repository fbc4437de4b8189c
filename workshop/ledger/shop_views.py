"""The workshop's settings, its terms and its instruments."""

from django.db.models import Prefetch
from django.shortcuts import get_object_or_404, render
from django.urls import reverse
from django.utils.translation import gettext as _
from django.views.decorators.http import require_GET, require_http_methods

from workshop.ledger.models import Instrument, InstrumentCheck, Terms
from workshop.ledger.roles import may
from workshop.ledger.services import entry_add, record_add, record_change
from workshop.ledger.shop_forms import InstrumentCheckForm, InstrumentForm, ShopForm, TermsForm
from workshop.ledger.views import deed

ROOM = {"room": "workshop"}


@require_http_methods(["GET", "POST"])
@may("settings")
def change_shop(request):
    shop = request.shop

    def save(form):
        return record_change(shop, by=request.user, seen=form.cleaned_data["version"], **form.values())

    return deed(
        request,
        form_class=ShopForm,
        save=save,
        title=_("Settings"),
        back=reverse("workshop"),
        said=_("Written down."),
        template="ledger/shop_change.html",
        initial=ShopForm.initial_of(shop),
        context={"terms": Terms.objects.select_related("entered_by", "struck_by").order_by("-pk"), **ROOM},
    )


@require_http_methods(["GET", "POST"])
@may("settings")
def add_terms(request):
    newest = Terms.objects.standing().order_by("happened_on", "pk").last()
    return deed(
        request,
        form_class=TermsForm,
        save=lambda form: entry_add(Terms(**form.values()), by=request.user),
        title=_("Terms and warranty"),
        lead=_("A new version. Papers already issued keep the words they carried."),
        back=reverse("shop-change"),
        said=_("Written down."),
        initial={"text": newest.text} if newest else {},
        context=ROOM,
    )


@require_GET
@may("record")
def instruments(request):
    checks = InstrumentCheck.objects.select_related("entered_by", "struck_by")
    found = Instrument.objects.order_by("-in_use", "kind", "name").prefetch_related(
        Prefetch("instrument_checks", queryset=checks)
    )
    return render(request, "ledger/instruments.html", {"instruments": found, **ROOM})


@require_http_methods(["GET", "POST"])
@may("record")
def add_instrument(request):
    return deed(
        request,
        form_class=InstrumentForm,
        save=lambda form: record_add(Instrument(**form.values()), by=request.user),
        title=_("Take up an instrument"),
        back=reverse("instruments"),
        said=_("Written down."),
        context=ROOM,
    )


@require_http_methods(["GET", "POST"])
@may("record")
def change_instrument(request, pk):
    instrument = get_object_or_404(Instrument, pk=pk)

    def save(form):
        return record_change(instrument, by=request.user, seen=form.cleaned_data["version"], **form.values())

    return deed(
        request,
        form_class=InstrumentForm,
        save=save,
        title=instrument.name,
        back=reverse("instruments"),
        said=_("Written down."),
        initial={name: getattr(instrument, name) for name in InstrumentForm.base_fields},
        context=ROOM,
    )


@require_http_methods(["GET", "POST"])
@may("record")
def add_check(request, pk):
    instrument = get_object_or_404(Instrument, pk=pk)

    def save(form):
        return entry_add(InstrumentCheck(instrument=instrument, **form.values()), by=request.user)

    return deed(
        request,
        form_class=InstrumentCheckForm,
        save=save,
        title=_("Check of %(name)s") % {"name": instrument.name},
        back=reverse("instruments"),
        said=_("Written down."),
        context=ROOM,
    )
