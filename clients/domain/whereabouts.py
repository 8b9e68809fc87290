"""Where a client is for some days, so that the emergency number is the one that works there."""

import datetime

from clients.models import Client


def be_away(client: Client, *, country: str, until: datetime.date) -> None:
    """`country` is ISO 3166-1 alpha-2, or empty for one we know no number of."""
    client.away_country, client.away_until = country, until
    client.save(update_fields=["away_country", "away_until"])


def be_at_home(client: Client) -> None:
    client.away_country, client.away_until = "", None
    client.save(update_fields=["away_country", "away_until"])
