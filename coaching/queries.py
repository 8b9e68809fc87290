"""Questions of the desk that join several rooms."""

import datetime
from dataclasses import dataclass, field

from django.utils.functional import cached_property

from clients.models import Client, Membership, Practice, User
from coaching.choices import AttentionAnswer, AttentionKind
from coaching.models import AttentionDecision, AttentionItem


@dataclass(frozen=True)
class Standing:
    """What the signed-in person is: on a team, a client, both, or neither."""

    membership: Membership | None
    client: Client | None

    @property
    def practice(self) -> Practice | None:
        someone = self.membership or self.client
        return someone.practice if someone else None

    @property
    def zone(self) -> datetime.tzinfo:
        """Their own clock: a client's zone goes with the client, a coach has the practice's."""
        if self.membership is not None:
            return self.membership.practice.zone
        return self.client.zone if self.client is not None else datetime.UTC


def standing_of(user: User) -> Standing:
    membership = Membership.objects.of(user).select_related("practice").order_by("pk").first()
    client = Client.objects.own(user).select_related("practice").order_by("-pk").first()
    return Standing(membership, client)


@dataclass
class ClientAttention:
    """One client on the attention list: the most pressing reason, and the others."""

    client: Client
    items: list[AttentionItem] = field(default_factory=list)

    @cached_property
    def first(self) -> AttentionItem:
        return self.items[0]

    @property
    def others(self) -> list[AttentionItem]:
        return self.items[1:]


def attention_list(user: User, *, today: datetime.date) -> list[ClientAttention]:
    """Who needs this coach, most pressing first, without what was put away. Two queries, however many clients."""
    items = list(AttentionItem.objects.coached_by(user).select_related("client").order_by("rank", "since", "pk"))
    decisions = AttentionDecision.objects.coached_by(user).current().order_by("at", "pk")
    newest = {(decision.client_id, decision.key): decision for decision in decisions}
    rows: dict[int, ClientAttention] = {}
    for item in items:
        if not is_put_away(item, newest.get((item.client_id, item.key)), today=today):
            rows.setdefault(item.client_id, ClientAttention(item.client)).items.append(item)
    return list(rows.values())


def is_put_away(item: AttentionItem, decision: AttentionDecision | None, *, today: datetime.date) -> bool:
    """Handled until its numbers change, or later until the day. A lock stays in sight."""
    if decision is None or item.kind == AttentionKind.RED_FLAG:
        return False
    if decision.answer == AttentionAnswer.LATER:
        return decision.until is not None and today < decision.until
    return decision.numbers == item.numbers
