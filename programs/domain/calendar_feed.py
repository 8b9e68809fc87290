"""A client's sessions as a calendar (RFC 5545) behind a token that can be ended."""

import datetime
import unicodedata
from collections.abc import Iterable
from zoneinfo import ZoneInfo

import icalendar
from django.db import transaction
from django.db.models import Max, Q, QuerySet
from django.urls import reverse
from django.utils.translation import gettext as _

from clients.choices import ClientState
from clients.domain.mail import absolute
from clients.domain.tokens import new_token, token_hash
from clients.models import Client
from programs.choices import SessionState
from programs.domain.rows import groups_of, with_contents
from programs.domain.timing import minutes_of
from programs.errors import FeedNotThere
from programs.models import BlockSession, CalendarFeed, ScheduledSession

BACK = datetime.timedelta(weeks=12)
READ_AGAIN = datetime.timedelta(hours=1)
ASK_AGAIN = datetime.timedelta(hours=4)
ONE_DAY = datetime.timedelta(days=1)
# Nothing happens on that day any more; the calendar is told instead of left to guess.
OFF = frozenset({SessionState.WITHDRAWN, SessionState.SKIPPED, SessionState.EXCUSED})
SHORTEST_MIN = 15
# What RFC 5545 forbids in a text, and what some readers take for the end of a line.
UNPRINTABLE = frozenset({"Cc", "Cs", "Zl", "Zp"})


def new_feed(client: Client, *, starts_at: datetime.time | None, at: datetime.datetime) -> str:
    """Make an address and end the one before it. The token is returned once; only its hash is kept."""
    token = new_token()
    with transaction.atomic():
        locked = Client.objects.select_for_update().get(pk=client.pk)
        end_feed(locked, at=at)
        CalendarFeed.objects.create(
            practice_id=locked.practice_id,
            client=locked,
            token_sha256=token_hash(token),
            starts_at=starts_at,
            time_zone=locked.time_zone,
            made_at=at,
        )
    return token


def end_feed(client: Client, *, at: datetime.datetime) -> bool:
    """End the address; whether there was one."""
    return bool(CalendarFeed.objects.of(client).filter(revoked_at=None).update(revoked_at=at))


def feed_of(client: Client) -> CalendarFeed | None:
    return CalendarFeed.objects.of(client).filter(revoked_at=None).first()


def feed_behind(token: str, *, at: datetime.datetime) -> CalendarFeed:
    """The feed of a token, noting at most once an hour that it was asked for.

    Raises FeedNotThere for a token that is unknown, ended, or of somebody who has left.
    """
    rows = CalendarFeed.objects.filter(token_sha256=token_hash(token), revoked_at=None, client__erased_at=None)
    found = rows.exclude(client__state=ClientState.ENDED).select_related("client__practice").first()
    if found is None:
        raise FeedNotThere
    CalendarFeed.objects.filter(Q(read_at=None) | Q(read_at__lt=at - READ_AGAIN), pk=found.pk).update(read_at=at)
    return found


def write_calendar(feed: CalendarFeed, *, today: datetime.date) -> bytes:
    """The same rows give the same bytes, whoever asks and when."""
    sessions = list(_newest(feed.client).filter(on__gte=today - BACK).select_related("session").order_by("on", "pk"))
    minutes = _minutes(sessions) if feed.starts_at else {}
    calendar = _calendar(feed)
    for scheduled in sessions:
        calendar.add_component(_event(scheduled, feed, minutes.get(scheduled.session_id, 0)))
    if not sessions:
        # A calendar without a component is none (RFC 5545, 3.4).
        calendar.add_component(_utc())
    return calendar.to_ical()


def _newest(client: Client) -> QuerySet[ScheduledSession]:
    """Where each appointment stands now, or stood last: moves and revisions add rows to its lineage."""
    sessions = ScheduledSession.objects.of(client)
    return sessions.filter(pk__in=sessions.order_by().values("lineage").annotate(newest=Max("pk")).values("newest"))


def _minutes(sessions: Iterable[ScheduledSession]) -> dict[int, int]:
    planned = with_contents(BlockSession.objects.filter(pk__in={scheduled.session_id for scheduled in sessions}))
    return {session.pk: max(SHORTEST_MIN, minutes_of(groups_of(session))) for session in planned}


def _calendar(feed: CalendarFeed) -> icalendar.Calendar:
    calendar = icalendar.Calendar()
    name = _("Training · %(practice)s") % {"practice": _printable(feed.client.practice.name)}
    calendar.add("prodid", "-//Purlin//Training//EN")
    calendar.add("version", "2.0")
    calendar.add("calscale", "GREGORIAN")
    # RFC 7986, and the older spelling that many programs read.
    calendar.add("name", name)
    calendar.add("x-wr-calname", name)
    calendar.add("refresh-interval", icalendar.vDuration(ASK_AGAIN), parameters={"VALUE": "DURATION"})
    return calendar


def _event(scheduled: ScheduledSession, feed: CalendarFeed, minutes: int) -> icalendar.Event:
    """Nothing about health, doses or reasons: calendars are shared and copied."""
    event = icalendar.Event()
    event.add("uid", str(scheduled.lineage))
    event.add("dtstamp", _whole_second(scheduled.changed_at))
    event.add("last-modified", _whole_second(scheduled.changed_at))
    event.add("sequence", scheduled.changes)
    event.add("summary", _("Training: %(session)s") % {"session": _printable(scheduled.session.name)})
    event.add("status", "CANCELLED" if scheduled.state in OFF else "CONFIRMED")
    event.add("class", "PRIVATE")
    event.add("url", absolute(reverse("train", args=[scheduled.uuid])))
    if feed.starts_at is None:
        event.add("dtstart", scheduled.on)
        event.add("dtend", scheduled.on + ONE_DAY)
        event.add("transp", "TRANSPARENT")
    else:
        starts = starts_at(scheduled.on, feed.starts_at, ZoneInfo(feed.time_zone))
        event.add("dtstart", starts)
        event.add("dtend", starts + datetime.timedelta(minutes=minutes))
        event.add("transp", "OPAQUE")
    return event


def starts_at(day: datetime.date, time: datetime.time, zone: ZoneInfo) -> datetime.datetime:
    """The instant of a time of day in a zone, in UTC.

    A time that the clocks skip is read with the offset before the change, one that comes twice as the first of the
    two (RFC 5545, 3.3.5): what `fold=0` means.
    """
    return datetime.datetime.combine(day, time.replace(fold=0), tzinfo=zone).astimezone(datetime.UTC)


def _utc() -> icalendar.Timezone:
    zone, standard = icalendar.Timezone(), icalendar.TimezoneStandard()
    zone.add("tzid", "UTC")
    standard.add("dtstart", datetime.datetime(1970, 1, 1))
    standard.add("tzoffsetfrom", datetime.timedelta(0))
    standard.add("tzoffsetto", datetime.timedelta(0))
    zone.add_component(standard)
    return zone


def _whole_second(instant: datetime.datetime) -> datetime.datetime:
    return instant.astimezone(datetime.UTC).replace(microsecond=0)


def _printable(text: str) -> str:
    return "".join(" " if unicodedata.category(one) in UNPRINTABLE else one for one in text)
