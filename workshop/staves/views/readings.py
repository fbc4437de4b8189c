from collections.abc import Callable
from dataclasses import dataclass

from django.http import Http404
from django.shortcuts import get_object_or_404
from django.utils.functional import Promise
from django.utils.translation import gettext as _
from django.utils.translation import gettext_lazy
from django.views.decorators.http import require_http_methods

from workshop.ledger.forms import EntryForm
from workshop.ledger.roles import may
from workshop.ledger.views import deed
from workshop.photos.forms import PhotoForm
from workshop.staves import services
from workshop.staves.forms import readings as forms
from workshop.staves.models import MoistureReading, Stave, StaveFlaw
from workshop.staves.views.pieces import piece_or_404, stave_url


@dataclass(frozen=True)
class Writing:
    """One kind of reading: its form, the service that writes it, its title and a word before it."""

    form: type[EntryForm]
    write: Callable
    title: Promise
    lead: Promise | str = ""
    template: str = "ledger/deed.html"


WRITINGS = {
    "moisture": Writing(forms.MoistureForm, services.moisture_add, gettext_lazy("Moisture by meter")),
    "weighing": Writing(
        forms.WeighingForm,
        services.weighing_add,
        gettext_lazy("Weigh the piece"),
        gettext_lazy("Steady weight is not dryness: it may only be in balance with its place."),
    ),
    "oven-dry": Writing(
        forms.OvenDryForm,
        services.oven_dry_add,
        gettext_lazy("Oven-dried slice"),
        gettext_lazy("The true moisture, and the zero of the weighings that follow."),
    ),
    "rings": Writing(forms.RingForm, services.ring_count_add, gettext_lazy("Count the rings")),
    "sizes": Writing(
        forms.SizesForm,
        services.sizes_add,
        gettext_lazy("Sizes at stations"),
        gettext_lazy("Leave the lower lines empty where fewer stations were measured."),
        template="staves/sizes.html",
    ),
    "shape": Writing(forms.ShapeForm, services.shape_add, gettext_lazy("Bend, twist, sapwood")),
    "bend-test": Writing(
        forms.BendForm,
        services.bend_test_add,
        gettext_lazy("Bend an offcut"),
        gettext_lazy("On two supports, loaded in the middle: how stiff this very wood is."),
    ),
    "flaw": Writing(forms.FlawForm, services.flaw_add, gettext_lazy("A flaw")),
    "work": Writing(forms.WorkForm, services.stave_work_add, gettext_lazy("Work on the piece")),
}


@require_http_methods(["GET", "POST"])
@may("read")
def add(request, pk, kind):
    """Write one reading of a piece."""
    if kind not in WRITINGS:
        raise Http404
    stave, writing = piece_or_404(pk), WRITINGS[kind]
    return deed(
        request,
        form_class=writing.form,
        save=lambda form: writing.write(stave=stave, by=request.user, **form.values()),
        title=_("%(what)s: %(tag)s") % {"what": writing.title, "tag": stave.tag},
        lead=writing.lead,
        template=writing.template,
        back=stave_url(stave),
        initial=last_meter(request.user) if kind == "moisture" else {},
        context={"room": "wood"},
    )


def last_meter(member) -> dict:
    """The meter and scale this person used last, so that they need not be chosen every time; none once the meter is
    out of use."""
    last = MoistureReading.objects.filter(entered_by=member).select_related("meter").order_by("-pk").first()
    if last is None or (last.meter and not last.meter.in_use):
        return {}
    return {"meter": last.meter_id or "", "meter_scale": last.meter_scale}


@require_http_methods(["GET", "POST"])
@may("read")
def add_photo(request, pk):
    stave = piece_or_404(pk)
    return deed(
        request,
        form_class=PhotoForm,
        save=lambda form: services.stave_photo_add(stave=stave, by=request.user, **form.values()),
        title=_("A photo of %(tag)s") % {"tag": stave.tag},
        lead=_("Where it was taken and with which camera is removed from it."),
        back=stave_url(stave),
        context={"room": "wood"},
    )


@require_http_methods(["GET", "POST"])
@may("read")
def settle_flaw(request, pk):
    """A watched flaw needs no more watching."""
    flaw = get_object_or_404(
        StaveFlaw.objects.select_related("stave").filter(watched=True, struck_at=None), pk=pk
    )
    stave: Stave = flaw.stave
    return deed(
        request,
        form_class=forms.SettleForm,
        save=lambda form: services.flaw_settle(flaw=flaw, by=request.user, **form.values()),
        title=_("Settle: %(flaw)s, %(tag)s") % {"flaw": flaw, "tag": stave.tag},
        lead=_("In words, what became of it: worked out, filled, grown no longer."),
        back=stave_url(stave),
        context={"room": "wood"},
    )
