"""The order sheet: what was agreed."""

from django.db.models import Prefetch
from django.utils.translation import gettext as _

from workshop.documents.desk import (
    Desk,
    Draft,
    Remark,
    day,
    joined,
    measured_from,
    remarks_on_code,
    remarks_on_letters,
)
from workshop.documents.gather.terms import terms_on
from workshop.documents.pdf.order_sheet import Line, OrderSheet, Party
from workshop.ledger.dates import show_date
from workshop.ledger.templatetags.ledger import money
from workshop.orders.models import Order, OrderLine, Person
from workshop.orders.models.orders import LineKind


def found():
    lines = OrderLine.objects.select_related("archer", "guardian", "repairs").prefetch_related(
        "archer__measures"
    )
    return Order.objects.select_related("payer").prefetch_related(Prefetch("lines", lines), "payments")


def draft(order: Order, desk: Desk, *, with_money: bool = True) -> Draft:
    lines = [line for line in order.lines.all() if not line.withdrawn]
    promised = show_date(order.promised_on, order.promised_to) if order.promised_on else ""
    facts = OrderSheet(
        workshop=desk.workshop,
        number=order.number,
        date=day(order),
        state=order.get_state_display(),
        promised=promised,
        parties=tuple(_parties(order, lines, desk)),
        lines=tuple(_line(line, desk, with_money) for line in lines),
        **(_money(order, lines, desk) if with_money else {}),
        notes=order.note,
        terms=terms_on(desk.today),
        code=desk.code("order", order.number),
        demo=desk.demo,
    )
    return Draft(
        facts=facts,
        figure=promised,
        about=joined(
            _("promised") if promised else "", joined(*(line.what for line in facts.lines)), by=": "
        ),
        remarks=(
            *_remarks(facts, lines, with_money),
            *remarks_on_code(desk),
            *remarks_on_letters(facts),
        ),
    )


def _parties(order: Order, lines: list[OrderLine], desk: Desk):
    """Each person once, with all the parts he has in the order."""
    parts: dict[Person, list[str]] = {order.payer: [_("pays")]}
    for line in lines:
        for person, part in ((line.archer, _("shoots")), (line.guardian, _("answers for the archer"))):
            if person is not None and part not in parts.setdefault(person, []):
                parts[person].append(part)
    measures = {line.archer: _measures(line.archer, desk) for line in lines if line.archer}
    for person, has in parts.items():
        yield Party(
            part=", ".join(has),
            name=str(person),
            address=person.address,
            contact=joined(person.phone, person.mail),
            measures=measures.get(person, ""),
        )


def _measures(archer: Person, desk: Desk) -> str:
    """The archer's last measurements, with their day."""
    kept = [each for each in archer.measures.all() if not each.is_struck and not each.blanked_at]
    if not kept:
        return ""
    last = kept[-1]
    draw = ""
    if last.draw_m is not None:
        draw = _("draw %(draw)s, %(from)s") % {
            "draw": desk.show(last.draw_m, "draw"),
            "from": measured_from(last.get_draw_from_display()),
        }
    span = _("arm span %(span)s") % {"span": desk.show(last.arm_span_m, "length")} if last.arm_span_m else ""
    shot = _("shoots %(weight)s now") % {"weight": desk.show(last.weight_n, "force")} if last.weight_n else ""
    return joined(draw, span, shot, day(last))


def _line(line: OrderLine, desk: Desk, with_money: bool) -> Line:
    each = line.price_minor if with_money else None
    return Line(
        what=_what(line),
        particulars=tuple(_particulars(line, desk)),
        quantity=str(line.quantity) if line.quantity > 1 else "",
        price="" if each is None else money(each * line.quantity, desk.shop.currency),
    )


def _what(line: OrderLine) -> str:
    """Goods are what they are in words; a bow and a repair say that they are one."""
    if line.kind == LineKind.GOODS and line.words:
        return line.words
    return joined(line.get_kind_display(), line.words, by=": ")


def _particulars(line: OrderLine, desk: Desk):
    """What was asked of a bow, in the order a maker asks it; what was left open is left out."""
    weight = desk.show(line.wanted_n, "force")
    if weight and line.wanted_draw_m:
        weight = _("%(weight)s at %(draw)s, %(from)s") % {
            "weight": weight,
            "draw": desk.show(line.wanted_draw_m, "draw"),
            "from": measured_from(line.get_draw_from_display()),
        }
    off = desk.show(line.allowed_off_n, "force")
    told = (
        (_("Draw weight"), joined(weight, _("give or take %(off)s") % {"off": off} if off else "")),
        (_("Archer"), str(line.archer) if line.archer else ""),
        (_("Bow to repair"), line.repairs.number if line.repairs else ""),
        (_("Kind"), line.get_bow_kind_display() if line.bow_kind else ""),
        (_("Hand"), line.get_hand_display() if line.bow_kind or line.wanted_n else ""),
        (_("Length"), desk.show(line.length_m, "length")),
        (_("Timbers"), line.timbers),
        (_("Grip"), line.grip),
        (_("Nocks"), line.nocks),
        (_("String"), line.bowstring),
        (_("Use"), line.use),
        (_("Class rule"), joined(_rules(line), line.class_rule)),
    )
    return [(name, said) for name, said in told if said]


def _rules(line: OrderLine) -> str:
    return line._meta.get_field("class_rules").told(line.class_rules)


def _money(order: Order, lines: list[OrderLine], desk: Desk) -> dict[str, str]:
    """The sums, as far as prices were agreed; what was paid counts even before that."""
    prices = [line.price_minor * line.quantity for line in lines if line.price_minor is not None]
    paid = sum(payment.amount_minor for payment in order.payments.all() if not payment.is_struck)
    sums = {
        "price": sum(prices) if prices else None,
        "deposit": order.deposit_minor,
        "paid": paid or None,
        "still_due": sum(prices) - paid if prices else None,
    }
    return {name: money(minor, desk.shop.currency) for name, minor in sums.items() if minor is not None}


def _remarks(facts: OrderSheet, lines: list[OrderLine], with_money: bool):
    if not lines:
        yield Remark(_("Nothing ordered"), _("The order has no line yet; the sheet would be empty."))
    if not facts.promised:
        yield Remark(_("No day promised"), _("The sheet names no day."))
    if not with_money:
        yield Remark(_("No prices"), _("Prices and payments are the owner's; this sheet leaves them out."))
    elif any(line.price_minor is None for line in lines):
        yield Remark(_("A price is missing"), _("The sums leave out every line without a price."))
    if not facts.terms:
        yield Remark(_("No terms"), _("No terms and warranty are written down in the workshop's settings."))
