"""The movement library: what there is, how it is done, what is easier and harder, and what a client can do."""

import uuid

from django.contrib.auth.decorators import login_required
from django.db.models import Q
from django.http import Http404, HttpResponse
from django.shortcuts import get_object_or_404, render
from django.utils import timezone
from django.utils.translation import gettext as _
from django.views.decorators.http import require_http_methods

from clients.choices import Area, ItemKind, ReadKind
from clients.domain.history import record_read
from clients.models import Client, Membership, Practice, User
from clients.views import SignedInRequest
from programs.choices import Muscle, Pattern
from programs.domain.feasible import why_not_for
from programs.domain.instead import around
from programs.domain.library import AtHand, at_hand, easier_and_harder, why_not
from programs.domain.picture import picture_of
from programs.forms import SearchForm
from programs.models import HiddenMovement, Movement, MovementRevision

MOST_RESULTS = 20


@login_required
@require_http_methods(["GET", "HEAD", "POST"])
def movements(request: SignedInRequest) -> HttpResponse:
    pattern = request.GET.get("pattern", "")
    found = _matching(request, request.GET.get("q", ""))
    client = _client_asked_about(request)
    if pattern in Pattern.values:
        found = found.filter(current__pattern=pattern)
    rows = list(found.order_by("current__name"))
    if client is not None:
        day = around(client, on=timezone.localdate(timezone=client.zone)).day
        rows = [movement for movement in rows if not why_not_for(movement.current, day)]
    by_pattern: dict[str, list[Movement]] = {}
    for movement in rows:
        by_pattern.setdefault(movement.current.pattern, []).append(movement)
    groups = [(choice.label, by_pattern[choice]) for choice in Pattern if choice in by_pattern]
    context = {"groups": groups, "patterns": Pattern.choices, "pattern": pattern, "q": request.GET.get("q", "")}
    context |= {"clients": _clients_of(request.user), "client": client, "is_coach": _is_coach(request.user)}
    return render(request, "programs/movement_list.html", context)


def _clients_of(user: User):
    """Those whose equipment, areas and ceiling this person may ask about: their own clients, and themself."""
    return Client.objects.coached_by(user) | Client.objects.own(user)


def _is_coach(user: User) -> bool:
    return Membership.objects.active().of(user).exists()


def _client_asked_about(request: SignedInRequest) -> Client | None:
    asked = SearchForm(request.GET)
    if not asked.is_valid():
        raise Http404
    if not asked.cleaned_data["client"]:
        return None
    client = get_object_or_404(_clients_of(request.user), uuid=asked.cleaned_data["client"])
    # What is left out tells of areas and of the screening.
    record_read(client, reader=request.user, kind=ReadKind.CLIENT, at=timezone.now())
    return client


def _matching(request: SignedInRequest, text: str):
    """Movements this person sees, whose name or pattern has every word."""
    found = Movement.objects.visible_to(request.user).exclude(current=None).select_related("current")
    if practice := _practice_of(request.user):
        found = found.filter(pk__in=Movement.objects.offered_by(practice).values("pk"))
    for word in text.split()[:6]:
        patterns = [code for code, label in Pattern.choices if word.lower() in str(label).lower()]
        found = found.filter(Q(current__name__icontains=word) | Q(current__pattern__in=patterns))
    return found


@login_required
@require_http_methods(["GET", "HEAD", "POST"])
def movement(request: SignedInRequest, movement_uuid: str) -> HttpResponse:
    found = get_object_or_404(Movement.objects.visible_to(request.user).select_related("current"), uuid=movement_uuid)
    revision = found.current
    if revision is None:
        raise Http404
    practice = _practice_of(request.user)
    context = {
        "is_coach": _is_coach(request.user),
        "is_ours": found.practice_id is not None,
        "is_hidden": practice and HiddenMovement.objects.filter(practice=practice, movement=found).exists(),
        "movement": found,
        "revision": revision,
        "neighbours": easier_and_harder(found, found.practice or practice),
        "picture": picture_of(found.slug) if found.practice_id is None else None,
        "needs": equipment_words(revision),
        "areas": [Area(code).label for code in revision.areas],
        "muscles": [(Muscle(code).label, part) for code, part in revision.muscles.items()],
    }
    return render(request, "programs/movement_page.html", context)


def _practice_of(user: User) -> Practice | None:
    """Whose lines to show beside the shared ones: where this person coaches, else where they train."""
    membership = Membership.objects.of(user).select_related("practice").first()
    own = membership or Client.objects.own(user).select_related("practice").first()
    return own.practice if own else None


def equipment_words(revision: MovementRevision) -> list[str]:
    """One phrase for each way to set it up."""
    together = [" + ".join(str(ItemKind(kind).label) for kind in kinds) for kinds in revision.equipment]
    return together or [_("Nothing")]


@login_required
@require_http_methods(["GET", "HEAD", "POST"])
def movement_search(request: SignedInRequest) -> HttpResponse:
    form = SearchForm(request.GET)
    if not form.is_valid():
        raise Http404
    text, there = form.cleaned_data["q"], _at_hand_of(request, form.cleaned_data["client"])
    found = list(_matching(request, text).order_by("current__name")) if text else []
    results = [(m, why_not(m.current, there) if there else "") for m in found]
    results.sort(key=lambda result: bool(result[1]))
    context = {"results": results[:MOST_RESULTS], "more": max(0, len(results) - MOST_RESULTS), "q": text}
    context |= {"client_uuid": form.cleaned_data["client"] or "", "knows_place": there is not None}
    template = "programs/movement_search.html"
    return render(request, f"{template}#results" if request.htmx else template, context)


def _at_hand_of(request: SignedInRequest, client_uuid: uuid.UUID | None) -> AtHand | None:
    """What the named client has at their place; a client asks about the own one."""
    if client_uuid:
        client = get_object_or_404(Client.objects.visible_to(request.user), uuid=client_uuid)
        return at_hand(client, on=timezone.localdate(timezone=client.zone))
    own = Client.objects.own(request.user).first()
    return at_hand(own, on=timezone.localdate(timezone=own.zone)) if own else None
