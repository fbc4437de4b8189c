"""Drawings made on the server as SVG: facts go in as frozen dataclasses, a `Drawing` comes out.

Values come in display units with their labels already written, in the reader's language; a template shows
`drawing.svg` and, folded away under it, the table of `drawing.columns` and `drawing.rows`.
"""

from .drawcurve import DrawCurve, LimitOfPull, Projection, Wanted, WeighInLine, draw_curve
from .flaws import Face, Flaw, FlawMap, flaw_map
from .history import Guide, SetHistory, SetReading, set_history
from .limbs import LimbOutline, LimbStations, Place, Station, limb_outline
from .moisture import DryingForecast, MoistureCurve, MoistureReading, ReadyBand, Stay, moisture_curve
from .paper import Drawing, plain
from .scales import Axis
from .shapes import BowShape, Shape, bow_shape
from .spark import sparkline

__all__ = [
    "Axis",
    "BowShape",
    "DrawCurve",
    "Drawing",
    "DryingForecast",
    "Face",
    "Flaw",
    "FlawMap",
    "Guide",
    "LimbOutline",
    "LimbStations",
    "LimitOfPull",
    "MoistureCurve",
    "MoistureReading",
    "Place",
    "Projection",
    "ReadyBand",
    "SetHistory",
    "SetReading",
    "Shape",
    "Station",
    "Stay",
    "Wanted",
    "WeighInLine",
    "bow_shape",
    "draw_curve",
    "flaw_map",
    "limb_outline",
    "moisture_curve",
    "plain",
    "set_history",
    "sparkline",
]
