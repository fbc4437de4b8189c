from workshop.bows.models.bow import Bow, Piece, StageMove, StageTick, UpperDecision
from workshop.bows.models.classrules import ClassRule
from workshop.bows.models.readings import (
    BenchTime,
    BowFlaw,
    BowNote,
    BowPhoto,
    BraceReading,
    Dimension,
    FlawLook,
    MassReading,
    SectionOutline,
    SetReading,
    ShotsFired,
    Speed,
    WorkDone,
)
from workshop.bows.models.weighing import Expectation, WeighIn, WeighPoint, WordNoted

__all__ = [
    "BenchTime",
    "Bow",
    "BowFlaw",
    "BowNote",
    "BowPhoto",
    "BraceReading",
    "ClassRule",
    "Dimension",
    "Expectation",
    "FlawLook",
    "MassReading",
    "Piece",
    "SectionOutline",
    "SetReading",
    "ShotsFired",
    "Speed",
    "StageMove",
    "StageTick",
    "UpperDecision",
    "WeighIn",
    "WeighPoint",
    "WordNoted",
    "WorkDone",
]
