"""Pages every room shares: a deed's form, striking out, history, signing in and setting up."""

import uuid
from collections.abc import Callable

from django.apps import apps
from django.contrib import messages
from django.core.exceptions import PermissionDenied, ValidationError
from django.http import Http404, HttpResponseRedirect
from django.shortcuts import get_object_or_404, render
from django.utils.translation import gettext as _
from django.views.decorators.http import require_GET, require_http_methods, require_POST

from workshop.ledger.forms import RecordForm
from workshop.ledger.models.base import Entry, Record
from workshop.ledger.roles import allowed, may
from workshop.ledger.services import Stale, entry_strike, history
from workshop.ledger.ways import back_to


def deed(
    request,
    *,
    form_class,
    save: Callable,
    title: str,
    back: str,
    lead: str = "",
    button: str = "",
    template: str = "ledger/deed.html",
    said: str = "",
    context: dict | None = None,
    **form_kwargs,
):
    """One deed on one page: show its form, or save it and go back to where the thing is.

    `save(form)` writes through a service; what a service refuses (`ValidationError`) is shown beside the form
    with all that was typed. `back` may be a callable of what `save` returned.
    """
    data, files = (request.POST, request.FILES) if request.method == "POST" else (None, None)
    form = form_class(data, files, units=request.units, **form_kwargs)
    if data and (there := _sent_before(request)):
        return HttpResponseRedirect(there)
    if request.method == "POST" and form.is_valid():
        try:
            made = save(form)
        except ValidationError as error:
            stale_to_form(form, error)
            form.stale = seen_by(request, getattr(form, "stale", ()))
        else:
            if said:
                messages.success(request, said)
            there = back(made) if callable(back) else back
            if "entry_key" not in form.fields:
                _remember_sent(request, there)
            return HttpResponseRedirect(there)
    page = {
        "form": form,
        "title": title,
        "lead": lead,
        "button": button or _("Write it down"),
        "back": "" if callable(back) else back,
        "sent": request.POST.get("sent") or uuid.uuid4().hex,
        **(context or {}),
    }
    return render(request, template, page, status=422 if form.is_bound else 200)


SENT_KEPT = 20  # forms of one session whose second coming is known


def _sent_before(request) -> str | None:
    """Where a form that makes a record led when it came the first time. Entries have a key of their own."""
    return request.session.get("sent", {}).get(request.POST.get("sent"))


def _remember_sent(request, there: str) -> None:
    if key := request.POST.get("sent", "")[:32]:
        known = {**request.session.get("sent", {}), key: there}
        request.session["sent"] = dict(list(known.items())[-SENT_KEPT:])


def stale_to_form(form, error: ValidationError) -> None:
    """Put a service's refusal beside the form; after another's change, the form takes up the version now seen."""
    if isinstance(error, Stale):
        form.stale = error.changes
        if isinstance(form, RecordForm):
            form.data = form.data.copy()
            form.data["version"] = error.version
        form.add_error(None, error)
        return
    if hasattr(error, "error_dict"):
        for name, errors in error.error_dict.items():
            form.add_error(name if name in form.fields else None, errors)
    else:
        form.add_error(None, error)


def seen_by(request, changes) -> list:
    """The changes as this person may read them: prices and payments only by those who may see money."""
    changes = list(changes)
    if not allowed(request.user, "money", request.shop):
        for change in changes:
            change.fields = [
                field for field in change.fields if not field.get("field", "").endswith("_minor")
            ]
    return changes


def entry_or_404(label: str, pk: int) -> Entry:
    try:
        model = apps.get_model(label)
    except (LookupError, ValueError) as error:
        raise Http404 from error
    if not issubclass(model, Entry):
        raise Http404
    return get_object_or_404(model, pk=pk)


@require_POST
@may("strike")
def strike_out(request, label, pk):
    """One touch: the entry was mistyped. A reason may come with it."""
    entry = entry_or_404(label, pk)
    if not allowed(request.user, getattr(entry, "strike_deed", "strike"), request.shop):
        raise PermissionDenied
    try:
        entry_strike(entry, by=request.user, reason=request.POST.get("reason", "").strip())
    except ValidationError as refused:
        messages.error(request, " ".join(refused.messages))
    else:
        messages.success(
            request, _("Struck out. It stays visible, with a line through it, and no longer counts.")
        )
    return HttpResponseRedirect(back_to(request, "/"))


@require_http_methods(["GET"])
@may("strike")
def strike_reason(request, label, pk):
    """The page that asks why, for those who want to say more than “mistyped”."""
    entry = entry_or_404(label, pk)
    return render(request, "ledger/strike_reason.html", {"entry": entry, "next": back_to(request, "/")})


@require_GET
@may("record")
def record_history(request, label, pk):
    """Every change of a record, as a person reads it."""
    try:
        model = apps.get_model(label)
    except (LookupError, ValueError) as error:
        raise Http404 from error
    if not issubclass(model, Record) or not allowed(
        request.user, getattr(model, "look_deed", "record"), request.shop
    ):
        raise Http404
    record = get_object_or_404(model, pk=pk)
    return render(
        request, "ledger/history.html", {"record": record, "changes": seen_by(request, history(record))}
    )
