"""Moments of the demo, counted back from one moment that stands for now."""

import datetime
from dataclasses import dataclass

from clients.models import Client
from coaching.demo.person import Clock, Person, Plan
from programs.domain.building import monday_of

HOUR = datetime.timedelta(hours=1)
DAY = datetime.timedelta(days=1)
WEEK = datetime.timedelta(weeks=1)
# Before somebody trains there are a letter, an intake and a coach who writes.
ARRIVES_BEFORE = 9 * DAY


@dataclass(frozen=True)
class Now:
    """The moment the demo is anchored to."""

    at: datetime.datetime

    def today(self, client: Client) -> datetime.date:
        return self.at.astimezone(client.zone).date()

    def hours_ago(self, hours: float) -> datetime.datetime:
        return self.at - datetime.timedelta(hours=hours)

    def on(self, client: Client, days: int, clock: Clock) -> datetime.datetime:
        """That many of the client's days ago, at an hour of the client's; never after now."""
        day = self.today(client) - days * DAY
        return min(datetime.datetime.combine(day, clock, tzinfo=client.zone), self.at)

    def first_monday(self, client: Client, plan: Plan) -> datetime.date:
        return monday_of(self.today(client)) - plan.began * WEEK

    def block_begins(self, client: Client, plan: Plan) -> datetime.datetime:
        return datetime.datetime.combine(self.first_monday(client, plan), datetime.time(9, 0), tzinfo=client.zone)

    def arrival(self, client: Client, person: Person) -> datetime.datetime:
        """When the invitation was written."""
        if person.screened.ran_out is not None:
            day = a_year_before(self.today(client) - person.screened.ran_out * DAY)
        elif person.plan is not None:
            day = self.first_monday(client, person.plan) - ARRIVES_BEFORE
        else:
            day = self.today(client) - 3 * DAY
        return datetime.datetime.combine(day, datetime.time(9, 20), tzinfo=client.zone)


def a_year_before(day: datetime.date) -> datetime.date:
    """The same date a year earlier; 28 February for the 29th."""
    try:
        return day.replace(year=day.year - 1)
    except ValueError:
        return day.replace(year=day.year - 1, day=28)
