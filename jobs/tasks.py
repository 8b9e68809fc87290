import datetime

from django.utils.translation import gettext_lazy as _

import jobs


@jobs.periodic("jobs.remove_old", label=_("Forgetting old background work"), every=datetime.timedelta(days=1))
def remove_old() -> None:
    from jobs import sweeping  # noqa: PLC0415 -- task
    from jobs.clock import database_now  # noqa: PLC0415 -- task

    sweeping.remove_old(at=database_now())
