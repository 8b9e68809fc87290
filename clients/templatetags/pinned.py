"""The pinned lines, wherever coaches look at a client. Only on pages whose view has asked who is coaching."""

from typing import Any

from django import template

from clients.domain.notes import pinned_lines
from clients.models import Client

register = template.Library()


@register.inclusion_tag("clients/_pinned_lines.html")
def pinned(client: Client) -> dict[str, Any]:
    return {"lines": pinned_lines(client), "client": client}
