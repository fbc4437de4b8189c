"""Where the flaws of a piece or a bow lie: one strip for each face, a letter at each place."""

from collections.abc import Sequence
from dataclasses import dataclass

from .chart import KeyEntry, write_key, write_letters
from .paper import DASHED, LINE, WIDTH, Drawing, Paper, Point, fitted, lettered, width_of
from .scales import Axis, Scale, number_ticks

_EDGE = 12
_STRIP = 40


@dataclass(frozen=True)
class Face:
    """A face to draw; `name` is what flaws refer to, `label` is what is read."""

    name: str
    label: str


@dataclass(frozen=True)
class Flaw:
    """One flaw: `at` along the piece, how far it reaches `to`, on which `face`; None where not known.

    `across` runs from -1 at one edge to 1 at the other. `watched` rings the letter; the label says why.
    """

    label: str
    at: float | None = None
    to: float | None = None
    face: str | None = None
    across: float = 0.0
    watched: bool = False


@dataclass(frozen=True)
class FlawMap:
    """`start` and `end` of the piece; for a bow counted from the middle mark `start` is negative."""

    title: str
    description: str
    columns: tuple[str, str, str, str]
    start: float
    end: float
    start_label: str
    end_label: str
    along: Axis
    faces: Sequence[Face]
    place_unknown_label: str
    face_unknown_label: str
    watched_label: str = ""
    flaws: Sequence[Flaw] = ()


def flaw_map(data: FlawMap) -> Drawing:
    """Strips one under another, all to one scale; a flaw without a place stands in the key alone."""
    paper = Paper()
    low, high = sorted((data.start, data.end))
    x = Scale(low, high if high > low else low + 1, _EDGE, WIDTH - _EDGE)
    half = WIDTH / 2 - 6
    paper.text((2, 14), fitted(data.start_label, half), "faint")
    paper.text((WIDTH - 2, 14), fitted(data.end_label, half), "faint", "end")
    y = LINE + 4.0
    for face in _drawn_faces(data):
        paper.text((2, y + 12), fitted(face.label, WIDTH - 4))
        y = _draw_strip(paper, data, face, x, y + LINE)
    y = _draw_rule(paper, data, x, low, high, y)
    key = [_entry(data, number, flaw) for number, flaw in enumerate(data.flaws)]
    bottom = write_key(paper, y + 6, key)
    return Drawing(paper.finished(data.title, data.description, bottom), data.columns, _rows(data))


def _drawn_faces(data: FlawMap) -> list[Face]:
    """The faces asked for, and one more where a flaw has a place but no face."""
    faces = list(data.faces)
    known = {face.name for face in faces}
    if any(flaw.at is not None and flaw.face not in known for flaw in data.flaws):
        faces.append(Face("", data.face_unknown_label))
    return faces


def _is_on(flaw: Flaw, face: Face, data: FlawMap) -> bool:
    if face.name:
        return flaw.face == face.name
    return flaw.face not in {known.name for known in data.faces}


def _draw_strip(paper: Paper, data: FlawMap, face: Face, x: Scale, top: float) -> float:
    """The face as a strip; dashed where it stands for a face nobody wrote down."""
    left, right = x.start, x.end
    corners = [(left, top), (right, top), (right, top + _STRIP), (left, top + _STRIP)]
    paper.path(corners, "ink" if face.name else "faint", "" if face.name else DASHED, closed=True)
    placed = [(n, f) for n, f in enumerate(data.flaws) if f.at is not None and _is_on(f, face, data)]
    inks = {number: "accent" if flaw.watched else "ink" for number, flaw in placed}
    marks = [(_flaw_place(flaw, x, top), lettered(number), inks[number]) for number, flaw in placed]
    bottom = write_letters(paper, marks, top + _STRIP)
    for number, flaw in placed:
        first = _flaw_place(flaw, x, top)
        if flaw.to is not None:
            paper.line(first, (_kept(x(flaw.to), x), first[1]), "ink", weight=3)
        paper.mark("ring" if flaw.watched else "diamond", first, inks[number])
    return bottom + 8


def _flaw_place(flaw: Flaw, x: Scale, top: float) -> Point:
    across = max(-1.0, min(1.0, flaw.across))
    return _kept(x(flaw.at), x), top + _STRIP / 2 + across * (_STRIP / 2 - 6)


def _kept(place: float, x: Scale) -> float:
    """A place beyond the end (a tip cut off since) is drawn at the end."""
    return min(max(place, x.start), x.end)


def _draw_rule(paper: Paper, data: FlawMap, x: Scale, low: float, high: float, y: float) -> float:
    paper.line((x.start, y), (x.end, y), "ink", weight=1)
    taken_to = 0.0
    for value, label in number_ticks([low, high], data.along, 8).marks:
        place = x(value)
        if not x.start - 1 <= place <= x.end + 1:
            continue
        paper.line((place, y), (place, y + 4), "ink", weight=1)
        half = width_of(label) / 2
        centre = min(max(place, half), WIDTH - half)
        if centre - half >= taken_to:
            paper.text((centre, y + 19), label, "faint", "middle")
            taken_to = centre + half + 5
    paper.text((WIDTH - 2, y + 19 + LINE), fitted(data.along.label, WIDTH - 4), "faint", "end")
    return y + 24 + LINE


def _entry(data: FlawMap, number: int, flaw: Flaw) -> KeyEntry:
    letter, ink = lettered(number), "accent" if flaw.watched else "ink"

    def sample(paper: Paper, at: tuple[float, float]) -> None:
        paper.mark("ring" if flaw.watched else "diamond", (at[0] - 10, at[1]), ink)
        paper.text((at[0] + 4, at[1] + 5), letter, ink, "middle")

    words = [flaw.label]
    if flaw.at is None:
        words.append(data.place_unknown_label)
    if flaw.watched and data.watched_label:
        words.append(data.watched_label)
    return KeyEntry(", ".join(words), sample)


def _rows(data: FlawMap) -> tuple[tuple[str, ...], ...]:
    labels = {face.name: face.label for face in data.faces}
    rows = []
    for number, flaw in enumerate(data.flaws):
        place = data.place_unknown_label if flaw.at is None else data.along.show(flaw.at)
        if flaw.at is not None and flaw.to is not None:
            place += f"–{data.along.show(flaw.to)}"
        note = f", {data.watched_label}" if flaw.watched and data.watched_label else ""
        rows.append(
            (lettered(number), flaw.label + note, labels.get(flaw.face, data.face_unknown_label), place)
        )
    return tuple(rows)
