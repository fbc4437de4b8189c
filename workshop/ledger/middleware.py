"""Each request knows its workshop (`request.shop`) and its units, and is dated in the workshop's own zone."""

import zoneinfo

from django.shortcuts import redirect
from django.urls import reverse
from django.utils import timezone, translation

from workshop.ledger.models import Shop
from workshop.ledger.units import UnitsInUse

OPEN_BEFORE_SET_UP = ("/set-up", "/static/", "/favicon")


class WorkshopMiddleware:
    def __init__(self, get_response):
        self.get_response = get_response

    def __call__(self, request):
        request.shop = Shop.objects.first()
        if request.shop is None:
            if not request.path.startswith(OPEN_BEFORE_SET_UP):
                return redirect(reverse("set-up"))
            return self.get_response(request)
        request.units = UnitsInUse.of(request.shop, request.user)
        translation.activate(request.shop.language)
        with timezone.override(zoneinfo.ZoneInfo(request.shop.time_zone)):
            return self.get_response(request)
