"""The smallest valid rows, without surprises."""

import datetime
import uuid

import factory

from clients import choices as c
from clients.models import (
    Absence,
    AccessRecord,
    Assignment,
    BodyMass,
    ChairPermission,
    CheckIn,
    Clearance,
    Client,
    ClientStateChange,
    ConsentEvent,
    DataCopy,
    Enquiry,
    EnquiryAnswer,
    EquipmentItem,
    Goal,
    GuardianDecision,
    GuardianRequest,
    Intake,
    IntakeAnswer,
    Invitation,
    Membership,
    Note,
    OutgoingMail,
    PainReport,
    PinnedLine,
    Place,
    Practice,
    ProtectedArea,
    RedFlagReport,
    Screening,
    SetUpCheck,
    User,
)
from coaching.choices import AttentionAnswer, AttentionKind, Decided
from coaching.models import (
    AttentionDecision,
    AttentionItem,
    DeskState,
    Observation,
    Suggestion,
    SuggestionDecision,
    WeeklyRow,
)
from jobs.choices import JobState
from jobs.models import Job
from programs import choices as p
from programs.models import (
    BaselineRequest,
    BaselineRun,
    BaselineTest,
    Block,
    BlockSession,
    BlockTemplate,
    CalendarFeed,
    Excuse,
    Group,
    HiddenMovement,
    Movement,
    MovementRevision,
    NormDetail,
    Prescription,
    ProgressionEdge,
    ProgressionLine,
    PublicSession,
    ReferenceMax,
    ScheduledSession,
    Section,
    SetLog,
    TrainingLog,
)
from submissions.choices import CameraSide, ClipState, Lane, SubmissionKind, Verdict
from submissions.models import Clip, DemonstrationClip, Review, ReviewNote, Submission, Upload

NOON = datetime.datetime(2026, 3, 4, 12, 0, tzinfo=datetime.UTC)  # a Wednesday
MONDAY = datetime.date(2026, 3, 2)
PASSWORD = "a long enough passphrase"


class UserFactory(factory.django.DjangoModelFactory):
    class Meta:
        model = User
        skip_postgeneration_save = True

    email = factory.Sequence(lambda n: f"person{n}@example.test")
    name = factory.Sequence(lambda n: f"Person {n}")

    @classmethod
    def _create(cls, model_class, *args, **kwargs):
        return model_class.objects.create_user(kwargs.pop("email"), kwargs.pop("password", PASSWORD), **kwargs)


class PracticeFactory(factory.django.DjangoModelFactory):
    class Meta:
        model = Practice

    name = factory.Sequence(lambda n: f"Practice {n}")


class MembershipFactory(factory.django.DjangoModelFactory):
    class Meta:
        model = Membership

    practice = factory.SubFactory(PracticeFactory)
    user = factory.SubFactory(UserFactory)
    role = c.Role.COACH


class ClientFactory(factory.django.DjangoModelFactory):
    class Meta:
        model = Client

    practice = factory.SubFactory(PracticeFactory)
    user = factory.SubFactory(UserFactory)
    name = factory.Sequence(lambda n: f"Client {n}")
    state = c.ClientState.ACTIVE


class AssignmentFactory(factory.django.DjangoModelFactory):
    class Meta:
        model = Assignment

    practice = factory.SelfAttribute("client.practice")
    client = factory.SubFactory(ClientFactory)
    coach = factory.SubFactory(MembershipFactory, practice=factory.SelfAttribute("..client.practice"))
    kind = c.AssignmentKind.LEAD
    from_at = NOON - datetime.timedelta(days=100)


class _OfClient(factory.django.DjangoModelFactory):
    class Meta:
        abstract = True

    client = factory.SubFactory(ClientFactory)
    practice = factory.SelfAttribute("client.practice")


class ConsentFactory(_OfClient):
    class Meta:
        model = ConsentEvent

    kind = c.ConsentKind.HEALTH
    action = c.ConsentAction.GIVEN
    text_version = "1"
    text = "I agree."
    at = NOON
    by = factory.SelfAttribute("client.user")


class ScreeningFactory(_OfClient):
    class Meta:
        model = Screening

    code = "R1"
    outcome = "ok"
    ceiling = c.Ceiling.VIGOROUS
    needs_clearance = False
    decided_at = NOON
    expires_on = datetime.date(2100, 1, 1)
    # Regular exercisers without findings may go hard, others start at moderate (methods.screening).
    inputs = factory.LazyAttribute(
        lambda s: {
            "regular": s.ceiling == c.Ceiling.VIGOROUS,
            "symptoms": False,
            "disease": False,
            "refer_first": [],
            "desired": str(s.ceiling),
        }
    )


class BodyMassFactory(_OfClient):
    class Meta:
        model = BodyMass

    on = MONDAY
    entered = 80
    unit = c.MassUnit.KG
    mass_kg = 80


class CheckInFactory(_OfClient):
    class Meta:
        model = CheckIn

    week = MONDAY
    due_on = MONDAY + datetime.timedelta(days=6)
    told_on = factory.SelfAttribute("due_on")
    time_zone = "UTC"
    told_at = NOON
    fatigue = sleep = soreness = stress = mood = 3


class PlaceFactory(_OfClient):
    class Meta:
        model = Place

    name = "Home"
    is_default = True


class EquipmentItemFactory(factory.django.DjangoModelFactory):
    class Meta:
        model = EquipmentItem

    place = factory.SubFactory(PlaceFactory)
    client = factory.SelfAttribute("place.client")
    practice = factory.SelfAttribute("place.practice")
    kind = c.ItemKind.BAR
    set_up_checked_on = MONDAY


class MovementFactory(factory.django.DjangoModelFactory):
    """A push-up-like movement of the shared library, with its first revision as the current one."""

    class Meta:
        model = Movement
        skip_postgeneration_save = True

    slug = factory.Sequence(lambda n: f"movement-{n}")

    @factory.post_generation
    def revision(self, create, extracted, **kwargs):
        self.current = MovementRevisionFactory(movement=self, **kwargs)
        self.save(update_fields=["current"])


class MovementRevisionFactory(factory.django.DjangoModelFactory):
    class Meta:
        model = MovementRevision

    movement = factory.SubFactory(MovementFactory)
    number = factory.LazyAttribute(lambda r: r.movement.revisions.count() + 1)
    name = factory.LazyAttribute(lambda r: r.movement.slug.replace("-", " ").capitalize())
    pattern = p.Pattern.HORIZONTAL_PUSH
    measure = p.Measure.REPETITIONS
    load_kind = p.LoadKind.BODY_SHARE
    share = "0.64"
    share_basis = p.ShareBasis.MEASURED
    share_source = "Ebben et al. 2011"


class BlockFactory(_OfClient):
    class Meta:
        model = Block

    title = "Block one"
    starts_on = MONDAY
    weeks = 4
    written_by = factory.SubFactory(UserFactory)


class BlockSessionFactory(factory.django.DjangoModelFactory):
    class Meta:
        model = BlockSession

    block = factory.SubFactory(BlockFactory)
    practice = factory.SelfAttribute("block.practice")
    week = 1
    weekday = 2
    name = "Session A"


class SectionFactory(factory.django.DjangoModelFactory):
    class Meta:
        model = Section

    session = factory.SubFactory(BlockSessionFactory)
    practice = factory.SelfAttribute("session.practice")
    kind = p.SectionKind.STRENGTH


class GroupFactory(factory.django.DjangoModelFactory):
    class Meta:
        model = Group

    section = factory.SubFactory(SectionFactory)
    practice = factory.SelfAttribute("section.practice")


class PrescriptionFactory(factory.django.DjangoModelFactory):
    class Meta:
        model = Prescription

    group = factory.SubFactory(GroupFactory)
    practice = factory.SelfAttribute("group.practice")
    movement = factory.LazyFunction(lambda: MovementFactory().current)
    sets = 3
    amount_low = 8
    amount_high = 12


EMPTY_BLOCK_FILE = {"format": "purlin-block", "version": 1, "title": "Invented", "weeks": 4, "sessions": []}


class BlockTemplateFactory(factory.django.DjangoModelFactory):
    class Meta:
        model = BlockTemplate

    practice = factory.SubFactory(PracticeFactory)
    title = "Invented template"
    weeks = 4
    document = EMPTY_BLOCK_FILE
    written_by = factory.SubFactory(UserFactory)
    written_at = NOON


class PublicSessionFactory(factory.django.DjangoModelFactory):
    class Meta:
        model = PublicSession

    practice = factory.SubFactory(PracticeFactory)
    title = "Invented session"
    document = EMPTY_BLOCK_FILE | {"weeks": 1}
    written_by = factory.SubFactory(UserFactory)
    published_at = NOON


class ScheduledSessionFactory(_OfClient):
    class Meta:
        model = ScheduledSession

    session = factory.SubFactory(BlockSessionFactory, block__client=factory.SelfAttribute("...client"))
    on = NOON.date()
    time_zone = "UTC"


class CalendarFeedFactory(_OfClient):
    class Meta:
        model = CalendarFeed

    token_sha256 = factory.Sequence(lambda n: f"c{n:063x}")
    time_zone = "UTC"
    made_at = NOON


class ExcuseFactory(_OfClient):
    class Meta:
        model = Excuse

    first_on = MONDAY
    last_on = NOON.date()
    reason = p.SkipReason.ILL
    by = factory.SelfAttribute("client.user")
    at = NOON


def publish(block: Block, *, at=NOON) -> Block:
    """Mark a block as published without the domain's checks, for tests of what comes after."""
    block.screening = Screening.objects.current().filter(client=block.client).first() or ScreeningFactory(
        client=block.client
    )
    block.state, block.published_at, block.ceiling = p.BlockState.PUBLISHED, at, c.Ceiling.VIGOROUS
    block.published_by = block.written_by
    block.save()
    return block


class _DeviceFact(_OfClient):
    class Meta:
        abstract = True

    scheduled = factory.SubFactory(ScheduledSessionFactory, client=factory.SelfAttribute("..client"))
    training_day = factory.SelfAttribute("scheduled.on")
    time_zone = "UTC"
    device_at = NOON
    received_at = NOON
    sent_sha256 = "0" * 64


class TrainingLogFactory(_DeviceFact):
    class Meta:
        model = TrainingLog

    outcome = p.Outcome.WITH_NUMBERS
    session_rpe = 6
    minutes = 45
    session_load_au = 270


class SetLogFactory(_DeviceFact):
    class Meta:
        model = SetLog

    lineage = factory.Faker("uuid4")
    movement = factory.LazyFunction(lambda: MovementFactory().current)
    number = 1
    repetitions = 10


class BaselineRequestFactory(_OfClient):
    class Meta:
        model = BaselineRequest

    by = factory.SubFactory(UserFactory)
    at = NOON


class BaselineRunFactory(_OfClient):
    class Meta:
        model = BaselineRun

    started_on = MONDAY
    time_zone = "UTC"
    started_at = NOON


class BaselineTestFactory(_OfClient):
    class Meta:
        model = BaselineTest

    run = factory.SubFactory(BaselineRunFactory, client=factory.SelfAttribute("..client"))
    test = "push-ups"
    edition = 1
    on = MONDAY
    time_zone = "UTC"
    told_at = NOON
    by = factory.SelfAttribute("client.user")
    sent_sha256 = "0" * 64
    state = p.BaselineState.DONE
    planned_end = p.BaselineEnd.RESERVE
    ended_by = p.BaselineEnd.RESERVE
    repetitions = 10
    rir = 2


class NormDetailFactory(_OfClient):
    class Meta:
        model = NormDetail

    sex = p.NormSex.FEMALE
    by = factory.SelfAttribute("client.user")
    at = NOON


class ReferenceMaxFactory(_OfClient):
    class Meta:
        model = ReferenceMax

    movement = factory.LazyFunction(lambda: MovementFactory().current)
    slug = factory.LazyAttribute(lambda m: m.movement.movement.slug)
    on = MONDAY
    load_entered = 60
    load_unit = c.MassUnit.KG
    load_kg = 60
    of_what = p.MaxOfWhat.EXTERNAL
    source = p.MaxSource.TESTED
    by = factory.SubFactory(UserFactory)
    at = NOON


class ClipFactory(_OfClient):
    class Meta:
        model = Clip

    movement = factory.LazyFunction(lambda: MovementFactory().current)
    training_day = NOON.date()
    camera_side = CameraSide.LEFT
    size_bytes = 1000
    state = ClipState.READY
    review_copy = "clips/none.mp4"
    poster = "clips/none.jpg"
    frame_times = factory.LazyFunction(lambda: [n * 3000 for n in range(90)])
    duration_s = 3
    width = 404
    height = 720
    received_at = NOON
    ready_at = NOON


class SubmissionFactory(_OfClient):
    class Meta:
        model = Submission

    kind = SubmissionKind.CLIP
    clip = factory.SubFactory(ClipFactory, client=factory.SelfAttribute("..client"))
    lane = Lane.FORM
    lane_reason = "A form clip."
    submitted_at = NOON
    due_at = factory.LazyAttribute(lambda s: s.submitted_at + datetime.timedelta(hours=48))


class ClientStateChangeFactory(_OfClient):
    class Meta:
        model = ClientStateChange

    to_state = c.ClientState.ACTIVE
    at = NOON


class AccessRecordFactory(_OfClient):
    class Meta:
        model = AccessRecord

    reader = factory.SubFactory(UserFactory)
    kind = c.ReadKind.CLIENT
    at = NOON


class InvitationFactory(_OfClient):
    class Meta:
        model = Invitation

    email = factory.SelfAttribute("client.email")
    token_sha256 = factory.Sequence(lambda n: f"{n:064x}")
    invited_by = factory.SubFactory(UserFactory)
    expires_at = datetime.datetime(2100, 1, 1, tzinfo=datetime.UTC)


class OutgoingMailFactory(factory.django.DjangoModelFactory):
    class Meta:
        model = OutgoingMail

    practice = factory.SubFactory(PracticeFactory)
    to = "somebody@example.test"
    subject = "A letter"
    body = "Hello."


class IntakeFactory(_OfClient):
    class Meta:
        model = Intake

    started_at = NOON
    finished_at = NOON


class IntakeAnswerFactory(_OfClient):
    class Meta:
        model = IntakeAnswer

    intake = factory.SubFactory(IntakeFactory, client=factory.SelfAttribute("..client"))
    question = "goal"
    value = "A first pull-up"
    answered_at = NOON
    answered_by = factory.SelfAttribute("client.user")


class ClearanceFactory(_OfClient):
    class Meta:
        model = Clearance

    clinician_role = "Physician"
    given_on = MONDAY
    expires_on = datetime.date(2100, 1, 1)
    ceiling = c.Ceiling.MODERATE
    limits = "None."
    recorded_by = factory.SubFactory(UserFactory)
    recorded_at = NOON


class RedFlagReportFactory(_OfClient):
    class Meta:
        model = RedFlagReport

    groups = ["MIND"]
    items = []
    lane = c.Lane.SOON
    locks = False
    source = "pain"
    reported_at = NOON


class ProtectedAreaFactory(_OfClient):
    class Meta:
        model = ProtectedArea

    area = c.Area.KNEE
    side = c.Side.LEFT
    from_on = MONDAY


class PainReportFactory(_OfClient):
    class Meta:
        model = PainReport

    on = NOON.date()
    area = c.Area.KNEE
    side = c.Side.LEFT
    after_blow = False
    pin_point = False
    during = 3
    reported_at = NOON
    action = "continue"
    action_row = 1


class EnquiryFactory(factory.django.DjangoModelFactory):
    class Meta:
        model = Enquiry

    practice = factory.SubFactory(PracticeFactory)
    name = factory.Sequence(lambda n: f"Visitor {n}")
    email = factory.Sequence(lambda n: f"visitor{n}@example.test")
    goal = "A first pull-up"
    consent_version = "1"
    consent_text = "I agree."
    sent_at = NOON
    sent_key = factory.LazyFunction(uuid.uuid4)


class EnquiryAnswerFactory(factory.django.DjangoModelFactory):
    class Meta:
        model = EnquiryAnswer

    enquiry = factory.SubFactory(EnquiryFactory)
    practice = factory.SelfAttribute("enquiry.practice")
    text = "Hello."
    by = factory.SubFactory(UserFactory)
    at = NOON


class AbsenceFactory(factory.django.DjangoModelFactory):
    class Meta:
        model = Absence

    practice = factory.SubFactory(PracticeFactory)
    coach = factory.SubFactory(MembershipFactory, practice=factory.SelfAttribute("..practice"))
    from_at = NOON
    until_at = NOON + datetime.timedelta(days=7)
    made_by = factory.SubFactory(UserFactory)


class GoalFactory(_OfClient):
    class Meta:
        model = Goal

    words = "A first pull-up"
    said_at = NOON
    said_by = factory.SelfAttribute("client.user")


class GuardianRequestFactory(_OfClient):
    class Meta:
        model = GuardianRequest

    name = "A guardian"
    email = "guardian@example.test"
    relation = "mother"
    token_sha256 = factory.Sequence(lambda n: f"a{n:063x}")
    sent_at = NOON
    expires_at = datetime.datetime(2100, 1, 1, tzinfo=datetime.UTC)


class GuardianDecisionFactory(_OfClient):
    class Meta:
        model = GuardianDecision

    request = factory.SubFactory(GuardianRequestFactory, client=factory.SelfAttribute("..client"))
    answer = c.GuardianAnswer.AGREED
    name = "A guardian"
    email = "guardian@example.test"
    relation = "mother"
    text_version = "1"
    text = "I agree."
    at = NOON


class SetUpCheckFactory(_OfClient):
    class Meta:
        model = SetUpCheck

    item = factory.SubFactory(EquipmentItemFactory, place__client=factory.SelfAttribute("...client"))
    checked_on = MONDAY
    tested = ["hang"]
    by = factory.SelfAttribute("client.user")
    at = NOON


class ChairPermissionFactory(_OfClient):
    class Meta:
        model = ChairPermission

    place = factory.SubFactory(PlaceFactory, client=factory.SelfAttribute("..client"))
    allowed = True
    why = "Heavy, against the wall."
    on = MONDAY
    by = factory.SelfAttribute("client.user")
    at = NOON


class NoteFactory(_OfClient):
    class Meta:
        model = Note

    on = MONDAY
    text = "Prefers mornings."
    by = factory.SubFactory(UserFactory)
    at = NOON


class PinnedLineFactory(_OfClient):
    class Meta:
        model = PinnedLine

    place = 1
    text = "Night shifts"
    by = factory.SubFactory(UserFactory)
    at = NOON


class DataCopyFactory(_OfClient):
    class Meta:
        model = DataCopy

    asked_by = factory.SelfAttribute("client.user")
    asked_at = NOON


class HiddenMovementFactory(factory.django.DjangoModelFactory):
    class Meta:
        model = HiddenMovement

    practice = factory.SubFactory(PracticeFactory)
    movement = factory.LazyAttribute(lambda hidden: MovementFactory(practice=hidden.practice))
    by = factory.SubFactory(UserFactory)
    at = NOON


class ProgressionLineFactory(factory.django.DjangoModelFactory):
    class Meta:
        model = ProgressionLine

    slug = factory.Sequence(lambda n: f"line-{n}")
    name = "A line"


class ProgressionEdgeFactory(factory.django.DjangoModelFactory):
    class Meta:
        model = ProgressionEdge

    line = factory.SubFactory(ProgressionLineFactory)
    easier = factory.SubFactory(MovementFactory)
    harder = factory.SubFactory(MovementFactory)


class DemonstrationClipFactory(factory.django.DjangoModelFactory):
    class Meta:
        model = DemonstrationClip

    practice = factory.SubFactory(PracticeFactory)
    movement = factory.LazyAttribute(lambda clip: MovementFactory(practice=clip.practice))
    words = "Two repetitions from the side."
    state = "received"
    by = factory.SubFactory(UserFactory)
    size_bytes = 10
    received_at = NOON


class UploadFactory(_OfClient):
    class Meta:
        model = Upload

    clip = factory.SubFactory(
        ClipFactory, client=factory.SelfAttribute("..client"), state=ClipState.UPLOADING, ready_at=None
    )
    length = 1000
    expires_at = datetime.datetime(2100, 1, 1, tzinfo=datetime.UTC)


class ReviewFactory(_OfClient):
    class Meta:
        model = Review

    submission = factory.SubFactory(SubmissionFactory, client=factory.SelfAttribute("..client"))
    reviewer = factory.SubFactory(UserFactory)
    verdict = Verdict.SOUND
    sent_at = NOON


class ReviewNoteFactory(factory.django.DjangoModelFactory):
    class Meta:
        model = ReviewNote

    review = factory.SubFactory(ReviewFactory)
    practice = factory.SelfAttribute("review.practice")
    position = 1
    frame = 0
    at_s = 0
    text = "Here."


class DeskStateFactory(_OfClient):
    class Meta:
        model = DeskState

    rebuilt_at = NOON
    day = NOON.date()


class WeeklyRowFactory(_OfClient):
    class Meta:
        model = WeeklyRow

    monday = MONDAY


class ObservationFactory(_OfClient):
    class Meta:
        model = Observation

    lineage = factory.Faker("uuid4")
    movement_name = "Push-up"
    verdict = "unclear"
    reason = "Too little to say."
    numbers = factory.LazyFunction(dict)


class AttentionItemFactory(_OfClient):
    class Meta:
        model = AttentionItem

    key = "stall"
    kind = AttentionKind.STALL
    rank = 5
    since = MONDAY
    reason = "No better for four weeks."


class AttentionDecisionFactory(_OfClient):
    class Meta:
        model = AttentionDecision

    key = "stall"
    answer = AttentionAnswer.HANDLED
    since = MONDAY
    by = factory.SubFactory(UserFactory)
    at = NOON


class SuggestionFactory(_OfClient):
    class Meta:
        model = Suggestion

    key = "push-up"
    lineage = factory.Faker("uuid4")
    movement_name = "Push-up"
    action = "same"
    rule = "too_little"
    from_dose = factory.LazyFunction(lambda: {"sets": 3, "repetitions": 10})
    to_dose = factory.LazyFunction(lambda: {"sets": 3, "repetitions": 10})
    reasons = factory.LazyFunction(list)
    sources = factory.LazyFunction(list)
    numbers = factory.LazyFunction(dict)


class SuggestionDecisionFactory(_OfClient):
    class Meta:
        model = SuggestionDecision

    key = "push-up"
    lineage = factory.Faker("uuid4")
    decided = Decided.ACCEPTED
    suggestion = factory.LazyFunction(dict)
    dose = factory.LazyFunction(dict)
    by = factory.SubFactory(UserFactory)
    at = NOON


class SetAsideJobFactory(factory.django.DjangoModelFactory):
    class Meta:
        model = Job

    name = "clients.send_mail"
    args = factory.LazyFunction(lambda: [1])
    state = JobState.FAILED
    attempts = 5
    run_at = NOON
    started_at = NOON
    finished_at = NOON
    last_error = "OSError at smtp.py:12"
