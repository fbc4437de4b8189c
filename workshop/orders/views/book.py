"""The order book and an order's page, with the deeds done on them."""

from django.core.paginator import Paginator
from django.db import transaction
from django.http import Http404
from django.shortcuts import get_object_or_404, render
from django.urls import reverse
from django.utils.translation import gettext as _
from django.views.decorators.http import require_GET, require_http_methods

from workshop.ledger.roles import allowed, may
from workshop.ledger.views import deed
from workshop.orders.forms.orders import LineForm, OrderForm, PaymentForm, StepForm, WithdrawLineForm
from workshop.orders.models import Order, OrderLine
from workshop.orders.models.orders import STEPS, OrderState
from workshop.orders.selectors.book import account_of, order_book, order_whole
from workshop.orders.services.orders import (
    line_add,
    line_change,
    next_order_number,
    order_add,
    order_change,
    order_step,
    payment_add,
)
from workshop.orders.services.persons import person_add

LINE_FIELDS = [name for name in LineForm.base_fields if name != "version"]


def _url(order: Order) -> str:
    return reverse("order", args=[order.pk])


def _money(request) -> bool:
    return allowed(request.user, "money", request.shop)


@require_GET
@may("orders")
def index(request):
    """The order book: open orders first, by promised date."""
    state, text = request.GET.get("state", "open"), request.GET.get("text", "").strip()[:80]
    if state not in ("open", "", *OrderState.values):
        raise Http404
    page = Paginator(order_book(state=state, text=text), 50).get_page(request.GET.get("page"))
    context = {"room": "orders", "orders": page, "state": state, "text": text, "states": OrderState.choices}
    return render(request, "orders/book.html", context)


@require_GET
@may("orders")
def show(request, pk):
    order = get_object_or_404(order_whole(pk))
    context = {"room": "orders", "order": order, "account": account_of(order), "steps": STEPS[order.state]}
    return render(request, "orders/order.html", context)


def _with_payer(form, by) -> dict:
    """The order's values; somebody new is kept as a person first, in the same transaction."""
    values = form.values()
    name = values.pop("new_payer")
    if name:
        values["payer"] = person_add(name=name, by=by)
    return values


@require_http_methods(["GET", "POST"])
@may("orders")
def add(request):
    @transaction.atomic
    def save(form):
        return order_add(by=request.user, **_with_payer(form, request.user))

    return deed(
        request,
        form_class=OrderForm,
        money=_money(request),
        initial={"number": next_order_number(), "happened_on": "today", "payer": request.GET.get("payer")},
        save=save,
        title=_("Take an order"),
        lead=_("Who asks and when. What is asked comes next, line by line."),
        back=lambda order: reverse("line-add", args=[order.pk]),
        context={"room": "orders"},
    )


@require_http_methods(["GET", "POST"])
@may("orders")
def change(request, pk):
    order = get_object_or_404(Order.objects.select_related("payer"), pk=pk)

    @transaction.atomic
    def save(form):
        values = _with_payer(form, request.user)
        return order_change(order=order, by=request.user, seen=form.cleaned_data["version"], **values)

    return deed(
        request,
        form_class=OrderForm,
        money=_money(request),
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
        back=_url(order),
        context={"room": "orders"},
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
        back=_url(order),
        context={"room": "orders"},
    )


@require_http_methods(["GET", "POST"])
@may("orders")
def add_line(request, pk):
    order = get_object_or_404(Order, pk=pk)
    return deed(
        request,
        form_class=LineForm,
        template="orders/line_form.html",
        money=_money(request),
        initial={"draw_from": request.shop.draw_from},
        save=lambda form: line_add(order=order, by=request.user, **form.values()),
        title=_("Order %(number)s: what is asked") % {"number": order},
        back=_url(order),
        context={"room": "orders"},
    )


@require_http_methods(["GET", "POST"])
@may("orders")
def change_line(request, pk):
    line = get_object_or_404(OrderLine.objects.select_related("order"), pk=pk)
    money = _money(request)
    initial = {name: getattr(line, name) for name in LINE_FIELDS}
    initial |= {name: getattr(line, f"{name}_id") for name in ("archer", "guardian", "repairs")}
    return deed(
        request,
        form_class=LineForm,
        template="orders/line_form.html",
        money=money,
        initial={**initial, "version": line.version},
        save=lambda form: line_change(
            line=line, by=request.user, seen=form.cleaned_data["version"], **form.values()
        ),
        title=_("Order %(number)s: change what is asked") % {"number": line.order},
        lead=_(
            "Bows started for this line keep what was asked when they were started; their pages show the change."
        ),
        back=_url(line.order),
        context={"room": "orders"},
    )


@require_http_methods(["GET", "POST"])
@may("orders")
def withdraw_line(request, pk):
    line = get_object_or_404(OrderLine.objects.select_related("order"), pk=pk)
    return deed(
        request,
        form_class=WithdrawLineForm,
        initial={"version": line.version, "withdrawn": line.withdrawn},
        save=lambda form: line_change(
            line=line, by=request.user, seen=form.cleaned_data["version"], **form.values()
        ),
        title=_("Withdraw: %(line)s") % {"line": line},
        back=_url(line.order),
        context={"room": "orders"},
    )


@require_http_methods(["GET", "POST"])
@may("money")
def pay(request, pk):
    order = get_object_or_404(Order, pk=pk)
    return deed(
        request,
        form_class=PaymentForm,
        save=lambda form: payment_add(order=order, by=request.user, **form.values()),
        title=_("Order %(number)s: money came in") % {"number": order},
        back=_url(order),
        context={"room": "orders"},
    )
