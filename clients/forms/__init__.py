"""Forms of the people's room, by subject."""

from clients.forms.accounts import AcceptForm, InviteClientForm
from clients.forms.body import AreasForm, BodyMassForm, mass_from
from clients.forms.chairs import ChairsForm
from clients.forms.clearance import ClearanceForm
from clients.forms.enquiries import EnquiryAnswerForm, EnquiryForm
from clients.forms.equipment import EquipmentForm, ItemsForm, NewPlaceForm, SetUpCheckForm, masses_shown
from clients.forms.fields import YesNoField, zone_choices
from clients.forms.guardians import GuardianForm, GuardianPhoneForm
from clients.forms.intake import StepForm
from clients.forms.notes import NoteForm, PinnedLinesForm
from clients.forms.pain import HowMuchForm, MorningForm, PainWhereForm, SorenessForm
from clients.forms.practice import HandOverForm, InviteCoachForm, PracticeForm, SecondCoachForm
from clients.forms.whereabouts import WhereIAmForm

__all__ = [
    "AcceptForm",
    "AreasForm",
    "BodyMassForm",
    "ChairsForm",
    "ClearanceForm",
    "EnquiryAnswerForm",
    "EnquiryForm",
    "EquipmentForm",
    "GuardianForm",
    "GuardianPhoneForm",
    "HandOverForm",
    "HowMuchForm",
    "InviteClientForm",
    "InviteCoachForm",
    "ItemsForm",
    "MorningForm",
    "NewPlaceForm",
    "NoteForm",
    "PainWhereForm",
    "PinnedLinesForm",
    "PracticeForm",
    "SecondCoachForm",
    "SetUpCheckForm",
    "SorenessForm",
    "StepForm",
    "WhereIAmForm",
    "YesNoField",
    "mass_from",
    "masses_shown",
    "zone_choices",
]
