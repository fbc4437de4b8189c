"""What the views of the papers share: the desk of this request, and a PDF as an answer."""

import re

from django.conf import settings
from django.core.exceptions import PermissionDenied
from django.http import Http404, HttpResponse
from django.utils import timezone
from django.utils.http import content_disposition_header

from workshop.documents.desk import Desk
from workshop.documents.papers import PAPERS, Paper
from workshop.ledger.roles import allowed


def desk_of(request) -> Desk:
    """The workshop's desk; where no address of the ledger is set, codes lead to where this page was opened."""
    address = request.shop.address_of_ledger or request.build_absolute_uri("/")
    return Desk(shop=request.shop, today=timezone.localdate(), address=address, demo=settings.DEMO)


def paper_of(request, kind: str) -> Paper:
    """The kind of paper, if there is one and this person may have it."""
    paper = PAPERS.get(kind)
    if paper is None:
        raise Http404
    if not allowed(request.user, paper.deed, request.shop):
        raise PermissionDenied
    return paper


def pdf_response(pdf: bytes, name: str) -> HttpResponse:
    """The paper in the browser, under a name to keep it by. Never in a cache: it may be removed from the ledger."""
    file_name = re.sub(r"[^\w.-]+", "-", name).strip("-.") + ".pdf"
    return HttpResponse(
        pdf,
        content_type="application/pdf",
        headers={
            "Content-Disposition": content_disposition_header(as_attachment=False, filename=file_name),
            "Cache-Control": "private, no-store",
        },
    )
