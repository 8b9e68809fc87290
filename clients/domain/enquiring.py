"""From a stranger's enquiry to an invited client, or a kind no. An enquiry is no client and gives no access."""

import datetime
import uuid
from dataclasses import dataclass

from django.db import transaction
from django.urls import reverse
from django.utils.translation import gettext as _

from clients.choices import EnquiryState
from clients.domain.inviting import invite_client
from clients.domain.mail import absolute, request_mail
from clients.errors import EnquiryDecided, TooManyEnquiries
from clients.library.consents import ENQUIRY_CONSENT
from clients.models import Client, Enquiry, EnquiryAnswer, Membership, Practice, User

# More in an hour than people write: the page rests, and says so, before a desk is flooded.
MOST_PER_HOUR = 30
# Declined and unwanted ones are forgotten after this.
KEPT_DAYS = 90
STILL_OPEN = (EnquiryState.OPEN, EnquiryState.ANSWERED)


@dataclass(frozen=True)
class Asked:
    """What the visitor filled in."""

    name: str
    email: str
    goal: str
    equipment: str = ""
    reach: str = ""
    time_zone: str = "UTC"


def send_enquiry(practice: Practice, asked: Asked, *, key: uuid.UUID, at: datetime.datetime) -> Enquiry:
    """Keep an enquiry with the consent that was shown, and tell the owners that there is one.

    Sent twice with one key it is kept once. Raises TooManyEnquiries.
    """
    with transaction.atomic():
        # Lock the practice: the count below must hold for two who send at once.
        Practice.objects.select_for_update().get(pk=practice.pk)
        known = Enquiry.objects.filter(practice=practice, sent_key=key).first()
        if known is not None:
            return known
        hour_ago = at - datetime.timedelta(hours=1)
        if Enquiry.objects.filter(practice=practice, sent_at__gt=hour_ago).count() >= MOST_PER_HOUR:
            raise TooManyEnquiries
        enquiry = Enquiry.objects.create(
            practice=practice,
            name=asked.name,
            email=asked.email.lower(),
            reach=asked.reach,
            goal=asked.goal,
            equipment=asked.equipment,
            time_zone=asked.time_zone,
            consent_version=ENQUIRY_CONSENT.version,
            consent_text=str(ENQUIRY_CONSENT.text),
            sent_at=at,
            sent_key=key,
        )
        _tell_owners(enquiry)
    return enquiry


def answer_enquiry(enquiry: Enquiry, *, text: str, by: User, at: datetime.datetime) -> EnquiryAnswer:
    """Write back by mail. Raises EnquiryDecided."""
    with transaction.atomic():
        locked = _still_open(enquiry)
        answer = EnquiryAnswer.objects.create(practice_id=locked.practice_id, enquiry=locked, text=text, by=by, at=at)
        _decide(locked, EnquiryState.ANSWERED, by=by, at=at)
        _mail(locked, subject=_("About your enquiry at %(practice)s"), text=text)
    return answer


def invite_from(enquiry: Enquiry, membership: Membership, *, at: datetime.datetime) -> Client:
    """Make the visitor an invited client of this coach. Raises EnquiryDecided, AlreadyAClient."""
    with transaction.atomic():
        locked = _still_open(enquiry)
        client = invite_client(membership, name=locked.name, email=locked.email, at=at)
        client.time_zone = locked.time_zone
        client.save(update_fields=["time_zone"])
        _decide(locked, EnquiryState.INVITED, by=membership.user, at=at, client=client)
    return client


def decline_enquiry(enquiry: Enquiry, *, text: str, by: User, at: datetime.datetime) -> None:
    """Say no in a letter. Raises EnquiryDecided."""
    with transaction.atomic():
        locked = _still_open(enquiry)
        EnquiryAnswer.objects.create(practice_id=locked.practice_id, enquiry=locked, text=text, by=by, at=at)
        _decide(locked, EnquiryState.DECLINED, by=by, at=at)
        _mail(locked, subject=_("About your enquiry at %(practice)s"), text=text)


def set_aside(enquiry: Enquiry, *, by: User, at: datetime.datetime) -> None:
    """Advertising and the like: no letter goes out. Raises EnquiryDecided."""
    with transaction.atomic():
        _decide(_still_open(enquiry), EnquiryState.UNWANTED, by=by, at=at)


def forget_enquiries(*, at: datetime.datetime) -> int:
    """Erase what declined and unwanted ones said, three months after. Returns how many."""
    old = Enquiry.objects.filter(
        state__in=[EnquiryState.DECLINED, EnquiryState.UNWANTED],
        decided_at__lt=at - datetime.timedelta(days=KEPT_DAYS),
        erased_at=None,
    )
    count = 0
    for enquiry in old:
        with transaction.atomic():
            EnquiryAnswer.objects.filter(enquiry=enquiry, erased_at=None).update(text="", erased_at=at)
            blank = dict.fromkeys(["name", "email", "reach", "goal", "equipment", "time_zone", "consent_text"], "")
            count += Enquiry.objects.filter(pk=enquiry.pk, erased_at=None).update(**blank, erased_at=at)
    return count


def _still_open(enquiry: Enquiry) -> Enquiry:
    # Lock the row: two coaches may decide at once.
    locked = Enquiry.objects.select_for_update().select_related("practice").get(pk=enquiry.pk)
    if locked.state not in STILL_OPEN:
        raise EnquiryDecided
    return locked


def _decide(
    enquiry: Enquiry, state: EnquiryState, *, by: User, at: datetime.datetime, client: Client | None = None
) -> None:
    enquiry.state, enquiry.decided_by, enquiry.decided_at, enquiry.client = state, by, at, client
    enquiry.save(update_fields=["state", "decided_by", "decided_at", "client"])


def _mail(enquiry: Enquiry, *, subject: str, text: str) -> None:
    practice = enquiry.practice
    request_mail(practice, to=enquiry.email, subject=subject % {"practice": practice.name}, body=text)


def _tell_owners(enquiry: Enquiry) -> None:
    """Without what was written: a letter can be read over a shoulder."""
    owners = Membership.objects.active().owners().filter(practice=enquiry.practice).select_related("user")
    for owner in owners:
        request_mail(
            enquiry.practice,
            to=owner.user.email,
            subject=_("Somebody asks to be coached"),
            body=_("There is a new enquiry:\n%(link)s") % {"link": absolute(reverse("enquiry", args=[enquiry.uuid]))},
        )
