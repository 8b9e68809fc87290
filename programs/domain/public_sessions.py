"""A session that anyone may follow: what a coach publishes of a client's session, ends and brings back."""

import datetime
import hashlib
import json
import re
import unicodedata
import uuid
from collections.abc import Iterable, Iterator, Sequence
from dataclasses import dataclass
from typing import Any

from django.db.models import QuerySet

from clients.models import Client, Membership, User
from programs.domain.exchange.schema import WEEKDAYS
from programs.domain.exchange.writing import Document, session_document
from programs.errors import NamesTheClient, NothingToShow, VisibleChanged
from programs.models import BlockSession, Movement, MovementRevision, PublicSession

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


@dataclass(frozen=True)
class Visible:
    """All of a session that others would see: the copy, and the practice's own movements in it as they are now."""

    document: Document
    own: dict[str, MovementRevision]

    @property
    def texts(self) -> list[str]:
        """What somebody of the practice wrote, and may have written about the client."""
        told = [*cues_of(self.document), *_names_of(self.document)]
        return told + [text for revision in self.own.values() for text in _texts_of(revision)]

    @property
    def seal(self) -> str:
        """Another one when anything in it is another."""
        told = [self.document, {slug: str(revision.uuid) for slug, revision in self.own.items()}]
        return hashlib.sha256(json.dumps(told, sort_keys=True).encode()).hexdigest()


def visible_of(session: BlockSession, *, title: str, with_cues: bool) -> Visible:
    document = public_document(session, title=title, with_cues=with_cues)
    slugs = {told["movement"] for told in _prescriptions(document)}
    movements = Movement.objects.filter(practice=session.block.practice_id, slug__in=slugs).select_related("current")
    return Visible(document, {one.slug: one.current for one in movements if one.current is not None})


def publish_session(
    session: BlockSession,
    *,
    title: str,
    about: str,
    with_cues: bool,
    by: User,
    at: datetime.datetime,
    seen: str | None = None,
    key: uuid.UUID | None = None,
) -> PublicSession:
    """Give a copy of a session an address for everybody; what becomes of the session later does not change it.

    `seen` is the seal of what was read, with its cues and under the session's name; another one is not published. With
    the same `key` it is published once. Raises NothingToShow, VisibleChanged, and NamesTheClient when a text that would
    be visible holds one of the client's names.
    """
    if seen is not None and seen != visible_of(session, title=session.name, with_cues=True).seal:
        raise VisibleChanged
    visible = visible_of(session, title=title, with_cues=with_cues)
    if not any(True for _told in _prescriptions(visible.document)):
        raise NothingToShow
    if named := naming(session.block.client, [title, about, *visible.texts]):
        raise NamesTheClient(named)
    said = {
        "title": title,
        "about": about,
        "document": visible.document,
        "own_revisions": {slug: str(revision.uuid) for slug, revision in visible.own.items()},
        "written_by": by,
        "published_at": at,
    }
    practice = session.block.practice_id
    return PublicSession.objects.get_or_create(uuid=key or uuid.uuid4(), practice_id=practice, defaults=said)[0]


def _texts_of(revision: MovementRevision) -> list[str]:
    return [text for text in (revision.name, revision.set_up, *revision.cues, *revision.cautions) if text]


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
    """The texts in which one of the client's names stands as a word; a short one only as it is written."""
    names = re.findall(r"\w+", _composed(client.name))
    long, short = (
        _words([one for one in names if (len(one) >= SHORTEST_NAME) is is_long]) for is_long in (True, False)
    )
    found = [(re.compile(long, re.IGNORECASE) if long else None), (re.compile(short) if short else None)]
    return [text for text in texts if any(one.search(_composed(text)) for one in found if one is not None)]


def _composed(text: str) -> str:
    """Letters with their accents as one sign, however they were typed."""
    return unicodedata.normalize("NFKC", text)


def _words(names: Sequence[str]) -> str:
    return rf"\b(?:{'|'.join(map(re.escape, names))})\b" if names else ""


def end_public_session(public: PublicSession, *, at: datetime.datetime) -> None:
    """Nobody can open it any more. Ending twice keeps the first time."""
    PublicSession.objects.filter(pk=public.pk, ended_at=None).update(ended_at=at)


def bring_back(public: PublicSession) -> None:
    """At the same address, as it was."""
    PublicSession.objects.filter(pk=public.pk).update(ended_at=None)
