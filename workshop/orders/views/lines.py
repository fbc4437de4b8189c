"""A line of an order: asked, changed, withdrawn, and which wood would suit it."""

from django.db import transaction
from django.http import Http404
from django.shortcuts import get_object_or_404, render
from django.utils import timezone
from django.utils.translation import gettext as _
from django.views.decorators.http import require_GET, require_http_methods

from workshop.ledger.roles import may
from workshop.ledger.views import deed
from workshop.orders.forms.lines import LINE_FORMS, WithdrawLineForm
from workshop.orders.models import ArcherMeasure, Order, OrderLine, Person
from workshop.orders.models.orders import LineKind
from workshop.orders.selectors.persons import is_old, last_measures
from workshop.orders.selectors.suits import need_source, pieces_that_suit
from workshop.orders.services.handover import bow_of_another_maker
from workshop.orders.services.orders import line_change, lines_add
from workshop.orders.services.persons import written_in
from workshop.orders.views.book import ROOM, order_url, sees_money

_TITLES = {
    LineKind.BOW: lambda: _("Order %(number)s: a bow"),
    LineKind.REPAIR: lambda: _("Order %(number)s: a repair"),
    LineKind.GOODS: lambda: _("Order %(number)s: strings, arrows, other goods"),
}


@require_http_methods(["GET", "POST"])
@may("orders")
def add(request, pk):
    """One page for each kind of line, with only the fields that fit it."""
    order = get_object_or_404(Order.objects.select_related("payer").prefetch_related("lines__archer"), pk=pk)
    kind = _kind(request)
    archer = _archer_asked(request)
    if archer is None and kind == LineKind.BOW and not order.lines.all():
        archer = order.payer
    measures = _measures(kind, archer, order)

    @transaction.atomic
    def save(form):
        values = _known(form.values(), order, request.user)
        return lines_add(order=order, by=request.user, **values)

    return deed(
        request,
        form_class=LINE_FORMS[kind],
        template="orders/line_form.html",
        money=sees_money(request),
        initial={
            "draw_from": request.shop.draw_from,
            "archer": archer and archer.pk,
            **(_filled(measures.get(archer.pk)) if _archer_asked(request) else {}),
        },
        save=save,
        title=_TITLES[kind]() % {"number": order},
        back=order_url(order),
        context={**ROOM, **_offers(request, kind, measures), "kinds": [k for k in LineKind if k != kind]},
    )


@require_http_methods(["GET", "POST"])
@may("orders")
def change(request, pk):
    """What a line asks. What it is - a bow, a repair, goods - stays; that is another line."""
    line = get_object_or_404(OrderLine.objects.select_related("order", "archer", "repairs"), pk=pk)
    form_class = LINE_FORMS[line.kind]
    named = {name: getattr(line, name, None) for name in form_class.base_fields}
    named |= {name: getattr(line, f"{name}_id") for name in ("archer", "guardian")}
    asked = _archer_asked(request)
    measures = _measures(line.kind, asked or line.archer, None)
    if asked:
        named |= {"archer": asked.pk, **_filled(measures.get(asked.pk))}

    @transaction.atomic
    def save(form):
        values = _known(form.values(), line.order, request.user)
        return line_change(line=line, by=request.user, seen=form.cleaned_data["version"], **values)

    return deed(
        request,
        form_class=form_class,
        template="orders/line_form.html",
        money=sees_money(request),
        adding=False,
        initial=named,
        save=save,
        title=_TITLES[line.kind]() % {"number": line.order},
        lead=_(
            "Bows begun for this line keep what was asked then; their pages show what is asked otherwise now."
        )
        if line.kind == LineKind.BOW
        else "",
        back=order_url(line.order),
        context={**ROOM, **_offers(request, line.kind, measures)},
    )


def _kind(request) -> str:
    kind = request.POST.get("kind") or request.GET.get("kind") or LineKind.BOW
    if kind not in LINE_FORMS:
        raise Http404
    return kind


def _known(values: dict, order: Order, by) -> dict:
    """The values with whoever and whatever was written in beside the lists kept first."""
    values = written_in(values, "archer", "guardian", by=by)
    maker = values.pop("other_maker", "")
    if maker:
        values["repairs"] = bow_of_another_maker(maker=maker, owner=order.payer, by=by)
    return values


def _archer_asked(request) -> Person | None:
    """The archer whose measurements are to be filled in (`?measured=`)."""
    asked = request.GET.get("measured", "")
    return Person.objects.filter(nameless_at=None, pk=asked).first() if asked.isdecimal() else None


def _measures(kind: str, archer: Person | None, order: Order | None) -> dict[int, ArcherMeasure]:
    """What was measured on whoever this bow may be for."""
    if kind != LineKind.BOW:
        return {}
    people = [archer, *([order.payer, *(line.archer for line in order.lines.all())] if order else [])]
    return last_measures(person for person in people if person)


def _filled(measure: ArcherMeasure | None) -> dict:
    """Fields of a line, from a measurement."""
    if measure is None:
        return {}
    return {"wanted_draw_m": measure.draw_m, "draw_from": measure.draw_from, "hand": measure.hand}


def _offers(request, kind: str, measures: dict[int, ArcherMeasure]) -> dict:
    """Whose measurements were filled in, and whose may be."""
    asked = _archer_asked(request)
    used = measures.get(asked.pk) if asked else None
    return {
        "asks_bow": kind == LineKind.BOW,
        "asked": asked,
        "used": used,
        "used_is_old": used is not None and is_old(used, timezone.localdate()),
        "offers": [measure for measure in measures.values() if measure != used],
        "people": Person.objects.filter(
            nameless_at=None, measures__struck_at=None, measures__draw_m__isnull=False
        ).distinct()
        if kind == LineKind.BOW
        else (),
    }


@require_http_methods(["GET", "POST"])
@may("orders")
def withdraw(request, pk):
    line = get_object_or_404(OrderLine.objects.select_related("order"), pk=pk)
    return deed(
        request,
        form_class=WithdrawLineForm,
        initial={"version": line.version, "withdrawn": line.withdrawn or request.method == "GET"},
        save=lambda form: line_change(
            line=line, by=request.user, seen=form.cleaned_data["version"], **form.values()
        ),
        title=_("Order %(number)s, withdraw: %(line)s") % {"number": line.order, "line": line},
        lead=_(
            "It stays in the order, with a line through it, and no longer counts. Bows begun for it stay as they are."
        ),
        back=order_url(line.order),
        context=ROOM,
    )


@require_GET
@may("orders")
def suits(request, pk):
    """Which pieces of the store would suit, best first with the reason."""
    line = get_object_or_404(
        OrderLine.objects.select_related("order__payer", "archer"), pk=pk, kind=LineKind.BOW
    )
    found = pieces_that_suit(line, units=request.units, shop=request.shop, today=timezone.localdate())
    startable = not line.withdrawn and not line.deliveries.standing().exists()
    context = {**ROOM, "line": line, "suits": found, "startable": startable}
    if found.need_m:
        context["source"] = need_source(line, request.units)
    return render(request, "orders/suits.html", context)
