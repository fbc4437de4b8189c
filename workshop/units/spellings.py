"""Units, with every spelling a maker is known to use.

Pounds and kilograms stand here twice: as force, for the weight of a bow, and as mass, for its parts.
Which is meant is said by the kind of quantity, never by the text.
"""

from dataclasses import dataclass, replace

NBSP = "\N{NO-BREAK SPACE}"


@dataclass(frozen=True, eq=False)
class Unit:
    """One unit as a maker writes it.

    `spellings` are in lower case. `figures` are the decimals shown when nobody asks for others; below nought,
    tens and hundreds are not told apart (no wood is known to a pound in 13 700 psi). A unit may be shown in
    `parts` instead (16 for sixteenths), or as a whole number of it and a rest `in_smaller` ones: (how many
    make one, their symbol). `examples` are two that read well in the kind it belongs to.
    """

    code: str
    pint: str
    spellings: tuple[str, ...]
    symbol: str
    figures: int = 0
    parts: int = 0
    in_smaller: tuple[int, str] | None = None
    glue: str = NBSP
    examples: tuple[str, str] = ("", "")

    def like(self, *examples: str, **changes) -> "Unit":
        return replace(self, examples=examples, **changes)


IN = Unit("in", "inch", ("in", "in.", "ins", "inch", "inches", '"', "''"), "in", parts=16)
FT = Unit("ft", "foot", ("ft", "ft.", "foot", "feet", "'"), "ft", parts=16, in_smaller=(12, "in"))
MM = Unit("mm", "mm", ("mm", "mm.", "millimetre", "millimetres", "millimeter", "millimeters"), "mm")
CM = Unit("cm", "cm", ("cm", "cm.", "centimetre", "centimetres", "centimeter", "centimeters"), "cm", 1)
M = Unit("m", "m", ("m", "m.", "metre", "metres", "meter", "meters"), "m", 2)

_POUND = ("lb", "lb.", "lbs", "lbs.", "pound", "pounds", "#", "℔")
LBF = Unit("lb", "force_pound", (*_POUND, "lbf"), "lb", 1)
OZF = Unit("oz", "force_ounce", ("oz", "oz.", "ounce", "ounces", "ozf"), "oz")
N = Unit("N", "newton", ("n", "newton", "newtons"), "N", 1)
KGF = Unit("kg", "kilogram_force", ("kg", "kg.", "kgs", "kilo", "kilos", "kgf", "kp"), "kg", 1)

LB = Unit("lb", "pound", _POUND, "lb", 2)
OZ = Unit("oz", "ounce", ("oz", "oz.", "ounce", "ounces"), "oz", 1)
KG = Unit("kg", "kg", ("kg", "kg.", "kgs", "kilo", "kilos", "kilogram", "kilograms"), "kg", 3)
G = Unit("g", "g", ("g", "g.", "gram", "grams", "gramme", "grammes"), "g")
GR = Unit("gr", "grain", ("gr", "gr.", "grs", "grain", "grains"), "gr")

DEGREES = ("°", "deg", "deg.", "degree", "degrees")
C = Unit("C", "degC", ("c", "° c", "deg c", "celsius"), "°C")
F = Unit("F", "degF", ("f", "° f", "deg f", "fahrenheit"), "°F")
DEG = Unit("deg", "degree", DEGREES, "°", 0, glue="")
PERCENT = Unit("%", "percent", ("%", "per cent", "pct"), "%", 1)

MPS = Unit("m/s", "m/s", ("m/s", "mps"), "m/s", 1)
FPS = Unit("fps", "foot/second", ("fps", "ft/s", "ft/sec", "f/s"), "fps")
J = Unit("J", "joule", ("j", "joule", "joules", "nm"), "J", 1)
_FOOT_POUND = (
    "ft lb",
    "ft lbs",
    "ft-lb",
    "ft-lbs",
    "ft·lb",
    "ft·lbf",
    "ft lbf",
    "ft-lbf",
    "foot pounds",
    "foot-pounds",
)
FTLB = Unit("ft-lb", "foot*force_pound", _FOOT_POUND, "ft·lb", 1)

KGM3 = Unit("kg/m3", "kg/m**3", ("kg/m3", "kg/m³", "kg/m^3"), "kg/m³")
GCM3 = Unit("g/cm3", "g/cm**3", ("g/cm3", "g/cm³", "g/cm^3", "g/cc"), "g/cm³", 3)
LBFT3 = Unit("lb/ft3", "pound/foot**3", ("lb/ft3", "lb/ft³", "lb/ft^3", "lbs/ft3", "pcf"), "lb/ft³", 1)
GPA = Unit("GPa", "GPa", ("gpa",), "GPa", 2)
MPA = Unit("MPa", "MPa", ("mpa", "n/mm2", "n/mm²", "n/mm^2"), "MPa", 1)
PSI = Unit("psi", "force_pound/inch**2", ("psi",), "psi")
MPSI = Unit("Mpsi", "megapsi", ("mpsi", "million psi"), "Mpsi", 2)

LB_IN = Unit("lb/in", "force_pound/inch", ("lb/in", "lbs/in", "#/in", 'lb/"', "lb per inch"), "lb/in", 1)
N_CM = Unit("N/cm", "newton/cm", ("n/cm",), "N/cm", 1)
KG_CM = Unit("kg/cm", "kilogram_force/cm", ("kg/cm", "kgf/cm"), "kg/cm", 2)
HOUR = Unit("h", "hour", ("h", "h.", "hr", "hrs", "hour", "hours"), "h", 1, 1, (60, "min"))
MINUTE = Unit("min", "minute", ("min", "min.", "mins", "minute", "minutes"), "min")

# A unit and the smaller one written after it; after the first two the smaller may go unnamed: 5' 10, 1 h 20.
UNNAMED_AFTER = {"ft": "in", "h": "min"}
SMALLER = UNNAMED_AFTER | {"lb": "oz", "m": "cm", "cm": "mm", "kg": "g"}
