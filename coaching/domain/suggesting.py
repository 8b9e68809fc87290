"""Suggestions for the next block: the arbiter's word on every prescription of the running one, with its evidence."""

import datetime
import uuid
from collections import defaultdict
from dataclasses import asdict
from typing import Any

from clients.models import Client
from coaching.domain.evidence import Surroundings, feasible, gather
from coaching.models import Suggestion
from methods.progression import Decision, arbitrate
from programs.choices import STEPPED_SETS, WORK_SECTIONS, BlockState, SessionState
from programs.domain.library import easier_and_harder
from programs.models import Block, Prescription, ScheduledSession


def running_block(client: Client, *, today: datetime.date) -> Block | None:
    """The newest published block that has begun."""
    blocks = Block.objects.of(client).filter(state=BlockState.PUBLISHED, starts_on__lte=today)
    return blocks.order_by("-starts_on", "-pk").first()


def suggestions(around: Surroundings) -> list[Suggestion]:
    """One per work prescription of the running block, not saved. The same facts give the same suggestions."""
    block = running_block(around.client, today=around.today)
    if block is None:
        return []
    past = _past_prescriptions(block, around.today)
    return [_suggest(around, block, lineage, rows) for lineage, rows in past.items()]


Row = tuple[ScheduledSession, Prescription]


def _past_prescriptions(block: Block, today: datetime.date) -> dict[uuid.UUID, list[Row]]:
    """By lineage, the block's sessions up to today and what each asked for, oldest first."""
    scheduled = {
        row.session_id: row
        for row in ScheduledSession.objects.filter(session__block=block, on__lte=today)
        .on_the_plan()
        .exclude(state=SessionState.EXCUSED)
    }
    prescriptions = (
        Prescription.objects.filter(
            group__section__session__in=scheduled, group__section__kind__in=WORK_SECTIONS, kind__in=STEPPED_SETS
        )
        .select_related("movement__movement", "group__section__session")
        .order_by("group__section__session__week", "group__section__session__weekday", "pk")
    )
    rows: dict[uuid.UUID, list[Row]] = defaultdict(list)
    for prescription in prescriptions:
        rows[prescription.lineage].append((scheduled[prescription.group.section.session_id], prescription))
    for found in rows.values():
        found.sort(key=lambda row: (row[0].on, row[0].pk))
    return rows


def _suggest(around: Surroundings, block: Block, lineage: uuid.UUID, rows: list[Row]) -> Suggestion:
    prescription = rows[-1][1]
    decision = arbitrate(gather(around, prescription, [scheduled for scheduled, _p in rows]))
    target = step_movement(around, prescription, decision)
    return Suggestion(
        practice_id=around.client.practice_id,
        client=around.client,
        key=f"{block.uuid}:{lineage}",
        lineage=lineage,
        movement_name=prescription.movement.name,
        action=decision.action.value,
        rule=decision.rule,
        from_dose=asdict(decision.from_dose),
        to_dose=asdict(decision.to_dose) | {"movement": str(target.uuid) if target else None},
        reasons=list(decision.reasons),
        sources=list(decision.sources),
        numbers=decision.numbers
        | {
            "to_movement": target.name if target else None,
            "session": prescription.group.section.session.name,
        },
    )


def step_movement(around: Surroundings, prescription: Prescription, decision: Decision) -> Any:
    """The movement one step up or down the line, when the decision moves along it; None when it stays."""
    before, after = decision.from_dose.step, decision.to_dose.step
    if before is None or after is None or before == after:
        return None
    line = easier_and_harder(prescription.movement.movement, around.client.practice)
    steps = line.harder if after > before else line.easier
    return feasible(around, (step.movement for step in steps))
