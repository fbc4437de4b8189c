"""The page of a bow, and the deeds that begin it, change it, plan it and put it together."""

import uuid

from django.contrib import messages
from django.shortcuts import get_object_or_404, render
from django.urls import reverse
from django.utils import timezone
from django.utils.translation import gettext as _
from django.views.decorators.http import require_GET, require_http_methods

from workshop.bows import checklists
from workshop.bows.braced import braced_words
from workshop.bows.classchecks import class_checks, rules_chosen
from workshop.bows.forms.bow import (
    BowAddForm,
    BowChangeForm,
    PieceForm,
    PlanForm,
    StageForm,
    TickForm,
    UpperForm,
)
from workshop.bows.models import Bow
from workshop.bows.models.bow import Origin, Stage
from workshop.bows.nextstep import halts_told, step_words
from workshop.bows.plan.selectors import next_pull
from workshop.bows.planning import plan_proposed, plan_words
from workshop.bows.selectors.bench import pieces_at_hand
from workshop.bows.selectors.glance import standing
from workshop.bows.selectors.sheet import bow_sheet
from workshop.bows.selectors.wood import wood_now
from workshop.bows.services.bows import bow_change, bow_start, next_bow_number, upper_decide
from workshop.bows.services.pieces import piece_add
from workshop.bows.services.stages import STEPS, stage_step, ticks_add
from workshop.bows.views import pictures
from workshop.bows.views.sheet import SHOWN, entry_tables
from workshop.bows.views.stations import sittings
from workshop.bows.views.wishes import wish_rows
from workshop.bows.weighing.sources import rating_source, weight_source
from workshop.bows.words import against_words, flaw_words, piece_words, set_says, set_source
from workshop.ledger.roles import may
from workshop.ledger.services import history
from workshop.ledger.views import deed

ROOM = {"room": "bench"}


def bow_or_404(pk: int) -> Bow:
    return get_object_or_404(Bow, pk=pk)


def bow_url(bow: Bow) -> str:
    return reverse("bow", args=[bow.pk])


@require_GET
@may("look")
def show(request, pk):
    """One bow: the answer, the drawing, the entries, its whole life."""
    bow, units = bow_or_404(pk), request.units
    sheet = bow_sheet(bow, shop=request.shop, today=timezone.localdate(), system=units.system)
    seen = sheet.glance
    greatest = seen.set_now.greatest_m if seen.set_now else None
    on_bench = seen.pieces if bow.is_on_bench else []
    wood = wood_now(on_bench, shop=request.shop, today=timezone.localdate())
    context = {
        **ROOM,
        "bow": bow,
        "sheet": sheet,
        "seen": seen,
        "step": step_words(seen.step, units),
        "halts": halts_told([each for each in seen.halts if each != seen.step], units),
        "sources": _sources(seen, units),
        "set_says": set_says(greatest) if greatest is not None else "",
        "braced": braced_words(bow.bracereadings.all(), seen.weighings, units, seen.upper),
        "next_pull": next_pull(bow, shop=request.shop, units=units, known=seen.weighings),
        "checks": _check_lines(seen),
        "check_form": _tick_form(request, seen),
        "left_open": _left_open(bow),
        "cautions": checklists.cautions_of(
            bow.stage, [p.stave.felling.timber for p in seen.pieces if p.stave]
        ),
        "wishes": wish_rows(sheet.wishes, units),
        "weight_drawing": pictures.weight_drawing(seen, units),
        "set_drawing": pictures.set_drawing(seen, units),
        "limb_drawing": pictures.limb_drawing(sheet, units),
        "flaw_drawing": pictures.flaw_drawing(sheet, units),
        "tables": entry_tables(sheet, units),
        "measured": sittings((each for each in bow.dimensions.all() if not each.planned), units),
        "planned": sittings((each for each in bow.dimensions.all() if each.planned), units, fold_struck=True),
        "work_key": uuid.uuid4(),
        "pieces": [(piece, piece_words(piece, units), wood.get(piece.pk)) for piece in bow.pieces.all()],
        "classes": class_checks(
            bow,
            rules_chosen(bow),
            dimensions=[*sheet.dimensions, *sheet.planned],
            pieces=seen.pieces,
            units=units,
        ),
        "wood_warns": [each for each in wood.values() if each.is_unready or each.short_by_m],
        "flaws": [(flaw, flaw_words(flaw, units)) for flaw in reversed(bow.bowflaws.all())],
        "watched": [(flaw, flaw_words(flaw, units)) for flaw in seen.watched],
        "against": against_words(seen, units),
        "weigh_ins": seen.weighings.passes[::-1][:SHOWN],
        "time": units.show(sheet.minutes * 60.0, "time") if sheet.minutes else "",
        "changes": history(bow),
    }
    return render(request, "bows/bow.html", context)


def _sources(seen, units) -> dict:
    """Where the figures at the head of the page are from; a weight that is the rating says it there."""
    weight, rating = seen.weight, seen.rating
    rated = rating.ok and weight is not None and rating.weigh_in == weight.weigh_in
    return {
        "weight": weight_source(weight, units) if weight and not rated else None,
        "rating": rating_source(rating, units) if rating.ok else None,
        "set": set_source(seen.set_now, units) if seen.set_now and not seen.set_now.is_zero else None,
    }


def _check_lines(seen):
    """What was looked at in this stage, in the order of the list."""
    lines = checklists.CHECKS.get(seen.bow.stage, {})
    return [words for line, words in lines.items() if line not in seen.open_checks]


def _left_open(bow: Bow) -> list[tuple[str, list[str]]]:
    """What was not looked at in the stages the bow has left, stage by stage in the order it went through them. Of a
    bow made elsewhere nobody here can say."""
    if bow.origin != Origin.HERE:
        return []
    ticks, been = standing(bow.ticks.all()), dict.fromkeys(move.was for move in bow.stage_moves.all())
    left = [(Stage(stage).label, _open_words(stage, ticks)) for stage in been if stage and stage != bow.stage]
    return [(stage, words) for stage, words in left if words]


def _tick_form(request, seen):
    if not seen.open_checks:
        return None
    return TickForm(units=request.units, stage=seen.bow.stage, open_lines=seen.open_checks)


@require_http_methods(["GET", "POST"])
@may("record")
def add(request):
    """A bow for stock, or one that is there already; one that was ordered is started from its order."""
    return deed(
        request,
        form_class=BowAddForm,
        next_number=next_bow_number(),
        initial={"draw_from": request.shop.draw_from, "staves": request.GET.get("pieces", "")[:400]},
        save=lambda form: bow_start(by=request.user, **form.values()),
        title=_("A bow is begun"),
        lead=_("For stock, or one that is there already. A bow that was ordered is started from its order."),
        button=_("Begin it"),
        back=bow_url,
        template="bows/bow_add.html",
        context={**ROOM, "back": reverse("bench"), "back_name": _("Bench"), "pieces": pieces_at_hand(30)},
    )


@require_http_methods(["GET", "POST"])
@may("record")
def change(request, pk):
    bow = bow_or_404(pk)
    names = ("version", "number", "kind", "make_up", "origin", "maker", "timber_words", "note")
    started = (bow.started_on, bow.started_to) if bow.started_on else None
    return deed(
        request,
        form_class=BowChangeForm,
        initial={**{name: getattr(bow, name) for name in names}, "started_on": started},
        save=lambda form: bow_change(
            bow=bow, by=request.user, seen=form.cleaned_data["version"], **form.values()
        ),
        title=_("Change bow %(number)s") % {"number": bow.number},
        back=bow_url(bow),
        context=ROOM,
    )


@require_http_methods(["GET", "POST"])
@may("record")
def plan(request, pk):
    """The plan: proposed by common practice where nothing is written yet."""
    bow = bow_or_404(pk)
    return deed(
        request,
        form_class=PlanForm,
        initial={**plan_proposed(bow), "version": bow.version},
        save=lambda form: bow_change(
            bow=bow, by=request.user, seen=form.cleaned_data["version"], **form.values()
        ),
        title=_("Plan of bow %(number)s") % {"number": bow.number},
        lead=plan_words(bow, request.units),
        back=bow_url(bow),
        context=ROOM,
    )


@require_http_methods(["GET", "POST"])
@may("record")
def add_piece(request, pk):
    bow = bow_or_404(pk)
    return deed(
        request,
        form_class=PieceForm,
        initial={"stave": request.GET.get("tag", "")[:24]},
        save=lambda form: piece_add(bow=bow, by=request.user, **form.values()),
        title=_("A piece of bow %(number)s") % {"number": bow.number},
        lead=_("A piece from the store goes to the bench with it."),
        back=bow_url(bow),
        template="bows/piece_add.html",
        context={**ROOM, "pieces": pieces_at_hand()},
    )


@require_http_methods(["GET", "POST"])
@may("record")
def decide_upper(request, pk):
    bow = bow_or_404(pk)
    return deed(
        request,
        form_class=UpperForm,
        save=lambda form: upper_decide(bow=bow, by=request.user, **form.values()),
        title=_("The upper limb of bow %(number)s") % {"number": bow.number},
        lead=_(
            "It can be changed later by turning the bow end for end: decide again, and both days stay written."
        ),
        back=bow_url(bow),
        context=ROOM,
    )


@require_http_methods(["GET", "POST"])
@may("stage")
def step(request, pk):
    """To another stage, forward or back. Handing over has a page of its own, with its papers."""
    bow = bow_or_404(pk)
    stages = [s for s in STEPS[bow.stage] if s != Stage.DELIVERED or bow.origin != Origin.HERE]

    def save(form):
        move = stage_step(bow=bow, by=request.user, seen=form.cleaned_data["version"], **form.values())
        messages.success(
            request,
            _("Bow %(number)s: %(stage)s.") % {"number": bow.number, "stage": move.get_stage_display()},
        )
        return move

    return deed(
        request,
        form_class=StageForm,
        stages=stages,
        initial={"version": bow.version, "stage": _next_stage(bow, stages)},
        save=save,
        title=_("The stage of bow %(number)s") % {"number": bow.number},
        lead=_(
            "Until now: %(stage)s. A step back is written down like any other; handing over has its own page."
        )
        % {"stage": bow.get_stage_display()},
        back=bow_url(bow),
        template="bows/stage.html",
        context={**ROOM, "bow": bow, "open_checks": _open_words(bow.stage, bow.ticks.standing())},
    )


def _open_words(stage: str, ticks) -> list[str]:
    return [checklists.words_of(stage, line) for line in checklists.open_of(stage, ticks)]


def _next_stage(bow: Bow, stages) -> str:
    """The stage that usually follows."""
    order = list(Stage)[:6]
    follows = order[order.index(bow.stage) + 1 :] if bow.stage in order else []
    return next((stage for stage in follows if stage in stages), "")


@require_http_methods(["GET", "POST"])
@may("read")
def tick(request, pk):
    """Lines of the stage's check list, looked at."""
    bow = bow_or_404(pk)
    return deed(
        request,
        form_class=TickForm,
        stage=bow.stage,
        open_lines=checklists.open_of(bow.stage, bow.ticks.standing()),
        save=lambda form: ticks_add(bow=bow, by=request.user, stage=bow.stage, **form.values()),
        title=_("Check list of bow %(number)s: %(stage)s")
        % {"number": bow.number, "stage": bow.get_stage_display()},
        lead=_("Common practice. What was looked at keeps its day and who looked."),
        back=bow_url(bow),
        context=ROOM,
    )
