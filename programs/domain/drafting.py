"""Drafts that come from an earlier block: the next revision, the next block, and new doses in them."""

import datetime
import uuid
from collections.abc import Mapping
from decimal import Decimal

from django.db import transaction
from django.db.models import Max, QuerySet

from clients.choices import MassUnit
from clients.models import Client, User
from methods.dose import Dose
from methods.units import in_unit
from programs.choices import BlockState
from programs.domain.building import copy_all_sessions, create_block
from programs.errors import NotADraft
from programs.models import Block, MovementRevision, Prescription


def new_revision(block: Block, *, by: User) -> Block:
    """Open the next revision of a published block as a draft; the draft there is, if one is open.

    It goes on from the revision that is published now, whichever one `block` is. Lineages stay, so that logs,
    adherence and differences join. Publishing it replaces the untouched future sessions.
    """
    with transaction.atomic():
        # The client first, as publishing does: of two who begin at once, the second finds the draft of the first.
        Client.objects.select_for_update().get(pk=block.client_id)
        revisions = Block.objects.filter(lineage=block.lineage)
        if draft := revisions.filter(state=BlockState.DRAFT).first():
            return draft
        block = revisions.filter(state=BlockState.PUBLISHED).first() or block
        draft = Block.objects.create(
            practice_id=block.practice_id,
            client_id=block.client_id,
            lineage=block.lineage,
            revision=(revisions.aggregate(highest=Max("revision"))["highest"] or 0) + 1,
            previous_id=block.previous_id,
            title=block.title,
            starts_on=block.starts_on,
            weeks=block.weeks,
            message=block.message,
            deload_week=block.deload_week,
            written_by=by,
        )
        copy_all_sessions(block, draft)
    return draft


def draft_from_block(block: Block, *, starts_on: datetime.date, by: User, title: str = "") -> Block:
    """Copy a block as the draft of the one that follows it. Prescriptions keep their lineage, so progress joins."""
    with transaction.atomic():
        draft = create_block(block.client, by=by, title=title or block.title, starts_on=starts_on, weeks=block.weeks)
        draft.deload_week = block.deload_week
        draft.previous = block
        draft.save(update_fields=["previous", "deload_week"])
        copy_all_sessions(block, draft)
    return draft


def in_block(block: Block, lineage: uuid.UUID) -> QuerySet[Prescription]:
    """One prescription in every week of a block."""
    return Prescription.objects.filter(group__section__session__block=block, lineage=lineage)


def apply_dose(prescription: Prescription, dose: Dose, *, reason: str = "") -> Prescription:
    """Give a draft's prescription another dose and the words for it that the client reads.

    What the dose does not state stays. The range keeps its width below the new top. Raises NotADraft.
    """
    _require_draft(prescription)
    _apply_amount(prescription, dose)
    _apply_load(prescription, dose.load_kg)
    prescription.sets = dose.sets
    prescription.tempo = prescription.tempo if dose.tempo is None else dose.tempo
    prescription.rest_s = prescription.rest_s if dose.rest_s is None else round(dose.rest_s)
    if dose.rir is not None:
        prescription.target_rir, prescription.target_rpe = Decimal(str(dose.rir)), None
    prescription.change_reason = reason or prescription.change_reason
    prescription.save()
    return prescription


def swap_movement(
    prescription: Prescription, movement: MovementRevision, entry_dose: Mapping[str, int], *, reason: str = ""
) -> Prescription:
    """Put another movement in a draft's prescription, at its entry dose and without the old one's load.

    The lineage stays: it is the same place in the plan. Raises NotADraft.
    """
    _require_draft(prescription)
    prescription.movement = movement
    prescription.load_entered = prescription.load_kg = prescription.assistance_kg = None
    prescription.percent_of_max = prescription.reference_max = None
    prescription.load_unit = ""
    if "target_rir" in entry_dose:
        prescription.target_rpe = None
    for column in ("sets", "amount_low", "amount_high", "target_rir"):
        setattr(prescription, column, entry_dose.get(column, getattr(prescription, column)))
    prescription.change_reason = reason or prescription.change_reason
    prescription.save()
    return prescription


def _require_draft(prescription: Prescription) -> None:
    if not prescription.group.section.session.block.is_draft:
        raise NotADraft


def _apply_amount(prescription: Prescription, dose: Dose) -> None:
    stated = [amount for amount in (dose.repetitions, dose.seconds, dose.metres) if amount is not None]
    if stated:
        width = prescription.amount_high - prescription.amount_low
        prescription.amount_high = max(1, round(stated[0]))
        prescription.amount_low = max(1, prescription.amount_high - width)


def _apply_load(prescription: Prescription, load_kg: float | None) -> None:
    if load_kg is None:
        return
    kg = Decimal(str(abs(load_kg))).quantize(Decimal("0.001"))
    if load_kg < 0 or kg != prescription.load_kg:
        # A load of its own takes the place of a percentage.
        prescription.percent_of_max = prescription.reference_max = None
    if load_kg < 0:
        prescription.assistance_kg = kg
        prescription.load_entered = prescription.load_kg = None
        prescription.load_unit = ""
        return
    unit = prescription.load_unit or MassUnit.KG.value
    prescription.assistance_kg = None
    prescription.load_unit, prescription.load_kg, prescription.load_entered = unit, kg, in_unit(kg, unit)
