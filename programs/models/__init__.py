from programs.models.baseline import BaselineRequest, BaselineRun, BaselineTest, NormDetail, ReferenceMax
from programs.models.blocks import Block, BlockSession, Group, Prescription, Section
from programs.models.calendar import ScheduledSession
from programs.models.logs import SetLog, TrainingLog
from programs.models.movements import HiddenMovement, Movement, MovementRevision, ProgressionEdge, ProgressionLine

__all__ = [
    "BaselineRequest",
    "BaselineRun",
    "BaselineTest",
    "Block",
    "BlockSession",
    "Group",
    "HiddenMovement",
    "Movement",
    "MovementRevision",
    "Prescription",
    "NormDetail",
    "ProgressionEdge",
    "ProgressionLine",
    "ScheduledSession",
    "ReferenceMax",
    "Section",
    "SetLog",
    "TrainingLog",
]
