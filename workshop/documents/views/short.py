"""Short addresses, so that a code on a small tag stays coarse enough to read: /s/26-014, /b/26-03, /o/26-07."""

from django.shortcuts import get_object_or_404, redirect
from django.views.decorators.http import require_GET

from workshop.bows.models import Bow
from workshop.ledger.roles import may
from workshop.orders.models import Order
from workshop.staves.models import Stave


@require_GET
@may("look")
def stave(request, tag):
    return redirect("stave", get_object_or_404(Stave, tag__iexact=tag).pk)


@require_GET
@may("look")
def bow(request, number):
    return redirect("bow", get_object_or_404(Bow, number__iexact=number).pk)


@require_GET
@may("orders")
def order(request, number):
    return redirect("order", get_object_or_404(Order, number__iexact=number).pk)
