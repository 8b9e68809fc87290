"""Two blocks: one written by hand, and the one that came out of the decisions about it."""

import datetime
from decimal import Decimal

from clients.models import Client, User
from coaching.choices import Decided
from coaching.demo import person as people
from coaching.demo.loading.days import DAY, WEEK, Now
from coaching.demo.person import Day, Person, Plan, Work
from coaching.domain.deciding import decide_suggestion, dose_from
from coaching.domain.evidence import surroundings
from coaching.domain.next_block import draft_next_block
from coaching.domain.suggesting import suggestions
from coaching.models import Suggestion
from methods.dose import Dose
from methods.units import kg_from
from programs.domain.building import add_session, copy_week, create_block, save_session
from programs.domain.publishing import publish_block
from programs.domain.rows import Row
from programs.models import Block, Movement, MovementRevision

WARM_UP = Work("march-in-place", 1, 120, 120, can=120, rir=None, rest_s=30, section="raise")
OPENER = Work("cat-cow", 1, 8, 8, can=8, rir=None, rest_s=20, section="mobility")
PUBLISHED_AT = datetime.time(19, 10)


def first_block(client: Client, person: Person, plan: Plan, coach: User, *, now: Now) -> Block:
    """Write the first week, copy it to the others, and publish on the evening before it begins."""
    starts_on = now.first_monday(client, plan)
    block = create_block(client, by=coach, title="Base 1", starts_on=starts_on, weeks=plan.weeks, message=plan.message)
    for day in plan.days:
        _write_session(block, day, weekday=(now.today(client) + day.ahead * DAY).weekday(), unit=person.unit)
    copy_week(block, from_week=1, to_weeks=range(2, plan.weeks + 1), version=block.version)
    return _publish(block, by=coach)


def _write_session(block: Block, day: Day, *, weekday: int, unit: str) -> None:
    session = add_session(block, version=block.version, name=day.name, week=1, weekday=weekday)
    rows = [row_of(work, unit) for work in (WARM_UP, OPENER, *day.works)]
    save_session(session, rows, version=session.block.version, name=day.name, weekday=weekday)
    block.version = session.block.version


def row_of(work: Work, unit: str) -> Row:
    load = Decimal(work.load) if work.load else None
    return Row(
        movement=movement_called(work.slug),
        section=work.section,
        joined=work.paired,
        sets=work.sets,
        amount_low=work.low,
        amount_high=work.high,
        scheme=work.scheme,
        per_side=work.per_side,
        rest_s=work.rest_s,
        tempo=work.tempo,
        target_rir=Decimal(work.rir) if work.rir else None,
        load_entered=load,
        load_unit=unit if load is not None else "",
        load_kg=kg_from(load, unit) if load is not None else None,
        cue=work.cue,
        **work.more,
    )


def movement_called(slug: str) -> MovementRevision:
    revision = Movement.objects.select_related("current__movement").get(practice=None, slug=slug).current
    if revision is None:
        raise LookupError(f"{slug} has no revision yet")
    return revision


def _publish(block: Block, *, by: User) -> Block:
    evening = datetime.datetime.combine(block.starts_on - DAY, PUBLISHED_AT, tzinfo=block.client.zone)
    because = "Light enough so far: we go on as long as the next morning is as usual."
    return publish_block(block, by=by, at=evening, first_day=block.starts_on, protected_because=because)


def second_block(client: Client, person: Person, first: Block, coach: User) -> Block:
    """On the last day of a block: what the rules suggest, what the coach decides, and the next block from that.

    The rows of suggestions are derived; the last rebuild writes them anew.
    """
    today = first.ends_on
    at = datetime.datetime.combine(today, datetime.time(18, 30), tzinfo=client.zone)
    suggested = Suggestion.objects.bulk_create(suggestions(surroundings(client, today=today)))
    for suggestion in suggested:
        _decide(suggestion, person.decides.get(suggestion.movement_name, person.decides.get("*")), by=coach, at=at)
    return _publish(draft_next_block(client, by=coach, today=today), by=coach)


def _decide(suggestion: Suggestion, decision: people.Decided | None, *, by: User, at: datetime.datetime) -> None:
    if decision is None:
        decide_suggestion(suggestion, decided=Decided.ACCEPTED, by=by, at=at)
        return
    dose = _changed(dose_from(suggestion.to_dose), decision) if decision.change else None
    decide_suggestion(suggestion, decided=Decided(decision.decided), dose=dose, reason=decision.reason, by=by, at=at)


def _changed(dose: Dose, decision: people.Decided) -> Dose:
    return Dose(**({name: getattr(dose, name) for name in dose.__dataclass_fields__} | dict(decision.change)))


def weeks_until(client: Client, plan: Plan, day: datetime.date, *, now: Now) -> int:
    """Whole weeks of the plan before a day, from 0."""
    return (day - now.first_monday(client, plan)) // WEEK
