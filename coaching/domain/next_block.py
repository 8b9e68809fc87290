"""The next block, written from the decisions: a draft with its difference from the last one."""

import datetime
from collections import defaultdict
from collections.abc import Iterable

from django.db import transaction
from django.utils.translation import gettext as _

from clients.models import Client, User
from coaching.choices import Decided
from coaching.domain.deciding import dose_from
from coaching.domain.suggesting import running_block
from coaching.errors import NoBlockToContinue, Undecided
from coaching.models import Suggestion, SuggestionDecision
from programs.choices import BlockState
from programs.domain.building import monday_of
from programs.domain.drafting import apply_dose, draft_from_block, in_block, swap_movement
from programs.models import Block, MovementRevision, Prescription, ProgressionEdge


def open_draft(client: Client) -> Block | None:
    """A next block that is being written already."""
    return Block.objects.of(client).filter(state=BlockState.DRAFT).exclude(previous=None).order_by("-pk").first()


def draft_next_block(client: Client, *, by: User, today: datetime.date) -> Block:
    """Copy the running block as the next one and put every decision into it, with the words the client reads.

    The draft there is, if one is open, is returned as it is. Raises NoBlockToContinue, and Undecided while a
    suggestion waits: nothing is taken over unread.
    """
    with transaction.atomic():
        Client.objects.select_for_update().get(pk=client.pk)
        draft = open_draft(client)
        if draft is not None:
            return draft
        block = running_block(client, today=today)
        if block is None:
            raise NoBlockToContinue
        decisions = _decisions(client, block)
        draft = draft_from_block(block, starts_on=next_start(block, today), by=by, title=_next_title(block.title))
        for decision in decisions:
            _apply(draft, decision)
        draft.message = message_for(decisions)
        draft.save(update_fields=["message"])
    return draft


def next_start(block: Block, today: datetime.date) -> datetime.date:
    """The Monday after the block ends, or after today when that has passed."""
    return max(block.ends_on + datetime.timedelta(days=1), monday_of(today) + datetime.timedelta(days=7))


def _decisions(client: Client, block: Block) -> list[SuggestionDecision]:
    keys = set(Suggestion.objects.of(client).filter(key__startswith=f"{block.uuid}:").values_list("key", flat=True))
    decisions = list(SuggestionDecision.objects.current().filter(client=client, key__in=keys).order_by("pk"))
    if keys - {decision.key for decision in decisions}:
        raise Undecided
    return decisions


def _next_title(title: str) -> str:
    """ "Base 2" after "Base 1", "Base 2" after "Base"."""
    head, _space, tail = title.rpartition(" ")
    return f"{head} {int(tail) + 1}" if head and tail.isdigit() else f"{title} 2"


def _apply(draft: Block, decision: SuggestionDecision) -> None:
    """One decision, in every week of the draft. The weeks of the last block differ; the next starts from its end."""
    if decision.decided == Decided.DECLINED:
        return
    dose, reason = dose_from(decision.dose), reason_for(decision)
    rows = list(in_block(draft, decision.lineage).select_related("group__section__session__block", "movement"))
    if dose.sets == 0:
        _remove(rows)
        return
    movement = MovementRevision.objects.filter(uuid=decision.dose.get("movement")).first()
    for row in rows:
        if movement is not None:
            swap_movement(row, movement, _entry_dose(row, movement), reason=reason)
        else:
            apply_dose(row, dose, reason=reason)


def _remove(rows: Iterable[Prescription]) -> None:
    """Take a movement out, and the pair's bracket and empty groups with it."""
    for row in rows:
        group = row.group
        row.delete()
        if not group.prescriptions.exists():
            group.delete()
        elif group.kind == "pair":
            group.kind = "single"
            group.save(update_fields=["kind"])


def _entry_dose(row: Prescription, movement: MovementRevision) -> dict[str, int]:
    """By slug, as the lines are followed: a practice's own version stands where the shared movement stood."""
    offered = ProgressionEdge.objects.offered_by(row.practice)
    steps = offered.filter(easier__slug=row.movement.movement.slug, harder__slug=movement.movement.slug)
    edge = steps.order_by("line__name", "pk").first()
    return edge.entry_dose if edge else {}


def reason_for(decision: SuggestionDecision) -> str:
    """The words beside the movement: the coach's own when there are some, else the rule's."""
    return (decision.reason or "; ".join(decision.suggestion["reasons"]))[:500]


def message_for(decisions: Iterable[SuggestionDecision]) -> str:
    """A first message to the client; the coach edits it before publishing."""
    by_kind: dict[str, list[str]] = defaultdict(list)
    for decision in decisions:
        if decision.decided != Decided.DECLINED:
            by_kind[decision.suggestion["action"]].append(decision.suggestion["movement_name"])
    sentences = {
        "harder": _("A step up: %(names)s."),
        "easier": _("A step down: %(names)s."),
        "stop": _("Taken out for now: %(names)s."),
        "stop_refer": _("Taken out until a professional has looked at it: %(names)s."),
    }
    return " ".join(text % {"names": ", ".join(by_kind[kind])} for kind, text in sentences.items() if by_kind[kind])
