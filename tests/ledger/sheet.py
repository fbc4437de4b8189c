"""A drawing read back from its SVG, so that it can be measured against its own axes."""

import re
from xml.etree import ElementTree

import pytest

SVG = "{http://www.w3.org/2000/svg}"


class Sheet:
    """A drawing read back from its SVG."""

    def __init__(self, svg):
        root = ElementTree.fromstring(str(svg))
        self.texts = [(t.text or "", float(t.get("x")), float(t.get("y"))) for t in root.iter(SVG + "text")]
        self.dots = list(root.iter(SVG + "circle"))
        self.paths = list(root.iter(SVG + "path"))

    @property
    def words(self):
        return [words for words, _, _ in self.texts]

    def text(self, words):
        return next((x, y) for said, x, y in self.texts if said == words)

    def traces(self, ink, **attributes):
        """Point lists of the lines in one ink."""
        found = [p for p in self.paths if ink in p.get("class").split()]
        found = [p for p in found if all(p.get(k.replace("_", "-")) == v for k, v in attributes.items())]
        return [points(p.get("d")) for p in found]

    def circles(self, hollow, radius=3.5):
        kept = [
            c for c in self.dots if ("hollow" in c.get("class")) is hollow and float(c.get("r")) == radius
        ]
        return [(float(c.get("cx")), float(c.get("cy"))) for c in kept]


def points(trace):
    numbers = [float(n) for n in re.findall(r"-?[\d.]+", trace)]
    return list(zip(numbers[::2], numbers[1::2], strict=True))


def near(place):
    return pytest.approx(place, abs=0.2)  # places on the sheet are written to a tenth


def level(sheet, figure):
    """The height at which a figure of the upright axis stands; its text sits 5 units below its line."""
    return sheet.text(figure)[1] - 5
