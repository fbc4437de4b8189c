"""Starting bows for a line, handing over, and coming back."""

from django.db import transaction
from django.shortcuts import get_object_or_404
from django.urls import reverse
from django.utils import timezone
from django.utils.translation import gettext as _
from django.views.decorators.http import require_http_methods

from workshop.bows.models import Bow
from workshop.bows.models.bow import ENDED, MakeUp, Stage
from workshop.bows.selectors.leaving import leaving
from workshop.bows.services.bows import next_bow_number
from workshop.ledger.roles import may
from workshop.ledger.views import deed
from workshop.orders.forms.handover import (
    DeliverForm,
    JoinForm,
    StartForm,
    VisitEndForm,
    VisitFindForm,
    VisitForm,
)
from workshop.orders.models import OrderLine, Visit
from workshop.orders.models.orders import OPEN, LineKind
from workshop.orders.selectors.book import account_of, order_whole
from workshop.orders.selectors.visits import since_it_came
from workshop.orders.services.handover import (
    bow_deliver,
    bow_join_line,
    bow_start_for_line,
    line_deliver,
    papers_missing,
    visit_add,
    visit_end,
    visit_find,
)
from workshop.orders.services.persons import written_in
from workshop.orders.views.book import ROOM, order_url, sees_money


def bow_url(bow) -> str:
    return reverse("bow", args=[bow.pk])


def _owner_pk(bow) -> int | None:
    """Whose the bow is, by the last entry that stands."""
    return bow.ownerships.filter(struck_at=None).order_by("-pk").values_list("person", flat=True).first()


def _leaving_of(request, bow):
    return leaving(bow, shop=request.shop, units=request.units, today=timezone.localdate())


def _line_or_404(pk: int) -> OrderLine:
    return get_object_or_404(OrderLine.objects.select_related("order__payer", "archer"), pk=pk)


def _back_to(line: OrderLine) -> dict:
    """The way back to the order, where what is done leads on to the bow."""
    return {"back": order_url(line.order), "back_name": _("Order %(number)s") % {"number": line.order}}


@require_http_methods(["GET", "POST"])
@may("record")
def start(request, pk):
    """Begin a bow for the line; its pieces may come along from the page of wood that would suit (`?pieces=`)."""
    line = _line_or_404(pk)
    pieces = request.GET.get("pieces", "")[:400]
    return deed(
        request,
        form_class=StartForm,
        initial={
            "number": next_bow_number(),
            "kind": line.bow_kind,
            "staves": pieces,
            "make_up": MakeUp.SPLICED if pieces.count(",") == 1 else MakeUp.SELF,
        },
        save=lambda form: bow_start_for_line(line=line, by=request.user, **form.values()),
        title=_("Start a bow for order %(number)s") % {"number": line.order},
        lead=_("What the order asks is copied in."),
        button=_("Start it"),
        template="orders/start.html",
        back=bow_url,
        context={**ROOM, "line": line, **_back_to(line)},
    )


@require_http_methods(["GET", "POST"])
@may("record")
def join(request, pk):
    """A bow from stock, or one that came in light, set against a line."""
    line = _line_or_404(pk)
    free = (
        Bow.objects.exclude(stage__in=(*ENDED, Stage.DELIVERED))
        .exclude(started_for__struck_at=None, started_for__isnull=False)
        .order_by("-pk")
    )
    return deed(
        request,
        form_class=JoinForm,
        bows=free,
        save=lambda form: bow_join_line(line=line, by=request.user, **form.values()).bow,
        title=_("Order %(number)s: take a bow that is there") % {"number": line.order},
        lead=_("One from stock, or on the bench and begun for nobody."),
        button=_("Take it for this order"),
        template="orders/start.html",
        back=bow_url,
        context={**ROOM, "line": line, **_back_to(line)},
    )


@require_http_methods(["GET", "POST"])
@may("orders")
def deliver(request, pk):
    bow = get_object_or_404(Bow, pk=pk)
    started = (
        bow.started_for.filter(struck_at=None).select_related("line__order__payer", "line__archer").first()
    )
    line = started.line if started and started.line.is_asked else None
    gone = bow.deliveries.filter(struck_at=None).exclude(line__kind=LineKind.REPAIR).last()
    missing = papers_missing(bow)
    account = account_of(order_whole(line.order_id).get()) if line and sees_money(request) else None

    @transaction.atomic
    def save(form):
        values = written_in(form.values(), "to", by=request.user)
        return bow_deliver(bow=bow, line=line, by=request.user, **values)

    return deed(
        request,
        form_class=DeliverForm,
        template="orders/deliver.html",
        missing=bool(missing),
        initial={"to": _owner_pk(bow) if gone else line and (line.archer_id or line.order.payer_id)},
        save=save,
        title=_("Hand over bow %(number)s") % {"number": bow},
        button=_("Hand it over"),
        back=bow_url(bow),
        context={
            **ROOM,
            "bow": bow,
            "line": line,
            "missing": missing,
            "account": account,
            "leaving": _leaving_of(request, bow),
            "gone": gone,
            "visit": bow.visits.filter(struck_at=None, ended_at=None).last(),
        },
    )


@require_http_methods(["GET", "POST"])
@may("orders")
def deliver_line(request, pk):
    """Hand over goods, or a repaired bow."""
    line = _line_or_404(pk)

    @transaction.atomic
    def save(form):
        values = written_in(form.values(), "to", by=request.user)
        values.pop("despite", None)
        return line_deliver(line=line, by=request.user, **values)

    return deed(
        request,
        form_class=DeliverForm,
        missing=False,
        initial={"to": line.order.payer_id},
        save=save,
        title=_("Order %(number)s, hand over: %(line)s") % {"number": line.order, "line": line},
        button=_("Hand it over"),
        back=order_url(line.order),
        context=ROOM,
    )


@require_http_methods(["GET", "POST"])
@may("orders")
def visit(request, pk):
    """A bow came back: to be looked over, or for a repair that is on order."""
    bow = get_object_or_404(Bow, pk=pk)
    ordered = (
        bow.repair_lines.filter(withdrawn=False, order__state__in=OPEN, kind=LineKind.REPAIR)
        .select_related("order")
        .last()
    )

    @transaction.atomic
    def save(form):
        values = written_in(form.values(), "brought_by", by=request.user)
        return visit_add(bow=bow, by=request.user, **values)

    return deed(
        request,
        form_class=VisitForm,
        initial={
            "brought_by": _owner_pk(bow) or (ordered and ordered.order.payer_id),
            "complaint": ordered.words if ordered else "",
        },
        save=save,
        title=_("Bow %(number)s came back") % {"number": bow},
        lead=_("A bow that was dry-fired or overdrawn is not drawn again until you have looked it over."),
        back=bow_url(bow),
        context=ROOM,
    )


@require_http_methods(["GET", "POST"])
@may("read")
def find(request, pk):
    """What was found on a bow that came back, once it was looked over."""
    seen = get_object_or_404(Visit.objects.select_related("bow"), pk=pk)
    return deed(
        request,
        form_class=VisitFindForm,
        save=lambda form: visit_find(visit=seen, by=request.user, **form.cleaned_data),
        title=_("Bow %(number)s: what you find") % {"number": seen.bow},
        lead=seen.complaint,
        back=bow_url(seen.bow),
        context={**ROOM, "visit": seen},
    )


@require_http_methods(["GET", "POST"])
@may("orders")
def end_visit(request, pk):
    seen = get_object_or_404(Visit.objects.select_related("bow", "brought_by"), pk=pk)

    def save(form):
        on, _to = form.cleaned_data["ended_on"]
        return visit_end(visit=seen, outcome=form.cleaned_data["outcome"], on=on, by=request.user)

    since = since_it_came(seen)
    return deed(
        request,
        form_class=VisitEndForm,
        template="orders/visit_end.html",
        initial={
            "ended_on": "today",
            "outcome": ", ".join(dict.fromkeys(str(work.get_deed_display()) for work in since.works))[:300],
        },
        save=save,
        title=_("Bow %(number)s leaves again") % {"number": seen.bow},
        back=bow_url(seen.bow),
        context={**ROOM, "visit": seen, "since": since, "leaving": _leaving_of(request, seen.bow)},
    )
