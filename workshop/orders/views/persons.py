"""Pages about persons."""

from django.contrib import messages
from django.shortcuts import get_object_or_404, render
from django.urls import reverse
from django.utils.translation import gettext as _
from django.views.decorators.http import require_GET, require_http_methods

from workshop.ledger.backups import still_holding
from workshop.ledger.roles import may
from workshop.ledger.views import deed
from workshop.orders.forms.persons import MeasureForm, NamelessForm, PersonForm
from workshop.orders.models import Person
from workshop.orders.selectors.persons import person_whole, persons
from workshop.orders.services.persons import (
    measure_add,
    papers_naming,
    person_add,
    person_change,
    person_make_nameless,
)

PERSON_FIELDS = ("name", "address", "phone", "mail", "note")


def _url(person: Person) -> str:
    return reverse("person", args=[person.pk])


@require_GET
@may("orders")
def list_all(request):
    """Everybody outside the workshop, by name."""
    text = request.GET.get("text", "").strip()[:80]
    found = persons(text)
    return render(request, "orders/persons.html", {"room": "orders", "persons": found[:300], "text": text})


@require_GET
@may("orders")
def show(request, pk):
    person = get_object_or_404(Person, pk=pk)
    return render(request, "orders/person.html", {"room": "orders", "page": person_whole(person)})


@require_http_methods(["GET", "POST"])
@may("orders")
def add(request):
    return deed(
        request,
        form_class=PersonForm,
        save=lambda form: person_add(by=request.user, **form.values()),
        title=_("Somebody new"),
        back=_url,
        context={"room": "orders"},
    )


@require_http_methods(["GET", "POST"])
@may("orders")
def change(request, pk):
    person = get_object_or_404(Person, pk=pk, nameless_at=None)
    return deed(
        request,
        form_class=PersonForm,
        initial={"version": person.version, **{name: getattr(person, name) for name in PERSON_FIELDS}},
        save=lambda form: person_change(
            person=person, by=request.user, seen=form.cleaned_data["version"], **form.values()
        ),
        title=_("Change %(name)s") % {"name": person},
        back=_url(person),
        context={"room": "orders"},
    )


@require_http_methods(["GET", "POST"])
@may("orders")
def measure(request, pk):
    person = get_object_or_404(Person, pk=pk, nameless_at=None)
    return deed(
        request,
        form_class=MeasureForm,
        initial={"draw_from": request.shop.draw_from},
        save=lambda form: measure_add(person=person, by=request.user, **form.values()),
        title=_("Measure %(name)s") % {"name": person},
        lead=_(
            "For the young and new, rather lighter. Draw length: a light bow and a marked arrow tell best."
        ),
        back=_url(person),
        context={"room": "orders"},
    )


@require_http_methods(["GET", "POST"])
@may("settings")
def make_nameless(request, pk):
    """On request: blank who the person was. Backups that still hold the name are listed."""
    person = get_object_or_404(Person, pk=pk, nameless_at=None)
    papers = papers_naming(person)

    def save(form):
        nameless = person_make_nameless(person=person, by=request.user)
        if holding := still_holding(nameless.nameless_at):
            messages.warning(
                request,
                _(
                    "These in the data folder still hold the name; delete or keep them as the law asks: %(files)s."
                )
                % {"files": ", ".join(holding)},
            )
        return nameless

    return deed(
        request,
        form_class=NamelessForm,
        save=save,
        title=_("Make %(name)s nameless") % {"name": person},
        lead=_("Name, address, measurements and the contents of %(n)s papers are blanked, here and in the history. "
               "Numbers, days and checksums stay. This cannot be taken back.") % {"n": len(papers)},
        button=_("Make nameless"),
        back=_url(person),
        context={"room": "orders"},
    )  # fmt: skip
