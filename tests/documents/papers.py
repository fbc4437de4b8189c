"""The invented bow and workshop of the paper tests, and independent readers of what was printed."""

import io
import re
from dataclasses import fields, is_dataclass, replace

import pypdf
import pypdfium2
import zxingcpp

from workshop.documents.pdf.bench_card import BenchCard, Stage
from workshop.documents.pdf.bow_tag import PlainTag, RatingTag
from workshop.documents.pdf.care_sheet import CareSheet
from workshop.documents.pdf.chart import Axis, Tick
from workshop.documents.pdf.draw_curve_sheet import DrawCurveSheet, Weighed
from workshop.documents.pdf.order_sheet import Line, OrderSheet, Party
from workshop.documents.pdf.outline import Layout, Station
from workshop.documents.pdf.press import Workshop
from workshop.documents.pdf.stave_tag import StaveTag

SHOP = Workshop(
    name="Hazel Fenwick, bowyer",
    address="3 Alder Row\nNether Wickham",
    contact="hazel@fenwick.invalid",
    mark="HF",
)
RATING = RatingTag(
    number="2026-014",
    maker=SHOP.name,
    address="3 Alder Row, Nether Wickham",
    timber="Yew, self",
    length="5′ 10 ½″ nock to nock",
    brace_height="6 ⅜ in",
    string="linen, 12 strands",
    date="12 May 2026",
    code="https://ledger.invalid/b/2026-014",
    weight="45 lb",
    draw="28 in",
    measured_from="measured from the back of the bow",
    also="200 N at 71.1 cm",
)
PLAIN = PlainTag(**{field.name: getattr(RATING, field.name) for field in fields(PlainTag)})
CARE = CareSheet(
    workshop=SHOP,
    number="2026-014",
    archer="Ladislav Žák",
    timber="Yew, self",
    length="5′ 10 ½″ nock to nock",
    weight="45 lb",
    draw="28 in",
    measured_from="measured from the back of the bow",
    brace_height="6 ⅜ in, belly of grip to string",
    string="linen, 12 strands",
    lightest_arrow="450 gr",
    arrow_length="at least 29 in",
    upper_limb="marked with a cross on the back, above the grip",
    date="12 May 2026",
    terms="One year on the wood for the first owner.",
    code="https://ledger.invalid/b/2026-014",
)


STATIONS = tuple(
    Station(
        at=f"{inches} in",
        width=f"{width} mm",
        half_width=f"{width / 2:g} mm",
        depth=f"{depth} mm",
        at_m=inches * 0.0254,
        width_m=width / 1000,
        depth_m=depth / 1000,
    )
    for inches, width, depth in (
        (0, 32, 28),
        (6, 35, 26),
        (12, 34, 24),
        (18, 32, 22),
        (24, 29, 20),
        (35, 13, 12),
    )
)
BENCH = BenchCard(
    workshop=SHOP,
    number="2026-014",
    date="3 March 2026",
    kind="full-compass",
    for_whom="for Ladislav Žák",
    pieces=("26-001, whole: yew, felled Feb 2024", "horn nocks"),
    weight="45 lb",
    draw="28 in",
    measured_from="from the back of the bow",
    tolerance="give or take 2 lb",
    limit_of_pull="49 lb at any draw",
    length="5′ 10″ nock to nock",
    centre_line="along the back, with the run of the grain",
    grip_marks="1 in above the middle mark, 3 in below it",
    section="deep D",
    curve="arc of a circle",
    layout=Layout(stations=STATIONS, limb_a_m=0.889, limb_b_m=0.889, grip_a_m=0.0254, grip_b_m=0.0762),
    stages=(Stage(name="Roughing", checks=("The back follows one ring", "Corners rounded")),),
    dust="Yew: irritant, and poisonous in wood and dust.",
    code="https://ledger.invalid/b/2026-014",
)
ORDER = OrderSheet(
    workshop=SHOP,
    number="2026-07",
    date="3 March 2026",
    state="accepted",
    promised="1 May 2026",
    parties=(
        Party(
            part="pays",
            name="Mirela Žáková",
            address="8 Mill Lane\nOver Wickham",
            contact="m@wickham.invalid",
        ),
        Party(part="shoots", name="Ladislav Žák", measures="draw 28 in from the back, 2 March 2026"),
    ),
    lines=(
        Line(
            what="Bow, full-compass, yew",
            quantity="1",
            price="€ 640.00",
            particulars=(("Draw weight", "45 lb at 28 in, give or take 2 lb"), ("Nocks", "horn")),
        ),
        Line(what="Strings, linen", quantity="2", price="€ 36.00"),
    ),
    price="€ 676.00",
    deposit="€ 200.00",
    paid="€ 150.00",
    still_due="€ 526.00",
    terms="The bow is made to the weight above within the tolerance.",
    code="https://ledger.invalid/o/2026-07",
)
INCH, POUND = 0.0254, 4.4482216152605
WEIGHED = ((10, 6.2), (14, 14.6), (18, 22.8), (22, 31.0), (26, 40.0), (28, 45.0))
CURVE = DrawCurveSheet(
    workshop=SHOP,
    number="2026-014",
    date="10 May 2026",
    weight="45 lb",
    draw="28 in",
    measured_from="measured from the back of the bow",
    points=tuple(
        Weighed(draw=f"{draw} in", weight=f"{weight} lb", draw_m=draw * INCH, force_n=weight * POUND)
        for draw, weight in WEIGHED
    ),
    across=Axis(name="draw, in", ticks=tuple(Tick(at=at * INCH, said=str(at)) for at in range(6, 31, 2))),
    up=Axis(name="weight, lb", ticks=tuple(Tick(at=at * POUND, said=str(at)) for at in range(0, 51, 10))),
    line=((6.5 * INCH, 0.0), *((draw * INCH, weight * POUND) for draw, weight in WEIGHED)),
    energy="39.6 ft·lb",
    slope="2.5 lb an inch",
    brace_height="6 ½ in",
    string="linen, 12 strands",
    how=("Draw from the back of the bow", "Spring balance no. 2, checked 1 May 2026"),
    code="https://ledger.invalid/b/2026-014",
)


def stave(number: int = 1, **changes) -> StaveTag:
    facts = {
        "tag": f"26-{number:03d}",
        "timber": "Yew",
        "felled": "Feb 2024",
        "piece": f"stave {number} of 24, 6′ 2 ½″",
        "place": "drying loft, rack 2",
        "maker": SHOP.name,
        "code": f"https://ledger.invalid/s/26-{number:03d}",
    }
    return StaveTag(**(facts | changes))


def pages(pdf: bytes) -> list[pypdf.PageObject]:
    return list(pypdf.PdfReader(io.BytesIO(pdf)).pages)


def words_on(page: pypdf.PageObject) -> str:
    return " ".join(page.extract_text().split())


def words_of(pdf: bytes) -> str:
    return " ".join(words_on(page) for page in pages(pdf))


def pictures(pdf: bytes, dpi: int = 200) -> list:
    """Each page as a grey picture, drawn by another program than the one that wrote it."""
    document = pypdfium2.PdfDocument(pdf)
    return [page.render(scale=dpi / 72, grayscale=True).to_pil() for page in document]


def lines_that_overlap(pdf: bytes) -> list[tuple[str, str]]:
    """Pairs of printed texts of which one lies on the other by more than a quarter of its height, as drawn."""
    found = []
    for page in pypdfium2.PdfDocument(pdf):
        text = page.get_textpage()
        boxes = [text.get_rect(n) for n in range(text.count_rects())]
        for n, (left, foot, right, top) in enumerate(boxes):
            for other in boxes[n + 1 :]:
                wide = min(right, other[2]) - max(left, other[0])
                high = min(top, other[3]) - max(foot, other[1])
                if wide > 0.5 and high > min(top - foot, other[3] - other[1]) / 4:
                    found.append(
                        (text.get_text_bounded(left, foot, right, top), text.get_text_bounded(*other))
                    )
    return found


def codes(pdf: bytes, dpi: int = 200) -> list[str]:
    return [found.text for picture in pictures(pdf, dpi) for found in zxingcpp.read_barcodes(picture)]


def ink_margins_mm(picture, dpi: int = 200) -> tuple[float, float, float, float]:
    """White left, above, right and below the ink of a page [mm]."""
    left, top, right, bottom = picture.convert("L").point(lambda grey: 255 if grey < 200 else 0).getbbox()
    width, height = picture.size
    return tuple(edge * 25.4 / dpi for edge in (left, top, width - right, height - bottom))


def rectangles_mm(page: pypdf.PageObject) -> list[tuple[float, float, float, float]]:
    """Stroked rectangles as they stand in the page's own content: left, lower edge, width, height [mm]."""
    content = page.get_contents().get_data().decode("latin-1")
    number = r"(-?[\d.]+)"
    found = re.findall(rf"{number} {number} {number} {number} re S", content)
    return [tuple(float(each) * 25.4 / 72 for each in rectangle) for rectangle in found]


def polylines_mm(page: pypdf.PageObject) -> list[list[tuple[float, float]]]:
    """Every stroked line of the page's own content, as points [mm] from the lower left corner."""
    content = page.get_contents().get_data().decode("latin-1")
    found = re.findall(r"((?:-?[\d.]+ -?[\d.]+ [ml]\s+)+)S\b", content)
    return [
        [
            (float(x) * 25.4 / 72, float(y) * 25.4 / 72)
            for x, y in re.findall(r"(-?[\d.]+) (-?[\d.]+) [ml]", line)
        ]
        for line in found
    ]


def filled_with(facts, text: str, *, skip: tuple[str, ...] = ("code", "limb")):
    """The same facts with every word in them replaced by `text`, however deep it lies."""
    if isinstance(facts, str):
        return text
    if isinstance(facts, tuple):
        return tuple(filled_with(each, text) for each in facts)
    if not is_dataclass(facts):
        return facts
    changes = {f.name: filled_with(getattr(facts, f.name), text) for f in fields(facts) if f.name not in skip}
    return replace(facts, **changes)
