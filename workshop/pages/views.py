"""What looks across everything: today, finding a thing, the year book."""

from django.contrib import messages
from django.shortcuts import redirect, render
from django.templatetags.static import static
from django.urls import reverse
from django.utils import timezone
from django.utils.translation import gettext as _
from django.views.decorators.http import require_GET

from workshop.ledger.dates import show_date
from workshop.ledger.roles import may
from workshop.orders.models import IssuedPaper
from workshop.pages import yearbook
from workshop.pages.finding import exact, find, tidy
from workshop.pages.today import LISTS, SHOWN, answer, todays
from workshop.pages.yearbook import years_kept


@require_GET
@may("look")
def today(request):
    """What presses, in a sentence, and under it what rests and what comes next; `?whole=` shows all of one list."""
    day, whole = timezone.localdate(), request.GET.get("whole", "")
    page = todays(member=request.user, shop=request.shop, units=request.units, today=day, whole=whole)
    most = {
        each: "" if each == whole else f":{SHOWN}" for each in LISTS
    }  # as the template's `slice` takes it
    context = {"room": "today", "page": page, "answer": answer(page), "day": day}
    return render(request, "pages/today.html", {**context, "shown": SHOWN, "most": most})


@require_GET
@may("look")
def search(request):
    """Straight to what bears just this tag or number, else short lists of what holds it."""
    text = tidy(request.GET.get("q", ""))
    who = {"member": request.user, "shop": request.shop}
    same = exact(text, **who) if text else []
    if len(same) == 1:
        return redirect(page_of(request, same[0][1]))
    found = find(text, **who) if text and not same else []
    return render(request, "pages/search.html", {"text": text, "same": same, "found": found})


def page_of(request, thing) -> str:
    """The address of a thing. A paper's is that of the bow, piece or order it was issued for."""
    if isinstance(thing, IssuedPaper):
        subject = thing.bow or thing.stave or thing.order
        said = _("Paper %(n)s, found here: %(kind)s, issued %(day)s.") % {
            "n": thing.number,
            "kind": thing.get_kind_display(),
            "day": show_date(thing.happened_on, thing.happened_to),
        }
        messages.info(request, said)
        thing = subject
    return reverse(thing._meta.model_name, args=[thing.pk])


@require_GET
def mark(request):
    """Shown a paper, a browser has no page that names the ledger's mark: it asks here."""
    return redirect(static("img/mark.svg"))


@require_GET
@may("look")
def year_book(request):
    """The book of one year, this one unless another is chosen."""
    day = timezone.localdate()
    years, asked = years_kept(today=day), request.GET.get("year", "")
    year = int(asked) if asked.isascii() and asked.isdigit() and int(asked[:9]) in years else day.year
    book = yearbook.year_book(year, member=request.user, shop=request.shop, today=day)
    return render(request, "pages/year_book.html", {"room": "year", "book": book, "years": years, "day": day})
