"""The demo: an invented practice with dates anchored to today, and one-time links to sign in with."""


def sign_in_links() -> list[tuple[str, str]]:
    """A label and a path for every person of the demo, each good once."""
    from django.urls import reverse  # noqa: PLC0415 -- importable before apps are ready
    from django.utils import timezone  # noqa: PLC0415

    from clients.domain.inviting import new_sign_in_link  # noqa: PLC0415
    from clients.models import Membership, User  # noqa: PLC0415

    teams = dict(Membership.objects.active().values_list("user", "role"))
    people = User.objects.filter(is_demo=True).order_by("pk")
    return [
        (
            f"{user.name}, {teams.get(user.pk, 'client')}",
            reverse("sign-in-once", args=[new_sign_in_link(user, at=timezone.now())]),
        )
        for user in sorted(people, key=lambda user: user.pk not in teams)
    ]
