"""Being away: for oneself, and for an owner also for others."""

from django.contrib import messages
from django.contrib.auth.decorators import login_required
from django.http import HttpResponse
from django.shortcuts import get_object_or_404, redirect, render
from django.utils import timezone
from django.utils.translation import gettext as _
from django.views.decorators.http import require_http_methods, require_POST

from clients.choices import Role
from clients.domain.absences import come_back
from clients.errors import ClientsError
from clients.models import Absence, Membership
from clients.views import SignedInRequest
from submissions.domain.absence import due_meanwhile, start_absence
from submissions.forms import AbsenceForm


def _own_membership(request: SignedInRequest) -> Membership:
    rows = Membership.objects.of(request.user).select_related("practice", "user").order_by("pk")
    return get_object_or_404(rows[:1])


def _team(member: Membership):
    return Membership.objects.active().filter(practice=member.practice).select_related("user").order_by("user__name")


def _whose(member: Membership):
    """Whose absences this person may enter: their own; an owner everybody's."""
    return _team(member) if member.role == Role.OWNER else _team(member).filter(pk=member.pk)


@login_required
@require_http_methods(["GET", "HEAD", "POST"])
def absences(request: SignedInRequest) -> HttpResponse:
    member = _own_membership(request)
    now = timezone.now()
    form = AbsenceForm(
        request.POST or None,
        coaches=_whose(member),
        team=_team(member),
        zone=member.practice.zone,
        initial={"coach": member.uuid, "from_on": timezone.localdate(now, timezone=member.practice.zone)},
    )
    if request.method == "POST" and form.is_valid():
        from_at, until_at = form.span(now)
        data = form.cleaned_data
        waiting = due_meanwhile(data["coach"], from_at=from_at, until_at=until_at)
        try:
            start_absence(
                data["coach"],
                from_at=from_at,
                until_at=until_at,
                cover=data["cover"],
                promises=data["promises"],
                message=data["message"],
                by=request.user,
                at=now,
            )
        except ClientsError as error:
            form.add_error(None, str(error))
        else:
            messages.success(request, _said(waiting, data["cover"]))
            return redirect("absences")
    rows = Absence.objects.filter(coach__in=_whose(member), ended_at=None, until_at__gt=now)
    context = {
        "form": form,
        "absences": rows.select_related("coach__user", "cover__user").order_by("from_at"),
        "is_owner": member.role == Role.OWNER,
        "now": now,
    }
    return render(request, "submissions/absences.html", context, status=422 if form.is_bound else 200)


def _said(waiting: int, cover: Membership | None) -> str:
    who = _("%(name)s covers.") % {"name": cover.user.display_name} if cover else _("Nobody covers.")
    return _("Kept. %(who)s Waiting answers that fall due meanwhile: %(count)d.") % {"who": who, "count": waiting}


@login_required
@require_POST
def end_absence(request: SignedInRequest, absence_uuid: str) -> HttpResponse:
    member = _own_membership(request)
    absence = get_object_or_404(Absence.objects.filter(coach__in=_whose(member)), uuid=absence_uuid)
    come_back(absence, at=timezone.now())
    messages.success(request, _("Ended. The cover coach's access to these clients is over."))
    return redirect("absences")
