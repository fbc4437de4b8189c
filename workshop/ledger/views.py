"""Pages every room shares: a deed's form, striking out, history."""

import hashlib
import uuid
from collections.abc import Callable
from datetime import timedelta

from django.apps import apps
from django.contrib import messages
from django.core.exceptions import PermissionDenied, ValidationError
from django.db import IntegrityError, transaction
from django.http import Http404, HttpResponseRedirect
from django.shortcuts import get_object_or_404, render
from django.utils import timezone
from django.utils.translation import gettext as _
from django.utils.translation import gettext_lazy
from django.views.decorators.http import require_GET, require_http_methods, require_POST

from workshop.ledger.forms import RecordForm
from workshop.ledger.models.base import Entry, Record
from workshop.ledger.models.sent import SentForm
from workshop.ledger.refusals import worded
from workshop.ledger.roles import allowed, may
from workshop.ledger.services import Stale, entry_strike, history
from workshop.ledger.ways import back_to
from workshop.ledger.wording import written


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
    said: str | Callable = "",
    context: dict | Callable[[], dict] | None = None,
    **form_kwargs,
):
    """One deed on one page: show its form, or save it and go back to where the thing is.

    `save(form)` writes through a service; what a service refuses (`ValidationError`) is shown beside the form
    with all that was typed. `back` may be a callable of what `save` returned; `context` one that is asked only where
    the page is shown; `said` one of what was saved, in words or none.
    """
    data, files = (request.POST, request.FILES) if request.method == "POST" else (None, None)
    form = form_class(data, files, units=request.units, **form_kwargs)
    mark = _mark_of(request)
    if mark and (kept := SentForm.objects.filter(key=mark.key).first()):
        if kept.content == mark.content:
            return HttpResponseRedirect(kept.there)
        _take_as_another(form)
        mark = None
    elif request.method == "POST" and form.is_valid():
        try:
            made, there = _write_once(mark, form, save, back)
        except ValidationError as error:
            stale_to_form(form, error)
            form.stale = seen_by(request, getattr(form, "stale", ()))
        else:
            if words := said(made) if callable(said) else said:
                messages.success(request, words)
            return HttpResponseRedirect(there)
    page = {
        "form": form,
        "title": title,
        "lead": lead,
        "button": button or _("Write it down"),
        "back": "" if callable(back) else back,
        "sent": mark.key if mark else uuid.uuid4().hex,
        **(context() if callable(context) else context or {}),
    }
    return render(request, template, page, status=422 if form.is_bound else 200)


MARKS_KEPT = timedelta(days=30)  # nobody goes back to a form he sent so long ago


def _mark_of(request) -> SentForm | None:
    """The key a form's page was given, with a checksum of what is sent under it now."""
    key = request.POST.get("sent", "")
    if not key or len(key) > 32:
        return None
    sent = sorted((n, v) for n, v in request.POST.lists() if n not in ("csrfmiddlewaretoken", "sent"))
    files = sorted((n, [(f.name, f.size) for f in fs]) for n, fs in request.FILES.lists())
    return SentForm(key=key, content=hashlib.sha256(repr((sent, files)).encode()).hexdigest())


def _write_once(mark: SentForm | None, form, save: Callable, back) -> tuple:
    """Save, and leave the mark in the same transaction: of two that come at once, the second finds the first's.
    What was saved (nothing for the second) and where to go."""
    with transaction.atomic():
        if mark:
            SentForm.objects.filter(sent_at__lt=timezone.now() - MARKS_KEPT).delete()
            try:
                with transaction.atomic():
                    mark.save(force_insert=True)
            except IntegrityError:
                return None, SentForm.objects.get(key=mark.key).there
        made = save(form)
        there = back(made) if callable(back) else back
        if mark:
            mark.there = there
            mark.save(update_fields=["there"])
    return made, there


def _take_as_another(form) -> None:
    """The form was written down already, with other words in it: neither drop the new ones nor write them unasked."""
    form.data = form.data.copy()
    if "entry_key" in form.fields:
        form.data[form.add_prefix("entry_key")] = uuid.uuid4()
    form.full_clean()
    form.add_error(
        None,
        _(
            "This was written down already, as it stood when the button was first pressed. "
            "What stands here now differs and is not written yet: press the button to write it down as well."
        ),
    )


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
            beside = name if name in form.fields else None
            form.add_error(beside, [worded(form, beside, _in_units(form, each)) for each in errors])
    else:
        form.add_error(None, error)


def _in_units(form, error: ValidationError) -> ValidationError:
    """A service knows no units: a measure it names, (SI, kind), is told in those of the form's reader."""
    if not error.params:
        return error
    shown = {
        name: form.units_in_use.show(*value) if isinstance(value, tuple) else value
        for name, value in error.params.items()
    }
    return ValidationError(error.message, code=error.code, params=shown)


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


def _strikable_by(request, label: str, pk: int) -> Entry:
    """The entry, where this person may strike its kind: a helper learns no price by asking to strike a payment."""
    entry = entry_or_404(label, pk)
    if not allowed(request.user, getattr(entry, "strike_deed", "strike"), request.shop):
        raise PermissionDenied
    return entry


@require_POST
@may("strike")
def strike_out(request, label, pk):
    """Draw a line through the entry. The reason is the maker's own: a word at one touch, or what was written."""
    entry, reason = _strikable_by(request, label, pk), request.POST.get("reason", "").strip()
    if not reason and not entry.is_struck:
        return _ask_why(request, entry, status=422)
    try:
        entry_strike(entry, by=request.user, reason=reason)
    except ValidationError as refused:
        messages.error(request, " ".join(refused.messages))
    else:
        messages.success(
            request,
            _(
                "Struck out: %(what)s. It stays visible, with a line through it, and no longer counts. A line is not "
                "taken away again: if it was right after all, write it anew."
            )
            % {"what": entry.told(request.units)},
        )
    return HttpResponseRedirect(back_to(request, "/"))


@require_http_methods(["GET"])
@may("strike")
def strike_reason(request, label, pk):
    """The page that shows what is about to be struck, and asks why."""
    return _ask_why(request, _strikable_by(request, label, pk))


# why an entry is struck, most often; each is one touch
REASONS = (
    gettext_lazy("mistyped"),
    gettext_lazy("misread"),
    gettext_lazy("belongs to another"),
    gettext_lazy("written twice"),
)


def _ask_why(request, entry: Entry, status: int = 200):
    page = {
        "entry": entry,
        "what": entry.told(request.units),
        "written": written(entry, request.units),
        "reasons": REASONS,
        "next": back_to(request, "/"),
    }
    return render(request, "ledger/strike_reason.html", page | {"asked": status != 200}, status=status)


@require_GET
@may("look")
def record_history(request, label, pk):
    """Every change of a record, as a person reads it."""
    try:
        model = apps.get_model(label)
    except (LookupError, ValueError) as error:
        raise Http404 from error
    if not issubclass(model, Record) or not allowed(request.user, model.look_deed, request.shop):
        raise Http404
    record = get_object_or_404(model, pk=pk)
    return render(
        request, "ledger/history.html", {"record": record, "changes": seen_by(request, history(record))}
    )
