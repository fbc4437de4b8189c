"""The workshop's own page: where settings, people, instruments and backups are found."""

from django.shortcuts import render
from django.views.decorators.http import require_GET

from workshop.ledger import backups
from workshop.ledger.models import Member
from workshop.ledger.roles import allowed, may


@require_GET
@may("look")
def workshop(request):
    page = {"room": "workshop"}
    if allowed(request.user, "settings", request.shop):
        page["people"] = Member.objects.filter(is_active=True).count()
        page["newest"] = next(iter(backups.backups()), None)
    return render(request, "pages/workshop.html", page)
