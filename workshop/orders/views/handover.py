"""Starting bows for a line, handing over, and coming back."""

from django.shortcuts import get_object_or_404, render
from django.urls import reverse
from django.utils.translation import gettext as _
from django.views.decorators.http import require_GET, require_http_methods

from workshop.bows.models import Bow
from workshop.bows.models.bow import ENDED, Stage
from workshop.bows.services.bows import next_bow_number
from workshop.ledger.roles import may
from workshop.ledger.views import deed
from workshop.orders.forms.orders import DeliverForm, JoinForm, StartForm, VisitEndForm, VisitForm
from workshop.orders.models import OrderLine, Visit
from workshop.orders.selectors.suits import needed_length_m, pieces_that_suit
from workshop.orders.services.handover import (
    bow_deliver,
    bow_join_line,
    bow_start_for_line,
    papers_missing,
    visit_add,
    visit_end,
)


def _bow_url(bow) -> str:
    return reverse("bow", args=[bow.pk])


@require_GET
@may("orders")
def suits(request, pk):
    """Which pieces of the store would suit, best first with the reason."""
    line = get_object_or_404(OrderLine.objects.select_related("order__payer", "archer"), pk=pk)
    found = pieces_that_suit(line, units=request.units, shop=request.shop)
    context = {"room": "orders", "line": line, "suits": found, "need_m": needed_length_m(line)}
    return render(request, "orders/suits.html", context)


@require_http_methods(["GET", "POST"])
@may("record")
def start(request, pk):
    line = get_object_or_404(OrderLine.objects.select_related("order"), pk=pk)
    return deed(
        request,
        form_class=StartForm,
        initial={"number": next_bow_number(), "kind": line.bow_kind or None},
        save=lambda form: bow_start_for_line(line=line, by=request.user, **form.values()),
        title=_("Start a bow for order %(number)s") % {"number": line.order},
        lead=_("What the order asks is copied in. Choose its wood on the bow's own page."),
        button=_("Start it"),
        back=_bow_url,
        context={"room": "orders"},
    )


@require_http_methods(["GET", "POST"])
@may("record")
def join(request, pk):
    """A bow from stock, or one that came in light, set against a line."""
    line = get_object_or_404(OrderLine.objects.select_related("order"), pk=pk)
    free = Bow.objects.exclude(stage__in=(*ENDED, Stage.DELIVERED)).exclude(
        started_for__struck_at=None, started_for__isnull=False
    )
    return deed(
        request,
        form_class=JoinForm,
        bows=free,
        save=lambda form: bow_join_line(line=line, by=request.user, **form.values()).bow,
        title=_("Order %(number)s: take a bow that is there") % {"number": line.order},
        button=_("Take it for this order"),
        back=_bow_url,
        context={"room": "orders"},
    )


@require_http_methods(["GET", "POST"])
@may("orders")
def deliver(request, pk):
    bow = get_object_or_404(Bow, pk=pk)
    started = (
        bow.started_for.filter(struck_at=None).select_related("line__order__payer", "line__archer").first()
    )
    line = started.line if started else None
    missing = papers_missing(bow)
    return deed(
        request,
        form_class=DeliverForm,
        template="orders/deliver.html",
        missing=bool(missing),
        initial={"to": line and (line.archer_id or line.order.payer_id)},
        save=lambda form: bow_deliver(bow=bow, line=line, by=request.user, **form.values()),
        title=_("Hand over bow %(number)s") % {"number": bow},
        button=_("Hand it over"),
        back=_bow_url(bow),
        context={"room": "orders", "bow": bow, "line": line, "missing": missing},
    )


@require_http_methods(["GET", "POST"])
@may("orders")
def visit(request, pk):
    bow = get_object_or_404(Bow, pk=pk)
    owner = bow.ownerships.filter(struck_at=None).order_by("-pk").values_list("person", flat=True).first()
    return deed(
        request,
        form_class=VisitForm,
        initial={"brought_by": owner},
        save=lambda form: visit_add(bow=bow, by=request.user, **form.values()),
        title=_("Bow %(number)s came back") % {"number": bow},
        lead=_("A bow that was dry-fired or overdrawn is not drawn again until you have looked it over."),
        back=_bow_url(bow),
        context={"room": "orders"},
    )


@require_http_methods(["GET", "POST"])
@may("orders")
def end_visit(request, pk):
    seen = get_object_or_404(Visit.objects.select_related("bow"), pk=pk)

    def save(form):
        on, _to = form.cleaned_data["ended_on"]
        return visit_end(visit=seen, outcome=form.cleaned_data["outcome"], on=on, by=request.user)

    return deed(
        request,
        form_class=VisitEndForm,
        initial={"ended_on": "today"},
        save=save,
        title=_("Bow %(number)s leaves again") % {"number": seen.bow},
        back=_bow_url(seen.bow),
        context={"room": "orders"},
    )
