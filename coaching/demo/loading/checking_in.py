"""The weekly check-ins of a person, most of them read by the coach with no more than a line."""

import datetime
from dataclasses import dataclass

from clients.choices import Weekday
from clients.domain.check_ins import set_check_in_habits, week_of
from clients.library.check_ins import ITEMS
from clients.models import CheckIn, Client, User
from coaching.demo.loading.days import DAY, HOUR, WEEK, Now
from coaching.demo.person import CheckIns, Person
from submissions.choices import Lane, SubmissionKind, SubmissionState
from submissions.domain.checking_in import send_check_in
from submissions.models import Review, Submission

TELLS_AT = datetime.time(19, 10)
READ_AFTER = 14 * HOUR
SEEN_AFTER = 20 * HOUR
REPLIES = (
    "Good to read. Same again next week.",
    "Thank you. Keep the easy days easy.",
    "Noted. Sleep first, sets second.",
)


@dataclass(frozen=True)
class Week:
    """One check-in day of the past, and how it was."""

    due_on: datetime.date
    answers: dict[str, int]
    confidence: int


def check_in(client: Client, person: Person, coach: User, *, now: Now) -> None:
    said = person.check_ins
    if said is None:
        return
    last = now.today(client) - said.days * DAY
    client.refresh_from_db()
    set_check_in_habits(client, weekday=Weekday(last.weekday()), reminders=said.reminders)
    if person.plan is None or said.newest == "never":
        return
    weeks = _weeks(client, person, said, last=last, now=now)
    read = weeks if said.newest == "read" else weeks[:-1]
    _keep_read(client, read, coach)
    if said.newest == "waits":
        _send(client, said, weeks[-1], now=now)


def _weeks(client: Client, person: Person, said: CheckIns, *, last: datetime.date, now: Now) -> list[Week]:
    """From the first full week of the first block to the last check-in day that this person answered."""
    if person.plan is None:
        return []
    quiet = max(person.habits.quiet_since or 0, person.left.days if person.left else 0)
    until = now.today(client) - quiet * DAY
    first = now.first_monday(client, person.plan) + WEEK
    count = (last - first).days // 7 + 1
    days = [last - n * WEEK for n in reversed(range(count))]
    return [_week(person, said, day, n=n, ago=count - 1 - n) for n, day in enumerate(days) if day <= until]


def _week(person: Person, said: CheckIns, day: datetime.date, *, n: int, ago: int) -> Week:
    """A little up and down that is the same in every load, told by the address."""
    seed = sum(person.email.encode())
    fall = 1 if said.fell is not None and ago < said.fell else 0
    answers = {}
    for k, (item, usual) in enumerate(zip(ITEMS, said.usual, strict=True)):
        wave = (seed + n * (n + k) + 3 * k) % 7
        moved = usual + (wave == 0) - (wave == 3) - fall * (k % 2 == 0)
        answers[item.code] = min(5, max(1, moved))
    return Week(day, answers, 8 - 3 * fall + (seed + n) % 2)


def _keep_read(client: Client, weeks: list[Week], coach: User) -> None:
    told = CheckIn.objects.bulk_create(_check_in(client, week) for week in weeks)
    sent = Submission.objects.bulk_create(_submission(client, check_in) for check_in in told)
    Review.objects.bulk_create(_review(submission, coach, n) for n, submission in enumerate(sent))


def _check_in(client: Client, week: Week) -> CheckIn:
    return CheckIn(
        practice_id=client.practice_id,
        client=client,
        week=week_of(week.due_on),
        due_on=week.due_on,
        told_on=week.due_on,
        time_zone=client.time_zone,
        told_at=datetime.datetime.combine(week.due_on, TELLS_AT, tzinfo=client.zone),
        confidence=week.confidence,
        **week.answers,
    )


def _submission(client: Client, check_in: CheckIn) -> Submission:
    return Submission(
        practice_id=client.practice_id,
        client=client,
        kind=SubmissionKind.CHECK_IN,
        check_in=check_in,
        lane=Lane.ROUTINE,
        lane_reason="A check-in.",
        submitted_at=check_in.told_at,
        due_at=check_in.told_at + 2 * DAY,
        state=SubmissionState.ANSWERED,
        answered_at=check_in.told_at + READ_AFTER,
    )


def _review(submission: Submission, coach: User, n: int) -> Review:
    """Every third with a few words, the others only read."""
    words = REPLIES[n // 3 % len(REPLIES)] if n % 3 == 0 else ""
    return Review(
        practice_id=submission.practice_id,
        client_id=submission.client_id,
        submission=submission,
        reviewer=coach,
        message=words,
        sent_at=submission.submitted_at + READ_AFTER,
        seen_at=submission.submitted_at + SEEN_AFTER if words else None,
    )


def _send(client: Client, said: CheckIns, week: Week, *, now: Now) -> None:
    """The newest one as the page sends it."""
    at = min(datetime.datetime.combine(week.due_on, TELLS_AT, tzinfo=client.zone), now.at)
    words = {"activity": said.activity, "note": said.note, "question": said.question}
    answers = {**week.answers, "confidence": week.confidence, **words}
    send_check_in(client, answers, due_on=week.due_on, seen=None, on=week.due_on, at=at)
