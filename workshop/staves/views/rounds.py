"""The meter round: walking along the racks with a phone in one hand and a meter in the other."""

import uuid
from dataclasses import dataclass

from django.core.exceptions import ValidationError
from django.core.paginator import Paginator
from django.http import HttpResponseRedirect
from django.shortcuts import get_object_or_404, render
from django.urls import reverse
from django.utils import timezone
from django.utils.translation import gettext as _
from django.views.decorators.http import require_GET, require_POST

from workshop.ledger.dates import show_date
from workshop.ledger.roles import may
from workshop.ledger.views import stale_to_form
from workshop.staves.forms.round import RoundForm, RoundRowForm
from workshop.staves.models import MoistureReading
from workshop.staves.moisture import meter_answer
from workshop.staves.selectors import RoundRow, out_of_line, round_pieces, round_rows
from workshop.staves.services import moisture_add
from workshop.staves.views.readings import last_meter

PER_PAGE = 60


@dataclass
class Line:
    """A piece on the round: what it read last, its field, and what was just written."""

    row: RoundRow
    form: RoundRowForm
    kept: MoistureReading | None = None
    kept_pct: float | None = None
    word: str = ""


def _said(request) -> RoundForm:
    """What the whole round is read with: the day, the meter, the wood's temperature, and which place.

    An address that names only a place or a page leaves the rest as it was last time.
    """
    last = last_meter(request.user)
    data = {"happened_on": show_date(timezone.localdate()), **last, **request.GET.dict()}
    form = RoundForm(data if request.GET else None, units=request.units, initial=last)
    form.is_valid()
    return form


@require_GET
@may("read")
def walk(request):
    """The pieces in order of place, a field for each."""
    said = _said(request)
    place = said.cleaned_data.get("place") if said.is_bound else None
    page = Paginator(round_pieces(place.pk if place else None), PER_PAGE).get_page(request.GET.get("page"))
    shared = {
        name: said[name].value() or ""
        for name in ("happened_on", "wood_c", "meter", "meter_scale")
        if name not in said.errors
    }
    shared["happened_on"] = shared.get("happened_on") or timezone.localdate()
    lines = [
        Line(row, RoundRowForm(None, units=request.units, initial={**shared, "entry_key": uuid.uuid4()}))
        for row in round_rows(page.object_list, today=timezone.localdate())
    ]
    _put_kept(request, lines)
    return render(
        request,
        "staves/round.html",
        {"room": "wood", "said": said, "page": page, "lines": lines, "query": request.GET.urlencode()},
        status=422 if said.is_bound and said.errors else 200,
    )


def _put_kept(request, lines: list[Line]) -> None:
    """After a row was written without JavaScript the page comes back; say there what was kept."""
    kept = request.session.pop("round_kept", None)
    reading = MoistureReading.objects.filter(pk=kept["pk"]).first() if kept else None
    for line in lines:
        if reading and line.row.stave.pk == reading.stave_id:
            line.kept, line.word = reading, kept["word"]
            line.kept_pct = meter_answer(reading, line.row.stave.timber).pct


@require_POST
@may("read")
def write(request, pk):
    """Keep one reading of the round. The same key twice is the same reading."""
    stave = get_object_or_404(round_pieces(store_only=False), pk=pk)
    today = timezone.localdate()
    (row,) = round_rows([stave], today=today)
    form = RoundRowForm(request.POST, units=request.units)
    line = Line(row, form)
    if form.is_valid():
        try:
            line.kept = moisture_add(stave=stave, by=request.user, **form.values())
        except ValidationError as error:
            stale_to_form(form, error)
    if line.kept:
        answer = meter_answer(line.kept, stave.timber)
        line.kept_pct = answer.pct
        before = row if row.last != line.kept else RoundRow(stave, None, None, row.place_pct)
        line.word = out_of_line(line.kept_pct, line.kept.happened_on, before)
        if not line.word and answer.corrected is None:
            line.word = _("beyond what a pin meter can tell: it only shows that the wood is wet")
        elif not line.word and answer.corrected.why == "below_range":
            line.word = _("under 7 % a pin meter guesses; is a figure missing?")
        line.form = RoundRowForm(None, units=request.units, initial=_next(form))
        _own_up(line, form.cleaned_data["reading_pct"])
    if not request.htmx and line.kept:
        request.session["round_kept"] = {"pk": line.kept.pk, "word": line.word}
        back = f"{reverse('meter-round')}?{request.POST.get('query', '')}"
        return HttpResponseRedirect(f"{back}#piece-{stave.pk}")
    template = "staves/_round_line.html" if request.htmx else "staves/round_line.html"
    return render(
        request,
        template,
        {"room": "wood", "line": line, "query": request.POST.get("query", "")},
        status=200 if line.kept else 422,
    )


def _own_up(line: Line, typed_pct: float) -> None:
    """The key was kept already with another figure (the first answer got lost): say so, and keep what was typed."""
    if line.kept.reading_pct != typed_pct:
        line.form.initial["reading_pct"] = typed_pct
        line.word = _(
            "this had arrived before as %(kept)g %%. What stands in the field now is not kept yet: keep it too, or "
            "strike out the first."
        ) % {"kept": line.kept.reading_pct}


def _next(form: RoundRowForm) -> dict:
    """The row's field anew: the same meter, a new key."""
    shared = {name: form.data.get(name, "") for name in ("happened_on", "wood_c", "meter", "meter_scale")}
    return {**shared, "entry_key": uuid.uuid4()}
