"""One page for each kind of entry on a bow. Whoever works in the shop may write them."""

from django.contrib import messages
from django.core.exceptions import PermissionDenied
from django.shortcuts import get_object_or_404, render
from django.utils import timezone
from django.utils.http import urlencode
from django.utils.translation import gettext as _
from django.views.decorators.http import require_http_methods

from workshop.bows.forms import readings as forms
from workshop.bows.forms.dimensions import SPARE, DimensionsForm
from workshop.bows.models import BowFlaw
from workshop.bows.models.readings import Limb
from workshop.bows.planning import stations_proposed
from workshop.bows.selectors.glance import halts_pull, standing
from workshop.bows.services import readings as services
from workshop.bows.sets import zero_is_due
from workshop.bows.views.bow import ROOM, bow_or_404, bow_url
from workshop.bows.weighing.selectors import last_weigh_in
from workshop.ledger.dates import show_date
from workshop.ledger.roles import allowed, may
from workshop.ledger.views import deed
from workshop.photos.forms import PhotoForm

APART_M = 0.05  # nearer than two inches to a station that is known, none is proposed beside it


def written(request, bow, form_class, service, title, **more):
    """Show the form of one kind of entry for `bow`, or write it and go back to the bow."""
    more.setdefault("save", lambda form: service(bow=bow, by=request.user, **form.values()))
    return deed(
        request,
        form_class=form_class,
        title=f"{title}: {_('bow %(number)s') % {'number': bow.number}}",
        back=bow_url(bow),
        **{"context": ROOM, **more},
    )


@require_http_methods(["GET", "POST"])
@may("read")
def add_work(request, pk):
    bow = bow_or_404(pk)

    def save(form):
        work = services.work_add(bow=bow, by=request.user, **form.values())
        messages.success(request, _work_says(work))
        return work

    return written(
        request,
        bow,
        forms.WorkForm,
        None,
        _("Work done"),
        save=save,
        template="bows/work.html",
        lead=_("Written as it is done. Work on the limbs makes earlier weigh-ins too old for a rating."),
    )


def _work_says(work) -> str:
    said = [_("Written down.")]
    if work.spoils_ratings and last_weigh_in(work.bow) is not None:
        said.append(_("Earlier weigh-ins no longer rate this bow."))
    if work.rest_until and work.rest_until > timezone.localdate():
        said.append(_("Let it rest until %(day)s.") % {"day": show_date(work.rest_until)})
    if work.new_zero:
        said.append(_("Read its tips again before the next pull: that is the new zero for set."))
    return " ".join(said)


@require_http_methods(["GET", "POST"])
@may("read")
def add_set(request, pk):
    bow = bow_or_404(pk)
    due = zero_is_due(list(bow.setreadings.standing()), list(bow.workdones.standing()))
    lead = _(
        "A straight edge along the back: how far each tip stands off it. Toward the belly above zero, reflex below."
    )
    if due:
        lead += " " + _("No zero was read yet, or not since a new one was made: this may be it.")
    return written(
        request,
        bow,
        forms.SetForm,
        services.set_add,
        _("Set and string follow"),
        lead=lead,
        initial={"is_zero": due},
    )


@require_http_methods(["GET", "POST"])
@may("read")
def add_brace(request, pk):
    lead = _(
        "Positive tiller, 1/8 to 1/4 in (3 to 6 mm) more string to the upper limb, is common for one finger above."
    )
    return written(
        request, bow_or_404(pk), forms.BraceForm, services.brace_add, _("Brace height and tiller"), lead=lead
    )


@require_http_methods(["GET", "POST"])
@may("read")
def add_dimensions(request, pk):
    """Many stations of one limb at once: proposed from the plan, or where the limb was measured last."""
    bow = bow_or_404(pk)
    limb = request.GET.get("limb") if request.GET.get("limb") in (Limb.A, Limb.B, Limb.BOTH) else Limb.A
    plans = allowed(request.user, "record", request.shop)
    if "planned" in request.POST and not plans:
        raise PermissionDenied(_("A plan is not for a %(role)s.") % {"role": request.user.get_role_display()})
    other = {Limb.A: Limb.B, Limb.B: Limb.A}.get(limb, "")
    shared = {
        "title": f"{_('Dimensions')}: {_('bow %(number)s') % {'number': bow.number}}",
        "lead": _(
            "Stations are counted from the middle mark outward. A line without width and depth is left out."
        ),
        "template": "bows/dimensions.html",
        "context": {**ROOM, "other_limb": other},
    }
    if request.method == "POST" and "more" in request.POST:
        return _more_lines(request, bow, plans, shared)
    then = {"limb": request.POST.get("then", "")} | ({"planned": 1} if "planned" in request.POST else {})
    there = request.path + "?" + urlencode(then)
    return deed(
        request,
        form_class=DimensionsForm,
        save=lambda form: services.dimensions_add(bow=bow, by=request.user, **form.values()),
        back=there if request.POST.get("then") in (Limb.A, Limb.B) else bow_url(bow),
        plans=plans,
        stations=_stations(bow, limb, request.units),
        initial={"limb": limb, "planned": request.GET.get("planned") == "1"},
        **shared,
    )


def _more_lines(request, bow, plans: bool, shared: dict):
    """The same form with more lines beneath, as it was typed and judged by nothing yet."""
    typed = DimensionsForm(request.POST, units=request.units, plans=plans)
    form = DimensionsForm(
        units=request.units, plans=plans, lines=typed.count + SPARE, initial=request.POST.dict()
    )
    page = {
        **shared["context"],
        "form": form,
        "title": shared["title"],
        "lead": shared["lead"],
        "button": _("Write it down"),
        "back": bow_url(bow),
        "sent": request.POST.get("sent", ""),
    }
    return render(request, shared["template"], page)


def _stations(bow, limb: str, units) -> list[float]:
    """Where the limb was planned or measured, and between those where common practice measures."""
    side = Limb.A if limb == Limb.BOTH else limb
    known = {
        round(each.station_m, 3): each.station_m for each in bow.dimensions.standing() if each.limb == side
    }
    uppers = standing(bow.upper_decisions.all())
    proposed = stations_proposed(bow, units, upper=uppers[-1].limb if uppers else "A")[side]
    apart = [at for at in proposed if all(abs(at - place) >= APART_M for place in known.values())]
    return sorted([*known.values(), *apart])


@require_http_methods(["GET", "POST"])
@may("read")
def add_flaw(request, pk):
    return written(request, bow_or_404(pk), forms.FlawForm, services.flaw_add, _("A flaw"))


def flaw_or_404(pk: int) -> BowFlaw:
    flaws = BowFlaw.objects.standing().select_related("bow").filter(watched=True, settled_at=None)
    return get_object_or_404(flaws, pk=pk)


@require_http_methods(["GET", "POST"])
@may("read")
def look_at_flaw(request, pk):
    flaw = flaw_or_404(pk)
    return written(
        request,
        flaw.bow,
        forms.LookForm,
        None,
        _("A look at: %(flaw)s") % {"flaw": flaw},
        save=lambda form: services.flaw_look(flaw=flaw, by=request.user, **form.values()),
        halts=halts_pull(flaw),
    )


@require_http_methods(["GET", "POST"])
@may("read")
def settle_flaw(request, pk):
    flaw = flaw_or_404(pk)
    return written(
        request,
        flaw.bow,
        forms.SettleForm,
        None,
        _("Settle: %(flaw)s") % {"flaw": flaw},
        lead=_("In words, what became of it: bound, filled, scraped out, grown no longer."),
        save=lambda form: services.flaw_settle(flaw=flaw, by=request.user, **form.values()),
    )


@require_http_methods(["GET", "POST"])
@may("read")
def add_shots(request, pk):
    lead = _("Arrows shot since you last wrote them down; %(n)s shoot a bow in, by the workshop’s setting.")
    lead %= {"n": request.shop.shots_wanted}
    return written(request, bow_or_404(pk), forms.ShotsForm, services.shots_add, _("Arrows shot"), lead=lead)


@require_http_methods(["GET", "POST"])
@may("read")
def add_mass(request, pk):
    return written(
        request,
        bow_or_404(pk),
        forms.MassForm,
        services.mass_add,
        _("Weight of the bow itself"),
        lead=_("Without its string."),
    )


@require_http_methods(["GET", "POST"])
@may("read")
def add_time(request, pk):
    bow = bow_or_404(pk)
    return written(
        request, bow, forms.TimeForm, services.time_add, _("Time at the bench"), initial={"stage": bow.stage}
    )


@require_http_methods(["GET", "POST"])
@may("read")
def add_speed(request, pk):
    bow = bow_or_404(pk)
    last = bow.speeds.standing().last()
    initial = {"arrow_kg": last.arrow_kg, "draw_m": last.draw_m} if last else {"draw_m": bow.wanted_draw_m}
    return written(
        request,
        bow,
        forms.SpeedForm,
        services.speed_add,
        _("Arrow speed"),
        lead=_("One arrow through the chronograph."),
        initial=initial,
    )


@require_http_methods(["GET", "POST"])
@may("read")
def add_note(request, pk):
    return written(request, bow_or_404(pk), forms.NoteForm, services.note_add, _("A note"))


@require_http_methods(["GET", "POST"])
@may("read")
def add_photo(request, pk):
    lead = _("Where it was taken and with which camera is removed from it.")
    return written(request, bow_or_404(pk), PhotoForm, services.bow_photo_add, _("A photo"), lead=lead)
