"""The button under a plan that was compared."""

import uuid

from django import forms
from django.contrib import messages
from django.core.exceptions import ValidationError
from django.http import HttpResponseRedirect
from django.shortcuts import get_object_or_404
from django.utils.translation import gettext as _
from django.views.decorators.http import require_POST

from workshop.bows.models import Bow
from workshop.bows.plan.adopting import may_adopt, plan_adopt
from workshop.bows.plan.facts import Facts, plan_facts
from workshop.bows.plan.forms import WhatIfForm
from workshop.bows.plan.page import other_plans
from workshop.bows.plan.refusals import refusal
from workshop.bows.plan.views import sheet_url
from workshop.calc.errors import CalcError
from workshop.ledger.roles import may
from workshop.staves.models import Timber


class AdoptForm(forms.Form):
    """Sent along with a plan that is adopted: which bow was seen, and the entry it is."""

    version = forms.IntegerField()
    entry_key = forms.UUIDField()


@require_POST
@may("record")
def adopt(request, pk):
    """One of the plans compared becomes the plan."""
    bow, units = get_object_or_404(Bow, pk=pk), request.units
    form = WhatIfForm(request.POST, units=units, timbers=list(Timber.objects.all()))
    sent, names = AdoptForm(request.POST), request.POST.getlist("others")
    try:
        if len(names) != 1 or not may_adopt(names[0], bow) or not (form.is_valid() and sent.is_valid()):
            raise ValidationError(_("That plan can no longer be taken: compare it again."))
        _adopt(request, plan_facts(bow, shop=request.shop), form.cleaned_data, **sent.cleaned_data)
    except (ValidationError, CalcError) as error:
        said = error.messages if isinstance(error, ValidationError) else [refusal(error, units)[1]]
        messages.error(request, " ".join(said))
    return HttpResponseRedirect(sheet_url(bow))


def _adopt(request, facts: Facts, read: dict, *, version: int, entry_key: uuid.UUID) -> None:
    if version != facts.bow.version:
        raise ValidationError(_("The bow was changed since these plans were compared: compare them again."))
    as_written = facts.plan()
    ((heading, plan),) = other_plans(facts, as_written, read, request.units)
    if isinstance(plan, CalcError):
        raise plan
    (name,) = read["others"]
    plan_adopt(
        bow=facts.bow,
        by=request.user,
        plan=plan,
        marks={limb.name: limb.sizes.stations_m for limb in as_written.limbs},
        system=request.units.system,
        seen=version,
        timber=heading if name == "timber" else "",
        entry_key=uuid.uuid5(entry_key, f"{name} {read[name]}"),
    )
    messages.success(request, _("Planned so: %s.") % heading)
