"""What the entries of one batch refer to: looked up once, and only among what is the client's own."""

import datetime
import uuid
from collections.abc import Iterable
from functools import cached_property
from typing import Any, TypeVar

from django.db.models import Q

from clients.domain.versions import newest
from clients.models import BodyMass, Client, ClientFact, PainReport, Place
from programs.domain.days import where_it_went
from programs.domain.entries import UNKNOWN, EntryReader, Told
from programs.errors import EntryConflict, EntryRefused
from programs.models import MovementRevision, Prescription, ScheduledSession, SetLog, TrainingLog

Fact = TypeVar("Fact", bound=ClientFact)
FACTS: dict[str, type[ClientFact]] = {"set": SetLog, "session": TrainingLog, "pain": PainReport}


class Batch:
    """One client's entries that came at one moment. Whatever is not theirs is refused as if it were not there."""

    def __init__(self, client: Client, ids: Iterable[uuid.UUID], *, at: datetime.datetime) -> None:
        self.client = client
        self.at = at
        self.touched: dict[int, ScheduledSession] = {}
        self._sessions: dict[uuid.UUID, ScheduledSession | None] = {}
        self._prescriptions: dict[int, dict[uuid.UUID, Prescription]] = {}
        self._masses: dict[datetime.date, BodyMass | None] = {}
        self._sets: dict[int, dict[uuid.UUID, SetLog]] = {}
        self._reader = EntryReader(at=at)
        wanted = list(ids)
        # Of any client: an id that is taken elsewhere cannot be used here.
        self._facts = {
            row.uuid: row for model in FACTS.values() for row in model._default_manager.filter(uuid__in=wanted)
        }

    def read(self, raw: object) -> Told:
        return self._reader.read(raw)

    def add(self, fact: ClientFact) -> None:
        """Take note of what was stored just now; later entries may build on it."""
        self._facts[fact.uuid] = fact
        if fact.replaces is not None:
            self._facts[fact.replaces.uuid].is_current = False
        if isinstance(fact, SetLog | TrainingLog):
            self.touched[fact.scheduled_id] = fact.scheduled
        if isinstance(fact, SetLog):
            self._stand(fact)

    def _stand(self, version: SetLog) -> None:
        standing = self._sets_of(version.scheduled_id)
        if version.replaces is not None:
            standing.pop(version.replaces.uuid, None)
        if not version.is_withdrawn:
            standing[version.uuid] = version

    def standing_sets(self, version: SetLog) -> list[SetLog]:
        """What counts already of the set that a version tells of: the client is locked, so nobody adds to it."""
        named = (version.lineage, version.kind, version.number)
        standing = self._sets_of(version.scheduled_id).values()
        return [row for row in standing if (row.lineage, row.kind, row.number) == named]

    def _sets_of(self, scheduled_id: int) -> dict[uuid.UUID, SetLog]:
        if scheduled_id not in self._sets:
            counting = SetLog.objects.counting().filter(scheduled=scheduled_id)
            named = counting.only("uuid", "scheduled", "lineage", "kind", "number", "side")
            self._sets[scheduled_id] = {row.uuid: row for row in named}
        return self._sets[scheduled_id]

    def known(self, fact_id: uuid.UUID) -> ClientFact | None:
        """What is stored under this id already."""
        row = self._facts.get(fact_id)
        if row is not None and not self._is_ours(row):
            raise EntryRefused({"uuid": [UNKNOWN]})
        return row

    def replaced(self, model: type[Fact], told: dict[str, Any], scheduled: ScheduledSession | None) -> Fact | None:
        """The version that is being corrected, which must be the newest and of the same session."""
        if "replaces" not in told:
            return None
        row = self._facts.get(told["replaces"])
        if not isinstance(row, model) or not self._is_ours(row):
            raise EntryRefused({"replaces": [UNKNOWN]})
        if scheduled is not None and row.scheduled_id != scheduled.pk:  # type: ignore[attr-defined]
            raise EntryRefused({"replaces": [UNKNOWN]})
        if not row.is_current:
            raise EntryConflict(newest(row).uuid)
        return row

    def _is_ours(self, row: ClientFact) -> bool:
        return row.client_id == self.client.pk and row.erased_at is None

    def scheduled(self, session_id: uuid.UUID) -> ScheduledSession:
        """The session that was meant. One that moved or was revised meanwhile is found where it stands now."""
        if session_id not in self._sessions:
            found = ScheduledSession.objects.of(self.client).filter(uuid=session_id).first()
            self._sessions[session_id] = found and where_it_went(found)
        session = self._sessions[session_id]
        if session is None:
            raise EntryRefused({"scheduled": [UNKNOWN]})
        return session

    def prescription(self, prescription_id: uuid.UUID, scheduled: ScheduledSession) -> Prescription:
        if scheduled.pk not in self._prescriptions:
            of_session = Prescription.objects.filter(group__section__session=scheduled.session_id)
            self._prescriptions[scheduled.pk] = {p.uuid: p for p in of_session.select_related("movement__movement")}
        found = self._prescriptions[scheduled.pk].get(prescription_id) or self._of_former(prescription_id, scheduled)
        if found is None:
            raise EntryRefused({"prescription": [UNKNOWN]})
        return found

    def _of_former(self, prescription_id: uuid.UUID, scheduled: ScheduledSession) -> Prescription | None:
        """What was trained by a page from before the session was revised."""
        former = Prescription.objects.filter(
            group__section__session__lineage=scheduled.session.lineage,
            group__section__session__block__client=self.client,
        )
        return former.select_related("movement__movement").filter(uuid=prescription_id).first()

    def movement(self, revision_id: uuid.UUID) -> MovementRevision:
        ours = Q(movement__practice=None) | Q(movement__practice=self.client.practice_id)
        found = MovementRevision.objects.filter(ours, uuid=revision_id).first()
        if found is None:
            raise EntryRefused({"movement": [UNKNOWN]})
        return found

    @cached_property
    def _places(self) -> dict[uuid.UUID, Place]:
        return {place.uuid: place for place in Place.objects.of(self.client)}

    def place(self, place_id: uuid.UUID | None) -> Place | None:
        if place_id is not None and place_id not in self._places:
            raise EntryRefused({"place": [UNKNOWN]})
        return self._places[place_id] if place_id else None

    def mass_on(self, day: datetime.date) -> BodyMass | None:
        if day not in self._masses:
            self._masses[day] = BodyMass.objects.filter(client=self.client).for_day(day)
        return self._masses[day]
