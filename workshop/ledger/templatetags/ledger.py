"""Tags and filters every template has at hand (they are builtins)."""

from decimal import Decimal

from django import template
from django.utils import timezone
from django.utils.html import format_html
from django.utils.translation import gettext as _

from workshop.ledger.dates import show_date
from workshop.ledger.roles import allowed, may_strike
from workshop.ledger.units import typed_otherwise
from workshop.ledger.ways import page_of
from workshop.ledger.wording import reworded

register = template.Library()


@register.simple_tag(takes_context=True)
def q(context, value, kind):
    """A measure in the reader's units: `{% q bow.length_m "length" %}`."""
    units = context.get("units")
    return units.show(value, kind) if units else "–"


@register.simple_tag(takes_context=True)
def typed(context, entry, name, kind):
    """A measure as it was typed, and the reader's own figure beside it where the two differ."""
    shown = q(context, getattr(entry, name), kind)
    text = typed_otherwise(entry, name, shown)
    if not text:
        return shown
    return format_html('{} <span class="typed" title="{}">({})</span>', shown, _("as typed"), text)


@register.simple_tag(takes_context=True)
def unit(context, kind):
    """The unit in use for a kind of quantity: `{% unit "draw" %}`."""
    units = context.get("units")
    return units.unit(kind) if units else ""


@register.simple_tag(takes_context=True)
def changed(context, field, side):
    """What a field of a record was (`from`) or became (`to`), a measure in the reader's units."""
    return reworded(field, side, context.get("units"))


@register.filter
def happened(entry):
    """The day, month or year of an entry."""
    return show_date(entry.happened_on, entry.happened_to) if entry and entry.happened_on else "–"


@register.filter
def day(value, precision="d"):
    return show_date(value, precision) if value else "–"


@register.filter
def money(minor, currency=""):
    """Minor units as an amount."""
    return "–" if minor is None else f"{Decimal(minor) / 100:.2f}\N{NO-BREAK SPACE}{currency}".strip()


@register.filter
def label_of(entry):
    """`app.model` of a row, for addresses."""
    return entry._meta.label_lower


@register.filter
def dash(value):
    return "–" if value in (None, "") else value


@register.inclusion_tag("ledger/_struck.html", takes_context=True)
def strike(context, entry):
    """The button that strikes an entry out, where this reader may; or the line that says who struck it."""
    request, units = context["request"], context.get("units")
    return {
        "entry": entry,
        "what": entry.told(units) if units else str(entry),
        "may": entry.strikable
        and allowed(request.user, getattr(entry, "strike_deed", "strike"), request.shop)
        and may_strike(request.user, entry, timezone.localdate()),
        "page": page_of(request),
        "csrf_token": context.get("csrf_token"),
    }
