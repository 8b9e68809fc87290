from clients.models.base import ClientFact, ClientRow, FactQuerySet, PracticeRow, Row
from clients.models.body import BodyMass, PainReport, ProtectedArea
from clients.models.consent import ConsentEvent
from clients.models.equipment import EquipmentItem, Place
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
    "AccessRecord",
    "Assignment",
    "BodyMass",
    "Clearance",
    "Client",
    "ClientFact",
    "ClientRow",
    "ClientStateChange",
    "ConsentEvent",
    "EquipmentItem",
    "FactQuerySet",
    "Intake",
    "IntakeAnswer",
    "Invitation",
    "Membership",
    "OutgoingMail",
    "PainReport",
    "Place",
    "Practice",
    "PracticeRow",
    "ProtectedArea",
    "RedFlagReport",
    "Row",
    "Screening",
    "SignInLink",
    "User",
]
