"""The address a person signs in with, and where their letters go."""

from clients.models import Client, User


def address_is_free(email: str, *, user: User) -> bool:
    return not User.objects.filter(email=email.lower()).exclude(pk=user.pk).exists()


def follow_address(user: User, *, former: str) -> None:
    """A client's letters go to the new address too, where they went to the former one."""
    Client.objects.own(user).filter(email__iexact=former).update(email=user.email)
