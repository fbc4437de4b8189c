"""The kinds of quantity a workshop writes down: their units, and what is believable of each.

Ranges are common practice with a wide margin, no source: they catch a slipped decimal point, not a
daring bow. Those of lengths and draw weights are round figures in inches and pounds.
"""

from dataclasses import dataclass

from . import spellings as u
from .spellings import DEGREES, Unit


@dataclass(frozen=True, eq=False)
class Kind:
    """One kind of quantity. `low` and `high` bound what is believable, in SI, and are themselves believed.

    A bare degree sign and the like (`silent`) says nothing a bare number does not. `decimals`, when
    set, are those of the SI value that are kept.
    """

    code: str
    si: str
    pint: str
    low: float
    high: float
    units: tuple[Unit, ...]
    silent: tuple[str, ...] = ()
    decimals: int | None = None

    @property
    def signed(self) -> bool:
        return self.low < 0

    def unit(self, code: str) -> Unit:
        for unit in self.units:
            if unit.code == code:
                return unit
        raise LookupError(f"a {self.code} is not given in {code!r}")


def kind_of(kind: "str | Kind") -> Kind:
    return kind if isinstance(kind, Kind) else KINDS[kind]


def _lengths(code: str, low: float, high: float, *units: Unit, decimals: int | None = None) -> Kind:
    return Kind(code, "m", "m", low, high, units, decimals=decimals)


_kinds = (
    # A stave, a bow, an archer, an arm span.
    _lengths(
        "length",
        0.0254,
        5.08,
        u.IN.like("70 1/2", '70 1/2"'),
        u.FT.like("5' 10 1/2\"", "5 ft 10.5 in"),
        u.CM.like("179", "179.5 cm"),
        u.MM.like("1790", "1790 mm"),
        u.M.like("1.79", "1.79 m"),
    ),
    # A place along a piece or a limb, from its end or from the middle mark.
    _lengths(
        "place",
        0.0,
        5.08,
        u.IN.like("9", '9 1/2"'),
        u.CM.like("23", "23.5 cm"),
        u.MM.like("230", "235 mm"),
        u.M.like("1.2", "1.2 m"),
    ),
    # Rounded to 0.01 mm, so that the same draw typed in inches and in centimetres is the same point.
    _lengths(
        "draw",
        0.0254,
        1.016,
        u.IN.like("28", '28 1/2"'),
        u.CM.like("71", "71.1 cm"),
        u.MM.like("711", "711 mm"),
        decimals=5,
    ),
    _lengths(
        "brace",
        0.0,
        0.4064,
        u.IN.like("6", '6 1/4"'),
        u.CM.like("16", "16.5 cm", figures=1),
        u.MM.like("160", "165 mm"),
    ),
    # Width or depth of a limb, a stave, a lamination, a flaw. In 64ths: at a tip, one 32nd is a fifth of the stiffness.
    _lengths(
        "depth",
        0.0001,
        0.6096,
        u.IN.like("5/8", '1 3/8"', parts=64),
        u.MM.like("16", "16.5 mm", figures=1),
        u.CM.like("1.6", "1.65 cm", figures=2),
    ),
    # Across a section: a height above the belly, or a width, which is nought at a sharp belly.
    _lengths(
        "section",
        0.0,
        0.2032,
        u.IN.like("3/8", '1 1/4"', parts=64),
        u.MM.like("10", "31.5 mm", figures=1),
        u.CM.like("1.0", "3.15 cm", figures=2),
    ),
    # Round a trunk or a log, or across it.
    _lengths(
        "girth",
        0.0254,
        12.192,
        u.IN.like("40", '40"'),
        u.FT.like("3' 4\"", "3 ft 4 in"),
        u.CM.like("100", "100 cm"),
        u.M.like("1.0", "1.0 m"),
    ),
    # String follow, reflex, natural bend, tiller difference: to either side of nought.
    _lengths(
        "offset",
        -0.508,
        0.508,
        u.IN.like("3/4", '-1/4"'),
        u.MM.like("19", "-6 mm"),
        u.CM.like("1.9", "-0.6 cm"),
    ),
    # Tags, labels and rolls.
    _lengths(
        "label",
        0.005,
        1.2,
        u.MM.like("62", "29 mm", figures=1),
        u.CM.like("6.2", "2.9 cm", figures=2),
        u.IN.like("2 1/4", '4"'),
    ),
    # How far an arrow bends under its weight on the spine rig.
    _lengths(
        "deflection",
        0.0001,
        0.08,
        u.IN.like("0.5", "0.520 in", parts=0, figures=3),
        u.MM.like("13", "13.2 mm", figures=1),
    ),
    # A ring of a year, in the middle of many.
    _lengths(
        "ring",
        0.00002,
        0.05,
        u.IN.like("0.028", "0.028 in", parts=0, figures=3),
        u.MM.like("0.71", "0.71 mm", figures=2),
    ),
    Kind(
        "force",
        "N",
        "newton",
        0.0,
        1334.5,
        (
            u.LBF.like("45", "45 lb"),
            u.N.like("200", "200 N"),
            u.KGF.like("20.4", "20.4 kg"),
            u.OZF.like("720", "45 lb 8 oz"),
        ),
    ),
    # What a bow scale may be wrong by: it is marked finer than a bow is rated.
    Kind(
        "doubt",
        "N",
        "newton",
        0.0,
        89.0,
        (
            u.LBF.like("0.25", "0.5 lb", figures=2),
            u.N.like("1", "2 N"),
            u.KGF.like("0.1", "0.25 kg", figures=2),
            u.OZF.like("4", "8 oz"),
        ),
    ),
    # In a string or a strand.
    Kind(
        "tension",
        "N",
        "newton",
        0.0,
        20000.0,
        (u.LBF.like("150", "150 lb"), u.N.like("670", "670 N"), u.KGF.like("68", "68 kg")),
    ),
    Kind(
        "mass",
        "kg",
        "kg",
        0.0001,
        500.0,
        (
            u.LB.like("4.5", "1 lb 3 oz"),
            u.OZ.like("19", "19 oz"),
            u.KG.like("2.1", "2.1 kg"),
            u.G.like("540", "540 g", figures=1),
            u.GR.like("8300", "8300 gr"),
        ),
    ),
    # A slice for the oven, on a kitchen or a letter scale: grams for everybody, and figures enough for a moisture.
    Kind(
        "slice_mass",
        "kg",
        "kg",
        0.0001,
        20.0,
        (
            u.G.like("54.2", "54.2 g", figures=1),
            u.OZ.like("1.91", "1.91 oz", figures=2),
            u.GR.like("836", "836 gr"),
            u.KG.like("0.0542", "0.0542 kg", figures=4),
            u.LB.like("0.12", "0.12 lb", figures=4),
        ),
    ),
    Kind(
        "arrow_mass",
        "kg",
        "kg",
        0.0005,
        0.3,
        (u.GR.like("400", "400 gr"), u.G.like("26", "26 g", figures=1), u.OZ.like("1", "1 oz", figures=2)),
    ),
    # Air, wood, an oven.
    Kind(
        "temperature",
        "°C",
        "degC",
        -60.0,
        120.0,
        (u.C.like("20", "20 °C", figures=1), u.F.like("68", "68 °F", figures=1)),
        silent=DEGREES,
    ),
    # A heat gun, steam, a strip over coals.
    Kind(
        "heat",
        "°C",
        "degC",
        0.0,
        450.0,
        (u.C.like("180", "180 °C"), u.F.like("360", "360 °F")),
        silent=DEGREES,
    ),
    Kind("moisture", "%", "percent", 0.0, 250.0, (u.PERCENT.like("9.5", "9.5%"),)),
    Kind("humidity", "%", "percent", 0.0, 100.0, (u.PERCENT.like("65", "65%", figures=0),)),
    Kind("percent", "%", "percent", 0.0, 100.0, (u.PERCENT.like("5", "5%"),)),
    # Kept as a plain ratio, as the arithmetic wants it; written in percent.
    Kind("strain", "1", "dimensionless", -0.1, 0.1, (u.PERCENT.like("0.9", "0.9%", figures=2),)),
    Kind("speed", "m/s", "m/s", 1.0, 150.0, (u.FPS.like("160", "160 fps"), u.MPS.like("48.5", "48.5 m/s"))),
    Kind("angle", "rad", "radian", 0.0, 6.3, (u.DEG.like("15", "15°"),)),
    Kind("energy", "J", "joule", 0.0, 1000.0, (u.FTLB.like("38", "38 ft lb"), u.J.like("52", "52 J"))),
    Kind(
        "density",
        "kg/m³",
        "kg/m**3",
        50.0,
        2000.0,
        (u.KGM3.like("690", "690 kg/m3"), u.GCM3.like("0.69", "0.69 g/cm3"), u.LBFT3.like("43", "43 lb/ft3")),
    ),
    # Stiffness of a timber (or of a backing), and its strength.
    Kind(
        "modulus",
        "Pa",
        "Pa",
        1e7,
        3e11,
        (
            u.GPA.like("11.2", "11.2 GPa"),
            u.MPA.like("11200", "11200 MPa", figures=-2),
            u.MPSI.like("1.62", "1.62 Mpsi"),
            u.PSI.like("1620000", "1620000 psi", figures=-4),
        ),
    ),
    Kind(
        "strength",
        "Pa",
        "Pa",
        1e5,
        2e9,
        (u.MPA.like("95", "95 MPa"), u.PSI.like("13800", "13800 psi", figures=-2)),
    ),
    # How fast the weight rises with the draw; falling, where wood gives way.
    Kind(
        "slope",
        "N/m",
        "N/m",
        -5000.0,
        20000.0,
        (u.LB_IN.like("2", "2 lb/in"), u.N_CM.like("3.5", "3.5 N/cm"), u.KG_CM.like("0.36", "0.36 kg/cm")),
    ),
    # Time at the bench.
    Kind(
        "time", "s", "second", 60.0, 3.6e6, (u.HOUR.like("1.5", "1 h 20 min"), u.MINUTE.like("90", "90 min"))
    ),
)
KINDS: dict[str, Kind] = {kind.code: kind for kind in _kinds}

_common = dict.fromkeys(("moisture", "humidity", "percent", "strain"), "%") | {
    "angle": "deg",
    "time": "h",
    "label": "mm",
    "slice_mass": "g",
}
SYSTEMS: dict[str, dict[str, str]] = {
    "imperial": _common
    | dict.fromkeys(
        ("length", "place", "draw", "brace", "depth", "section", "girth", "offset", "deflection", "ring"),
        "in",
    )
    | dict.fromkeys(("force", "doubt", "tension", "mass"), "lb")
    | {"arrow_mass": "gr", "temperature": "F", "heat": "F", "speed": "fps", "energy": "ft-lb"}
    | {"density": "lb/ft3", "modulus": "Mpsi", "strength": "psi", "slope": "lb/in"},
    "metric": _common
    | dict.fromkeys(("length", "draw", "girth"), "cm")
    | dict.fromkeys(("place", "brace", "depth", "section", "offset", "deflection", "ring"), "mm")
    | dict.fromkeys(("force", "doubt", "tension", "mass"), "kg")
    | {"arrow_mass": "g", "temperature": "C", "heat": "C", "speed": "m/s", "energy": "J"}
    | {"density": "kg/m3", "modulus": "GPa", "strength": "MPa", "slope": "kg/cm"},
}
