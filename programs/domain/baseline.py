"""A baseline: who asked for it, the run through its tests, and each result as it is told."""

import datetime
import hashlib
import json
import uuid as uuids
from collections.abc import Mapping
from dataclasses import asdict, dataclass
from decimal import Decimal
from types import MappingProxyType

from django.db import transaction
from django.db.models import Q

from clients.domain.body import age_on
from clients.domain.safety import protected_areas, require_start, said_groups
from clients.domain.screening import report_red_flags
from clients.domain.versions import newest, supersede
from clients.models import Client, User
from programs.choices import BaselineEnd, BaselineState, BaselineStop, LoggedSide, NormSex
from programs.domain.baseline_reading import person_of
from programs.domain.baseline_rule import Offer, Situation, offer_of
from programs.domain.instead import around
from programs.errors import BaselineConflict, BaselineNotOffered, MaximalNotAllowed, NothingTold, RunFinished
from programs.library.battery import BY_CODE, EDITION
from programs.library.battery_schema import Amount, BatteryTest
from programs.models import BaselineRequest, BaselineRun, BaselineTest, NormDetail

# What stops a test and is a warning sign of the list, told as such at once (methods.red_flags).
WARNING_SIGNS: Mapping[str, str] = MappingProxyType(
    {
        BaselineStop.CHEST.value: "card.chest",
        BaselineStop.FAINT.value: "card.faint",
        BaselineStop.BREATH.value: "card.breath",
        BaselineStop.BEAT.value: "card.beat",
    }
)
# From here on nobody is a minor. Where the law says otherwise the practice's age limit may be higher.
ADULT_AGE = 18
# These end a run: the rest of the list is asked before anything else.
HALTS = frozenset({*WARNING_SIGNS, BaselineStop.DIZZY.value})


@dataclass(frozen=True)
class Told:
    """One side of one test, as told. Exactly one amount for what was done, none for what was left out."""

    uuid: uuids.UUID
    test: str
    side: str = LoggedSide.BOTH.value
    state: str = BaselineState.DONE.value
    skip_reason: str = ""
    repetitions: int | None = None
    seconds: int | None = None
    centimetres: Decimal | None = None
    planned_end: str = ""
    ended_by: str = ""
    stopped_because: str = ""
    way: str = ""
    rir: Decimal | None = None
    angle_deg: int | None = None
    height_cm: int | None = None
    hurt: bool = False
    note: str = ""

    @property
    def is_done(self) -> bool:
        return self.state == BaselineState.DONE

    @property
    def went_wrong(self) -> bool:
        """Pain and early stops are kept in any case: they must not get lost in a refusal."""
        return self.hurt or self.ended_by == BaselineEnd.STOPPED

    @property
    def sha256(self) -> str:
        said = {name: value for name, value in asdict(self).items() if name != "uuid"}
        return hashlib.sha256(json.dumps(said, sort_keys=True, default=str).encode()).hexdigest()


def ask_for_baseline(client: Client, *, words: str, by: User, at: datetime.datetime) -> BaselineRequest:
    """A coach asks; the client's first page shows it until a run is finished. Asked twice it stands once."""
    with transaction.atomic():
        Client.objects.select_for_update().get(pk=client.pk)
        if (standing := open_request(client)) is not None:
            return standing
        # One that was answered by a finished run steps aside for the new one.
        answered = BaselineRequest.objects.counting().filter(client=client).first()
        version = BaselineRequest(practice_id=client.practice_id, client=client, words=words, by=by, at=at)
        return supersede(answered, version)


def take_request_back(client: Client, *, by: User, at: datetime.datetime) -> None:
    with transaction.atomic():
        Client.objects.select_for_update().get(pk=client.pk)
        standing = open_request(client)
        if standing is not None:
            version = BaselineRequest(
                practice_id=client.practice_id, client=client, words=standing.words, by=by, at=at, is_withdrawn=True
            )
            supersede(standing, version)


def open_request(client: Client) -> BaselineRequest | None:
    """What was asked and is not answered by a finished run yet."""
    asked = BaselineRequest.objects.counting().filter(client=client).select_related("by").first()
    if asked is None:
        return None
    answered = BaselineRun.objects.current().filter(client=client, finished_at__gte=asked.at)
    return None if answered.exists() else asked


def run_under_way(client: Client) -> BaselineRun | None:
    return BaselineRun.objects.current().filter(client=client, finished_at=None).first()


def start_run(client: Client, *, uuid: uuids.UUID, by: User, at: datetime.datetime) -> BaselineRun:
    """Begin a run, or go on with the one that is under way.

    Raises BaselineConflict where the id is somebody else's, and what clients.domain.safety.require_start raises.
    """
    on = at.astimezone(client.zone).date()
    with transaction.atomic():
        Client.objects.select_for_update().get(pk=client.pk)
        known = BaselineRun.objects.filter(uuid=uuid).first()
        if known is not None and known.client_id != client.pk:
            raise BaselineConflict
        standing = known or run_under_way(client)
        if standing is not None:
            return standing
        require_start(client, on=on)
        return BaselineRun.objects.create(
            practice_id=client.practice_id,
            client=client,
            uuid=uuid,
            started_on=on,
            time_zone=client.time_zone,
            started_at=at,
        )


def results_of(run: BaselineRun) -> list[BaselineTest]:
    return list(BaselineTest.objects.current().filter(run=run).order_by("told_at", "pk"))


def situation_of(client: Client, run: BaselineRun | None, *, on: datetime.date) -> Situation:
    """What decides about the tests of a client on a day, with what this run and this day have told so far.

    Where something hurt, or stopped a test with a warning sign, no correction makes it unsaid for the run or the day.
    """
    told = list(BaselineTest.objects.of(client).filter(Q(run=run) | Q(on=on), erased_at=None))
    return Situation(
        day=around(client, on=on).day,
        is_minor=client.needs_guardian or not _is_known_adult(client, on=on),
        groups=frozenset(said_groups(client)),
        protected=frozenset(protected_areas(client, on=on)),
        hurt=frozenset(row.test for row in told if row.hurt and row.test in BY_CODE),
        none_of=frozenset(row.test for row in told if row.is_current and _came_to_nothing(row)),
        is_halted=any(row.stopped_because in HALTS for row in told),
    )


def _is_known_adult(client: Client, *, on: datetime.date) -> bool:
    """By the date of birth in the intake; untold is not grown up. A practice's own age limit may be lower."""
    born = person_of(client, "").born
    return born is not None and age_on(born, on) >= ADULT_AGE


def _came_to_nothing(row: BaselineTest) -> bool:
    return row.state == BaselineState.SKIPPED or row.repetitions == 0 or row.seconds == 0


def tell_test(run: BaselineRun, told: Told, *, by: User, at: datetime.datetime) -> BaselineTest:
    """Keep one side of one test. The same id again keeps nothing new; another id is the next version of it.

    What stopped a test and is a warning sign is reported as one: it locks, and the coaches are woken. What is not
    offered is refused, unless something went wrong in it.
    Raises BaselineConflict, RunFinished, BaselineNotOffered, MaximalNotAllowed, NothingTold, and on a first result what
    clients.domain.safety.require_start raises.
    """
    client = run.client
    with transaction.atomic():
        Client.objects.select_for_update().get(pk=client.pk)
        if (known := _known(run, told)) is not None:
            return known
        current = BaselineTest.objects.current().filter(run=run, test=told.test, side=told.side).first()
        run.refresh_from_db(fields=["finished_at"])
        if run.finished_at is not None and current is None:
            raise RunFinished
        _require_complete(told)
        if not told.went_wrong and told.is_done:
            _require_offered(run, told, current, on=at.astimezone(client.zone).date())
        row = supersede(current, _version(run, told, current, by=by, at=at))
        if row.stopped_because in WARNING_SIGNS:
            report_red_flags(client, items=[WARNING_SIGNS[row.stopped_because]], source="baseline", at=at)
    return row


def _known(run: BaselineRun, told: Told) -> BaselineTest | None:
    row = BaselineTest.objects.filter(uuid=told.uuid).first()
    if row is None:
        return None
    if row.run_id != run.pk or row.sent_sha256 != told.sha256:
        raise BaselineConflict
    return newest(row)


def _require_complete(told: Told) -> None:
    """A known test on a side it has, with just the amount it is counted in, or a reason for leaving it out."""
    test = BY_CODE.get(told.test)
    if test is None or told.side not in test.sides:
        raise BaselineNotOffered
    amounts = {amount: getattr(told, amount.value) for amount in Amount}
    given = [amount for amount, value in amounts.items() if value is not None]
    if given != ([test.amount] if told.is_done else []) or not (told.is_done or told.skip_reason):
        raise NothingTold
    if told.is_done and (not told.ended_by or _lacks_set_up(test, told)):
        raise NothingTold
    if told.ended_by == BaselineEnd.STOPPED and not told.stopped_because:
        raise NothingTold


def _lacks_set_up(test: BatteryTest, told: Told) -> bool:
    """Without how it was set up a result compares with no other."""
    has_no_way = bool(test.ways) and told.way not in {way.code for way in test.ways}
    return not told.went_wrong and (
        has_no_way or (test.asks_angle and told.angle_deg is None) or (test.asks_height and told.height_cm is None)
    )


def _require_offered(run: BaselineRun, told: Told, current: BaselineTest | None, *, on: datetime.date) -> None:
    if current is not None and current.state == BaselineState.DONE:
        # A correction of what was done: it happened, whatever holds today. Its end stays what was planned then.
        if told.planned_end == BaselineEnd.MAXIMUM != current.planned_end:
            raise MaximalNotAllowed
        return
    require_start(run.client, on=on)
    offer = offer_of(BY_CODE[told.test], situation_of(run.client, run, on=on))
    if not offer.is_offered:
        raise BaselineNotOffered(offer.why_not)
    _require_this_way(offer, told)


def _require_this_way(offer: Offer, told: Told) -> None:
    if offer.ways and told.way not in {way.code for way in offer.ways}:
        raise BaselineNotOffered
    if told.planned_end == BaselineEnd.MAXIMUM and not offer.may_be_maximal:
        raise MaximalNotAllowed(offer.why_not_maximal)


def _version(
    run: BaselineRun, told: Told, current: BaselineTest | None, *, by: User, at: datetime.datetime
) -> BaselineTest:
    client = run.client
    return BaselineTest(
        practice_id=client.practice_id,
        client=client,
        run=run,
        edition=EDITION,
        # A correction does not move the day.
        on=current.on if current and current.state == told.state else at.astimezone(client.zone).date(),
        time_zone=client.time_zone,
        told_at=at,
        by=by,
        sent_sha256=told.sha256,
        **asdict(told),
    )


def finish_run(run: BaselineRun, *, at: datetime.datetime) -> BaselineRun:
    """The run is over; nothing new is told in it. Finishing twice changes nothing. Raises NothingTold."""
    with transaction.atomic():
        Client.objects.select_for_update().get(pk=run.client_id)
        if not BaselineTest.objects.current().filter(run=run).exists():
            raise NothingTold
        BaselineRun.objects.filter(pk=run.pk, finished_at=None).update(finished_at=at)
        run.refresh_from_db(fields=["finished_at"])
    return run


def tell_sex_for_norms(client: Client, *, sex: str, by: User, at: datetime.datetime) -> NormDetail:
    """By which rows of the tables to be read; empty takes it back. The same again keeps nothing new."""
    with transaction.atomic():
        Client.objects.select_for_update().get(pk=client.pk)
        current = NormDetail.objects.current().filter(client=client).first()
        if current is not None and current.sex == sex:
            return current
        version = NormDetail(practice_id=client.practice_id, client=client, sex=sex, by=by, at=at)
        return supersede(current, version)


def sex_for_norms(client: Client) -> NormSex | None:
    told = NormDetail.objects.current().filter(client=client).first()
    return NormSex(told.sex) if told is not None and told.sex else None
