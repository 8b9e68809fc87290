"""The texts of the consents. A changed text is a new version; what someone agreed to is kept with the consent."""

from dataclasses import dataclass

from django.utils.functional import Promise
from django.utils.translation import gettext_lazy as _

from clients.choices import ConsentKind


@dataclass(frozen=True)
class ConsentText:
    kind: ConsentKind
    version: str
    title: Promise
    text: Promise
    without_it: Promise
    is_required: bool


CONSENT_TEXTS = {
    ConsentKind.HEALTH: ConsentText(
        kind=ConsentKind.HEALTH,
        version="2026-11",
        title=_("Health data"),
        text=_(
            "I agree that this practice stores and reads what I tell about my health: screening answers, pain, "
            "injuries, areas to protect and body mass. It is used only to decide whether it is safe to start, to "
            "plan my training and to react when something hurts. My coach, a covering coach and the practice owner "
            "can read it; every reading is recorded. I can withdraw this at any time; training plans then stop."
        ),
        without_it=_("Without it nobody can say whether it is safe to start, so there is no plan."),
        is_required=True,
    ),
    ConsentKind.VIDEO: ConsentText(
        kind=ConsentKind.VIDEO,
        version="2026-11",
        title=_("Video clips"),
        text=_(
            "I agree that clips which I upload are stored and watched by my coach, a covering coach and the practice "
            "owner, for form review only. Location and device details are removed from every clip. I can withdraw "
            "this at any time; my clips are then removed."
        ),
        without_it=_("Without it you can train and write messages, but not upload clips."),
        is_required=False,
    ),
}


@dataclass(frozen=True)
class PlainConsent:
    version: str
    text: Promise


ENQUIRY_CONSENT = PlainConsent(
    version="2026-11",
    text=_(
        "I agree that this practice keeps what I write here to answer me. Please leave health matters out: they are "
        "asked later, if we work together. Whatever does not lead to working together is erased after three months."
    ),
)


GUARDIAN_CONSENT = PlainConsent(
    version="2026-11",
    text=_(
        "I am a parent or legal guardian of this person. I agree that they train with this practice at a distance, "
        "without a coach in the room, and that the practice stores and reads what they tell about their health, "
        "and their clips if they agree to that themselves. Before the first session a licensed professional's word is "
        "needed. I know that nobody reads messages continuously and that emergencies go to the local emergency "
        "number. I can take this back at any time on this page; training then stops."
    ),
)
