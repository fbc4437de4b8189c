"""The order book and an order's page, with the deeds done on the order itself."""

from django.core.paginator import Paginator
from django.db import transaction
from django.http import Http404
from django.shortcuts import get_object_or_404, render
from django.urls import reverse
from django.utils import timezone
from django.utils.translation import gettext as _
from django.views.decorators.http import require_GET, require_http_methods

from workshop.bows.models.classrules import rules_named, rules_words
from workshop.ledger.roles import allowed, may
from workshop.ledger.templatetags.ledger import money
from workshop.ledger.views import deed
from workshop.ledger.ways import back_to
from workshop.orders.forms.orders import OrderForm, PaymentForm, RefundForm, StepForm
from workshop.orders.models import Order
from workshop.orders.models.orders import OPEN, STEPS, OrderState
from workshop.orders.selectors.book import account_of, order_book, order_whole, promise_of
from workshop.orders.selectors.forecast import forecast
from workshop.orders.selectors.persons import last_measures
from workshop.orders.services.orders import (
    next_order_number,
    order_add,
    order_change,
    order_step,
    payment_add,
)
from workshop.orders.services.persons import written_in

ROOM = {"room": "orders"}


def order_url(order: Order) -> str:
    return reverse("order", args=[order.pk])


def sees_money(request) -> bool:
    return allowed(request.user, "money", request.shop)


@require_GET
@may("orders")
def index(request):
    """The order book: open orders first, by promised date, each with when it will be ready."""
    state, text = request.GET.get("state", "open"), request.GET.get("text", "").strip()[:80]
    if state not in ("open", "", *OrderState.values):
        raise Http404
    page = Paginator(order_book(state=state, text=text), 50).get_page(request.GET.get("page"))
    orders = list(page)
    foreseen = forecast(timezone.localdate()) if any(order.is_open for order in orders) else None
    rows = [(order, promise_of(order, foreseen) if order.is_open else None) for order in orders]
    context = {**ROOM, "page": page, "rows": rows, "state": state, "text": text, "states": OrderState.choices}
    if any(promise and promise.even_on for _order, promise in rows):
        context["basis"] = foreseen.basis
    return render(request, "orders/book.html", context)


@require_GET
@may("orders")
def show(request, pk):
    """One order: how it stands and when it will be ready, what is asked, what was paid, how it went."""
    order = get_object_or_404(order_whole(pk))
    lines = list(order.lines.all())
    foreseen = forecast(timezone.localdate()) if order.state in OPEN else None
    measures = last_measures(line.archer for line in lines if line.archer)
    waiting = {each.line.pk: each for each in foreseen.of(lines)} if foreseen else {}
    named = rules_named(line.class_rules for line in lines)
    context = {
        **ROOM,
        "order": order,
        "account": account_of(order),
        "steps": STEPS[order.state],
        "promise": promise_of(order, foreseen) if foreseen else None,
        "basis": foreseen.basis if waiting else None,
        "lines": [
            (
                line,
                waiting.get(line.pk),
                measures.get(line.archer_id),
                _is_out(line),
                rules_words(line.class_rules, named),
            )
            for line in lines
        ],
    }
    return render(request, "orders/order.html", context)


def _is_out(line) -> bool:
    """What the line asks was handed over."""
    return any(not each.is_struck for each in line.deliveries.all())


@require_http_methods(["GET", "POST"])
@may("orders")
def add(request):
    @transaction.atomic
    def save(form):
        return order_add(by=request.user, **written_in(form.values(), "payer", by=request.user))

    return deed(
        request,
        form_class=OrderForm,
        template="orders/order_form.html",
        money=sees_money(request),
        initial={"number": next_order_number(), "happened_on": "today", "payer": request.GET.get("payer")},
        save=save,
        title=_("Take an order"),
        lead=_("Who asks and when. What is asked comes next, line by line."),
        back=lambda order: reverse("line-add", args=[order.pk]),
        context={**ROOM, "back": reverse("order-book"), "back_name": _("Order book")},
    )


@require_http_methods(["GET", "POST"])
@may("orders")
def change(request, pk):
    order = get_object_or_404(Order.objects.select_related("payer"), pk=pk)

    @transaction.atomic
    def save(form):
        values = written_in(form.values(), "payer", by=request.user)
        return order_change(order=order, by=request.user, seen=form.cleaned_data["version"], **values)

    return deed(
        request,
        form_class=OrderForm,
        template="orders/order_form.html",
        money=sees_money(request),
        initial={
            "version": order.version,
            "number": order.number,
            "payer": order.payer_id,
            "happened_on": (order.happened_on, order.happened_to),
            "promised_on": order.promised_on and (order.promised_on, order.promised_to),
            "deposit_minor": order.deposit_minor,
            "note": order.note,
        },
        save=save,
        title=_("Change order %(number)s") % {"number": order},
        back=order_url(order),
        context=ROOM,
    )


@require_http_methods(["GET", "POST"])
@may("orders")
def step(request, pk):
    order = get_object_or_404(Order, pk=pk)
    return deed(
        request,
        form_class=StepForm,
        steps=STEPS[order.state],
        initial={"version": order.version},
        save=lambda form: order_step(
            order=order, by=request.user, seen=form.cleaned_data["version"], **form.values()
        ),
        title=_("Order %(number)s, %(state)s") % {"number": order, "state": order.get_state_display()},
        lead=_(
            "Bows begun for an order that is withdrawn stay on the bench, for stock or for another order."
        ),
        back=order_url(order),
        context=ROOM,
    )


@require_http_methods(["GET", "POST"])
@may("money")
def pay(request, pk):
    """Money that came in: what of the deposit is missing is offered, then what is owing."""
    order = get_object_or_404(order_whole(pk))
    account = account_of(order)
    return deed(
        request,
        form_class=PaymentForm,
        template="orders/payment.html",
        currency=request.shop.currency,
        initial={"amount_minor": account.deposit_missing or max(0, account.owing) or None},
        save=lambda form: payment_add(order=order, by=request.user, **form.values()),
        said=lambda _made: _more_than_owing(order, request.shop),
        title=_("Order %(number)s: money came in") % {"number": order},
        back=back_to(request, order_url(order)),
        context={**ROOM, "account": account},
    )


def _more_than_owing(order, shop) -> str:
    """What is to be given back, now that the payment is in; nothing where it is not more than the price."""
    more = account_of(order_whole(order.pk).get()).overpaid
    return (
        _("%(sum)s more than the price came in: to give back.") % {"sum": money(more, shop.currency)}
        if more
        else ""
    )


@require_http_methods(["GET", "POST"])
@may("money")
def give_back(request, pk):
    order = get_object_or_404(order_whole(pk))
    account = account_of(order)
    return deed(
        request,
        form_class=RefundForm,
        template="orders/payment.html",
        currency=request.shop.currency,
        initial={"amount_minor": account.overpaid or None},
        save=lambda form: payment_add(order=order, by=request.user, **form.values()),
        title=_("Order %(number)s: money given back") % {"number": order},
        back=order_url(order),
        context={**ROOM, "account": account},
    )
