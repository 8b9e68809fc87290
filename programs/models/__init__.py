from programs.models.baseline import BaselineRequest, BaselineRun, BaselineTest, NormDetail, ReferenceMax
from programs.models.blocks import Block, BlockSession, Group, Prescription, Section
from programs.models.calendar import CalendarFeed, Excuse, ScheduledSession
from programs.models.logs import SetLog, TrainingLog
from programs.models.movements import HiddenMovement, Movement, MovementRevision, ProgressionEdge, ProgressionLine
from programs.models.templates import BlockTemplate, PublicSession

__all__ = [
    "BaselineRequest",
    "BaselineRun",
    "BaselineTest",
    "Block",
    "BlockSession",
    "BlockTemplate",
    "CalendarFeed",
    "Excuse",
    "Group",
    "HiddenMovement",
    "Movement",
    "MovementRevision",
    "NormDetail",
    "Prescription",
    "ProgressionEdge",
    "ProgressionLine",
    "PublicSession",
    "ReferenceMax",
    "ScheduledSession",
    "Section",
    "SetLog",
    "TrainingLog",
]
