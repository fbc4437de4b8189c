"""The invented workshop of `serve --demo`: two years of it, ending today.

What happened stands in `scenario/`, in the words and figures a maker would write; how wood and bows behave in
`nature`. Everything goes in through the ledger's own services, day by day, with the clock turned to that day.
"""

import datetime as dt
import secrets
from collections.abc import Callable
from dataclasses import dataclass

from django.db import transaction
from django.utils import timezone

from workshop.bows.services.classrules import class_rules_seed
from workshop.ledger.models import Member, Shop, Terms
from workshop.ledger.people import member_add
from workshop.ledger.services import entry_add
from workshop.ledger.setup import ALPHABET, workshop_set_up
from workshop.pages.demo.bench import put_bench
from workshop.pages.demo.book import put_book
from workshop.pages.demo.clock import Clock
from workshop.pages.demo.diary import Diary
from workshop.pages.demo.store import FIRST_DAY, put_store
from workshop.pages.demo.world import World, scenario
from workshop.staves.services import timbers_seed


@dataclass(frozen=True)
class Account:
    """Somebody of the invented workshop who may sign in. The password is kept nowhere but here."""

    username: str
    name: str
    role: str
    password: str


@transaction.atomic
def build(
    today: dt.date | None = None, *, tell: Callable[[dt.date], None] = lambda day: None
) -> list[Account]:
    """Fill an empty ledger with the invented workshop as it stands `today`; all of it or nothing.

    `tell` hears of each day as it is written, for whoever waits at the terminal.
    """
    told = scenario("shop")
    clock = Clock(told["shop"]["time_zone"])
    with clock.running():
        today = today or timezone.localdate()
        accounts, members = _people(told)
        world = World(shop=Shop.objects.get(), members=members, today=today, diary=Diary(today))
        timbers_seed(by=members["wren"])
        class_rules_seed(by=members["wren"])
        world.diary.put(FIRST_DAY, lambda day: entry_add(_terms(told, day), by=members["wren"]))
        put_store(world)
        put_book(world)
        put_bench(world)
        world.diary.play(clock, tell)
    return accounts


def _people(told: dict) -> tuple[list[Account], dict[str, Member]]:
    """The workshop and one person for each role, with passwords made now."""
    accounts = [
        Account(key, person["name"], person["role"], _password()) for key, person in told["people"].items()
    ]
    first, *others = accounts
    owner = workshop_set_up(
        shop=Shop(**told["shop"]), by_name=first.name, username=first.username, password=first.password
    )
    members = {first.username: owner}
    for account in others:
        members[account.username] = member_add(
            by=owner,
            username=account.username,
            name=account.name,
            role=account.role,
            password=account.password,
        )
    return accounts, members


def _terms(told: dict, day: dt.date) -> Terms:
    return Terms(text=told["terms"]["text"].strip(), happened_on=day)


def _password() -> str:
    return "-".join("".join(secrets.choice(ALPHABET) for _letter in range(4)) for _part in range(3)).lower()
