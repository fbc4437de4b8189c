"""The order book's part of the invented workshop: persons, what they ask, and what they pay."""

import datetime as dt

from workshop.bows.models import ClassRule
from workshop.orders.models.orders import OrderState
from workshop.orders.services.orders import line_add, order_add, order_step, payment_add
from workshop.orders.services.persons import measure_add, person_add
from workshop.pages.demo.diary import Line, lines
from workshop.pages.demo.papers import issue
from workshop.pages.demo.world import World, scenario, si

FIRST_DAY = 700


def put_book(world: World) -> None:
    """Put persons, orders and payments into the diary."""
    book = scenario("orders")
    for key, person in book["persons"].items():
        world.diary.put(FIRST_DAY, lambda day, key=key, person=person: _person(world, key, person))
    for key, measures in book["measures"].items():
        for ago, *figures in measures:
            world.diary.put(ago, lambda day, key=key, figures=figures: _measure(world, key, day, *figures))
    for order in book["order"]:
        world.diary.put(order["ago"], lambda day, order=order: _order(world, order, day))
        for line in lines(order.get("diary", "")):
            world.diary.put(line.ago, lambda day, order=order, line=line: _deed(world, order, line, day))


def _person(world: World, key: str, person: dict) -> None:
    world.persons[key] = person_add(by=world.members["wren"], **person)


def _measure(world: World, key: str, day: dt.date, draw: str, span: str, weight: str) -> None:
    measure_add(
        person=world.persons[key], by=world.members["wren"], happened_on=day, draw_m=si(draw, "draw"),
        arm_span_m=si(span, "length"), weight_n=si(weight, "force"),
        as_typed={"draw_m": draw, "arm_span_m": span, "weight_n": weight},
    )  # fmt: skip


def _order(world: World, order: dict, day: dt.date) -> None:
    promised = {}
    if "promised" in order:
        ahead, exactly = order["promised"]
        on = world.today + dt.timedelta(days=ahead)
        promised = {"promised_on": on.replace(day=1) if exactly == "m" else on, "promised_to": exactly}
    made = order_add(
        by=world.members["wren"],
        payer=world.persons[order["payer"]],
        happened_on=day,
        deposit_minor=_minor(order.get("deposit")),
        note=order.get("note", ""),
        **promised,
    )
    world.orders[order["key"]] = made
    world.lines[order["key"]] = [_line(world, made, dict(line)) for line in order["line"]]


def _line(world: World, order, line: dict):
    values = {
        "wanted_n": si(line.pop("weight", ""), "force"),
        "wanted_draw_m": si(line.pop("draw", ""), "draw"),
        "tolerance_n": si(line.pop("tolerance", ""), "force"),
        "length_m": si(line.pop("length", ""), "length"),
        "price_minor": _minor(line.pop("price", None)),
    }
    for name in ("archer", "guardian"):
        if name in line:
            values[name] = world.persons[line.pop(name)]
    if "repairs" in line:
        values["repairs"] = world.bows[line.pop("repairs")]
    if "class_rules" in line:
        rules = ClassRule.objects.filter(code__in=line.pop("class_rules"))
        values["class_rules"] = sorted(rule.pk for rule in rules)
    return line_add(order=order, by=world.members["wren"], **values, **line)


def _minor(amount: str | None) -> int | None:
    return None if amount is None else round(100 * float(amount))


def _deed(world: World, order: dict, line: Line, day: dt.date) -> None:
    made, by = world.orders[order["key"]], world.members["wren"]
    made.refresh_from_db()
    if line.verb == "paid":
        amount, how = line.figures
        payment_add(order=made, by=by, amount_minor=_minor(amount), paid_by=how, happened_on=day)
    elif line.verb == "sheet":
        issue(world, "order-sheet", made, {"by": by, "happened_on": day})
    else:
        order_step(order=made, state=OrderState(line.verb), by=by, note=" ".join(line.figures))
