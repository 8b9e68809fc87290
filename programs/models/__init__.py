from programs.models.blocks import Block, BlockSession, Group, Prescription, Section
from programs.models.calendar import ScheduledSession
from programs.models.logs import SetLog, TrainingLog
from programs.models.movements import HiddenMovement, Movement, MovementRevision, ProgressionEdge, ProgressionLine

__all__ = [
    "Block",
    "BlockSession",
    "Group",
    "HiddenMovement",
    "Movement",
    "MovementRevision",
    "Prescription",
    "ProgressionEdge",
    "ProgressionLine",
    "ScheduledSession",
    "Section",
    "SetLog",
    "TrainingLog",
]
