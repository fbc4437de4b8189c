"""Papers on other rooms' pages: `{% load documents %}{% papers_of bow as papers %}`."""

from django import template

from workshop.documents.selectors import papers_about

register = template.Library()


@register.simple_tag
def papers_of(subject):
    """The papers issued about a bow, a piece or an order, without their bytes. One query.

    `replaced_by` is the later standing paper of the same kind, which says what holds now.
    """
    papers, latest = list(papers_about(subject)), {}
    for paper in sorted(papers, key=lambda paper: -paper.number):
        paper.replaced_by = latest.get(paper.kind)
        if not paper.is_struck:
            latest.setdefault(paper.kind, paper)
    return papers
