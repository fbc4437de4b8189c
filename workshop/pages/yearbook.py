"""The year book: what became of the wood, the bows and the promises of one year."""

import datetime as dt
from dataclasses import dataclass

from django.db.models import Min

from workshop.bows.models import Bow
from workshop.bows.selectors.forecasts import MethodRecord, forecasts_kept
from workshop.bows.selectors.strains import strains_reached_pct
from workshop.bows.selectors.year import (
    BowSet,
    Failure,
    StageHours,
    WoodToBows,
    failures,
    hours_by_stage,
    set_by_timber,
    staves_to_bows,
)
from workshop.ledger.models import Shop
from workshop.ledger.roles import allowed
from workshop.orders.selectors.book import Promise, promises
from workshop.orders.selectors.year import MoneyYear, OrdersYear, first_order_year, money_year, orders_year
from workshop.staves.selectors.year import WoodYear, first_wood_year, wood_year


@dataclass(frozen=True)
class SetOfTimber:
    """The bows of one timber whose set was read, each with its strain where that is known."""

    timber: str
    mean_m: float
    least_m: float
    greatest_m: float
    bows: list[tuple[BowSet, float | None]]


@dataclass(frozen=True)
class YearBook:
    year: int
    wood: WoodYear
    begun: list[WoodToBows]
    failures: list[Failure]
    hours: list[StageHours]
    forecasts: list[MethodRecord]
    sets: list[SetOfTimber]
    orders: OrdersYear | None = None
    promises: list[Promise] | None = None  # as they stand today: only in the book of the year that runs
    money: MoneyYear | None = None

    @property
    def minutes(self) -> int:
        return sum(stage.minutes for stage in self.hours)

    @property
    def seconds(self) -> float:
        return 60.0 * self.minutes

    @property
    def pieces_begun(self) -> int:
        return sum(timber.pieces for timber in self.begun)

    @property
    def pieces_finished(self) -> int:
        return sum(timber.finished for timber in self.begun)

    @property
    def in_danger(self) -> int:
        return sum(promise.in_danger for promise in self.promises or ())

    @property
    def is_empty(self) -> bool:
        return not (
            self.wood.timbers or self.wood.readings or self.wood.written_late or self.begun or self.failures
            or self.hours or self.forecasts or self.sets or self.promises
            or (self.orders and (self.orders.asked or self.orders.delivered))
            or (self.money and self.money.came_in)
        )  # fmt: skip


def year_book(year: int, *, member, shop: Shop, today: dt.date) -> YearBook:
    """The book of `year` for `member`; a fixed number of queries however much was done in it."""
    sees_orders, sees_money = allowed(member, "orders", shop), allowed(member, "money", shop)
    return YearBook(
        year=year,
        wood=wood_year(year),
        begun=staves_to_bows(year),
        failures=failures(year),
        hours=hours_by_stage(year),
        forecasts=forecasts_kept(year),
        sets=_sets(year),
        orders=orders_year(year) if sees_orders else None,
        promises=promises(today) if sees_orders and year == today.year else None,
        money=money_year(year) if sees_money else None,
    )


def _sets(year: int) -> list[SetOfTimber]:
    timbers = set_by_timber(year)
    strains = strains_reached_pct((b.bow, b.point.furthest_m) for timber in timbers for b in timber.bows)
    return [
        SetOfTimber(
            timber.timber,
            timber.mean_m,
            timber.least_m,
            timber.greatest_m,
            [(each, strains.get(each.bow.pk)) for each in timber.bows],
        )
        for timber in timbers
    ]


def years_kept(*, today: dt.date) -> list[int]:
    """The years there is a book of, this one first. An old notebook's bow opens its own year, not all between."""
    begun = Bow.objects.exclude(started_on=None)
    first_bow = begun.filter(started_to="d").aggregate(first=Min("started_on"))["first"]
    first = [first_wood_year(), first_order_year(), first_bow.year if first_bow else None, today.year]
    running = range(today.year, min(year for year in first if year) - 1, -1)
    old = {day.year for day in begun.dates("started_on", "year")} - set(running)
    return [*running, *sorted((year for year in old if year < today.year), reverse=True)]
