"""Papers that were issued, without their bytes: a list of them is read often, a paper seldom."""

from django.db.models import Model, QuerySet

from workshop.orders.models import IssuedPaper
from workshop.orders.services.papers import ABOUT


def papers_about(subject: Model) -> QuerySet[IssuedPaper]:
    """Every paper issued about a bow, a piece or an order, oldest first. One query."""
    papers = IssuedPaper.objects.filter(**{ABOUT[type(subject)]: subject})
    return papers.defer("pdf", "facts").select_related("entered_by", "struck_by")
