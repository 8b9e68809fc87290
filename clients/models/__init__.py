from clients.models.absence import Absence
from clients.models.base import ClientFact, ClientRow, FactQuerySet, PracticeRow, Row
from clients.models.body import BodyMass, PainReport, ProtectedArea
from clients.models.care import (
    DataCopy,
    Goal,
    GuardianDecision,
    GuardianRequest,
    Note,
    PinnedLine,
    SetUpCheck,
)
from clients.models.check_ins import CheckIn
from clients.models.consent import ConsentEvent
from clients.models.enquiry import Enquiry, EnquiryAnswer
from clients.models.equipment import ChairPermission, EquipmentItem, Place
from clients.models.intake import Intake, IntakeAnswer
from clients.models.people import (
    Assignment,
    Client,
    ClientStateChange,
    Invitation,
    Membership,
    Practice,
    SignInLink,
    User,
)
from clients.models.records import AccessRecord, OutgoingMail
from clients.models.screening import Clearance, RedFlagReport, Screening

__all__ = [
    "Absence",
    "AccessRecord",
    "Assignment",
    "BodyMass",
    "ChairPermission",
    "CheckIn",
    "Clearance",
    "Client",
    "ClientFact",
    "ClientRow",
    "ClientStateChange",
    "ConsentEvent",
    "DataCopy",
    "Enquiry",
    "EnquiryAnswer",
    "EquipmentItem",
    "FactQuerySet",
    "Goal",
    "GuardianDecision",
    "GuardianRequest",
    "Intake",
    "IntakeAnswer",
    "Invitation",
    "Membership",
    "Note",
    "OutgoingMail",
    "PainReport",
    "PinnedLine",
    "Place",
    "Practice",
    "PracticeRow",
    "ProtectedArea",
    "RedFlagReport",
    "Row",
    "Screening",
    "SetUpCheck",
    "SignInLink",
    "User",
]
