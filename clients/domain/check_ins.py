"""The weekly check-in: for which week it is asked, on the client's own calendar, and keeping what was told."""

import datetime
import uuid
from collections.abc import Mapping
from dataclasses import dataclass
from typing import Any

from django.db import transaction

from clients.choices import ClientState, ConsentKind, Weekday
from clients.domain.consent import has_consent
from clients.domain.versions import supersede
from clients.errors import ConsentMissing, NoCheckInAsked, ReplacedMeanwhile
from clients.models import CheckIn, Client, ClientStateChange, User
from methods.undefined import Undefined
from methods.wellness import MCLEAN_ITEMS, mclean_index

WEEK = datetime.timedelta(weeks=1)
SAID = (*MCLEAN_ITEMS, "confidence", "activity", "note", "question")


@dataclass(frozen=True)
class Asked:
    """The check-in that is asked for now: of the latest check-in day, until the next one comes."""

    due_on: datetime.date
    told: CheckIn | None = None

    @property
    def week(self) -> datetime.date:
        return week_of(self.due_on)

    @property
    def next_on(self) -> datetime.date:
        return self.due_on + WEEK

    def is_overdue(self, today: datetime.date) -> bool:
        return self.told is None and self.due_on < today


def latest_due_day(today: datetime.date, weekday: int) -> datetime.date:
    """The latest check-in day up to and with today."""
    return today - datetime.timedelta(days=(today.weekday() - weekday) % 7)


def week_of(day: datetime.date) -> datetime.date:
    """The Monday that names a day's week."""
    return day - datetime.timedelta(days=day.weekday())


def asked_check_in(client: Client, *, on: datetime.date) -> Asked | None:
    """What is asked on this day of the client's; nothing of somebody who is not active, or came only since."""
    if client.state != ClientState.ACTIVE:
        return None
    due_on = latest_due_day(on, client.check_in_weekday)
    since = _active_since(client)
    if since is not None and due_on <= since:
        return None
    return Asked(due_on, check_in_of(client, week_of(due_on)))


def next_check_in_day(client: Client, *, on: datetime.date) -> datetime.date:
    return latest_due_day(on, client.check_in_weekday) + WEEK


def check_in_of(client: Client, week: datetime.date) -> CheckIn | None:
    """What stands for a week."""
    return CheckIn.objects.current().filter(client=client, week=week).first()


def _active_since(client: Client) -> datetime.date | None:
    """Since when, without a break. Whoever was away owes nothing for the time away."""
    steps = ClientStateChange.objects.filter(client=client, to_state=ClientState.ACTIVE).order_by("-at", "-pk")
    newest = steps.values_list("at", flat=True).first()
    return newest.astimezone(client.zone).date() if newest else None


def record_check_in(
    client: Client,
    said: Mapping[str, Any],
    *,
    due_on: datetime.date,
    seen: uuid.UUID | None,
    on: datetime.date,
    at: datetime.datetime,
) -> CheckIn:
    """Keep what was told for a check-in day; told again it is a new version, and the same again nothing new.

    `due_on` is what the page asked for: one that was opened before midnight still answers for its own week. `seen` is
    the version that was on it. Raises NoCheckInAsked, ConsentMissing, and ReplacedMeanwhile when another page was sent
    since.
    """
    if not has_consent(client, ConsentKind.HEALTH):
        raise ConsentMissing
    with transaction.atomic():
        # Lock the client: two tabs may answer at once.
        Client.objects.select_for_update().get(pk=client.pk)
        asked = asked_check_in(client, on=on)
        if asked is None or due_on not in {asked.due_on, asked.due_on - WEEK}:
            raise NoCheckInAsked
        current = check_in_of(client, week_of(due_on))
        if current is not None and all(getattr(current, name) == said[name] for name in SAID):
            return current
        if (current.uuid if current else None) != seen:
            raise ReplacedMeanwhile
        version = CheckIn(
            practice_id=client.practice_id,
            client=client,
            week=week_of(due_on),
            due_on=current.due_on if current else due_on,
            told_on=current.told_on if current else on,
            time_zone=client.time_zone,
            told_at=at,
            **{name: said[name] for name in SAID},
        )
        return supersede(current, version)


def answers_of(check_in: CheckIn) -> dict[str, int | None]:
    """The items of the index, None where one was left out."""
    return {item: getattr(check_in, item) for item in MCLEAN_ITEMS}


def index_of(check_in: CheckIn) -> float | Undefined:
    return mclean_index(answers_of(check_in))


def set_check_in_habits(client: Client, *, weekday: Weekday, reminders: bool) -> None:
    """On which day the client likes to be asked, and whether letters remind them."""
    client.check_in_weekday, client.check_in_reminders = weekday, reminders
    client.save(update_fields=["check_in_weekday", "check_in_reminders"])


def pause_reminders(client: Client, *, paused: bool, by: User, at: datetime.datetime) -> None:
    """Whether a coach holds the letters back. The client's own wish stays as it is; paused twice, the first counts."""
    with transaction.atomic():
        # Lock the client, as the letter does: either it is out already, or it sees the pause.
        standing = Client.objects.select_for_update().get(pk=client.pk)
        if paused == (standing.reminders_paused_at is not None):
            return
        standing.reminders_paused_at, standing.reminders_paused_by = (at, by) if paused else (None, None)
        standing.save(update_fields=["reminders_paused_at", "reminders_paused_by"])
