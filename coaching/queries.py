"""Questions of the desk that join several rooms."""

import datetime
import uuid
from dataclasses import dataclass, field
from typing import Self, TypeVar

from django.db.models import Count, Exists, OuterRef, Q, QuerySet

from clients.models import Client, Membership, Practice, User
from coaching.models import AttentionItem
from submissions.models import Submission


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


PAGE = 50
# Above this many the desk says "more than": counting on would make the page slower with every client.
MOST_COUNTED = 300


@dataclass(frozen=True)
class DeskPlace:
    """Where an item stands on the desk: most pressing first, then the longest known."""

    rank: int
    since: datetime.date
    item: uuid.UUID

    @classmethod
    def of(cls, item: AttentionItem) -> Self:
        return cls(item.rank, item.since, item.uuid)

    @classmethod
    def read(cls, text: str) -> Self:
        """From an address, as str() writes it. Raises ValueError."""
        rank, since, item = text.split(".")
        if not (rank.isascii() and rank.isdigit() and len(rank) <= 3):
            raise ValueError(rank)
        return cls(int(rank), datetime.date.fromisoformat(since), uuid.UUID(item))

    def __str__(self) -> str:
        return f"{self.rank}.{self.since}.{self.item}"


@dataclass
class ClientAttention:
    """One client on the attention list: the most pressing reason, and the others."""

    client: Client
    items: list[AttentionItem] = field(default_factory=list)

    @property
    def first(self) -> AttentionItem:
        return self.items[0]

    @property
    def others(self) -> list[AttentionItem]:
        return self.items[1:]


@dataclass(frozen=True)
class AttentionPage:
    """One page of the list, and from where it goes on; None at its end."""

    rows: list[ClientAttention]
    next: DeskPlace | None


def attention_page(user: User, *, today: datetime.date, after: DeskPlace | None = None) -> AttentionPage:
    """Who needs this coach, most pressing first, without what was put away. Reads a page, however many clients."""
    firsts = _first_items(user, today)
    if after is not None:
        firsts = firsts.filter(_stands_after(after))
    found = list(firsts.select_related("client").order_by("rank", "since", "uuid")[: PAGE + 1])
    rows = {item.client_id: ClientAttention(item.client) for item in found[:PAGE]}
    for item in AttentionItem.objects.filter(client__in=rows).shown(today).order_by("rank", "since", "uuid"):
        rows[item.client_id].items.append(item)
    # Between the two questions a rebuild may have taken a client's last item.
    shown = [row for row in rows.values() if row.items]
    return AttentionPage(shown, DeskPlace.of(found[PAGE - 1]) if len(found) > PAGE else None)


def attention_count(user: User, *, today: datetime.date) -> int:
    """How many clients need this coach; MOST_COUNTED + 1 stands for more than MOST_COUNTED."""
    return _first_items(user, today)[: MOST_COUNTED + 1].count()


def attention_of(client: Client, *, today: datetime.date) -> ClientAttention:
    items = AttentionItem.objects.of(client).shown(today).order_by("rank", "since", "uuid")
    return ClientAttention(client, list(items))


def _first_items(user: User, today: datetime.date) -> QuerySet[AttentionItem]:
    """The most pressing item of each client."""
    same_client = AttentionItem.objects.filter(client=OuterRef("client")).shown(today)
    pressing = Q(rank__lt=OuterRef("rank")) | Q(rank=OuterRef("rank"), since__lt=OuterRef("since"))
    pressing |= Q(rank=OuterRef("rank"), since=OuterRef("since"), uuid__lt=OuterRef("uuid"))
    return _on_the_desk(user, AttentionItem.objects.shown(today)).exclude(Exists(same_client.filter(pressing)))


def _stands_after(place: DeskPlace) -> Q:
    later = Q(rank__gt=place.rank) | Q(rank=place.rank, since__gt=place.since)
    later |= Q(rank=place.rank, since=place.since, uuid__gt=place.item)
    # Says nothing new, but is what an index can start from.
    return Q(rank__gte=place.rank) & later


Rows = TypeVar("Rows", bound=QuerySet)


def _on_the_desk(user: User, rows: Rows) -> Rows:
    """Rows of clients this person coaches, as `coached_by`, but asked row by row from the practice's own index.

    A list of all coached clients first would make every page as slow as the caseload is long.
    """
    houses = list(Membership.objects.of(user).values_list("practice", flat=True))
    return rows.filter(Exists(Client.objects.coached_by(user).filter(pk=OuterRef("client"))), practice__in=houses)


@dataclass(frozen=True)
class Owed:
    """Answers that this coach owes."""

    waiting: int
    late: int
    next_due: Submission | None


def owed_answers(user: User, *, at: datetime.datetime) -> Owed:
    waiting = _on_the_desk(user, Submission.objects.waiting())
    counts = waiting.aggregate(waiting=Count("pk"), late=Count("pk", filter=Q(due_at__lt=at)))
    first = waiting.in_queue_order().select_related("client").first() if counts["waiting"] else None
    return Owed(counts["waiting"], counts["late"], first)
