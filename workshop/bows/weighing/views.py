"""The pages of a weigh-in: begin it or write its one figure, go on with it, pass a word over, compare them all."""

import uuid

from django.core.exceptions import ValidationError
from django.http import HttpResponseRedirect
from django.shortcuts import get_object_or_404, render
from django.urls import reverse
from django.utils.translation import gettext as _
from django.views.decorators.http import require_GET, require_http_methods
from django_htmx.http import HttpResponseClientRedirect

from workshop.bows.braced import brace_read_since
from workshop.bows.models import Bow, WeighIn
from workshop.bows.plan.nextpull import NextPull, pull_after
from workshop.bows.plan.nextwords import PullPage, pull_page
from workshop.bows.weighing import services
from workshop.bows.weighing.compare import compared_page
from workshop.bows.weighing.figures import weight_figure
from workshop.bows.weighing.forecasts import limit_n, next_pull_m
from workshop.bows.weighing.forms import CAUTIONS, AtForm, NotedForm, PointForm, WeighInForm, head_of
from workshop.bows.weighing.page import (
    answer_of,
    holds_of,
    pull_to_come,
    said_of,
    weigh_in_page,
)
from workshop.bows.weighing.passes import Pass
from workshop.bows.weighing.selectors import weighings_of
from workshop.ledger.roles import may
from workshop.ledger.views import deed, stale_to_form


@require_http_methods(["GET", "POST"])
@may("read")
def weigh_in_add(request, pk):
    """One figure at the furthest draw, with how the bow is strung as it was last time; or begin a series."""
    bow = get_object_or_404(Bow, pk=pk)
    known = weighings_of(bow)
    brace = brace_read_since(bow.bracereadings.all(), known.last_head)
    head = head_of(bow, known.last_head, brace)
    planned = Pass(bow, WeighIn(bow=bow, **head), ())
    limit = limit_n(bow, request.shop)
    draw_m = next_pull_m(known, planned, limit, request.units.system)
    holds = holds_of(known, request.shop, request.units)

    def before() -> dict:
        """What is said before the pull; solved only where it is shown, not where a figure is written down."""
        seen = pull_after(known, planned, shop=request.shop, system=request.units.system)
        solved = known.last and not holds
        return {
            "room": "bench",
            "bow": bow,
            "head": planned.weigh_in,
            "holds": holds,
            "pull": pull_to_come(known, planned, draw_m, limit, seen, seen.past),
            "next_pull": pull_page(seen, request.shop, request.units) if solved else PullPage(),
            "limit_n": limit,
            "before": known.before(planned),
            "works_since": known.work_since(known.last.weigh_in) if known.last else [],
            "cautions": CAUTIONS,
        }

    response = deed(
        request,
        form_class=WeighInForm,
        initial={**head, "draw_m": None if holds else draw_m},
        save=lambda form: services.weigh_in_add(
            bow=bow, by=request.user, system=request.units.system, **form.values()
        ),
        title=_("Weigh bow %(number)s") % {"number": bow.number},
        back=lambda made: reverse("weigh-in", args=[made.pk]),
        template="bows/weighing/begin.html",
        context=before,
    )
    if request.htmx and response.status_code == 302:
        return HttpResponseClientRedirect(response.url)
    return response


@require_GET
@may("look")
def weigh_in(request, pk):
    """A weigh-in as it grows: what it weighs, what is to be said, the next pull, the curve, the entries."""
    return _shown(request, get_object_or_404(WeighIn.objects.select_related("bow"), pk=pk))


@require_http_methods(["GET", "POST"])
@may("read")
def weigh_point_add(request, pk):
    """Write one draw and its weight. With htmx the part of the page comes back, else the whole page."""
    head = get_object_or_404(WeighIn.objects.select_related("bow"), pk=pk)
    here = reverse("weigh-in", args=[head.pk])
    if request.method == "GET":
        return HttpResponseRedirect(here)
    form = PointForm(request.POST, units=request.units)
    if form.is_valid():
        try:
            _point, seen = services.weigh_point_foretell(
                weigh_in=head, by=request.user, system=request.units.system, **form.values()
            )
        except ValidationError as error:
            stale_to_form(form, error)
        else:
            return _shown(request, head, seen=seen) if request.htmx else HttpResponseRedirect(here)
    return _shown(request, head, form)


def _shown(request, head: WeighIn, refused: PointForm | None = None, seen: NextPull | None = None):
    known = weighings_of(head.bow)
    one = known.of(head)
    page = weigh_in_page(known, one, request.shop, request.units, seen=seen)
    goes_on = page.is_latest and not page.holds
    fresh = {"entry_key": uuid.uuid4(), "draw_m": page.pull.draw_m if goes_on else None}
    figure, words = answer_of(one, request.units)
    context = {
        "room": "bench",
        "bow": head.bow,
        "head": one.weigh_in,
        "page": page,
        "next_pull": page.next_pull,
        "figure": figure,
        "words": words,
        "cautions": CAUTIONS,
        "series": "|".join(request.units.show(draw, "draw") for draw in page.series),
        "between": _between(request, one),
        "form": refused or PointForm(units=request.units, initial=fresh),
    }
    part = "bows/weighing/_weigh_in.html" if request.htmx else "bows/weighing/weigh_in.html"
    return render(request, part, context, status=422 if refused else 200)


def _between(request, one: Pass) -> dict:
    """The weight at a draw that was asked for; nothing to ask where there is no draw between two points."""
    if one.weigh_in.is_struck or len(one.points) < 2 or one.curve() is None:
        return {}
    form = AtForm(request.GET if "at" in request.GET else None, units=request.units)
    figure = weight_figure(one, form.cleaned_data["at"], request.units) if form.is_valid() else None
    return {"form": form, "figure": figure, "beyond": form.is_valid() and figure is None}


@require_http_methods(["GET", "POST"])
@may("read")
def weigh_word_note(request, pk):
    """Pass a word of the weigh-in over: with one touch, or with a note."""
    head = get_object_or_404(WeighIn.objects.select_related("bow"), pk=pk)

    def save(form):
        values = form.values()
        values["point"] = head.points.filter(pk=values["point"]).first() if values["point"] else None
        return services.word_note(weigh_in=head, by=request.user, **values)

    return deed(
        request,
        form_class=NotedForm,
        initial={name: request.GET.get(name, "") for name in ("code", "point")},
        save=save,
        title=_("Pass it over"),
        lead=_lead_of(request, head),
        button=_("Noted"),
        back=reverse("weigh-in", args=[head.pk]),
        context={"room": "bench"},
    )


def _lead_of(request, head: WeighIn) -> str:
    """The sentence that is passed over, where it still stands."""
    sought = request.GET.get("code", ""), request.GET.get("point", "")
    known = weighings_of(head.bow)
    for said in said_of(known, known.of(head), request.shop, request.units):
        if (said.word.code, str(said.word.point or "")) == sought:
            return f"{said.sentence.head}: {said.sentence.reason}"
    return ""


@require_GET
@may("look")
def weigh_ins(request, pk):
    """All weigh-ins of a bow, compared."""
    bow = get_object_or_404(Bow, pk=pk)
    known = weighings_of(bow)
    context = {"room": "bench", "bow": bow, "page": compared_page(known, request.units)}
    return render(request, "bows/weighing/weigh_ins.html", context)
