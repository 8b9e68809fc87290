"""The client's own first page: what is next, on one small screen."""

from django.contrib.auth.decorators import login_required
from django.http import HttpResponse
from django.shortcuts import redirect, render
from django.utils import timezone
from django.views.decorators.http import require_GET

from clients.choices import ConsentKind
from clients.domain.check_ins import asked_check_in
from clients.domain.consent import has_consent
from clients.domain.guardians import guardian_missing
from clients.domain.intake import last_finished
from clients.domain.safety import require_start
from clients.domain.telling_pain import awaiting_answers, awaiting_morning
from clients.errors import ClientsError
from clients.views import SignedInRequest
from clients.views.intake import own_client
from clients.views.pain import page_of
from programs.choices import BlockState, SessionState
from programs.domain.baseline import open_request, run_under_way
from programs.domain.session_pain import hurt_but_not_told
from programs.models import Block, ScheduledSession
from submissions.models import Clip, Review


@login_required
@require_GET
def my_home(request: SignedInRequest) -> HttpResponse:
    client = own_client(request)
    if not has_consent(client, ConsentKind.HEALTH):
        return redirect("consents")
    if guardian_missing(client):
        return redirect("guardian-needed")
    today = timezone.localdate(timezone=client.zone)
    try:
        refusal = None
        require_start(client, on=today)
    except ClientsError as error:
        refusal = error
    sessions = ScheduledSession.objects.of(client).filter(state=SessionState.PLANNED, on__gte=today)
    next_session = sessions.select_related("session").first()
    excused = ScheduledSession.objects.of(client).filter(state=SessionState.EXCUSED, on__gte=today)
    asked = asked_check_in(client, on=today)
    context = {
        "check_in": asked if asked is not None and asked.told is None else None,
        "check_in_is_overdue": asked is not None and asked.is_overdue(today),
        "client": client,
        "baseline_asked": open_request(client),
        "baseline_under_way": run_under_way(client),
        "today": today,
        "refusal": refusal,
        "intake_done": last_finished(client) is not None,
        "next_session": next_session,
        "excused": None if next_session else excused.select_related("session").first(),
        "unfinished": [
            (report, question, page_of(question)) for report, question in awaiting_answers(client, on=today)[:3]
        ],
        "hurt": hurt_but_not_told(client, on=today)[:3],
        "mornings": [report for report in awaiting_morning(client) if report.on < today][:3],
        "unread": Review.objects.current()
        .with_words()
        .filter(client=client, seen_at=None)
        .select_related("submission")
        .order_by("-sent_at")[:3],
        "clips_under_way": Clip.objects.of(client).filter(state__in=["uploading", "received"]).count(),
        "current_block": Block.objects.of(client).filter(state=BlockState.PUBLISHED).order_by("-starts_on").first(),
        "lead": client.assignments.current().filter(kind="lead").select_related("coach__user").first(),
    }
    return render(request, "coaching/my_home.html", context)
