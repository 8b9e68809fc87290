"""What a batch knows of its own earlier entries: what comes of them is the same as if they had come one by one."""

import datetime
from types import SimpleNamespace

from django.db import transaction
from hypothesis import given, settings
from hypothesis import strategies as st
from hypothesis.extra.django import TestCase

from programs.domain.logging import log_entries
from programs.models import SetLog
from tests import factories as f
from tests.programs.log import session_with, set_entry

AT = datetime.datetime(2026, 3, 4, 18, 0, tzinfo=datetime.UTC)
SIDES = ["left", "right", "both"]
told = st.fixed_dictionaries(
    {
        "number": st.integers(1, 2),
        "side": st.sampled_from(SIDES),
        "replaces": st.none() | st.integers(0, 4),
        "withdrawn": st.booleans(),
    }
)


class TestBatch(TestCase):
    @classmethod
    def setUpTestData(cls):
        cls.client_row = f.ClientFactory()
        cls.scheduled, cls.dose = session_with(SimpleNamespace(client=cls.client_row))

    def entries(self, several) -> list[dict]:
        made: list[dict] = []
        for one in several:
            entry = set_entry(self.scheduled, self.dose, number=one["number"], side=one["side"])
            if one["replaces"] is not None and one["replaces"] < len(made):
                entry |= {"replaces": made[one["replaces"]]["uuid"], "withdrawn": one["withdrawn"]}
            made.append(entry)
        return made

    def outcome(self, *batches) -> tuple:
        """Answers and rows, undone."""
        with transaction.atomic():
            answers = [answer.as_json() for batch in batches for answer in log_entries(self.client_row, batch, at=AT)]
            rows = list(SetLog.objects.order_by("uuid").values("uuid", "number", "side", "is_current", "is_withdrawn"))
            transaction.set_rollback(True)
        return answers, rows

    @settings(max_examples=25)
    @given(several=st.lists(told, min_size=1, max_size=6))
    def test_one_batch_ends_as_its_entries_one_by_one(self, several):
        entries = self.entries(several)

        assert self.outcome(entries) == self.outcome(*([entry] for entry in entries))
