"""What an owner settles for the practice."""

import datetime
from typing import Any

from django.db import transaction

from clients.models import Practice

SETTLED = (
    "name",
    "time_zone",
    "mass_unit",
    "length_unit",
    "check_in_weekday",
    "minimum_age",
    "review_promise_hours",
    "question_promise_hours",
    "check_in_promise_hours",
    "start_promise_hours",
    "working_days",
    "working_from",
    "working_until",
    "emergency_text_addition",
    "warning_sign_wait_minutes",
    "takes_enquiries",
    "enquiry_welcome",
)


def settle_practice(practice: Practice, values: dict[str, Any]) -> Practice:
    """Keep new settings. Promises made before stay; clients keep their own units, zone and check-in day."""
    with transaction.atomic():
        locked = Practice.objects.select_for_update().get(pk=practice.pk)
        for name in SETTLED:
            setattr(locked, name, values[name])
        locked.full_clean(exclude=["uuid"])
        locked.save(update_fields=SETTLED)
    return locked


def closes_after_it_opens(opens: datetime.time, closes: datetime.time) -> bool:
    """Midnight as the closing time is the end of the day."""
    return closes == datetime.time(0) or opens < closes
