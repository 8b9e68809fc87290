"""Whose time it is: workers on several machines compare leases by one clock, the database's."""

import datetime

from django.db import connection
from django.utils import timezone


def database_now() -> datetime.datetime:
    if connection.vendor != "postgresql":
        # SQLite's clock is this machine's.
        return timezone.now()
    with connection.cursor() as cursor:
        cursor.execute("SELECT clock_timestamp()")
        return cursor.fetchone()[0]
