"""A paper before it is issued: what will stand on it, and the deed that issues it."""

import uuid

from django.core.exceptions import ValidationError
from django.http import HttpResponseRedirect
from django.shortcuts import get_object_or_404, render
from django.urls import reverse
from django.utils.translation import gettext as _
from django.views.decorators.http import require_GET, require_http_methods

from workshop.documents.desk import Draft, Remark
from workshop.documents.forms import IssueForm
from workshop.documents.papers import Paper
from workshop.documents.pdf import words
from workshop.documents.pdf.labels import LabelStockError
from workshop.documents.pdf.qr import QrTooSmall
from workshop.documents.selectors import papers_about
from workshop.documents.stock import stock_words
from workshop.documents.views.desk import desk_of, paper_of, pdf_response
from workshop.ledger.roles import may
from workshop.ledger.services import entry_kept
from workshop.ledger.views import stale_to_form
from workshop.orders.models import IssuedPaper
from workshop.orders.services.papers import paper_issue

READABLE_PT = 4.5  # common practice, no source: below this a tag is for a glass


@require_GET
@may("record")
def preview(request, kind, pk):
    """What will stand on the paper, as a page."""
    paper, desk = paper_of(request, kind), desk_of(request)
    subject = get_object_or_404(paper.found(), pk=pk)
    draft = paper.draft_for(subject, desk, request.user)
    first = {"entry_key": uuid.uuid4(), "seen": draft.fingerprint}
    form = IssueForm(units=request.units, stocks=paper.stocks, initial=first)
    return _shown(request, paper, subject, draft, desk, form)


@require_http_methods(["GET", "POST"])
@may("record")
def issue(request, kind, pk):
    """Keep the paper as it was seen; then it is streamed, now and whenever it is asked for again."""
    if request.method == "GET":  # a refusal was shown at this address, and is asked for again
        return HttpResponseRedirect(reverse("paper-preview", args=[kind, pk]))
    paper, desk = paper_of(request, kind), desk_of(request)
    subject = get_object_or_404(paper.found(), pk=pk)
    draft = paper.draft_for(subject, desk, request.user)
    form = IssueForm(request.POST, units=request.units, stocks=paper.stocks)
    if form.is_valid():
        issued = _issued(request, paper, subject, draft, desk, form)
        if issued is not None:
            return HttpResponseRedirect(reverse("paper", args=[issued.pk]))
    return _shown(request, paper, subject, draft, desk, form, status=422)


def _issued(request, paper: Paper, subject, draft: Draft, desk, form: IssueForm) -> IssuedPaper | None:
    """The paper kept, or None with the reason beside the form."""
    said = form.cleaned_data
    if kept := entry_kept(IssuedPaper, said["entry_key"]):
        return kept
    if draft.refused:
        form.add_error(None, _("This paper cannot be issued yet; the reasons stand above."))
        return None
    if said["seen"] != draft.fingerprint:
        form.add_error(
            None, _("Something on this paper changed since you looked. Look it over again, then issue it.")
        )
        form.data = form.data.copy()
        form.data["seen"] = draft.fingerprint
        return None
    try:
        stock = paper.stocks[said["stock"]][1](desk.shop) if paper.on_labels else None
        return paper_issue(
            kind=paper.kind,
            subject=subject,
            facts=draft.facts_told,
            pdf=paper.printed(draft, desk, stock),
            by=request.user,
            entry_key=said["entry_key"],
            note=said["note"],
        )
    except (QrTooSmall, LabelStockError) as error:
        form.add_error("stock", stock_words(error))
    except ValidationError as error:
        stale_to_form(form, error)
    return None


@require_GET
@may("record")
def print_draft(request, kind, pk):
    """A paper that stays in the shop, printed without being kept."""
    paper, desk = paper_of(request, kind), desk_of(request)
    if not paper.stays:
        return HttpResponseRedirect(reverse("paper-preview", args=[kind, pk]))
    subject = get_object_or_404(paper.found(), pk=pk)
    draft = paper.draft_for(subject, desk, request.user)
    chosen = request.GET.get("stock", "")
    stocks = paper.stocks
    try:
        stock = stocks.get(chosen, next(iter(stocks.values())))[1](desk.shop) if stocks else None
        return pdf_response(paper.printed(draft, desk, stock), f"{kind}-{subject}")
    except (QrTooSmall, LabelStockError) as error:
        form = IssueForm(units=request.units, stocks=stocks, initial={"seen": draft.fingerprint})
        remark = Remark(_("It cannot be printed"), stock_words(error))
        return _shown(request, paper, subject, draft, desk, form, more=(remark,), status=422)


def _shown(request, paper: Paper, subject, draft: Draft, desk, form, *, more=(), status=200):
    remarks = (*more, *draft.remarks, *_too_small(paper, draft, desk))
    page = {
        "room": paper.room,
        "paper": paper,
        "subject": subject,
        "title": _title(paper, subject),
        "back": reverse(paper.about, args=[subject.pk]),
        "back_name": _about(paper, subject),
        "draft": draft,
        "facts": draft.facts,
        "remarks": remarks,
        "words": words,
        "address": desk.address,
        "form": form,
        "issued": papers_about(subject).filter(kind=paper.kind),
    }
    return render(request, "documents/preview.html", page, status=status)


def _about(paper: Paper, subject) -> str:
    names = {"bow": _("bow %(name)s"), "stave": _("piece %(name)s"), "order": _("order %(name)s")}
    return names[paper.about] % {"name": subject}


def _title(paper: Paper, subject) -> str:
    label = str(paper.kind.label)
    return _("%(paper)s, %(about)s") % {
        "paper": label[:1].upper() + label[1:],
        "about": _about(paper, subject),
    }


def _too_small(paper: Paper, draft: Draft, desk):
    """Which labels the paper does not fit, or only in print that few can read: tried, for only the press knows."""
    if draft.refused:
        return
    for label, stock_of in paper.stocks.values():
        head = str(label)[:1].upper() + str(label)[1:]
        try:
            stock = stock_of(desk.shop)
            paper.printed(draft, desk, stock)
            print_pt = paper.small_print(draft, desk, stock)
        except (QrTooSmall, LabelStockError) as error:
            yield Remark(head, stock_words(error))
            continue
        if print_pt < READABLE_PT:
            reason = _(
                "The caution would be set in %(size)s points, which few can read. Take a larger label."
            )
            yield Remark(head, reason % {"size": f"{print_pt:.1f}"})
