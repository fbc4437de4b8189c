"""The invented bow and workshop of the paper tests, and independent readers of what was printed."""

import io
import re
from dataclasses import fields

import pypdf
import pypdfium2
import zxingcpp

from workshop.documents.pdf.bow_tag import PlainTag, RatingTag
from workshop.documents.pdf.care_sheet import CareSheet
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
