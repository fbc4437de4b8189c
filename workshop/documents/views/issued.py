"""Papers that were issued, handed out as they were."""

import logging

from django.core.exceptions import PermissionDenied
from django.shortcuts import get_object_or_404, render
from django.views.decorators.http import require_GET

from workshop.documents.papers import holds_money
from workshop.documents.views.desk import paper_of, pdf_response
from workshop.ledger.roles import allowed, may
from workshop.orders.models import IssuedPaper
from workshop.orders.services.papers import paper_is_whole

log = logging.getLogger(__name__)


@require_GET
@may("record")
def show(request, pk):
    """The bytes as they were issued; never printed anew."""
    found = IssuedPaper.objects.select_related("bow", "stave", "order", "entered_by")
    issued = get_object_or_404(found, pk=pk)
    paper = paper_of(request, issued.kind)
    if holds_money(issued.kind, issued.facts) and not allowed(request.user, "money", request.shop):
        raise PermissionDenied
    subject = issued.bow or issued.stave or issued.order
    page = {"room": paper.room, "issued": issued, "subject": subject, "about": paper.about}
    if issued.removed_at is not None:
        return render(request, "documents/removed.html", page, status=410)
    if not paper_is_whole(issued):
        log.error("paper %s does not match its checksum", issued.number)
        return render(request, "documents/damaged.html", page, status=500)
    return pdf_response(bytes(issued.pdf), f"{issued.kind}-{subject}-{issued.number}")
