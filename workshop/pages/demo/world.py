"""The invented workshop while it is being written: who is there, what there is, and how it behaves."""

import datetime as dt
import random
import tomllib
from dataclasses import dataclass, field
from functools import cache
from pathlib import Path

from workshop.bows.models import Bow
from workshop.ledger.models import Instrument, Member, Shop
from workshop.orders.models import Order, OrderLine, Person
from workshop.pages.demo.diary import Diary
from workshop.pages.demo.nature import Air, Drying
from workshop.pages.demo.tillered import Tillered
from workshop.photos.images import Prepared, prepare
from workshop.photos.sketches import sketch
from workshop.staves.models import Place, Stave
from workshop.units import read

SCENARIO = Path(__file__).parent / "scenario"
SEED = 1415
UNITS = {
    "length": "in", "place": "in", "draw": "in", "force": "lb", "brace": "in", "depth": "in", "offset": "in",
}  # fmt: skip


@cache
def scenario(name: str) -> dict:
    return tomllib.loads((SCENARIO / f"{name}.toml").read_text())


def si(text: str, kind: str) -> float | None:
    """A measure as this workshop writes it: `si("28 1/2", "draw")`."""
    return read(text, kind, UNITS[kind]).value if text else None


@cache
def picture(kind: str, seed: int, label: str) -> Prepared:
    return prepare(sketch(kind, seed, label=label))


@dataclass
class World:
    shop: Shop
    members: dict[str, Member]
    today: dt.date
    diary: Diary
    dice: random.Random = field(default_factory=lambda: random.Random(SEED))
    airs: dict[str, Air] = field(default_factory=dict)
    places: dict[str, Place] = field(default_factory=dict)
    instruments: dict[str, Instrument] = field(default_factory=dict)
    staves: dict[str, Stave] = field(default_factory=dict)
    drying: dict[str, Drying] = field(default_factory=dict)
    persons: dict[str, Person] = field(default_factory=dict)
    orders: dict[str, Order] = field(default_factory=dict)
    lines: dict[str, list[OrderLine]] = field(default_factory=dict)
    bows: dict[str, Bow] = field(default_factory=dict)
    tillered: dict[str, Tillered] = field(default_factory=dict)

    def order_of_line(self, key: str) -> OrderLine:
        """The bow line of an order."""
        return self.lines[key][0]
