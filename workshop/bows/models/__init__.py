from workshop.bows.models.bow import Bow, Piece, StageMove, StageTick, UpperDecision
from workshop.bows.models.readings import (
    BenchTime,
    BowFlaw,
    BowNote,
    BowPhoto,
    BraceReading,
    Dimension,
    FlawLook,
    MassReading,
    SetReading,
    ShotsFired,
    Speed,
    WorkDone,
)
from workshop.bows.models.weighing import Expectation, WeighIn, WeighPoint

__all__ = [
    "BenchTime",
    "Bow",
    "BowFlaw",
    "BowNote",
    "BowPhoto",
    "BraceReading",
    "Dimension",
    "Expectation",
    "FlawLook",
    "MassReading",
    "Piece",
    "SetReading",
    "ShotsFired",
    "Speed",
    "StageMove",
    "StageTick",
    "UpperDecision",
    "WeighIn",
    "WeighPoint",
    "WorkDone",
]
