"""What coaches decide about suggestions and attention. Kept with a copy of what it was decided on."""

import datetime
from dataclasses import asdict
from typing import Any

from django.db import transaction

from clients.domain.versions import supersede
from clients.models import Client, User
from coaching.choices import AttentionAnswer, AttentionKind, Decided
from coaching.errors import HarderThanSuggested, NotHarderHere
from coaching.models import AttentionDecision, AttentionItem, Suggestion, SuggestionDecision
from methods.dose import Dose, harder
from methods.progression import Action

# Rules that no typed reason overrides: they are not advice.
NOT_ADVICE = {"lock", "pain_refer", "barred", "no_training", "ceiling"}


def dose_from(stored: dict[str, Any]) -> Dose:
    return Dose(**{name: value for name, value in stored.items() if name != "movement"})


def decide_suggestion(
    suggestion: Suggestion,
    *,
    decided: Decided,
    dose: Dose | None = None,
    reason: str = "",
    by: User,
    at: datetime.datetime,
) -> SuggestionDecision:
    """Accept, edit or decline. A later decision is a new version.

    An edit that is harder than what the rules suggest needs a typed reason (HarderThanSuggested); where a lock, the
    screening or an area to protect spoke, it is refused (NotHarderHere).
    """
    chosen = _chosen(suggestion, decided, dose)
    proposed = dose_from(suggestion.to_dose)
    over = harder(dose_from(chosen), proposed)
    if over and suggestion.rule in NOT_ADVICE:
        raise NotHarderHere
    if over and not reason.strip() and (decided == Decided.EDITED or _is_cautious(suggestion)):
        raise HarderThanSuggested
    with transaction.atomic():
        Client.objects.select_for_update().get(pk=suggestion.client_id)
        current = SuggestionDecision.objects.current().filter(client=suggestion.client, key=suggestion.key).first()
        version = SuggestionDecision(
            practice_id=suggestion.practice_id,
            client=suggestion.client,
            key=suggestion.key,
            lineage=suggestion.lineage,
            decided=decided,
            suggestion=as_seen(suggestion),
            dose=chosen,
            reason=reason,
            by=by,
            at=at,
        )
        return supersede(current, version)


def _chosen(suggestion: Suggestion, decided: Decided, dose: Dose | None) -> dict[str, Any]:
    if decided == Decided.ACCEPTED:
        return suggestion.to_dose
    if decided == Decided.DECLINED:
        return suggestion.from_dose | {"movement": None}
    if dose is None:
        raise ValueError("an edited suggestion needs its dose")
    return asdict(dose) | {"movement": suggestion.to_dose.get("movement")}


def _is_cautious(suggestion: Suggestion) -> bool:
    """Declining a step down means training harder than the rules suggest."""
    return suggestion.action in {Action.STOP_REFER, Action.STOP, Action.EASIER}


def as_seen(suggestion: Suggestion) -> dict[str, Any]:
    """What stood on the page, for the record."""
    names = ("movement_name", "action", "rule", "from_dose", "to_dose", "reasons", "sources", "numbers")
    return {name: getattr(suggestion, name) for name in names}


def answer_attention(
    item: AttentionItem,
    *,
    answer: AttentionAnswer,
    until: datetime.date | None = None,
    by: User,
    at: datetime.datetime,
) -> AttentionDecision:
    """Put an item away, for good or until a day. It comes back when its numbers change."""
    with transaction.atomic():
        # As a rebuild does: it must not write the item again from the decisions before this one.
        Client.objects.select_for_update().get(pk=item.client_id)
        decision = AttentionDecision.objects.create(
            practice_id=item.practice_id,
            client=item.client,
            key=item.key,
            answer=answer,
            since=item.since,
            numbers=item.numbers,
            until=until,
            by=by,
            at=at,
        )
        # It may have newer numbers by now, which nobody has seen.
        for standing in AttentionItem.objects.filter(client=item.client, key=item.key):
            standing.put_away_until = put_away_until(standing, decision)
            standing.save(update_fields=["put_away_until"])
    return decision


def put_away_until(item: AttentionItem, decision: AttentionDecision | None) -> datetime.date | None:
    """Handled until its numbers change, or later until the day. A lock stays in sight."""
    if decision is None or item.kind == AttentionKind.RED_FLAG:
        return None
    if decision.answer == AttentionAnswer.LATER:
        return decision.until
    return datetime.date.max if decision.numbers == item.numbers else None


def put_away(client: Client, items: list[AttentionItem]) -> list[AttentionItem]:
    """The same items, each with what was decided about it last."""
    decisions = AttentionDecision.objects.current().filter(client=client).order_by("at", "pk")
    newest = {decision.key: decision for decision in decisions}
    for item in items:
        item.put_away_until = put_away_until(item, newest.get(item.key))
    return items
