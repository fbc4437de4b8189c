from django.shortcuts import render
from django.views.decorators.http import require_GET

from workshop.ledger.roles import may


@require_GET
@may("look")
def today(request):
    return render(request, "pages/today.html", {"room": "today"})


search = year_book = today
