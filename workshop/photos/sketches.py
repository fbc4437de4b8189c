"""Pictures for the invented workshop, drawn and not taken: end grain, staves, bows, what goes wrong with them.

The same kind and seed give the same picture. Every one says on its face that it is drawn and invented, so that
none can be taken for a photo of real wood. Pillow only, no Django.
"""

import math
import random
from io import BytesIO

from PIL import Image, ImageDraw, ImageFont

WIDTH, HEIGHT = 1000, 750
FINER = 2  # drawn at twice the size and shrunk, which smooths the edges
MARK = "drawn, invented"

PAPER, GRAPHITE, SHADE = (244, 240, 231), (52, 50, 48), (214, 208, 196)
BARK, SAPWOOD, HEARTWOOD = (98, 82, 66), (226, 200, 152), (184, 124, 74)
LATE_WOOD, ROPE, IRON = (142, 92, 54), (196, 178, 140), (120, 122, 124)


class Board:
    """A drawing board of 1000 by 750, with an even hand."""

    def __init__(self, ground: tuple[int, int, int] = PAPER):
        self.image = Image.new("RGB", (WIDTH * FINER, HEIGHT * FINER), ground)
        self._draw = ImageDraw.Draw(self.image)

    def line(self, points, colour=GRAPHITE, weight=2.0):
        self._draw.line(_finer(points), colour, max(1, round(weight * FINER)), joint="curve")

    def area(self, points, fill, edge=GRAPHITE, weight=2.0):
        self._draw.polygon(_finer(points), fill)
        if weight:
            self.line([*points, points[0]], edge, weight)

    def disc(self, x, y, radius, fill, edge=GRAPHITE, tall=1.0):
        box = _finer([(x - radius, y - radius * tall), (x + radius, y + radius * tall)])
        self._draw.ellipse(box, fill, edge, 2 * FINER)

    def words(self, x, y, words, size=26, colour=GRAPHITE, anchor="la"):
        font = ImageFont.load_default(size * FINER)
        self._draw.text((x * FINER, y * FINER), words, colour, font, anchor)

    def scribble(self, left, right, y, lines=1):
        """Where something is written that the picture does not say: what is on a tag is the record's to tell."""
        for i in range(lines):
            row = [(left + (right - left) * n / 12, y + 11 * i + (2 if n % 2 else -2)) for n in range(13)]
            self.line(row, weight=1.5)

    def finished(self, label: str, mark: str) -> bytes:
        self.area([(0, 704), (WIDTH, 704), (WIDTH, HEIGHT), (0, HEIGHT)], PAPER, weight=0)
        self.line([(0, 704), (WIDTH, 704)], weight=1.5)
        self.words(20, 727, label, 24, anchor="lm")
        self.words(WIDTH - 20, 727, mark, 24, anchor="rm")
        out = BytesIO()
        self.image.reduce(FINER).save(out, "JPEG", quality=82)
        return out.getvalue()


def _finer(points):
    return [(x * FINER, y * FINER) for x, y in points]


def _wander(dice: random.Random, start: float, end: float, y: float, sway: float, steps: int = 24):
    """A line from left to right that strays a little, as grain does."""
    points, drift = [], 0.0
    for i in range(steps + 1):
        drift = 0.8 * drift + dice.uniform(-sway, sway)
        points.append((start + (end - start) * i / steps, y + drift))
    return points


def end_grain(board: Board, dice: random.Random) -> None:
    """A split sector of a log seen on its end: rings, bark, pale sapwood, and a check running in."""
    cx, cy, outer = 500, 1150, 980
    spread = math.radians(dice.uniform(17, 22))

    def arc(radius, steps=40):
        angles = [-spread + 2 * spread * i / steps for i in range(steps + 1)]
        return [(cx + radius * math.sin(a), cy - radius * math.cos(a)) for a in angles]

    inner = dice.uniform(480, 540)
    sapwood_from = outer - dice.uniform(70, 150)
    board.area(arc(outer) + arc(inner)[::-1], BARK)
    board.area(arc(outer - 22) + arc(inner)[::-1], SAPWOOD)
    board.area(arc(sapwood_from) + arc(inner)[::-1], HEARTWOOD, weight=0)
    radius = outer - 22
    while radius > inner + 6:
        board.line(arc(radius), LATE_WOOD, dice.uniform(2.0, 4.5))
        radius -= dice.uniform(9, 26)
    for _ in range(26):  # rays
        angle, start = dice.uniform(-spread, spread), dice.uniform(inner, outer - 120)
        end = start + dice.uniform(30, 90)
        ends = [(cx + r * math.sin(angle), cy - r * math.cos(angle)) for r in (start, end)]
        board.line(ends, (204, 160, 108), 1)
    angle = dice.uniform(-spread / 2, spread / 2)
    check = [
        (cx + r * math.sin(angle + dice.uniform(-0.004, 0.004)), cy - r * math.cos(angle))
        for r in range(round(outer - 22), round(outer - dice.uniform(120, 220)), -20)
    ]
    board.line(check, GRAPHITE, 3.5)
    _rule(board, 150, 676, 850)


def _rule(board: Board, left: float, y: float, right: float) -> None:
    """A rule beside the wood, in tens."""
    board.area([(left, y - 20), (right, y - 20), (right, y + 18), (left, y + 18)], PAPER)
    for i in range(41):
        x = left + (right - left) * i / 40
        board.line([(x, y - 20), (x, y - (4 if i % 10 == 0 else 12))], weight=1.2)


def staves_on_a_rack(board: Board, dice: random.Random) -> None:
    """Pieces lying on pegs along a wall, each with its tag."""
    for y in (120, 300, 480, 660):
        board.line(_wander(dice, 0, WIDTH, y - 60, 0.6), SHADE, 1.5)
    for x in (180, 500, 820):
        board.area([(x - 16, 40), (x + 16, 40), (x + 16, 704), (x - 16, 704)], SHADE)
    for row in range(4):
        base = 150 + 160 * row
        for x in (180, 500, 820):
            board.area([(x - 22, base), (x + 22, base), (x + 22, base + 14), (x - 22, base + 14)], IRON)
        for layer in range(dice.randint(1, 2)):
            _stave(board, dice, base - 42 * layer)


def _stave(board: Board, dice: random.Random, base: float) -> None:
    left, right, deep = dice.uniform(30, 110), dice.uniform(890, 970), dice.uniform(30, 38)
    bend = dice.uniform(-7, 7)
    along = [(left + (right - left) * i / 30, bend * math.sin(math.pi * i / 30)) for i in range(31)]
    lower, upper = [(x, base + y) for x, y in along], [(x, base - deep + y) for x, y in along]
    wood = dice.choice([SAPWOOD, HEARTWOOD, (210, 170, 116)])
    board.area(lower + upper[::-1], wood)
    for _ in range(4):
        shift = dice.uniform(6, deep - 6)
        board.line([(x, base - shift + y + dice.uniform(-1, 1)) for x, y in along], LATE_WOOD, 1)
    if dice.random() < 0.6:
        board.line(upper, BARK, 7)
    board.area(
        [(left, base - deep), (left + 16, base - deep), (left + 16, base), (left, base)], (236, 230, 214)
    )
    tag = left + dice.uniform(60, 130)
    board.area(
        [(tag, base - 8), (tag + 46, base - 8), (tag + 46, base + 22), (tag, base + 22)], PAPER, weight=1.2
    )
    board.scribble(tag + 8, tag + 38, base + 7)


def bow_on_the_tree(board: Board, dice: random.Random) -> None:
    """A bow on the tillering tree, back up in its cradle, the string drawn down by a rope to marks on the post."""
    board.area([(470, 130), (530, 130), (530, 704), (470, 704)], (206, 184, 146))
    for number in range(8, 30):
        y = 170 + (number - 6) * 19.5
        board.line([(470, y), (498 if number % 2 == 0 else 484, y)], weight=1.2)
        if number % 4 == 0:
            board.words(524, y, str(number), 17, anchor="rm")
    draw = dice.choice([12, 16, 20, 24, 26])
    bend = 0.32 + 0.036 * draw
    unlike = dice.uniform(0.94, 1.06)
    left, right = _limb(bend * unlike, -1), _limb(bend / unlike, 1)
    string_y = 170 + (draw - 6) * 19.5
    board.line([left[-1], (500, string_y), right[-1]], (90, 70, 50), 3)
    for limb in (left, right):
        _limb_wood(board, limb)
    board.area([(452, 142), (548, 142), (538, 172), (462, 172)], (150, 120, 84))
    board.line([(500, string_y), (500, 690)], ROPE, 5)
    board.disc(500, 676, 24, IRON)
    board.disc(500, 676, 6, PAPER)
    board.line([(524, 676), (900, 700)], ROPE, 5)


def _limb(bend: float, side: int, length: float = 400) -> list[tuple[float, float]]:
    """A limb as a line, curving ever more toward its tip."""
    x, y, points, steps = 500.0 + 30 * side, 150.0, [], 40
    for i in range(steps + 1):
        points.append((x, y))
        angle = bend * (0.35 * i / steps + 0.65 * (i / steps) ** 1.6)
        x += side * length / steps * math.cos(angle)
        y += length / steps * math.sin(angle)
    return points


def _limb_wood(board: Board, line: list[tuple[float, float]]) -> None:
    """Depth laid under the line of the back, thinning toward the tip."""
    belly = []
    for i, (x, y) in enumerate(line):
        ahead, behind = line[min(i + 1, len(line) - 1)], line[max(i - 1, 0)]
        along = math.atan2(ahead[1] - behind[1], abs(ahead[0] - behind[0]))
        side = 1 if line[-1][0] > line[0][0] else -1
        depth = 20 - 11 * i / len(line)
        belly.append((x - side * depth * math.sin(along), y + depth * math.cos(along)))
    board.area(line + belly[::-1], HEARTWOOD)
    board.line(line, SAPWOOD, 5)


def chrysals_on_the_belly(board: Board, dice: random.Random) -> None:
    """The belly close up: fine zigzag lines across the grain where the wood was crushed."""
    _face(board, dice, HEARTWOOD)
    middle = dice.uniform(420, 580)
    for _ in range(dice.randint(5, 8)):
        x, y = middle + dice.uniform(-90, 90), dice.uniform(190, 420)
        line = [(x, y)]
        for _ in range(dice.randint(7, 15)):
            x, y = x + dice.uniform(-13, 13), y + dice.uniform(8, 15)
            line.append((x, y))
        board.line(line, (92, 50, 26), 3)
        board.line([(px + 3, py) for px, py in line], (226, 178, 128), 1.5)
    _rule(board, 150, 672, 850)


def knot_on_the_back(board: Board, dice: random.Random) -> None:
    """The back close up: a pin knot with the grain flowing round it."""
    cx, cy = dice.uniform(380, 620), dice.uniform(300, 420)
    board.area([(0, 130), (WIDTH, 130), (WIDTH, 600), (0, 600)], SAPWOOD)
    for i in range(34):
        y = 142 + 13.8 * i
        push = 46 * math.copysign(1, y - cy) if abs(y - cy) > 1 else 46
        line = []
        for x in range(0, WIDTH + 1, 20):
            near = math.exp(-(((x - cx) / 110) ** 2) - ((y - cy) / 90) ** 2)
            line.append((x, y + push * near + dice.uniform(-0.7, 0.7)))
        board.line(line, (198, 160, 108), 2.2)
    board.disc(cx, cy, 30, HEARTWOOD, tall=0.8)
    board.disc(cx, cy, 16, (110, 66, 38), tall=0.8)
    _rule(board, 150, 672, 850)


def lifted_splinter(board: Board, dice: random.Random) -> None:
    """A limb that let go: a long splinter standing off the back."""
    break_x = dice.uniform(420, 560)
    board.area([(0, 330), (break_x, 330), (break_x + 60, 440), (0, 440)], HEARTWOOD)
    board.area([(WIDTH, 360), (break_x + 40, 352), (break_x + 100, 470), (WIDTH, 462)], HEARTWOOD)
    board.area([(0, 316), (break_x - 120, 318), (break_x - 100, 334), (0, 334)], SAPWOOD)
    for _ in range(9):
        start, reach = dice.uniform(-140, 10), dice.uniform(90, 260)
        y, lift = 322 + dice.uniform(0, 90), dice.uniform(10, 110)
        tip = (break_x + start + reach, y - lift)
        root = break_x + start
        board.area([(root, y - 6), tip, (root, y + 6)], SAPWOOD if y < 350 else (204, 150, 98), weight=1.5)
    for y in (360, 385, 410):
        board.line(_wander(dice, 0, break_x - 20, y, 1.2), LATE_WOOD, 1.5)
        board.line(_wander(dice, break_x + 130, WIDTH, y + 26, 1.2), LATE_WOOD, 1.5)


def finished_bow(board: Board, dice: random.Random) -> None:
    """A finished bow unstrung on two pegs, with its tag."""
    follow = dice.uniform(4, 34)
    left, right = _limb(follow / 200, -1, 430), _limb(follow / 200, 1, 430)
    shift = 160
    for limb in (left, right):
        _limb_wood(board, [(x, y + shift) for x, y in limb])
        peg_x, peg_y = limb[23]
        board.disc(peg_x, peg_y + shift + 13 + 12, 12, IRON)  # under the belly, which is 13 deep there
    board.area([(440, 300), (560, 300), (560, 336), (440, 336)], (92, 60, 40))
    for i in range(12):
        board.line([(444 + 10 * i, 300), (438 + 10 * i, 336)], (60, 40, 28), 2)
    board.line([(560, 330), (600, 420)], ROPE, 2)
    board.area([(570, 420), (700, 420), (700, 500), (570, 500)], PAPER)
    board.scribble(586, 684, 444, lines=4)


def _face(board: Board, dice: random.Random, wood: tuple[int, int, int]) -> None:
    """A face of wood filling the sheet, with its grain."""
    board.area([(0, 130), (WIDTH, 130), (WIDTH, 600), (0, 600)], wood)
    for i in range(30):
        colour = tuple(max(0, part - dice.randint(14, 40)) for part in wood)
        board.line(_wander(dice, 0, WIDTH, 142 + 15.6 * i, 2.2), colour, dice.uniform(1, 2.6))


SKETCHES = {
    "end_grain": end_grain,
    "staves_on_a_rack": staves_on_a_rack,
    "bow_on_the_tree": bow_on_the_tree,
    "chrysals_on_the_belly": chrysals_on_the_belly,
    "knot_on_the_back": knot_on_the_back,
    "lifted_splinter": lifted_splinter,
    "finished_bow": finished_bow,
}


def sketch(kind: str, seed: int, *, label: str = "", mark: str = MARK) -> bytes:
    """One of `SKETCHES` as a JPEG of 1000 x 750.

    `label` stands at the foot (a tag, a bow's number); `mark` is what the picture says of itself, in the
    reader's language.

    >>> sketch("end_grain", 1) == sketch("end_grain", 1)
    True
    """
    board = Board()
    SKETCHES[kind](board, random.Random(f"{kind} {seed}"))
    return board.finished(label, mark)
