"""A client with a published block and logged sessions, written straight as rows: for tests of what is derived."""

import datetime
import uuid
from dataclasses import dataclass, field
from decimal import Decimal

from clients.choices import ItemKind
from clients.models import Assignment, Client, Membership
from coaching.models import AttentionItem
from programs.choices import LoadKind, Outcome, SectionKind, SessionState
from programs.models import Block, Prescription, ScheduledSession
from tests import factories as f

TODAY = datetime.date(2026, 3, 25)
AT = datetime.datetime(2026, 3, 25, 12, tzinfo=datetime.UTC)
START = datetime.date(2026, 3, 2)


@dataclass
class Scenario:
    """One movement, twice a week, for the weeks before TODAY."""

    client: Client
    block: Block
    lineage: uuid.UUID
    sessions: list[ScheduledSession] = field(default_factory=list)
    prescriptions: list[Prescription] = field(default_factory=list)


def build(client: Client, *, sets: int = 3, low: int = 8, high: int = 10, **prescribed) -> Scenario:
    f.ConsentFactory(client=client)
    f.ScreeningFactory(client=client)
    f.BodyMassFactory(client=client)
    f.EquipmentItemFactory(
        place=f.PlaceFactory(client=client), kind=ItemKind.DUMBBELL, attributes={"masses_kg": [40, 42, 44]}
    )
    movement = prescribed.pop("movement", None) or external_movement()
    block = f.BlockFactory(client=client, starts_on=START, weeks=4)
    scenario = Scenario(client, block, uuid.uuid4())
    for week in range(1, 5):
        for weekday in (0, 2):
            session = f.BlockSessionFactory(block=block, week=week, weekday=weekday)
            group = f.GroupFactory(section=f.SectionFactory(session=session, kind=SectionKind.STRENGTH))
            prescription = f.PrescriptionFactory(
                group=group, movement=movement, lineage=scenario.lineage, sets=sets, amount_low=low, amount_high=high,
                target_rir=2, **prescribed,
            )  # fmt: skip
            scenario.prescriptions.append(prescription)
            scenario.sessions.append(
                f.ScheduledSessionFactory(
                    client=client, session=session, on=START + datetime.timedelta(weeks=week - 1, days=weekday)
                )
            )
    f.publish(block)
    return scenario


def external_movement():
    return f.MovementFactory(
        revision__load_kind=LoadKind.EXTERNAL,
        revision__share=None,
        revision__share_basis="",
        revision__share_source="",
        revision__equipment=[["dumbbell"]],
        revision__areas=["knee"],
    ).current


def log(scenario: Scenario, n: int, amounts: list[int], *, rir: int | None = 2, load: int | None = 40) -> None:
    """Log the n-th session with these repetitions."""
    scheduled, prescription = scenario.sessions[n], scenario.prescriptions[n]
    for number, amount in enumerate(amounts, start=1):
        f.SetLogFactory(
            client=scenario.client,
            scheduled=scheduled,
            prescription=prescription,
            lineage=scenario.lineage,
            movement=prescription.movement,
            kind=prescription.kind,
            number=number,
            repetitions=amount,
            rir=rir if number == len(amounts) else None,
            load_entered=load,
            load_unit="kg" if load else "",
            load_kg=load,
            system_load_kg=load,
            volume_load_kg=Decimal(load) * amount if load else None,
            hard_set=1,
        )
    f.TrainingLogFactory(client=scenario.client, scheduled=scheduled, outcome=Outcome.WITH_NUMBERS)
    ScheduledSession.objects.filter(pk=scheduled.pk).update(state=SessionState.WITH_NUMBERS)


def log_all(scenario: Scenario, amounts: list[int], *, upto: datetime.date = TODAY, **how) -> None:
    for n, scheduled in enumerate(scenario.sessions):
        if scheduled.on < upto:
            log(scenario, n, amounts, **how)


def caseload(coach: Membership, items: list[list[tuple[int, int]]]) -> list[Client]:
    """Clients of a coach, one a list: with items of these ranks, known for that many days before TODAY."""
    house = coach.practice
    people = Client.objects.bulk_create(Client(practice=house, name=f"Person {n}") for n in range(len(items)))
    Assignment.objects.bulk_create(
        Assignment(practice=house, client=person, coach=coach, kind="lead", from_at=f.NOON) for person in people
    )
    AttentionItem.objects.bulk_create(
        f.AttentionItemFactory.build(
            practice=house, client=person, key=str(n), rank=rank, since=TODAY - datetime.timedelta(days=days)
        )
        for person, several in zip(people, items, strict=True)
        for n, (rank, days) in enumerate(several)
    )
    return people
