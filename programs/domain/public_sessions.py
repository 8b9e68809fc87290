"""A session that anyone may follow: what a coach publishes of a client's session, ends and brings back."""

import datetime
import re
from collections.abc import Iterable, Iterator
from typing import Any

from django.db.models import QuerySet

from clients.models import Client, Membership, User
from programs.domain.exchange.schema import WEEKDAYS
from programs.domain.exchange.writing import Document, session_document
from programs.errors import NamesTheClient, NothingToShow
from programs.models import BlockSession, PublicSession

# All that leaves a client's plan. Loads and help tell how strong somebody is, lineages where it came from.
PUBLISHED = frozenset(
    {
        *("movement", "movement_name", "own_movement", "measure", "kind", "sets", "amount_low", "amount_high"),
        *("scheme", "per_side", "rest_s", "tempo", "target_rir", "target_rpe", "grip", "cluster_reps"),
        *("rest_within_s", "cue"),
    }
)
# Shorter words of a name stand in too many sentences.
SHORTEST_NAME = 3


def public_sessions_of(user: User) -> QuerySet[PublicSession]:
    """Those of the practices in which somebody coaches now."""
    return PublicSession.objects.filter(practice__in=Membership.objects.of(user).values("practice"))


def publish_session(
    session: BlockSession, *, title: str, about: str, with_cues: bool, by: User, at: datetime.datetime
) -> PublicSession:
    """Give a copy of a session an address for everybody; what becomes of the session later does not change it.

    Raises NothingToShow, and NamesTheClient when a text that would be visible holds one of the client's names.
    """
    document = public_document(session, title=title, with_cues=with_cues)
    if not any(True for _told in _prescriptions(document)):
        raise NothingToShow
    if named := naming(session.block.client, [title, about, *cues_of(document), *_names_of(document)]):
        raise NamesTheClient(named)
    return PublicSession.objects.create(
        practice_id=session.block.practice_id,
        title=title,
        about=about,
        document=document,
        written_by=by,
        published_at=at,
    )


def public_document(session: BlockSession, *, title: str, with_cues: bool) -> Document:
    """A block file with this one session and nothing in it of the client: neither loads, names, days nor reasons."""
    kept = PUBLISHED if with_cues else PUBLISHED - {"cue"}
    document = session_document(session)
    sections = [
        {"kind": section["kind"], "groups": [_group(group, kept) for group in section["groups"]]}
        for section in document["sessions"][0]["sections"]
    ]
    alone = {"week": 1, "weekday": WEEKDAYS[0], "name": title, "sections": sections}
    return {name: document[name] for name in ("format", "version")} | {"title": title, "weeks": 1, "sessions": [alone]}


def _group(group: Document, kept: Iterable[str]) -> Document:
    times = {name: group[name] for name in ("kind", "minutes", "interval_s") if name in group}
    members = [{name: told[name] for name in told if name in kept} for told in group["prescriptions"]]
    return times | {"prescriptions": members}


def _names_of(document: Document) -> list[str]:
    """A practice may have named a movement of its own after a client."""
    return [told["movement_name"] for told in _prescriptions(document) if "movement_name" in told]


def cues_of(document: Document) -> list[str]:
    return [told["cue"] for told in _prescriptions(document) if told.get("cue")]


def _prescriptions(document: Document) -> Iterator[dict[str, Any]]:
    for session in document["sessions"]:
        for section in session["sections"]:
            for group in section["groups"]:
                yield from group["prescriptions"]


def naming(client: Client, texts: Iterable[str]) -> list[str]:
    """The texts in which one of the client's names stands as a word."""
    names = [name for name in re.findall(r"\w+", client.name) if len(name) >= SHORTEST_NAME]
    if not names:
        return []
    pattern = re.compile(rf"\b(?:{'|'.join(map(re.escape, names))})\b", re.IGNORECASE)
    return [text for text in texts if pattern.search(text)]


def end_public_session(public: PublicSession, *, at: datetime.datetime) -> None:
    """Nobody can open it any more. Ending twice keeps the first time."""
    PublicSession.objects.filter(pk=public.pk, ended_at=None).update(ended_at=at)


def bring_back(public: PublicSession) -> None:
    """At the same address, as it was."""
    PublicSession.objects.filter(pk=public.pk).update(ended_at=None)
