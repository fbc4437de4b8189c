"""Papers on other rooms' pages: `{% load documents %}{% papers_of bow as papers %}`."""

from django import template

from workshop.documents.selectors import papers_about

register = template.Library()


@register.simple_tag
def papers_of(subject):
    """The papers issued about a bow, a piece or an order, without their bytes. One query."""
    return list(papers_about(subject))
