"""For the owner: what the practice promises, who works there, and whose clients are whose."""

from typing import Any

from django.contrib import messages
from django.contrib.auth.decorators import login_required
from django.db.models import Count, Q
from django.http import HttpResponse
from django.shortcuts import get_object_or_404, redirect, render
from django.utils import timezone
from django.utils.translation import gettext as _
from django.utils.translation import ngettext
from django.views.decorators.http import require_http_methods, require_POST

from clients.choices import AssignmentKind, Role
from clients.domain.practice import SETTLED, settle_practice
from clients.domain.team import (
    add_second,
    change_role,
    end_membership,
    end_second,
    hand_over,
    invite_coach,
    without_a_lead,
)
from clients.errors import ClientsError
from clients.forms import HandOverForm, InviteCoachForm, PracticeForm, SecondCoachForm
from clients.models import Assignment, Client, Invitation, Membership
from clients.views import SignedInRequest


def owner_of(request: SignedInRequest) -> Membership:
    """This person's place as an owner. Whoever owns nothing gets what is not there."""
    rows = Membership.objects.of(request.user).owners().select_related("practice", "user").order_by("pk")
    return get_object_or_404(rows[:1])


@login_required
@require_http_methods(["GET", "HEAD", "POST"])
def practice(request: SignedInRequest) -> HttpResponse:
    owner = owner_of(request)
    values = {name: getattr(owner.practice, name) for name in SETTLED}
    form = PracticeForm(request.POST or None, initial=values)
    if request.method == "POST" and form.is_valid():
        settle_practice(owner.practice, form.cleaned_data)
        messages.success(request, _("Kept. What was promised before stays promised."))
        return redirect("practice")
    context = {"form": form, "practice": owner.practice}
    return render(request, "clients/practice.html", context, status=422 if form.is_bound else 200)


@login_required
@require_http_methods(["GET", "HEAD", "POST"])
def team(request: SignedInRequest) -> HttpResponse:
    owner = owner_of(request)
    form = InviteCoachForm(request.POST or None)
    if request.method == "POST" and form.is_valid():
        try:
            invite_coach(owner, **form.cleaned_data, at=timezone.now())
        except ClientsError as error:
            form.add_error("email", str(error))
        else:
            messages.success(request, _("The invitation goes to %(email)s.") % {"email": form.cleaned_data["email"]})
            return redirect("team")
    leads = Q(assignments__kind=AssignmentKind.LEAD, assignments__until_at=None)
    members = (
        Membership.objects.active().filter(practice=owner.practice).annotate(led=Count("assignments", filter=leads))
    )
    context = {
        "form": form,
        "practice": owner.practice,
        "members": members.select_related("user").order_by("user__name", "pk"),
        "invitations": Invitation.objects.open().filter(practice=owner.practice, client=None).order_by("email"),
        "nobody_leads": without_a_lead(request.user),
    }
    return render(request, "clients/team.html", context, status=422 if form.is_bound else 200)


def _member(request: SignedInRequest, member_uuid: str) -> Membership:
    team = Membership.objects.active().filter(practice=owner_of(request).practice)
    return get_object_or_404(team.select_related("user", "practice"), uuid=member_uuid)


@login_required
@require_http_methods(["GET", "HEAD", "POST"])
def member(request: SignedInRequest, member_uuid: str) -> HttpResponse:
    """One coach: their clients, and handing them over."""
    row = _member(request, member_uuid)
    led = _clients_led_by(row)
    form = HandOverForm(request.POST or None, clients=led, coaches=_others(row))
    if request.method == "POST" and form.is_valid():
        return _hand_over(request, form, back="member", member_uuid=row.uuid)
    context = {"member": row, "clients": led, "form": form, "roles": Role}
    return render(request, "clients/member.html", context, status=422 if form.is_bound else 200)


@login_required
@require_http_methods(["GET", "HEAD", "POST"])
def nobody_leads(request: SignedInRequest) -> HttpResponse:
    """Clients whose lead has left."""
    owner = owner_of(request)
    rows = Client.objects.filter(pk__in=[client.pk for client in without_a_lead(request.user)]).order_by("name", "pk")
    coaches = Membership.objects.active().filter(practice=owner.practice).select_related("user")
    form = HandOverForm(request.POST or None, clients=rows, coaches=coaches)
    if request.method == "POST" and form.is_valid():
        return _hand_over(request, form, back="nobody-leads")
    context = {"clients": rows, "form": form}
    return render(request, "clients/nobody_leads.html", context, status=422 if form.is_bound else 200)


def _hand_over(request: SignedInRequest, form: HandOverForm, *, back: str, **kwargs: Any) -> HttpResponse:
    data = form.cleaned_data
    try:
        count = hand_over(data["clients"], to=data["to"], by=request.user, at=timezone.now(), message=data["message"])
    except ClientsError as error:
        messages.error(request, str(error))
        return redirect(back, **kwargs)
    done = ngettext("%(count)d client handed over to %(name)s.", "%(count)d clients handed over to %(name)s.", count)
    messages.success(request, done % {"count": count, "name": data["to"].user.display_name})
    return redirect(back, **kwargs)


def _clients_led_by(row: Membership) -> Any:
    leads = Assignment.objects.current().filter(coach=row, kind=AssignmentKind.LEAD)
    return Client.objects.filter(pk__in=leads.values("client"), erased_at=None).order_by("name", "pk")


def _others(row: Membership) -> Any:
    team = Membership.objects.active().filter(practice=row.practice).exclude(pk=row.pk)
    return team.select_related("user").order_by("user__name", "pk")


@login_required
@require_POST
def member_role(request: SignedInRequest, member_uuid: str) -> HttpResponse:
    row = _member(request, member_uuid)
    role = request.POST.get("role", "")
    if role in Role.values:
        try:
            change_role(row, role=Role(role))
            messages.success(
                request, _("%(name)s is now: %(role)s.") % {"name": row.user.display_name, "role": Role(role).label}
            )
        except ClientsError as error:
            messages.error(request, str(error))
    return redirect("member", member_uuid=row.uuid)


@login_required
@require_http_methods(["GET", "HEAD", "POST"])
def end_member(request: SignedInRequest, member_uuid: str) -> HttpResponse:
    """Asks first, says what it does, and does it at once."""
    row = _member(request, member_uuid)
    if request.method == "POST":
        try:
            left = end_membership(row, at=timezone.now())
        except ClientsError as error:
            messages.error(request, str(error))
            return redirect("member", member_uuid=row.uuid)
        messages.success(request, _("%(name)s has no access any more.") % {"name": row.user.display_name})
        return redirect("nobody-leads" if left else "team")
    return render(request, "clients/end_member.html", {"member": row, "clients": _clients_led_by(row)})


@login_required
@require_http_methods(["GET", "HEAD", "POST"])
def second_coaches(request: SignedInRequest, client_uuid: str) -> HttpResponse:
    """Who works with one client: the lead hands over, others join or go."""
    client = get_object_or_404(Client.objects.owned_by(request.user).filter(erased_at=None), uuid=client_uuid)
    coaches = Membership.objects.active().filter(practice=client.practice).select_related("user")
    form = SecondCoachForm(request.POST or None, coaches=coaches)
    if request.method == "POST" and "end" in request.POST:
        rows = Assignment.objects.current().filter(client=client, kind=AssignmentKind.SECOND)
        end_second(get_object_or_404(rows, uuid=request.POST["end"]), at=timezone.now())
        return redirect("second-coaches", client_uuid=client.uuid)
    if request.method == "POST" and form.is_valid():
        add_second(client, form.cleaned_data["coach"], at=timezone.now())
        return redirect("second-coaches", client_uuid=client.uuid)
    now = Assignment.objects.current().filter(client=client).select_related("coach__user").order_by("kind", "from_at")
    context = {"client": client, "assignments": now, "form": form, "second": AssignmentKind.SECOND}
    return render(request, "clients/second_coaches.html", context, status=422 if form.is_bound else 200)
