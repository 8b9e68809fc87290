"""Beginning a practice: its name, its clock, and its first owner."""

from django.contrib.auth import password_validation
from django.db import transaction

from clients.choices import Role
from clients.domain.passwords import refuse_known_words
from clients.errors import AlreadyOwner
from clients.models import Membership, Practice, User


def found_practice(*, name: str, time_zone: str, owner_email: str, owner_name: str, password: str) -> Membership:
    """Create a practice with its owner. Someone with a sign-in keeps the password they have.

    Raises AlreadyOwner when this person owns a practice of this name, and ValidationError for a weak password.
    """
    with transaction.atomic():
        user = User.objects.filter(email=owner_email.lower()).first()
        if user is None:
            password_validation.validate_password(password, User(email=owner_email, name=owner_name))
            refuse_known_words(password, [name])
            user = User.objects.create_user(owner_email, password, name=owner_name)
        elif Membership.objects.of(user).owners().filter(practice__name=name).exists():
            raise AlreadyOwner
        practice = Practice.objects.create(name=name, time_zone=time_zone)
        return Membership.objects.create(practice=practice, user=user, role=Role.OWNER)
