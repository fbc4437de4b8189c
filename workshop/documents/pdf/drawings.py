"""Line drawings of a bow in the workshop's own hand: graphite lines, figures beside them, no colour."""

from workshop.documents.pdf.layout import MM
from workshop.documents.pdf.text import HAIR, INK, NOTE, SOFT, put

STRUNG_BOW_HIGH = 25 * MM


def strung_bow(upper: str, back: str, belly: str, brace: str, nock: str):
    """A painter of a strung bow lying down, upper limb to the right, with its brace height.

    A picture of how the parts lie, not of one bow's shape.
    """

    def paint(canvas, x, top, width):
        middle, half = x + width / 2 - 8 * MM, min(width / 2 - 24 * MM, 48 * MM)
        string = top - 22 * MM
        grip = string + 15 * MM
        canvas.setStrokeGray(INK)
        canvas.setFillGray(INK)
        canvas.drawPath(_bent_bow(canvas, middle, grip, half, grip - string), stroke=0, fill=1)
        canvas.setLineWidth(0.5)
        canvas.line(middle - half, string, middle + half, string)
        _measure_up(canvas, middle, string, grip - 1.6 * MM, brace)
        put(canvas, [back], NOTE, middle - 30 * MM, grip + 6 * MM, width=60 * MM, align="centre")
        put(canvas, [belly], NOTE, middle - 28 * MM, grip - 6.5 * MM, width=26 * MM, align="right")
        put(canvas, [nock], NOTE, middle - half - 22 * MM, string + 2, width=20 * MM, align="right")
        _pointer(canvas, middle + half * 0.7, grip - 5 * MM, upper)

    return paint


def _bent_bow(canvas, x: float, y: float, half: float, drop: float):
    """The outline of a bent bow seen from the side: thick in the grip, thin at the tips."""
    steps = [n / 40 - 1 for n in range(81)]
    upper = [(x + half * t, y - drop * abs(t) ** 2) for t in steps]
    depth = [1.6 * MM if abs(t) < 0.09 else (1.15 - 0.75 * abs(t)) * MM for t in steps]
    path = canvas.beginPath()
    path.moveTo(*upper[0])
    for point in upper[1:]:
        path.lineTo(*point)
    for (px, py), thick in reversed(list(zip(upper, depth, strict=True))):
        path.lineTo(px, py - thick)
    path.close()
    return path


def _measure_up(canvas, x: float, low: float, high: float, said: str) -> None:
    canvas.setLineWidth(0.4)
    canvas.setStrokeGray(SOFT)
    canvas.line(x, low, x, high)
    for y, away in ((low, 1), (high, -1)):
        canvas.line(x - 2, y + 4 * away, x, y)
        canvas.line(x + 2, y + 4 * away, x, y)
    put(canvas, [said], NOTE, x + 2 * MM, (low + high) / 2 + NOTE.leading / 2)


def _pointer(canvas, x: float, y: float, said: str) -> None:
    canvas.setLineWidth(0.4)
    canvas.setStrokeGray(HAIR)
    canvas.line(x, y, x + 8 * MM, y + 4 * MM)
    put(canvas, [said], NOTE, x + 9 * MM, y + 4 * MM + NOTE.leading / 2)
