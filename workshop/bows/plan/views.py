"""The plan page of a bow, and what is written from it."""

import uuid

from django.contrib import messages
from django.core.exceptions import ValidationError
from django.http import HttpResponseRedirect
from django.shortcuts import get_object_or_404, render
from django.urls import reverse
from django.utils.translation import gettext as _
from django.views.decorators.http import require_GET, require_http_methods, require_POST

from workshop.bows.classchecks import class_checks, rules_at_hand
from workshop.bows.forms.outline import OutlineForm
from workshop.bows.models import Bow, Speed
from workshop.bows.models.bow import BowKind, Curve
from workshop.bows.plan import services
from workshop.bows.plan.adopting import adoptable
from workshop.bows.plan.facts import LIMBS, USUAL_BRACE_M, Facts, WhatIf, plan_facts
from workshop.bows.plan.forms import BeginForm, LongStringForm, StationsForm, WhatIfForm
from workshop.bows.plan.longstring import LongString, long_string
from workshop.bows.plan.page import PlanPage, plan_page
from workshop.bows.plan.refusals import refusal
from workshop.bows.plan.words import (
    assumed_words,
    missing_words,
    moisture_words,
    more_strained_words,
    percent,
    woods_words,
)
from workshop.bows.planning import stations_proposed
from workshop.calc.errors import CalcError
from workshop.calc.imperial import INCH_M
from workshop.ledger.roles import may
from workshop.ledger.units import UnitsInUse
from workshop.ledger.views import deed, stale_to_form
from workshop.staves.models import Timber

# Where a first plan starts: what is strained so far is neither clumsy nor daring. Common practice, no source.
USUAL_STRAIN = {BowKind.COMPASS: 0.0095, BowKind.STIFF: 0.0085}


def layout_of(curve: Curve, kind: BowKind) -> str:
    """The lay-out that bends nearest to the curve intended."""
    arc = "both" if kind == BowKind.COMPASS else "width"
    return {Curve.ARC: arc, Curve.ELLIPSE: "strain-depth", Curve.STIFF_TIPS: "straight"}[curve]


def sheet_url(bow: Bow) -> str:
    return reverse("bow-plan-sheet", args=[bow.pk])


@require_GET
@may("look")
def sheet(request, pk):
    """The plan solved: the answer, the drawings, other plans beside it, the stations to change."""
    return _shown(request, get_object_or_404(Bow, pk=pk))


def _shown(request, bow: Bow, refused: StationsForm | None = None):
    """The page; with a form that was refused, all that was typed into it still there."""
    got = request.GET if request.method == "GET" else {}
    hang = "long_string" in got
    asked = got if set(got) - {"long_string"} else None
    long_form = LongStringForm(got if hang else None, units=request.units)
    timbers = list(Timber.objects.all())
    form = WhatIfForm(asked, units=request.units, timbers=timbers, initial=_usual(request.units))
    supposed = form.what_if() if form.is_bound and form.is_valid() else WhatIf()
    facts, page, trouble = _facts(bow, request, form, supposed), None, []
    if not facts.missing and facts.is_planned:
        page, trouble = _solved(facts, request, form)
    context = {
        "room": "bench",
        "bow": bow,
        "facts": facts,
        "page": page,
        "trouble": trouble,
        "missing": [missing_words(code) for code in facts.missing],
        "woods": woods_words(facts.woods["A"], request.units) if facts.woods["A"] else [],
        "moisture": moisture_words(facts.moisture),
        "assumed": [assumed_words(code, page.answer.plan, request.units) for code in facts.assumed]
        if page
        else [],
        "warn": percent(page.warn_pct, 1) if page else "",
        "form": form,
        "long_form": long_form,
        "long": _hung(facts, page, long_form, request.units) if page else None,
        "stations": refused or StationsForm(units=request.units, **_written(facts, request.units)),
        "outlines": bow.sectionoutlines.select_related("entered_by", "struck_by"),
        "others": adoptable(facts.bow, page.others, form) if page else [],
        **_classes(facts, request.units),
        "bring_key": uuid.uuid4(),
    }
    wrong = any(each.is_bound and each.errors for each in (form, long_form))
    status = 422 if refused is not None or wrong else 200
    return render(request, "bows/plan/sheet.html", context, status=status)


def _classes(facts: Facts, units: UnitsInUse) -> dict:
    """The rules the bow is made to, held against it; and these, or all in use where it is made to none, against the
    plan alone."""
    chosen, in_use = rules_at_hand(facts.bow)
    planned = [each for limb in LIMBS for each in facts.planned[limb]]
    measured = [each for limb in LIMBS for each in facts.measured[limb]]
    known = {"pieces": facts.bow.pieces_standing, "units": units}
    return {
        "classes": class_checks(facts.bow, chosen, dimensions=[*measured, *planned], **known),
        "plan_classes": class_checks(facts.bow, chosen or in_use, dimensions=planned, **known),
    }


def _usual(units: UnitsInUse) -> dict:
    """Amounts a maker would try first."""
    metric = units.system == "metric"
    return {
        "wider": 10.0,
        "shorter": 0.05 if metric else 2 * INCH_M,
        "piked": 0.025 if metric else INCH_M,
        "reflex": 0.025 if metric else INCH_M,
        "nocking": 0.025 if metric else INCH_M,
    }


def _facts(bow: Bow, request, form: WhatIfForm, supposed: WhatIf) -> Facts:
    try:
        return plan_facts(bow, shop=request.shop, what_if=supposed)
    except CalcError as error:
        _beside(form, error, request.units)
        return plan_facts(bow, shop=request.shop)


def _solved(facts: Facts, request, form: WhatIfForm):
    """The page, or the reasons it cannot be had; those about what was supposed stand beside their field."""
    read = form.cleaned_data if form.is_bound and form.is_valid() else {}
    try:
        return plan_page(facts, request.shop, request.units, shots=_shots(facts.bow), read=read), []
    except CalcError as error:
        if form.is_bound and _beside(form, error, request.units, bent=facts.follow_how == "typed"):
            return None, []
        return None, [refusal(error, request.units)[1]]


def _beside(form: WhatIfForm, error: CalcError, units: UnitsInUse, *, bent: bool = False) -> bool:
    """Put what the arithmetic refuses beside what was supposed, where it is about that."""
    name, sentence = refusal(error, units)
    fields = {"follow_m": "follow", "moisture_pct": "moisture"} | ({"brace_m": "follow"} if bent else {})
    if name not in fields:
        return False
    form.add_error(fields[name], sentence)
    return True


def _hung(facts: Facts, page: PlanPage, form: LongStringForm, units: UnitsInUse) -> LongString | None:
    """The bow on the long string that was typed; what cannot be hung so is refused beside it."""
    if not (form.is_bound and form.is_valid()):
        return None
    try:
        return long_string(facts, page.answer, form.cleaned_data["long_string"], units)
    except CalcError as error:
        form.add_error("long_string", refusal(error, units)[1])
        return None


def _shots(bow: Bow) -> list[Speed]:
    return list(bow.speeds.standing())


def _written(facts: Facts, units: UnitsInUse) -> dict:
    """The stations as planned; where none are, as measured, or those that common practice proposes."""
    half = facts.bow.length_m / 2 if facts.bow.length_m else None
    proposed = stations_proposed(facts.bow, units, upper=facts.upper)
    sizes = {
        limb: [
            (each.station_m, each.width_m, each.depth_m)
            for each in facts.planned[limb] or facts.measured[limb]
        ]
        or [(at, None, None) for at in proposed[limb]]
        for limb in LIMBS
    }
    return {"sizes": sizes, "half_m": half}


@require_http_methods(["GET", "POST"])
@may("record")
def set_stations(request, pk):
    """Write down the stations of both limbs. What cannot be a bow is refused beside its field."""
    bow = get_object_or_404(Bow, pk=pk)
    if request.method == "GET":
        return HttpResponseRedirect(sheet_url(bow))
    facts = plan_facts(bow, shop=request.shop)
    form = StationsForm(request.POST, units=request.units, **_written(facts, request.units))
    if form.is_valid():
        try:
            services.stations_write(
                facts=facts, by=request.user, limbs=form.stations, entry_key=form.cleaned_data["entry_key"]
            )
        except services.LayersTooThick as error:
            form.add_error(form.depth_field(error.limb, error.station_m), error)
        except ValidationError as error:
            stale_to_form(form, error)
        else:
            messages.success(request, _("Planned so. What was planned otherwise stays visible, struck out."))
            return HttpResponseRedirect(sheet_url(bow))
    return _shown(request, bow, form)


@require_POST
@may("record")
def bring(request, pk):
    """All depths, or all widths, scaled until the plan draws the wanted weight."""
    bow = get_object_or_404(Bow, pk=pk)
    how = request.POST.get("how", "")
    try:
        key = uuid.uuid5(uuid.UUID(request.POST.get("entry_key", "")), how)
    except ValueError:
        key = None
    if how in ("depth", "width"):
        try:
            services.plan_bring(bow=bow, by=request.user, how=how, system=request.units.system, entry_key=key)
        except ValidationError as error:
            messages.error(request, " ".join(error.messages))
        else:
            weight = request.units.show(bow.wanted_n, "force")
            said = {"depth": _("Brought to %s by depth."), "width": _("Brought to %s by width.")}[how]
            messages.success(request, said % weight)
    return HttpResponseRedirect(sheet_url(bow))


@require_http_methods(["GET", "POST"])
@may("record")
def begin(request, pk):
    """A first plan from draw, weight, timber and kind."""
    bow = get_object_or_404(Bow, pk=pk)
    units = request.units
    facts = plan_facts(bow, shop=request.shop)
    names = (
        "kind",
        "wanted_n",
        "wanted_draw_m",
        "draw_from",
        "length_m",
        "grip_depth_m",
        "section",
        "version",
    )
    kind = BowKind(bow.kind)
    initial = {name: getattr(bow, name) for name in names} | {
        "brace_m": bow.brace_m or USUAL_BRACE_M,
        "taper": layout_of(Curve(bow.curve), kind),
        "strain": USUAL_STRAIN[kind],
    }
    return deed(
        request,
        form_class=BeginForm,
        ask_timber="wood" in facts.missing,
        initial=initial,
        save=lambda form: services.plan_begin(
            bow=bow,
            by=request.user,
            seen=form.cleaned_data["version"],
            system=units.system,
            stations=lambda made, upper: stations_proposed(made, units, upper=upper),
            **form.values(),
        ),
        said=lambda answer: more_strained_words(answer, units.read(request.POST["strain"], "strain").value),
        title=_("A first plan for bow %(number)s") % {"number": bow.number},
        lead=_(
            "Sizes for a bow of this weight that is strained so far and bends as it is laid out. "
            "A beginning to solve, compare and change. What was planned before is struck out."
        ),
        button=_("Plan it so"),
        back=sheet_url(bow),
        context={"room": "bench"},
    )


@require_http_methods(["GET", "POST"])
@may("record")
def measure_section(request, pk):
    """Widths at heights above the belly: the section as it is, wherever the bow is reckoned."""
    bow = get_object_or_404(Bow, pk=pk)
    return deed(
        request,
        form_class=OutlineForm,
        save=lambda form: services.outline_add(bow=bow, by=request.user, **form.values()),
        title=_("The section of bow %(number)s, measured") % {"number": bow.number},
        lead=_(
            "At one place of a limb, from the belly up to the back: how wide it is at each height. Where it is round, "
            "as near a belly, take the lines closer. It is carried to the width and depth of every station."
        ),
        back=sheet_url(bow),
        template="bows/outline.html",
        context={"room": "bench"},
    )
