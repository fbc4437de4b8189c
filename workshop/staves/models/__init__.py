from workshop.staves.models.places import ClimateReading, Place
from workshop.staves.models.readings import (
    BendTest,
    MoistureReading,
    OvenDryTest,
    RingCount,
    ShapeReading,
    StaveFlaw,
    StavePhoto,
    StaveSize,
    Weighing,
)
from workshop.staves.models.staves import Felling, StateMove, Stave, StaveMove, StaveWork
from workshop.staves.models.timber import Timber, TimberValue

__all__ = [
    "BendTest",
    "ClimateReading",
    "Felling",
    "MoistureReading",
    "OvenDryTest",
    "Place",
    "RingCount",
    "ShapeReading",
    "StateMove",
    "Stave",
    "StaveFlaw",
    "StaveMove",
    "StavePhoto",
    "StaveSize",
    "StaveWork",
    "Timber",
    "TimberValue",
    "Weighing",
]
