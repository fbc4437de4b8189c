"""Every figure can be asked: where is this from?

The pages are walked as a browser reads them: a figure in bold, in a paragraph or a pair, has such a question in its own
list item, or after it before the next heading. What the maker wrote, told again in the lists of entries, is asked for
nothing; the entry is its source.
"""

import datetime as dt
from dataclasses import dataclass, field
from html.parser import HTMLParser

import pytest
from django.urls import reverse

from tests.bows.conftest import begin, flatbow, sent, staves, weigh  # noqa: F401
from workshop.bows.services.readings import set_add, speed_add
from workshop.calc.imperial import GRAIN_KG, INCH_M, POUND_N
from workshop.orders.services.orders import line_add, order_add, order_step
from workshop.orders.services.persons import person_add
from workshop.staves.services import (
    bend_test_add,
    climate_add,
    moisture_add,
    oven_dry_add,
    place_add,
    ring_count_add,
    sizes_add,
    stave_carry,
    weighing_add,
)

pytestmark = pytest.mark.django_db
VOID = {"br", "hr", "img", "input", "link", "meta", "source", "wbr", "path", "line", "circle", "rect", "use"}
ASKED = "from?"  # where is this from? where are these days from?


@dataclass
class Node:
    tag: str
    classes: frozenset[str] = frozenset()
    parent: "Node | None" = None
    children: list = field(default_factory=list)

    def text(self) -> str:
        return "".join(each if isinstance(each, str) else each.text() for each in self.children)

    def walk(self):
        yield self
        for each in self.children:
            if isinstance(each, Node):
                yield from each.walk()

    def above(self, tag: str) -> "Node | None":
        node = self.parent
        while node is not None and node.tag != tag:
            node = node.parent
        return node


class Tree(HTMLParser):
    """The page as a tree. A closing tag that nothing opened is passed over, as a browser does."""

    def __init__(self, page: str):
        super().__init__()
        self.root = self.at = Node("page")
        self.feed(page)

    def handle_starttag(self, tag, attrs):
        node = Node(tag, frozenset((dict(attrs).get("class") or "").split()), self.at)
        self.at.children.append(node)
        if tag not in VOID:
            self.at = node

    def handle_startendtag(self, tag, attrs):
        self.at.children.append(Node(tag, frozenset(), self.at))

    def handle_endtag(self, tag):
        node = self.at
        while node is not None and node.tag != tag:
            node = node.parent
        if node is not None and node.parent is not None:
            self.at = node.parent

    def handle_data(self, data):
        self.at.children.append(data)


def asks(node: Node) -> bool:
    """Whether in here something opens that says where it is from."""
    return any(each.tag == "summary" and ASKED in each.text() for each in node.walk())


def figures(page: str) -> list[tuple[str, bool]]:
    """Each figure in bold of a paragraph or a pair, with whether it can be asked where it is from.

    The days of all orders are from one reckoning, which a page opens once.
    """
    main = next(node for node in Tree(page).root.walk() if node.tag == "main")
    order = list(main.walk())
    found = []
    for number, node in enumerate(order):
        paragraph = node.above("p") or node.above("dd")
        if node.tag != "b" or paragraph is None or not any(sign.isdigit() for sign in node.text()):
            continue
        if "warning" in paragraph.classes or node.above("details") is not None:
            continue
        item = node.above("li")
        kinds = item.parent.classes if item is not None else frozenset()
        if "written" in kinds:
            continue
        text = " ".join(paragraph.text().split())
        rest = order[number:]
        end = next((n for n, each in enumerate(rest) if each.tag in ("h1", "h2")), len(rest))
        if "at even odds" in text:
            rest, end = order, len(order)
        found.append((text, asks(item) if "figures" in kinds else any(map(asks, rest[:end]))))
    return found


def unasked(client, *addresses) -> list[str]:
    """The figures of these pages that cannot be asked; a page without any figure would prove nothing."""
    wanting = []
    for address in addresses:
        answer = client.get(address)
        assert answer.status_code == 200, address
        told = figures(answer.content.decode())
        assert told, f"no figure on {address}"
        wanting += [f"{address}: {text}" for text, asked in told if not asked]
    return wanting


def test_a_figure_without_its_source_would_be_seen():
    page = '<main><h1>A</h1><p class="answer"><b>45 lb</b></p><h2>B</h2><p><b>9 in</b></p>{}</main>'
    details = '<details class="source"><summary>where is this from?</summary><p>so</p></details>'
    assert [asked for _text, asked in figures(page.format(""))] == [False, False]
    assert [asked for _text, asked in figures(page.format(details))] == [False, True]
    row = '<main><ul class="figures"><li><p><b>1</b></p></li><li><p><b>2</b></p>{}</li></ul></main>'
    assert [asked for _text, asked in figures(row.format(details))] == [False, True]


@pytest.fixture
def known_stave(staves, owner):  # noqa: F811
    """A stave of which everything is measured, drying in a shed."""
    stave, day = staves[1], dt.date.today()
    shed = place_add(by=owner, name="Long shed", walk=1)
    back = lambda n: day - dt.timedelta(days=n)  # noqa: E731
    climate_add(place=shed, by=owner, temperature_c=12, humidity_pct=70, happened_on=back(200))
    stave_carry(stave=stave, place=shed, by=owner, happened_on=back(200))
    for days, pct in ((190, 24), (150, 21), (100, 18.5), (60, 17), (20, 16)):
        moisture_add(stave=stave, by=owner, reading_pct=pct, wood_c=12, happened_on=back(days))
    rows = [{"station_m": at, "width_m": 0.06, "depth_m": 0.05} for at in (0.1, 0.9, 1.7)]
    sizes_add(stave=stave, by=owner, rows=rows, happened_on=back(20))
    oven_dry_add(stave=stave, by=owner, wet_kg=0.058, dry_kg=0.05, piece_kg=3.6, happened_on=back(19))
    weighing_add(stave=stave, by=owner, mass_kg=3.55, happened_on=back(5))
    ring_count_add(stave=stave, by=owner, end="butt", rings=20, distance_m=0.05, happened_on=back(5))
    bend_test_add(
        stave=stave, by=owner, span_m=0.3, width_m=0.02, depth_m=0.01, load_n=40, deflection_m=0.0015,
        moisture_pct=10, happened_on=back(5),
    )  # fmt: skip
    return stave


def test_every_figure_of_a_stave_can_be_asked_where_it_is_from(as_owner, known_stave):
    assert unasked(as_owner, reverse("stave", args=[known_stave.pk])) == []


@pytest.fixture
def shot_bow(flatbow, weigh, owner):  # noqa: F811
    """Weighed on the way, its set read, and shot."""
    weigh(flatbow, (12, 11), (16, 19), (20, 26))
    set_add(bow=flatbow, by=owner, follow_m=0.0, is_zero=True, happened_on=dt.date(2026, 4, 1))
    set_add(bow=flatbow, by=owner, follow_m=0.2 * INCH_M, happened_on=dt.date(2026, 4, 2), rested=True)
    for grains, feet in ((400, 150), (600, 128)):
        speed_add(
            bow=flatbow, by=owner, arrow_kg=grains * GRAIN_KG, speed_m_s=feet * 0.3048, draw_m=28 * INCH_M,
            happened_on=dt.date(2026, 4, 1),
        )  # fmt: skip
    return flatbow


def test_every_figure_of_a_bow_and_its_next_pull_can_be_asked(as_owner, shot_bow):
    assert unasked(as_owner, reverse("bow", args=[shot_bow.pk])) == []


def test_a_rated_bow_says_which_weigh_in_rates_it_and_whether_the_draw_was_read(as_owner, flatbow, weigh):  # noqa: F811
    weigh(flatbow, (12, 11), (20, 26), (27, 42), (29, 47), purpose="final")
    at = reverse("bow", args=[flatbow.pk])
    assert unasked(as_owner, at, reverse("bow-arrows", args=[flatbow.pk])) == []
    page = as_owner.get(at)
    between = dict(page.context["sources"]["rating"].inputs)["Between"].replace("\N{NO-BREAK SPACE}", " ")
    assert between == "27 in – 29 in"


def test_every_figure_of_a_plan_and_of_those_compared_with_it_can_be_asked(as_owner, shot_bow):
    begun = reverse("bow-plan-begin", args=[shot_bow.pk])
    assert as_owner.post(begun, sent(as_owner.get(begun))).status_code == 302
    at = reverse("bow-plan-sheet", args=[shot_bow.pk])
    compared = f"{at}?others=wider&wider=10&others=shorter&shorter=2"
    assert unasked(as_owner, at, compared, f"{at}?long_string=72") == []


def test_every_figure_of_arrows_and_string_can_be_asked(as_owner, shot_bow):
    at = reverse("bow-arrows", args=[shot_bow.pk])
    assert unasked(as_owner, at, f"{at}?arrow_kg=500&rating_lb=50&astm_in=0.5&strand_n=26") == []


def test_every_forecast_of_an_order_can_be_asked(as_owner, owner):
    person = person_add(by=owner, name="Edda Quill")
    order = order_add(by=owner, payer=person, happened_on=dt.date.today(), number="26-001")
    line = line_add(order=order, by=owner, kind="bow", wanted_n=45 * POUND_N, wanted_draw_m=28 * INCH_M)
    order_step(order=order, state="accepted", by=owner)
    pages = [reverse("order", args=[order.pk]), reverse("order-book"), reverse("line-suits", args=[line.pk])]
    assert unasked(as_owner, *pages) == []
