"""Short addresses, so that a code on a small tag stays coarse enough to read: /s/26-014, /b/26-03, /o/26-07.

One that is not in this ledger is looked for like any word: the tag may be another workshop's, or mistyped.
"""

from urllib.parse import urlencode

from django.db.models import QuerySet
from django.shortcuts import redirect
from django.urls import reverse
from django.views.decorators.http import require_GET

from workshop.bows.models import Bow
from workshop.ledger.roles import may
from workshop.orders.models import Order
from workshop.staves.models import Stave


@require_GET
@may("look")
def stave(request, tag):
    return _to("stave", Stave.objects.filter(tag__iexact=tag), tag)


@require_GET
@may("look")
def bow(request, number):
    return _to("bow", Bow.objects.filter(number__iexact=number), number)


@require_GET
@may("orders")
def order(request, number):
    return _to("order", Order.objects.filter(number__iexact=number), number)


def _to(page: str, found: QuerySet, sought: str):
    record = found.first()
    return (
        redirect(page, record.pk) if record else redirect(f"{reverse('search')}?{urlencode({'q': sought})}")
    )
