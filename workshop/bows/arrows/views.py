from django.shortcuts import render
from django.utils.translation import gettext as _
from django.views.decorators.http import require_GET

from workshop.bows.arrows.forms import SupposedForm
from workshop.bows.arrows.known import known_of, known_source
from workshop.bows.arrows.shafts import arrow_figures, shaft_figures
from workshop.bows.arrows.string import string_figures
from workshop.bows.views.bow import bow_or_404
from workshop.bows.weighing.selectors import weighings_of
from workshop.ledger.roles import may


@require_GET
@may("look")
def arrows_and_string(request, pk):
    """What to shoot from this bow and with what string; supposed in the address, kept nowhere."""
    bow, units = bow_or_404(pk), request.units
    known = known_of(bow, weighings_of(bow))
    form = SupposedForm(request.GET or None, units=units)
    supposed = form.cleaned_data if form.is_bound and form.is_valid() else {}
    context = {
        "room": "bench",
        "bow": bow,
        "known": known,
        "source": known_source(known, units) if known.force_n else None,
        "form": form,
        "arrows": list(arrow_figures(known, supposed, request.shop, units)),
        "shafts": list(shaft_figures(supposed)),
        "string": list(string_figures(known, supposed, units)),
        "title": _("Arrows and string of bow %(number)s") % {"number": bow.number},
    }
    return render(request, "bows/arrows.html", context, status=422 if form.is_bound and form.errors else 200)
