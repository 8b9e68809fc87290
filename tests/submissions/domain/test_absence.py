import datetime

import pytest

from clients.choices import PromisesMeanwhile
from clients.models import Membership
from submissions.choices import Lane, SubmissionKind
from submissions.domain.absence import start_absence
from submissions.domain.queueing import submit
from tests import factories as f

pytestmark = pytest.mark.django_db
DAY = datetime.timedelta(days=1)


def _away(cast, promises):
    return start_absence(
        cast.coach_membership,
        from_at=f.NOON,
        until_at=f.NOON + 7 * DAY,
        cover=Membership.objects.get(user=cast.other_coach),
        promises=promises,
        message="",
        by=cast.coach,
        at=f.NOON,
    )


def _waiting(cast, **changed):
    return f.SubmissionFactory(client=cast.client, due_at=f.NOON + DAY, lane=Lane.FORM, **changed)


def test_moved_promise_runs_from_the_return(cast):
    row = _waiting(cast)

    _away(cast, PromisesMeanwhile.MOVED)

    row.refresh_from_db()
    assert row.due_at == f.NOON + 9 * DAY


def test_kept_promise_stays(cast):
    row = _waiting(cast)

    _away(cast, PromisesMeanwhile.KEPT)

    row.refresh_from_db()
    assert row.due_at == f.NOON + DAY


def test_pain_is_never_put_off(cast):
    row = f.SubmissionFactory(client=cast.client, due_at=f.NOON + DAY, lane=Lane.PAIN_SOME)

    _away(cast, PromisesMeanwhile.MOVED)

    row.refresh_from_db()
    assert row.due_at == f.NOON + DAY


def test_question_asked_during_an_absence_with_moved_promises_is_promised_from_the_return(cast):
    f.ConsentFactory(client=cast.client)
    f.ScreeningFactory(client=cast.client)
    _away(cast, PromisesMeanwhile.MOVED)

    asked = submit(cast.client, kind=SubmissionKind.QUESTION, text="How deep?", at=f.NOON + DAY)

    assert asked.due_at == f.NOON + 9 * DAY
