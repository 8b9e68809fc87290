"""Every address, method and person: who gets in, and that nobody else reads or changes a client's data.

The addresses come from the resolver, so that a new one without a row in ROUTES fails here.
"""

import base64
import datetime
import json
import uuid
from collections.abc import Callable, Iterable, Iterator
from dataclasses import dataclass, field
from typing import Any

import pytest
from django.apps import apps
from django.core.files.base import ContentFile
from django.core.files.storage import default_storage
from django.core.files.uploadedfile import SimpleUploadedFile
from django.db import connection, models, transaction
from django.test import Client as Browser
from django.test import override_settings
from django.urls import get_resolver, reverse
from django.utils import timezone

from clients.domain.check_ins import latest_due_day, week_of
from clients.domain.tokens import new_token, token_hash
from clients.models import Assignment, Client, Practice, SignInLink, User
from submissions.choices import ClipState
from tests import factories as f
from tests.conftest import Cast, make_cast

pytestmark = pytest.mark.django_db

# Stands in everything that is told by or about the client; the second in what only coaches may see so far.
CANARY = "kestrel-7f3a"
COACHES_CANARY = "wheatear-9c1d"

SIGNED_OUT = "signed out"
PEOPLE = [
    "client",
    "other client",
    "coach",
    "other coach",
    "former coach",
    "coach elsewhere",
    "client elsewhere",
    "owner",
]
ENTITLED = {"client", "coach", "owner"}

IN, SIGN_IN, ABSENT, WRONG_METHOD, FORBIDDEN, UNAUTHORISED = "in", "sign in", "404", "405", "403", "401"


def outcomes(*inside: str, otherwise: str = ABSENT, signed_out: str = SIGN_IN) -> dict[str, str]:
    return {SIGNED_OUT: signed_out} | {person: IN if person in inside else otherwise for person in PEOPLE}


CLIENT_THEMSELF = outcomes("client")
COACHES = outcomes("coach", "owner")
BOTH = outcomes("client", "coach", "owner")
# Pages about oneself, and of teams, without anybody's id in the address.
ANY_CLIENT = outcomes("client", "other client", "client elsewhere")
ANY_TEAM = outcomes("coach", "other coach", "coach elsewhere", "owner")
SIGNED_IN = outcomes(*PEOPLE)
EVERYONE = outcomes(*PEOPLE, signed_out=IN)
NOBODY = outcomes(signed_out=ABSENT)
# Said to everybody alike, so it tells nothing.
NOT_THIS_WAY = outcomes(otherwise=WRONG_METHOD)
NOT_THIS_WAY_FOR_ALL = outcomes(otherwise=WRONG_METHOD, signed_out=WRONG_METHOD)


@dataclass(frozen=True)
class Route:
    """What to ask an address, and what is to come of it."""

    get: dict[str, str]
    post: dict[str, str]
    # URL kwargs and what is sent, from the client's things.
    kwargs: Callable[[Any], dict[str, Any]] = lambda things: {}
    query: Callable[[Any], dict[str, Any]] = lambda things: {}
    sends: Callable[[Any], dict[str, Any]] = lambda things: {}
    json: bool = False
    headers: Callable[[Any], dict[str, str]] = lambda things: {}
    # Those entitled find the canary there: without it the proof would prove nothing.
    shows: bool = False
    others: dict[str, dict[str, str]] = field(default_factory=dict)


def of(**names: str) -> Callable[[Any], dict[str, Any]]:
    """URL kwargs: the uuids of the client's things."""
    return lambda things: {kwarg: getattr(things, name).uuid for kwarg, name in names.items()}


def upload_headers(things: Any) -> dict[str, str]:
    told = {
        "scheduled": str(things.scheduled.uuid),
        "prescription": str(things.prescription.uuid),
        "camera_side": "left",
    }
    pairs = ",".join(f"{key} {_base64(value)}" for key, value in told.items())
    return {"Tus-Resumable": "1.0.0", "Upload-Length": "10", "Upload-Metadata": pairs}


def _base64(text: str) -> str:
    return base64.b64encode(text.encode()).decode()


def log_entry(things: Any) -> dict[str, Any]:
    entry = {
        "uuid": "0d5d6bd2-6ad5-4cbd-8a57-f5b0e17a7a51",
        "kind": "set",
        "scheduled": str(things.scheduled.uuid),
        "prescription": str(things.prescription.uuid),
        "number": 7,
        "repetitions": 8,
        "device_at": timezone.now().isoformat(),
        "time_zone": "UTC",
    }
    return {"entries": [entry]}


def block_file(things: Any) -> SimpleUploadedFile:
    block = {"format": "purlin-block", "version": 1, "title": "New", "weeks": 4, "sessions": []}
    return SimpleUploadedFile("block.json", json.dumps(block).encode())


def excused_today() -> dict[str, str]:
    return {"first_on": str(timezone.localdate()), "reason": "ill"}


CLIENT = of(client_uuid="client")
MEMBER = of(member_uuid="member")
BLOCK = of(block_uuid="block")
DRAFT = of(block_uuid="draft")
DRAFT_SESSION = of(block_uuid="draft", session_uuid="draft_session")
SCHEDULED = of(scheduled_uuid="scheduled")
TUS = {"Tus-Resumable": "1.0.0"}
UPLOAD_CLIENT = outcomes("client", signed_out=UNAUTHORISED)
HOUSE = outcomes("client", "other client", "coach", "other coach", "owner")
COACHES_OF_HOUSE = outcomes("coach", "other coach", "owner")
EMPTY_LINE = {"name": "", "version": "0", "edge-TOTAL_FORMS": "0", "edge-INITIAL_FORMS": "0"}
NOT_AN_UPLOADS_WAY = UPLOAD_CLIENT | {"client": WRONG_METHOD}

WHERE_IT_HURTS = {"area": "knee", "side": "left", "since": "today", "after_blow": "no", "pin_point": "no"}
ROUTES: dict[str, Route] = {
    # The project
    "livez": Route(get=EVERYONE, post=NOT_THIS_WAY_FOR_ALL),
    "readyz": Route(get=EVERYONE, post=NOT_THIS_WAY_FOR_ALL),
    "home": Route(get=SIGNED_IN, post=NOT_THIS_WAY),
    "desk": Route(get=ANY_TEAM, post=NOT_THIS_WAY, shows=True),
    "put-away": Route(get=NOT_THIS_WAY, post=COACHES, kwargs=of(item_uuid="item")),
    "background-work": Route(get=outcomes("owner"), post=NOT_THIS_WAY),
    "try-job-again": Route(get=NOT_THIS_WAY, post=outcomes("owner"), kwargs=of(job_uuid="set_aside")),
    "job-seen": Route(get=NOT_THIS_WAY, post=outcomes("owner"), kwargs=of(job_uuid="set_aside")),
    "client": Route(get=COACHES, post=NOT_THIS_WAY, kwargs=CLIENT, shows=True),
    "client-state": Route(get=COACHES, post=NOT_THIS_WAY, kwargs=CLIENT, shows=True),
    "client-body-mass": Route(get=NOT_THIS_WAY, post=COACHES, kwargs=CLIENT, sends=lambda things: {"hidden": "yes"}),
    "client-reminders": Route(get=NOT_THIS_WAY, post=COACHES, kwargs=CLIENT, sends=lambda things: {"paused": "yes"}),
    "accept-all-suggestions": Route(get=NOT_THIS_WAY, post=COACHES, kwargs=CLIENT),
    "next-block": Route(get=NOT_THIS_WAY, post=COACHES, kwargs=CLIENT),
    "decide-suggestion": Route(
        get=NOT_THIS_WAY,
        post=COACHES,
        kwargs=of(suggestion_uuid="suggestion"),
        sends=lambda things: {f"{things.suggestion.uuid}-decided": "accepted"},
    ),
    "my-home": Route(get=ANY_CLIENT, post=NOT_THIS_WAY, shows=True),
    "my-progress": Route(get=ANY_CLIENT, post=NOT_THIS_WAY),
    "my-data": Route(get=ANY_CLIENT, post=ANY_CLIENT),
    "leave": Route(get=NOT_THIS_WAY, post=ANY_CLIENT),
    "client-data": Route(get=outcomes("owner"), post=outcomes("owner"), kwargs=CLIENT, shows=True),
    "data-copy": Route(get=outcomes("client", "owner"), post=NOT_THIS_WAY, kwargs=of(copy_uuid="copy"), shows=True),
    # People
    "sign-in": Route(get=EVERYONE, post=EVERYONE),
    "sign-out": Route(get=NOT_THIS_WAY_FOR_ALL, post=outcomes(otherwise=SIGN_IN)),
    # The accounts' library knows the same page by this name.
    "account_login": Route(get=EVERYONE, post=EVERYONE),
    "mfa_authenticate": Route(get=SIGNED_IN, post=SIGNED_IN),
    "mfa_login_webauthn": Route(get=SIGNED_IN, post=SIGNED_IN),
    "account_reset_password": Route(get=EVERYONE, post=EVERYONE),
    "account_reset_password_done": Route(get=EVERYONE, post=NOT_THIS_WAY_FOR_ALL),
    "account_reset_password_from_key": Route(
        get=EVERYONE, post=EVERYONE, kwargs=lambda things: {"uidb36": things.client.user.uuid.hex, "key": "a-guess"}
    ),
    "account_reset_password_from_key_done": Route(get=EVERYONE, post=NOT_THIS_WAY_FOR_ALL),
    # One's own account: nobody's id is in these addresses.
    "account": Route(get=SIGNED_IN, post=NOT_THIS_WAY),
    "mfa_index": Route(get=SIGNED_IN, post=NOT_THIS_WAY),
    "account_email": Route(get=SIGNED_IN, post=SIGNED_IN),
    "account_confirm_email": Route(get=EVERYONE, post=NOBODY, kwargs=lambda things: {"key": "a-guess"}),
    "account_change_password": Route(get=SIGNED_IN, post=SIGNED_IN),
    "account_set_password": Route(get=SIGNED_IN, post=SIGNED_IN),
    "account_reauthenticate": Route(get=SIGNED_IN, post=SIGNED_IN),
    "mfa_reauthenticate": Route(get=SIGNED_IN, post=SIGNED_IN),
    "mfa_reauthenticate_webauthn": Route(get=SIGNED_IN, post=SIGNED_IN),
    "mfa_activate_totp": Route(get=SIGNED_IN, post=SIGNED_IN),
    "mfa_deactivate_totp": Route(get=NOBODY | {SIGNED_OUT: SIGN_IN}, post=NOBODY | {SIGNED_OUT: SIGN_IN}),
    "mfa_view_recovery_codes": Route(get=NOBODY | {SIGNED_OUT: SIGN_IN}, post=NOT_THIS_WAY),
    "mfa_generate_recovery_codes": Route(get=SIGNED_IN, post=SIGNED_IN),
    "mfa_add_webauthn": Route(get=SIGNED_IN, post=SIGNED_IN),
    "remove-passkey": Route(get=SIGNED_IN, post=SIGNED_IN, kwargs=lambda things: {"credential": "a-guess"}),
    "end-session": Route(get=NOT_THIS_WAY, post=SIGNED_IN, sends=lambda things: {"session": "a-guess"}),
    "end-other-sessions": Route(get=NOT_THIS_WAY, post=SIGNED_IN),
    "sign-in-once": Route(get=NOBODY, post=NOBODY, kwargs=lambda things: {"token": things.sign_in_token}),
    # Whoever holds the letter sees who is invited; only that person gets in with it.
    "accept-invitation": Route(get=EVERYONE, post=EVERYONE, kwargs=lambda things: {"token": things.invitation_token}),
    "mailbox": Route(get=NOBODY, post=NOT_THIS_WAY_FOR_ALL),
    "demo-sign-in": Route(
        get=NOT_THIS_WAY_FOR_ALL, post=NOBODY, kwargs=lambda things: {"user_uuid": things.people["coach"].uuid}
    ),
    "enquire": Route(get=EVERYONE, post=EVERYONE, kwargs=lambda things: {"practice_uuid": things.client.practice.uuid}),
    "enquiry-sent": Route(
        get=EVERYONE, post=NOT_THIS_WAY_FOR_ALL, kwargs=lambda things: {"practice_uuid": things.client.practice.uuid}
    ),
    "enquiries": Route(get=ANY_TEAM, post=NOT_THIS_WAY),
    # The whole team of the practice reads what was asked of it.
    "enquiry": Route(
        get=outcomes("coach", "other coach", "owner"),
        post=outcomes("coach", "other coach", "owner"),
        kwargs=of(enquiry_uuid="enquiry"),
        sends=lambda things: {"do": "unwanted"},
    ),
    "clients": Route(get=ANY_TEAM, post=NOT_THIS_WAY, shows=True),
    "invite-client": Route(
        get=ANY_TEAM, post=ANY_TEAM, sends=lambda things: {"name": "Someone", "email": "someone@example.test"}
    ),
    "invite-again": Route(get=COACHES, post=COACHES, kwargs=of(client_uuid="invited")),
    "client-safety": Route(
        get=COACHES,
        post=COACHES,
        kwargs=CLIENT,
        sends=lambda things: {
            "clinician_role": "Physician",
            "given_on": "2026-03-01",
            "expires_on": "2100-01-01",
            "ceiling": "light",
            "limits": "none",
        },
        shows=True,
    ),
    "open-warning-signs": Route(get=NOT_THIS_WAY, post=COACHES, kwargs=CLIENT),
    "chairs": Route(
        get=COACHES,
        post=COACHES,
        kwargs=of(place_uuid="place"),
        shows=True,
        sends=lambda things: {"allowed": "yes", "why": "Heavy, against the wall.", "seen": things.chairs.uuid},
    ),
    "client-notes": Route(
        get=COACHES,
        post=COACHES,
        kwargs=CLIENT,
        shows=True,
        sends=lambda things: {"kind": "call", "on": "2026-03-01", "text": "They called."},
    ),
    "pin-lines": Route(get=NOT_THIS_WAY, post=COACHES, kwargs=CLIENT, sends=lambda things: {"line_1": "Nights"}),
    "note": Route(
        get=COACHES, post=COACHES, kwargs=of(note_uuid="note"), shows=True, sends=lambda things: {"text": "Mornings."}
    ),
    "client-readers": Route(get=outcomes("owner"), post=NOT_THIS_WAY, kwargs=CLIENT),
    "my-readers": Route(get=ANY_CLIENT, post=NOT_THIS_WAY),
    "second-coaches": Route(get=outcomes("owner"), post=outcomes("owner"), kwargs=CLIENT, shows=True),
    # The owner's own pages: of the practice, and of everybody in it.
    "practice": Route(get=outcomes("owner"), post=outcomes("owner")),
    "team": Route(get=outcomes("owner"), post=outcomes("owner")),
    "nobody-leads": Route(get=outcomes("owner"), post=outcomes("owner")),
    "member": Route(get=outcomes("owner"), post=outcomes("owner"), kwargs=MEMBER, shows=True),
    "member-role": Route(get=NOT_THIS_WAY, post=outcomes("owner"), kwargs=MEMBER),
    "end-member": Route(get=outcomes("owner"), post=outcomes("owner"), kwargs=MEMBER, shows=True),
    "absences": Route(get=ANY_TEAM, post=ANY_TEAM),
    "end-absence": Route(get=NOT_THIS_WAY, post=COACHES, kwargs=of(absence_uuid="absence")),
    "my-body-mass": Route(
        get=ANY_CLIENT, post=ANY_CLIENT, sends=lambda things: {"on": "2026-03-01", "mass": "80", "mass_unit": "kg"}
    ),
    "take-back-body-mass": Route(get=NOT_THIS_WAY, post=CLIENT_THEMSELF, kwargs=of(mass_uuid="mass")),
    "my-places": Route(get=ANY_CLIENT, post=ANY_CLIENT),
    "my-place": Route(get=CLIENT_THEMSELF, post=CLIENT_THEMSELF, kwargs=of(place_uuid="place"), shows=True),
    "change-place": Route(get=NOT_THIS_WAY, post=CLIENT_THEMSELF, kwargs=of(place_uuid="place")),
    "set-up-check": Route(get=CLIENT_THEMSELF, post=CLIENT_THEMSELF, kwargs=of(item_uuid="thing"), shows=True),
    "check-photo": Route(get=BOTH, post=NOT_THIS_WAY, kwargs=of(check_uuid="check"), shows=True),
    "clearance-letter": Route(get=BOTH, post=NOT_THIS_WAY, kwargs=of(clearance_uuid="clearance"), shows=True),
    "consents": Route(get=ANY_CLIENT, post=ANY_CLIENT, sends=lambda things: {"health": "yes", "video": "no"}),
    "intake": Route(get=ANY_CLIENT, post=ANY_CLIENT),
    "guardian-needed": Route(get=ANY_CLIENT, post=ANY_CLIENT),
    # Whoever holds the letter; it is about the invited client.
    "guardian": Route(get=EVERYONE, post=EVERYONE, kwargs=lambda things: {"token": things.guardian_token}),
    "outcome": Route(get=ANY_CLIENT, post=ANY_CLIENT),
    "intake-step": Route(get=ANY_CLIENT, post=ANY_CLIENT, kwargs=lambda things: {"slug": "goal"}),
    "stop-and-seek-care": Route(get=ANY_CLIENT, post=ANY_CLIENT),
    "where-i-am": Route(get=ANY_CLIENT, post=ANY_CLIENT, sends=lambda things: {"country": "NO", "until": "2100-01-01"}),
    "warning-signs": Route(get=ANY_CLIENT, post=ANY_CLIENT, sends=lambda things: {"red_flags_none": "yes"}),
    "report-pain": Route(get=ANY_CLIENT, post=ANY_CLIENT, sends=lambda things: WHERE_IT_HURTS),
    "pain-told": Route(get=CLIENT_THEMSELF, post=NOT_THIS_WAY, kwargs=of(pain_uuid="pain")),
    "pain-warning-signs": Route(
        get=CLIENT_THEMSELF,
        post=CLIENT_THEMSELF,
        kwargs=of(pain_uuid="pain"),
        sends=lambda things: {"red_flags_none": "yes"},
    ),
    "pain-soreness": Route(
        get=CLIENT_THEMSELF,
        post=CLIENT_THEMSELF,
        kwargs=of(pain_uuid="pain"),
        sends=lambda things: {"is_usual": "no"},
    ),
    "pain-how-much": Route(
        get=CLIENT_THEMSELF,
        post=CLIENT_THEMSELF,
        kwargs=of(pain_uuid="pain"),
        sends=lambda things: {"during": "2"},
    ),
    "pain-morning": Route(
        get=CLIENT_THEMSELF,
        post=CLIENT_THEMSELF,
        kwargs=of(pain_uuid="pain"),
        sends=lambda things: {"after": "2", "next_morning": "usual"},
    ),
    # Plans and training
    "client-blocks": Route(
        get=COACHES,
        post=COACHES,
        kwargs=CLIENT,
        sends=lambda things: {"title": "New", "starts_on": "2026-06-01", "weeks": "4"},
        shows=True,
    ),
    "block": Route(
        get=COACHES,
        post=COACHES,
        kwargs=DRAFT,
        sends=lambda things: {"title": "New", "starts_on": "2026-06-01", "weeks": "4", "version": "0"},
        shows=True,
    ),
    "begin-from-template": Route(
        get=NOT_THIS_WAY,
        post=COACHES,
        kwargs=CLIENT,
        sends=lambda things: {"template": str(things.template.uuid), "starts_on": "2026-06-01"},
        shows=True,
    ),
    # Copies what the block holds, and not who it is for.
    "keep-block": Route(get=COACHES, post=COACHES, kwargs=DRAFT, sends=lambda things: {"title": "Kept"}, shows=True),
    # Of the whole team; whose drafts stand on a page is proven in tests/programs/views/test_templates.py.
    "block-templates": Route(get=ANY_TEAM, post=NOT_THIS_WAY),
    "block-template": Route(
        get=COACHES_OF_HOUSE,
        post=COACHES_OF_HOUSE,
        kwargs=of(template_uuid="template"),
        sends=lambda things: {"title": "Other name"},
    ),
    "use-template": Route(
        get=NOT_THIS_WAY,
        post=COACHES_OF_HOUSE,
        kwargs=of(template_uuid="template"),
        sends=lambda things: {"clients": [str(things.client.uuid)], "starts_on": "2026-06-01"},
    ),
    "archive-template": Route(get=NOT_THIS_WAY, post=COACHES_OF_HOUSE, kwargs=of(template_uuid="template")),
    "import-block": Route(
        get=COACHES,
        post=COACHES,
        kwargs=CLIENT,
        sends=lambda things: {"file": block_file(things), "starts_on": "2026-06-01"},
        shows=True,
    ),
    "export-block-json": Route(get=COACHES, post=NOT_THIS_WAY, kwargs=DRAFT, shows=True),
    "export-block-csv": Route(get=COACHES, post=NOT_THIS_WAY, kwargs=DRAFT, shows=True),
    "block-schema": Route(get=EVERYONE, post=NOT_THIS_WAY_FOR_ALL),
    "add-block-session": Route(
        get=NOT_THIS_WAY,
        post=COACHES,
        kwargs=DRAFT,
        sends=lambda things: {"name": "B", "week": "1", "weekday": "4", "version": "0"},
    ),
    "copy-block-week": Route(get=NOT_THIS_WAY, post=COACHES, kwargs=DRAFT, sends=lambda things: {"version": "0"}),
    "discard-draft": Route(get=NOT_THIS_WAY, post=COACHES, kwargs=DRAFT, sends=lambda things: {"version": "0"}),
    "revise-block": Route(get=NOT_THIS_WAY, post=COACHES, kwargs=BLOCK),
    "publish-block": Route(
        get=COACHES,
        post=COACHES,
        kwargs=DRAFT,
        sends=lambda things: {"first_day": "2026-06-01", "version": "0"},
        shows=True,
    ),
    "block-session": Route(
        get=COACHES,
        post=COACHES,
        kwargs=DRAFT_SESSION,
        sends=lambda things: (
            {"name": "A", "weekday": "2", "version": "0"} | {"rows-TOTAL_FORMS": "0", "rows-INITIAL_FORMS": "0"}
        ),
        shows=True,
    ),
    "preview-block-session": Route(get=COACHES, post=NOT_THIS_WAY, kwargs=DRAFT_SESSION),
    "check-block-session": Route(get=NOT_THIS_WAY, post=COACHES, kwargs=DRAFT_SESSION),
    "remove-block-session": Route(
        get=NOT_THIS_WAY, post=COACHES, kwargs=DRAFT_SESSION, sends=lambda things: {"version": "0"}
    ),
    "publish-for-anyone": Route(
        get=COACHES,
        post=COACHES,
        kwargs=DRAFT_SESSION,
        sends=lambda things: (
            {"title": "For anyone", "is_free_of_the_client": "on", "seen": "0", "key": str(uuid.uuid4())}
        ),
        shows=True,
    ),
    # The whole team of the practice. Whose sessions are on the list: tests/programs/views/test_public_sessions.py.
    "public-sessions": Route(get=ANY_TEAM, post=NOT_THIS_WAY),
    "end-public-session": Route(get=NOT_THIS_WAY, post=COACHES_OF_HOUSE, kwargs=of(session_uuid="public_session")),
    # Everybody is answered alike: tests/programs/views/test_public.py.
    "public-session": Route(get=EVERYONE, post=NOT_THIS_WAY_FOR_ALL, kwargs=of(session_uuid="public_session")),
    # Whose blocks are on it is proven in tests/programs/views/test_repeating.py.
    "repeat-week": Route(
        get=ANY_TEAM, post=COACHES, sends=lambda things: {f"take-{things.block.uuid}": "on", "message": "Again."}
    ),
    "my-block": Route(get=CLIENT_THEMSELF, post=CLIENT_THEMSELF, kwargs=BLOCK, shows=True),
    "my-block-sheet": Route(get=CLIENT_THEMSELF, post=NOT_THIS_WAY, kwargs=BLOCK, shows=True),
    "block-sheet": Route(get=COACHES, post=NOT_THIS_WAY, kwargs=BLOCK, shows=True),
    "movements": Route(get=SIGNED_IN, post=SIGNED_IN),
    "movement-search": Route(
        get=BOTH, post=BOTH | {"client": IN}, query=lambda things: {"q": "push", "client": str(things.client.uuid)}
    ),
    # Of the practice's own library.
    "movement": Route(
        get=outcomes("client", "other client", "coach", "other coach", "owner"),
        post=outcomes("client", "other client", "coach", "other coach", "owner"),
        kwargs=of(movement_uuid="own_movement"),
    ),
    # Any team has a library of its own to make; a movement of another house is not found.
    "new-movement": Route(get=ANY_TEAM, post=ANY_TEAM),
    "own-movement": Route(get=COACHES_OF_HOUSE, post=COACHES_OF_HOUSE, kwargs=of(movement_uuid="own_movement")),
    "hide-movement": Route(get=NOT_THIS_WAY, post=COACHES_OF_HOUSE, kwargs=of(movement_uuid="own_movement")),
    "lines": Route(get=ANY_TEAM, post=ANY_TEAM),
    "new-line": Route(get=ANY_TEAM, post=ANY_TEAM, sends=lambda things: EMPTY_LINE),
    "own-line": Route(
        get=COACHES_OF_HOUSE, post=COACHES_OF_HOUSE, kwargs=of(line_uuid="own_line"), sends=lambda things: EMPTY_LINE
    ),
    "our-line": Route(get=ANY_TEAM, post=ANY_TEAM, kwargs=of(line_uuid="shared_line"), sends=lambda things: EMPTY_LINE),
    "remove-line": Route(get=NOT_THIS_WAY, post=COACHES_OF_HOUSE, kwargs=of(line_uuid="own_line")),
    "today": Route(get=ANY_CLIENT, post=ANY_CLIENT, shows=True),
    "my-days": Route(get=ANY_CLIENT, post=NOT_THIS_WAY, shows=True),
    "client-days": Route(get=COACHES, post=NOT_THIS_WAY, kwargs=CLIENT, shows=True),
    "excuse-my-days": Route(get=NOT_THIS_WAY, post=ANY_CLIENT, sends=lambda things: excused_today()),
    "excuse-client-days": Route(get=NOT_THIS_WAY, post=COACHES, kwargs=CLIENT, sends=lambda things: excused_today()),
    "my-calendar": Route(get=ANY_CLIENT, post=ANY_CLIENT, sends=lambda things: {"do": "new"}),
    # Whoever holds the address reads it (tests/programs/views/test_calendar.py); a guess opens nothing to anybody.
    "calendar": Route(get=NOBODY, post=NOT_THIS_WAY_FOR_ALL, kwargs=lambda things: {"token": "a-guess"}),
    "take-back-excuse": Route(get=NOT_THIS_WAY, post=BOTH, kwargs=of(excuse_uuid="excuse")),
    "move-client-session": Route(
        get=NOT_THIS_WAY,
        post=COACHES,
        kwargs=of(client_uuid="client", scheduled_uuid="scheduled"),
        sends=lambda things: {"to": str(timezone.localdate() + datetime.timedelta(days=1))},
    ),
    "take-skip-back": Route(
        get=NOT_THIS_WAY,
        post=CLIENT_THEMSELF,
        kwargs=SCHEDULED,
        sends=lambda things: {"replaces": str(things.log.uuid)},
    ),
    "train": Route(get=CLIENT_THEMSELF, post=CLIENT_THEMSELF, kwargs=SCHEDULED, shows=True),
    "train-instead": Route(
        get=CLIENT_THEMSELF,
        post=NOT_THIS_WAY,
        kwargs=of(scheduled_uuid="scheduled", prescription_uuid="prescription"),
    ),
    "my-baseline": Route(get=ANY_CLIENT, post=NOT_THIS_WAY, shows=True),
    "start-baseline": Route(get=NOT_THIS_WAY, post=ANY_CLIENT, sends=lambda things: {"uuid": str(uuid.uuid4())}),
    "baseline-tables": Route(get=NOT_THIS_WAY, post=ANY_CLIENT, sends=lambda things: {"sex": "female"}),
    "baseline-run": Route(get=CLIENT_THEMSELF, post=NOT_THIS_WAY, kwargs=of(run_uuid="baseline_run")),
    "finish-baseline": Route(get=NOT_THIS_WAY, post=CLIENT_THEMSELF, kwargs=of(run_uuid="baseline_run")),
    "baseline-test": Route(
        get=CLIENT_THEMSELF,
        post=CLIENT_THEMSELF,
        kwargs=lambda things: {"run_uuid": things.baseline_run.uuid, "test": "push-ups"},
        sends=lambda things: {"uuid": str(uuid.uuid4()), "amount": "9", "ended_by": "form", "way": "toes"},
        shows=True,
    ),
    "client-baseline": Route(get=COACHES, post=COACHES, kwargs=CLIENT, shows=True),
    "ask-for-baseline": Route(get=NOT_THIS_WAY, post=COACHES, kwargs=CLIENT, sends=lambda things: {"words": "Please"}),
    "take-back-max": Route(get=NOT_THIS_WAY, post=COACHES, kwargs=of(max_uuid="maximum")),
    "could-do": Route(
        get=COACHES, post=NOT_THIS_WAY, kwargs=of(client_uuid="client", prescription_uuid="prescription"), shows=True
    ),
    "train-log": Route(
        get=NOT_THIS_WAY,
        post=CLIENT_THEMSELF,
        kwargs=SCHEDULED,
        sends=lambda things: log_entry(things)["entries"][0],
    ),
    "train-pain": Route(
        get=CLIENT_THEMSELF,
        post=CLIENT_THEMSELF,
        kwargs=SCHEDULED,
        sends=lambda things: WHERE_IT_HURTS,
    ),
    "move-session": Route(
        get=NOT_THIS_WAY,
        post=CLIENT_THEMSELF,
        kwargs=SCHEDULED,
        sends=lambda things: {"to": str(timezone.localdate() + datetime.timedelta(days=1))},
    ),
    "api-log": Route(
        get=outcomes(otherwise=WRONG_METHOD, signed_out=FORBIDDEN),
        post=ANY_CLIENT | {SIGNED_OUT: FORBIDDEN},
        sends=log_entry,
        json=True,
    ),
    # Clips and answers
    "upload-clip": Route(
        get=CLIENT_THEMSELF,
        post=NOT_THIS_WAY,
        kwargs=of(scheduled_uuid="scheduled", prescription_uuid="prescription"),
        shows=True,
    ),
    "uploads": Route(
        get=outcomes(otherwise=WRONG_METHOD, signed_out=UNAUTHORISED), post=UPLOAD_CLIENT, headers=upload_headers
    ),
    "upload": Route(
        get=NOT_AN_UPLOADS_WAY,
        post=NOT_AN_UPLOADS_WAY,
        kwargs=of(upload_uuid="upload"),
        headers=lambda things: TUS | {"Upload-Offset": "0"},
        others={"head": UPLOAD_CLIENT, "patch": UPLOAD_CLIENT, "delete": UPLOAD_CLIENT},
    ),
    "queue": Route(get=ANY_TEAM, post=NOT_THIS_WAY, shows=True),
    "review": Route(
        get=COACHES,
        post=COACHES,
        kwargs=of(submission_uuid="submission"),
        sends=lambda things: {"verdict": "sound", "cue": "Push.", "notes": "[]"},
        shows=True,
    ),
    "correct-review": Route(
        get=COACHES,
        post=COACHES,
        kwargs=of(review_uuid="review"),
        sends=lambda things: {"verdict": "sound", "cue": "Pull.", "notes": "[]"},
        shows=True,
    ),
    "check-in-read": Route(
        get=NOT_THIS_WAY,
        post=COACHES,
        kwargs=of(submission_uuid="told"),
        sends=lambda things: {"seen": str(things.check_in.uuid)},
    ),
    "check-in": Route(
        get=ANY_CLIENT,
        post=ANY_CLIENT,
        sends=lambda things: {"sleep": "3", "due_on": str(things.check_in.due_on), "seen": str(things.check_in.uuid)},
        shows=True,
    ),
    "my-check-ins": Route(get=ANY_CLIENT, post=ANY_CLIENT, sends=lambda things: {"weekday": "2"}),
    "review-seen": Route(get=NOT_THIS_WAY, post=CLIENT_THEMSELF, kwargs=of(review_uuid="review")),
    # Whoever has sent nothing has an empty list.
    "my-clips": Route(get=SIGNED_IN, post=NOT_THIS_WAY, shows=True),
    "clip-file": Route(get=BOTH, post=NOT_THIS_WAY, kwargs=of(clip_uuid="clip"), shows=True, others={"head": BOTH}),
    "clip-poster": Route(get=BOTH, post=NOT_THIS_WAY, kwargs=of(clip_uuid="clip"), shows=True, others={"head": BOTH}),
    "clip-frames": Route(get=BOTH, post=NOT_THIS_WAY, kwargs=of(clip_uuid="clip")),
    # For everybody of the practice and all its clients: it shows a movement, not a client.
    "demonstration": Route(get=HOUSE, post=HOUSE, kwargs=of(movement_uuid="own_movement")),
    "demonstration-film": Route(get=HOUSE, post=NOT_THIS_WAY, kwargs=of(clip_uuid="demonstration")),
    "demonstration-poster": Route(get=HOUSE, post=NOT_THIS_WAY, kwargs=of(clip_uuid="demonstration")),
    "change-demonstration": Route(
        get=NOT_THIS_WAY,
        post=COACHES_OF_HOUSE,
        kwargs=of(clip_uuid="demonstration"),
        sends=lambda things: {"do": "withdraw"},
    ),
    "my-review": Route(get=CLIENT_THEMSELF, post=NOT_THIS_WAY, kwargs=of(submission_uuid="answered"), shows=True),
    "ask": Route(
        get=ANY_CLIENT,
        post=ANY_CLIENT,
        sends=lambda things: {"text": "How?", "movement": str(things.prescription.movement.uuid)},
    ),
}

# Besides GET and POST. A route that means something by one of them says so in `others`.
METHODS = ["head", "options", "put", "patch", "delete"]

# About the draft and the notes, which the client does not see.
OF_DRAFTS = {"block", "export-block-json", "export-block-csv", "publish-block", "block-session", "publish-for-anyone"}
OF_DRAFTS |= {"preview-block-session", "client-notes", "note"}


@dataclass
class Things:
    """One row of everything there is about the client, with the canary in every text."""

    client: Client
    people: dict[str, User]
    invited: Client
    invitation_token: str
    sign_in_token: str
    guardian_token: str
    rows: dict[str, models.Model]

    def __getattr__(self, name: str) -> models.Model:
        try:
            return self.rows[name]
        except KeyError:
            raise AttributeError(name) from None


def _things(cast: Cast) -> Things:
    client = cast.client
    client.name, client.email = f"{CANARY} name", f"{CANARY}@example.test"
    client.save()
    for person in (client, cast.other_client, cast.stranger_client):
        f.ConsentFactory(client=person)
        f.ConsentFactory(client=person, kind="video")
        f.ScreeningFactory(client=person)
    rows: dict[str, models.Model] = {}
    _plan(rows, client)
    _told(rows, client)
    _clips(rows, client)
    _desk(rows, client)
    invited = f.ClientFactory(practice=client.practice, user=None, name=f"{COACHES_CANARY} invited", state="invited")
    Assignment.objects.create(
        practice=client.practice, client=invited, coach=cast.coach_membership, kind="lead", from_at=f.NOON
    )
    letter, link, guardians = new_token(), new_token(), new_token()
    f.GuardianRequestFactory(client=invited, token_sha256=token_hash(guardians))
    f.InvitationFactory(client=invited, email="invited@example.test", token_sha256=token_hash(letter))
    SignInLink.objects.create(
        user=client.user, token_sha256=token_hash(link), expires_at=timezone.now() + datetime.timedelta(hours=1)
    )
    return Things(client, _people(cast), invited, letter, link, guardians, rows)


def _people(cast) -> dict[str, User]:
    former = f.MembershipFactory(practice=cast.practice)
    f.AssignmentFactory(client=cast.client, coach=former, kind="second")
    former.ended_at = timezone.now()
    former.save()
    return {
        "client": cast.client_user,
        "other client": cast.other_client_user,
        "coach": cast.coach,
        "other coach": cast.other_coach,
        "former coach": former.user,
        "coach elsewhere": cast.stranger_coach,
        "client elsewhere": cast.stranger_client.user,
        "owner": cast.owner,
    }


def _plan(rows: dict[str, models.Model], client: Client) -> None:
    today = timezone.localdate()
    Practice.objects.filter(pk=client.practice_id).update(takes_enquiries=True)
    rows["member"] = Assignment.objects.get(client=client, kind="lead").coach
    rows["absence"] = f.AbsenceFactory(practice=client.practice, coach=rows["member"])
    rows["enquiry"] = f.EnquiryFactory(practice=client.practice)
    rows["public_session"] = f.PublicSessionFactory(practice=client.practice, written_by=rows["member"].user)
    rows["own_movement"] = f.MovementFactory(practice=client.practice)
    rows["shared_line"] = f.ProgressionLineFactory(slug=f"shared-{client.pk}")
    rows["own_line"] = f.ProgressionLineFactory(practice=client.practice)
    rows["template"] = f.BlockTemplateFactory(practice=client.practice)
    block = f.BlockFactory(client=client, title=f"{CANARY} block", message=f"{CANARY} message", starts_on=today)
    session = f.BlockSessionFactory(block=block, name=f"{CANARY} session")
    group = f.GroupFactory(section__session=session)
    rows["prescription"] = f.PrescriptionFactory(group=group, cue=f"{CANARY} cue")
    rows["scheduled"] = f.ScheduledSessionFactory(client=client, session=session, on=today)
    rows["block"] = f.publish(block)
    rows["draft"] = f.BlockFactory(client=client, title=f"{COACHES_CANARY} draft", starts_on=today)
    rows["draft_session"] = f.BlockSessionFactory(block=rows["draft"], name=f"{COACHES_CANARY} session")
    f.PrescriptionFactory(group__section__session=rows["draft_session"], cue=f"{COACHES_CANARY} cue")


def _told(rows: dict[str, models.Model], client: Client) -> None:
    today = timezone.localdate()
    rows["mass"] = f.BodyMassFactory(client=client)
    f.ProtectedAreaFactory(client=client, why=f"{CANARY} why")
    rows["place"] = f.PlaceFactory(client=client, name=f"{CANARY} garage")
    rows["thing"] = f.EquipmentItemFactory(place=rows["place"])
    rows["chairs"] = f.ChairPermissionFactory(client=client, place=rows["place"], why=f"{CANARY} chairs")
    photo = default_storage.save("checks/photo.jpg", ContentFile(f"{CANARY} photo".encode()))
    zipped = default_storage.save("copies/copy.zip", ContentFile(f"{CANARY} all".encode()))
    rows["copy"] = f.DataCopyFactory(client=client, file=zipped, made_at=f.NOON)
    rows["check"] = f.SetUpCheckFactory(client=client, item=rows["thing"], photo=photo)
    letter = default_storage.save("letters/letter.jpg", ContentFile(f"{CANARY} letter".encode()))
    rows["clearance"] = f.ClearanceFactory(client=client, limits=f"{CANARY} limits", document=letter)
    rows["note"] = f.NoteFactory(client=client, text=f"{COACHES_CANARY} note")
    f.PinnedLineFactory(client=client, place=2, text=f"{COACHES_CANARY} line")
    f.RedFlagReportFactory(client=client)
    intake = f.IntakeFactory(client=client)
    f.IntakeAnswerFactory(client=client, intake=intake, value=f"{CANARY} goal")
    rows["pain"] = f.PainReportFactory(client=client, on=today, note=f"{CANARY} pain")
    rows["log"] = f.TrainingLogFactory(client=client, scheduled=rows["scheduled"], note=f"{CANARY} log", minutes=45)
    rows["set"] = f.SetLogFactory(
        client=client,
        scheduled=rows["scheduled"],
        prescription=rows["prescription"],
        lineage=rows["prescription"].lineage,
        movement=rows["prescription"].movement,
    )
    rows["excuse"] = f.ExcuseFactory(client=client)
    rows["baseline_run"] = f.BaselineRunFactory(client=client)
    f.BaselineTestFactory(client=client, run=rows["baseline_run"], way="toes", note=f"{CANARY} tested")
    rows["maximum"] = f.ReferenceMaxFactory(client=client, note=f"{CANARY} maximum")
    f.OutgoingMailFactory(practice=client.practice, to=client.email, subject=f"{CANARY} letter", body=f"{CANARY}")


def _clips(rows: dict[str, models.Model], client: Client) -> None:
    film = default_storage.save("clips/film.mp4", ContentFile(f"{CANARY} film".encode() * 10))
    poster = default_storage.save("clips/film.jpg", ContentFile(f"{CANARY} poster".encode()))
    filmed = {"scheduled": rows["scheduled"], "movement": rows["prescription"].movement, "review_copy": film}
    filmed |= {"lineage": rows["prescription"].lineage, "poster": poster, "question": f"{CANARY} question"}
    rows["clip"] = f.ClipFactory(client=client, **filmed)
    shown = {
        name: default_storage.save(f"demonstrations/{name}", ContentFile(b"x")) for name in ("review_copy", "poster")
    }
    rows["demonstration"] = f.DemonstrationClipFactory(
        practice=client.practice, movement=rows["own_movement"], state=ClipState.READY, **shown
    )
    rows["submission"] = f.SubmissionFactory(client=client, clip=rows["clip"], text=f"{CANARY} text")
    rows["answered"] = f.SubmissionFactory(
        client=client, clip=f.ClipFactory(client=client, **filmed), state="answered", answered_at=f.NOON
    )
    due_on = latest_due_day(timezone.localdate(), client.check_in_weekday)
    rows["check_in"] = f.CheckInFactory(
        client=client, week=week_of(due_on), due_on=due_on, activity=f"{CANARY} walk", note=f"{CANARY} note"
    )
    rows["told"] = f.SubmissionFactory(client=client, kind="check_in", clip=None, check_in=rows["check_in"])
    rows["review"] = f.ReviewFactory(client=client, submission=rows["answered"], cue=f"{CANARY} cue", good=f"{CANARY}")
    f.ReviewNoteFactory(review=rows["review"], text=f"{CANARY} note")
    unfinished = f.ClipFactory(client=client, **filmed | {"state": ClipState.UPLOADING, "ready_at": None})
    rows["upload"] = f.UploadFactory(client=client, clip=unfinished)


def _desk(rows: dict[str, models.Model], client: Client) -> None:
    rows["item"] = f.AttentionItemFactory(client=client, reason=f"{CANARY} reason")
    rows["suggestion"] = f.SuggestionFactory(
        client=client, movement_name=f"{CANARY} movement", lineage=rows["prescription"].lineage
    )
    f.ObservationFactory(
        client=client, lineage=rows["prescription"].lineage, movement_name=f"{CANARY} movement", reason=f"{CANARY} seen"
    )
    f.WeeklyRowFactory(client=client)
    rows["set_aside"] = f.SetAsideJobFactory(practice_id=client.practice_id)


# Asking


@dataclass
class Visits:
    """Each visit in a browser of its own, undone afterwards."""

    things: Things
    cookies: dict[str, dict[str, str]] = field(default_factory=dict)
    before: dict[type[models.Model], list[tuple[Any, ...]]] = field(default_factory=dict)

    def sign_in(self, person: str) -> None:
        browser = Browser()
        browser.force_login(self.things.people[person])
        self.cookies[person] = {name: morsel.value for name, morsel in browser.cookies.items()}

    def ask(self, person: str, method: str, url: str, **sent: Any) -> "Answer":
        browser = Browser(raise_request_exception=False)
        browser.cookies.load(self.cookies.get(person, {}))
        writes: list[str] = []
        with transaction.atomic(), connection.execute_wrapper(_noting(writes)):
            response = getattr(browser, method)(url, **sent)
            text = _whole(response)
            if response.status_code == 302 and person != SIGNED_OUT:
                # What was done is often told on the next page.
                text += _whole(browser.get(response["Location"]))
            answer = Answer(response.status_code, response.headers, text, self.has_changed(writes))
            transaction.set_rollback(True)
        return answer

    def client_data(self) -> dict[type[models.Model], list[tuple[Any, ...]]]:
        """Everything that is stored about the client."""
        return {model: self.rows_of(model) for model in apps.get_models() if _is_about_clients(model)}

    def rows_of(self, model: type[models.Model]) -> list[tuple[Any, ...]]:
        whose = {"pk" if model is Client else "client": self.things.client.pk}
        return list(model._default_manager.filter(**whose).order_by("pk").values_list())

    def has_changed(self, writes: list[str]) -> bool:
        """Looking at everything is slow: no table changes without a statement that names it, or another about clients
        whose change leaves a mark."""
        return any(
            self.rows_of(model) != rows
            for model, rows in self.before.items()
            if any(f'"{model._meta.db_table}"' in statement for statement in writes)
        )


def _is_about_clients(model: type[models.Model]) -> bool:
    return model is Client or any(field.name == "client" for field in model._meta.concrete_fields)


def _noting(writes: list[str]) -> Callable[..., Any]:
    """Notes statements that write, but for the sessions of those who ask."""

    def note(execute: Any, sql: str, params: Any, many: bool, context: Any) -> Any:
        if sql.lstrip().upper().startswith(("INSERT", "UPDATE", "DELETE")) and "django_session" not in sql:
            writes.append(sql)
        return execute(sql, params, many, context)

    return note


@dataclass
class Answer:
    status: int
    headers: Any
    text: str
    has_changed_the_client: bool

    def outcome(self) -> str:
        if self.status == 302 and self.headers["Location"].startswith(reverse("sign-in")):
            return SIGN_IN
        if self.status in {401, 403, 404, 405}:
            return str(self.status)
        return IN if self.status != 500 else "broken"

    def tells(self, canary: str) -> bool:
        return canary in self.text.lower() or canary in str(dict(self.headers)).lower()


def _whole(response: Any) -> str:
    return response.getvalue().decode(errors="replace")


@pytest.fixture(scope="module")
def visits(django_db_setup, django_db_blocker, tmp_path_factory) -> Iterator[Visits]:
    """Built once for the module, in a transaction that is never committed; every visit is undone."""
    media = tmp_path_factory.mktemp("media")
    with django_db_blocker.unblock(), override_settings(MEDIA_ROOT=media), transaction.atomic():
        visits = Visits(_things(make_cast()))
        for person in PEOPLE:
            visits.sign_in(person)
        visits.before = visits.client_data()
        yield visits
        transaction.set_rollback(True)


def _answers(visits: Visits, name: str, methods: Iterable[str]) -> dict[tuple[str, str], Answer]:
    """What everybody is answered, by person and method."""
    route, things = ROUTES[name], visits.things
    url = reverse(name, kwargs=route.kwargs(things))
    sent = route.sends(things)
    posted = {"data": json.dumps(sent), "content_type": "application/json"} if route.json else {"data": sent}
    asked = {
        "get": {"query_params": route.query(things)},
        "post": posted | {"query_params": route.query(things)},
        "head": {"query_params": route.query(things)},
        "options": {},
        "put": posted,
        "patch": {"data": b"0123456789", "content_type": "application/offset+octet-stream"},
        "delete": {},
    }
    headers = route.headers(things)
    return {
        (person, method): visits.ask(person, method, url, headers=headers, **asked[method])
        for person in [SIGNED_OUT, *PEOPLE]
        for method in methods
    }


def url_names() -> list[str]:
    def walk(patterns: list[Any]) -> list[str]:
        names = []
        for pattern in patterns:
            if hasattr(pattern, "url_patterns"):
                names += walk(pattern.url_patterns)
            else:
                names.append(pattern.name or f"an address without a name: {pattern.pattern}")
        return names

    return walk(get_resolver().url_patterns)


def test_every_address_has_a_row():
    assert set(url_names()) == set(ROUTES)


@pytest.mark.parametrize("name", sorted(set(url_names()) & set(ROUTES)))
def test_address_lets_in_whom_it_should_and_tells_others_nothing(visits, name):
    route = ROUTES[name]

    answers = _answers(visits, name, ["get", "post", *route.others])

    expected = {"get": route.get, "post": route.post} | route.others
    wrong = {
        asked: f"{answer.outcome()} ({answer.status}), not {expected[asked[1]][asked[0]]}"
        for asked, answer in answers.items()
        if answer.outcome() != expected[asked[1]][asked[0]]
    }
    assert wrong == {}
    others = {asked: answer for asked, answer in answers.items() if asked[0] not in ENTITLED}
    assert [asked for asked, answer in others.items() if answer.tells(CANARY)] == []
    assert [asked for asked, answer in others.items() if answer.has_changed_the_client] == []
    coaches_alone = {asked: answer for asked, answer in answers.items() if asked[0] not in {"coach", "owner"}}
    if name not in {"accept-invitation", "guardian"}:
        assert [asked for asked, answer in coaches_alone.items() if answer.tells(COACHES_CANARY)] == []
    if route.shows:
        _check_there_is_something_to_leak(answers, route.get, name)


@pytest.mark.parametrize("name", sorted(set(url_names()) & set(ROUTES)))
def test_method_without_a_row_changes_nothing_and_tells_nobody_more_than_get(visits, name):
    route = ROUTES[name]

    answers = _answers(visits, name, [method for method in METHODS if method not in route.others])

    assert [asked for asked, answer in answers.items() if answer.status == 500] == []
    # HEAD is GET without the body: it notes a reading too.
    mute = {asked: answer for asked, answer in answers.items() if (route.get[asked[0]], asked[1]) != (IN, "head")}
    assert [asked for asked, answer in mute.items() if answer.has_changed_the_client] == []
    entered = [asked for asked, answer in answers.items() if answer.outcome() == IN and asked[1] != "options"]
    assert [(person, method) for person, method in entered if IN not in {route.get[person], route.post[person]}] == []
    others = {asked: answer for asked, answer in answers.items() if asked[0] not in ENTITLED}
    assert [asked for asked, answer in others.items() if answer.tells(CANARY)] == []


def _check_there_is_something_to_leak(answers: dict[tuple[str, str], Answer], get: dict[str, str], name: str) -> None:
    """Whoever is let in to the client's own things reads them, so the others' pages could have had them."""
    canary = COACHES_CANARY if name in OF_DRAFTS else CANARY
    blind = [
        person
        for person in ENTITLED
        if get[person] == IN and get != SIGNED_IN and not answers[person, "get"].tells(canary)
    ]
    assert blind == []


READINGS = [
    "client",
    "client-days",
    "client-baseline",
    "client-state",
    "client-safety",
    "review",
    "correct-review",
    "clip-file",
    "publish-block",
    "block-session",
    "preview-block-session",
    "publish-for-anyone",
    "could-do",
]


@pytest.mark.parametrize("name", READINGS)
def test_reading_of_a_client_by_a_coach_is_recorded(visits, name):
    url = reverse(name, kwargs=ROUTES[name].kwargs(visits.things))

    assert visits.ask("owner", "get", url).has_changed_the_client


def test_every_row_knows_every_person():
    for route in ROUTES.values():
        for outcome in [route.get, route.post, *route.others.values()]:
            assert set(outcome) == {SIGNED_OUT, *PEOPLE}
